"""What may look odd but has a meaning is accepted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from stationplan.scenario import load

from .valid_text import VALID

if TYPE_CHECKING:
    from pathlib import Path

    from stationplan.scenario.models import Scenario

WRITTEN = {
    "a bench called bench, the only one": ("long bench", "bench"),
    "an order due before the shift opens": ('due: "17:30"', 'due: "04:00"'),
    "an order due days later": ('due: "17:30"', "due: day 3 06:00"),
    "a break outside the hours": ('"09:00-09:30"', '"20:00-20:30"'),
    "a single break without a list": ('["09:00-09:30"]', '"09:00-09:30"'),
    "pieces per recipe": ("24 discs per tray", "48 discs"),
    "a trailing wait in a place": ("      - {name: cut discs, takes: 4 min per tray, people: 1 pastry}\n", ""),
    "an entry of the same round named in after": ("wait: drip,", "wait: drip, after: glaze,"),
    "an entry outside the repeat named in after": ("{name: box, takes", "{name: box, after: drip, takes"),
    "two components with steps of one name": ("name: fold, takes", "name: bake, takes"),
    "capitals in the name of equipment": ("in: trolley", "in: Trolley"),
    "an oven whose range nobody knows": (" range: 120..280 C,", ""),
    "an oven of one batch": ("kind: oven, holds: 6 trays,", "kind: oven,"),
    "a bowl that is not said to be filled": (
        "planetary mixer, fills: 2 l per kg}",
        "planetary mixer}",
    ),
    "first and last minutes longer than the step": ("first 2 min", "first 8 min and last 8 min"),
    "no skill for many people": ("1 pastry and 1 chocolate", "2 people"),
    "an order with its unit": ("quantity: 24}", "quantity: 24 pieces}"),
    "a time of day with seconds": ('due: "17:30"', 'due: "17:30:00"'),
}


@pytest.mark.parametrize(("old", "new"), WRITTEN.values(), ids=WRITTEN.keys())
def test_it_is_accepted(old: str, new: str, tmp_path: Path) -> None:
    assert old in VALID
    assert read(VALID.replace(old, new), tmp_path).name == "Lantern buns for the fair"


def test_a_shift_may_go_over_midnight(tmp_path: Path) -> None:
    shift = read(VALID.replace('opens: "05:00", closes: "17:30"', 'opens: "20:00", closes: "04:00"'), tmp_path).shift
    assert (shift.opens, shift.closes) == (1200, 1680)


def read(text: str, folder: Path) -> Scenario:
    folder.joinpath("scenario.yaml").write_text(text, encoding="utf-8")
    return load(folder).scenario
