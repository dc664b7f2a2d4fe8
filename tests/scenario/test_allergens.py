"""The names of allergens, against the two laws that list them."""

from __future__ import annotations

import pytest

from stationplan.scenario.allergens import ALLERGENS, EU_FOURTEEN, US_NINE, of_ingredient, parse_allergens, told
from stationplan.scenario.errors import UnitError

# The nine of the FASTER Act, in force since 1 January 2023, in the words of the Act and of the one of 2004 before it.
US = ["milk", "egg", "fish", "Crustacean shellfish", "tree nuts", "wheat", "peanuts", "soybeans", "sesame"]
# Regulation (EU) No 1169/2011, Annex II, numbers 1 to 14; the words in brackets are those that it lists.
EU = [
    "cereals containing gluten",
    "crustaceans",
    "eggs",
    "fish",
    "peanuts",
    "soybeans",
    "milk",
    "nuts",
    "celery",
    "mustard",
    "sesame seeds",
    "sulphur dioxide",
    "lupin",
    "molluscs",
]
CEREALS = ["wheat", "spelt", "khorasan wheat", "rye", "barley", "oats"]
NUTS = [
    *("almonds", "hazelnuts", "walnuts", "cashews", "pecan nuts", "Brazil nuts", "pistachio nuts", "macadamia nuts"),
    "Queensland nuts",
]
KINDS = ["almond", "hazelnut", "walnut", "cashew", "pecan", "Brazil nut", "pistachio", "macadamia", "macadamia"]


def test_each_of_the_nine_of_the_united_states_is_one_of_ours_and_no_other_is() -> None:
    assert {name for word in US for name in parse_allergens(word)} - {"gluten"} == set(US_NINE)
    assert len(US_NINE) == len(US)


def test_each_of_the_fourteen_of_the_european_union_is_one_of_ours_in_its_order() -> None:
    assert [parse_allergens(word) for word in EU] == [(name,) for name in EU_FOURTEEN]


@pytest.mark.parametrize("word", CEREALS)
def test_a_cereal_of_the_annex_has_gluten(word: str) -> None:
    assert "gluten" in parse_allergens(word)


@pytest.mark.parametrize("word", ["wheat", "spelt", "khorasan wheat"])
def test_wheat_and_its_kinds_are_wheat_as_well(word: str) -> None:
    assert parse_allergens(word) == ("wheat", "gluten")


@pytest.mark.parametrize(("word", "kind"), list(zip(NUTS, KINDS, strict=True)))
def test_a_nut_of_the_annex_is_a_tree_nut_of_its_kind(word: str, kind: str) -> None:
    assert parse_allergens(word) == parse_allergens(f"tree nuts ({kind})") == (f"tree nuts ({kind})",)


@pytest.mark.parametrize(
    ("name", "contains"),
    [
        ("ground almonds", ("tree nuts (almond)",)),
        ("Hazelnut", ("tree nuts (hazelnut)",)),
        ("whole Brazil nuts", ("tree nuts (Brazil nut)",)),
        # What else is in these their names do not say.
        ("almond biscuits", ("tree nuts",)),
        ("nut mix", ("tree nuts",)),
        ("nutmeg", ("tree nuts",)),
        ("almond and hazelnut praline", ("tree nuts",)),
    ],
)
def test_the_kind_of_nut_is_taken_from_a_name_that_says_nothing_else(name: str, contains: tuple[str, ...]) -> None:
    assert of_ingredient(name, ("tree nuts",)) == contains
    assert of_ingredient(name, ()) == ()
    assert of_ingredient(name, ("milk", "tree nuts (pecan)")) == ("milk", "tree nuts (pecan)")


def test_kinds_of_nuts_are_told_together_and_what_is_not_said_is_not_hidden() -> None:
    assert told(["tree nuts (walnut)", "egg", "tree nuts (almond)"]) == ("egg", "tree nuts (almond, walnut)")
    assert told(["tree nuts", "tree nuts (almond)"]) == ("tree nuts (almond, and of a kind not said)",)
    assert told(["tree nuts", "sesame"]) == ("tree nuts", "sesame")


def test_several_may_stand_in_a_list_or_with_commas_between() -> None:
    assert parse_allergens(["milk", "Eggs"]) == parse_allergens("egg, milk") == ("egg", "milk")


def test_none_declares_that_there_is_none() -> None:
    assert parse_allergens("none") == ()


@pytest.mark.parametrize("name", ALLERGENS)
def test_a_name_is_read_as_itself(name: str) -> None:
    assert name in parse_allergens(name)


@pytest.mark.parametrize(
    ("value", "gist"),
    [
        ("mlik", "did you mean 'milk'"),
        ("coriander", "write one of wheat, gluten"),
        (["none", "milk"], "'none' stands beside an allergen"),
        ("milk,", "missing beside a comma"),
        (True, "write one like milk"),
    ],
)
def test_what_is_no_allergen_of_the_lists_is_refused(value: object, gist: str) -> None:
    with pytest.raises(UnitError, match=gist):
        parse_allergens(value)
