"""What is declared of items and batches, and where equipment goes on to what less is declared of."""

from __future__ import annotations

from typing import Any

from planned import plan_by_hand, step
from readable import raw

from stationplan.plan.allergens import Declarations, Declared, declarations_of, declares, handovers
from stationplan.scenario import from_plain

KNOWN = {
    "hazelnut paste": {"contains": "hazelnuts"},
    "cream": {"contains": "milk"},
    "sugar": {"contains": "none"},
    "flour": {"contains": "wheat"},
}
MIXER = [{"name": "planetary mixer", "kind": "mixer", "holds": "10 l"}]


def declared(*steps: dict[str, Any], **more: Any) -> Declarations:
    return declarations_of(from_plain(kitchen(*steps, **more)))


def kitchen(*steps: dict[str, Any], equipment: list[dict[str, Any]] | None = None, **more: Any) -> dict[str, Any]:
    return {**raw(*steps, equipment=MIXER if equipment is None else equipment, **more), "ingredients": KNOWN}


def of(*allergens: str, silent: tuple[str, ...] = ()) -> Declared:
    return Declared(frozenset(allergens), frozenset(silent))


def test_an_item_contains_what_its_ingredients_and_components_do() -> None:
    praline = {"makes": "1 kg", "ingredients": {"Hazelnut paste": "1 kg"}, "steps": [step("grind")]}
    filling = {
        "makes": "1 kg",
        "ingredients": {"cream": "500 g"},
        "uses": {"praline": "500 g"},
        "steps": [step("whip")],
    }
    found = declared(
        step("fill", ingredients={"flour": "1 g"}),
        components={"filling": filling, "praline": praline},
        uses={"filling": "20 g"},
    )
    assert found.items == {
        "filling": of("milk", "tree nuts (hazelnut)"),
        "praline": of("tree nuts (hazelnut)"),
        "tart": of("milk", "tree nuts (hazelnut)", "wheat", "gluten"),
    }
    assert found.items["tart"].named == ("wheat", "gluten", "milk", "tree nuts (hazelnut)")


def test_what_goes_in_at_a_step_is_not_in_the_steps_before() -> None:
    steps = [step("mix", ingredients={"flour": "1 g"}), step("top", ingredients={"cream": "1 g"}), step("box")]
    found = declared(*steps).steps
    assert found["tart", "mix", 1] == of("wheat", "gluten")
    assert found["tart", "top", 1] == found["tart", "box", 1] == of("wheat", "gluten", "milk")


def test_what_stands_at_an_item_may_be_in_any_of_its_steps() -> None:
    steps = [step("boil"), step("whip", after="none"), step("fold", after=["boil", "whip"])]
    found = declared(*steps, ingredients={"cream": "1 g"}).steps
    assert {found["tart", name, 1] for name in ("boil", "whip", "fold")} == {of("milk")}


def test_strands_have_only_their_own_until_they_meet() -> None:
    steps = [
        step("boil", ingredients={"sugar": "1 g"}),
        step("whip", after="none", ingredients={"cream": "1 g"}),
        step("fold", after=["boil", "whip"]),
    ]
    found = declared(*steps).steps
    assert found["tart", "boil", 1] == of()
    assert found["tart", "fold", 1] == of("milk")


def test_a_step_may_come_after_one_that_stands_below_it() -> None:
    steps = [
        step("fold", after="whip"),
        step("whip", after="none", ingredients={"cream": "1 g"}),
        step("box", after="fold"),
    ]
    assert declared(*steps).steps["tart", "fold", 1] == of("milk")


def test_an_ingredient_of_which_nothing_is_said_is_silent() -> None:
    found = declared(step("mix", ingredients={"sugar": "1 g", "Salt": "1 g", "honey": "1 g"}))
    assert found.items["tart"] == of(silent=("Salt", "honey"))
    assert found.items["tart"].unsaid == ("honey", "Salt")


def test_an_item_without_ingredients_is_silent_itself() -> None:
    jelly = {"makes": "1 kg", "steps": [step("boil")]}
    found = declared(step("fill"), components={"jelly": jelly}, uses={"jelly": "1 g"})
    assert found.items["jelly"] == found.items["tart"] == of(silent=("jelly",))


def test_a_scenario_that_says_nothing_declares_nothing() -> None:
    assert not declares(from_plain(raw(step("mix", ingredients={"cream": "1 g"}))))
    assert declares(from_plain(kitchen(step("mix"))))


def two_creams(washes: str = "", silent: bool = False) -> dict[str, Any]:
    """A mixer that whips a nut cream and a plain one; the plain one may have salt in it."""
    plain = {"cream": "1 kg", **({"salt": "1 g"} if silent else {})}
    components = {
        "nut cream": {
            "makes": "1 kg",
            "ingredients": {"hazelnut paste": "200 g", "cream": "800 g"},
            "steps": [step("whip nut", equipment="planetary mixer")],
        },
        "plain cream": {
            "makes": "1 kg",
            "ingredients": plain,
            "steps": [step("whip plain", equipment="planetary mixer")],
        },
    }
    equipment = [{**MIXER[0], **({"wash": washes} if washes else {})}]
    uses = {"nut cream": "1 kg", "plain cream": "1 kg"}
    return kitchen(step("fill"), equipment=equipment, components=components, uses=uses)


def test_a_mixer_that_goes_on_from_nuts_to_what_is_declared_without_is_told() -> None:
    plan = plan_by_hand(two_creams(), Aa1=0, Ba1=10, Ca1=20)
    [found] = handovers(plan)
    assert (found.station, found.allergens) == ("planetary mixer", ("tree nuts (hazelnut)",))
    assert (found.before.label, found.until, found.after.label, found.start) == ("Aa1", 370, "Ba1", 370)
    assert (found.washed, found.silent) == (None, ())


def test_a_wash_in_between_is_told() -> None:
    plan = plan_by_hand(two_creams("5 min"), Aa1=0, Ba1=20, Ca1=30)
    [found] = handovers(plan)
    assert found.washed == (370, 375)


def test_what_is_silent_in_the_later_batch_is_told() -> None:
    plan = plan_by_hand(two_creams(silent=True), Aa1=0, Ba1=10, Ca1=20)
    assert handovers(plan)[0].silent == ("salt",)


def test_nothing_is_told_where_the_plain_one_comes_first() -> None:
    assert handovers(plan_by_hand(two_creams(), Ba1=0, Aa1=10, Ca1=20)) == ()
