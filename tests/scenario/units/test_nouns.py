from __future__ import annotations

from fractions import Fraction

import pytest

from stationplan.scenario.units import plural, singular

NOUNS = {
    "tray": "trays",
    "box": "boxes",
    "glass": "glasses",
    "dish": "dishes",
    "batch": "batches",
    "peach": "peaches",
    "berry": "berries",
    "pastry": "pastries",
    "pie": "pies",
    "cookie": "cookies",
    "brownie": "brownies",
    "loaf": "loaves",
    "half": "halves",
    "knife": "knives",
    "mousse": "mousses",
    "quiche": "quiches",
    "brioche": "brioches",
    "ganache": "ganaches",
    "gâteau": "gâteaux",
    "slice": "slices",
    "mould": "moulds",
    "disc": "discs",
    "potato": "potatoes",
    "person": "people",
    "half tray": "half trays",
    "place": "places",
    "case": "cases",
    "éclair": "éclairs",
}


@pytest.mark.parametrize(("one", "many"), NOUNS.items())
def test_a_noun_goes_to_its_plural_and_back(one: str, many: str) -> None:
    assert singular(many) == one
    assert singular(one) == one
    assert plural(one, 2) == many


def test_up_to_one_takes_the_singular() -> None:
    assert [plural("tray", amount) for amount in (0, Fraction(1, 2), 1, Fraction(3, 2), 2)] == [
        "trays",
        "tray",
        "tray",
        "trays",
        "trays",
    ]


def test_capitals_do_not_matter() -> None:
    assert singular("Trays") == "tray"
