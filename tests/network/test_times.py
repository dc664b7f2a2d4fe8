"""Minutes of a batch, and the parts of it that need hands."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest

from stationplan.network.errors import QuantityError
from stationplan.network.times import BatchTime, Part, batch_time
from stationplan.scenario.models import Component, EquipmentNeed, Step

from .small import step

if TYPE_CHECKING:
    from stationplan.network.times import Durations

ITEM = Component.model_validate({"makes": "1 tray", "pieces": "24 discs per tray", "steps": [step("bake")]})


def time_of(
    size: int = 3, need: str | dict[str, Any] | None = None, durations: Durations = "longest", **more: Any
) -> BatchTime:
    parsed = Step.model_validate({"name": "bake", **more})
    chosen = None if need is None else EquipmentNeed.model_validate(need)
    return batch_time(parsed, chosen, size, ITEM, "sponge", ("components", "sponge", "steps", 0), durations)


@pytest.mark.parametrize(
    ("takes", "minutes"),
    [
        ("8 min", 8),
        ("6 min + 2 min per tray", 12),
        ("2 min per tray", 6),
        # 3 trays are 72 discs: 7.2 times 10 discs, 7.2 minutes.
        ("1 min per 10 discs", 8),
        ("90 s", 2),
    ],
)
def test_a_fixed_part_and_a_part_for_each_unit_are_added_and_rounded_up_once(takes: str, minutes: int) -> None:
    assert time_of(takes=takes).minutes == minutes


@pytest.mark.parametrize(("durations", "minutes"), [("longest", 13), ("typical", 12), ("shortest", 11)])
def test_a_range_gives_its_end_or_its_middle(durations: Durations, minutes: int) -> None:
    assert time_of(takes="11..13 min", durations=durations).minutes == minutes


def test_loading_and_unloading_are_rounded_up_on_their_own() -> None:
    # ceil(1.5) + ceil(12.5) + ceil(0.5)
    assert time_of(takes="12 min + 10 s per tray", load="90 s", unload="30 s").minutes == 2 + 13 + 1


def test_other_equipment_may_take_another_time() -> None:
    assert time_of(takes="20 min", need={"use": "fan oven at 165 C", "takes": "15 min"}).minutes == 15
    assert time_of(takes="20 min", need="fan oven at 165 C").minutes == 20


def test_time_for_a_unit_that_the_item_has_not_is_an_error() -> None:
    with pytest.raises(QuantityError, match="not in ml"):
        time_of(takes="2 min per l")


def parts(**more: Any) -> list[tuple[str, int, int]]:
    return [(part.doing, part.offset, part.length) for part in time_of(takes="20 min", **more).parts]


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, [("hands-on", 0, 20)]),
        ({"equipment": "mixer"}, []),
        ({"equipment": "mixer", "people": "1"}, [("hands-on", 0, 20)]),
        ({"equipment": "mixer", "hands_on": "all"}, [("hands-on", 0, 20)]),
        ({"hands_on": "none"}, []),
        ({"hands_on": "none", "people": "1 pastry"}, []),
        ({"hands_on": "first 2 min"}, [("hands-on", 0, 2)]),
        ({"hands_on": "last 150 s"}, [("hands-on", 17, 3)]),
        ({"hands_on": "first 2 min and last 3 min"}, [("hands-on", 0, 2), ("hands-on", 17, 3)]),
        ({"hands_on": "first 12 min and last 9 min"}, [("hands-on", 0, 20)]),
        ({"load": "2 min", "unload": "1 min"}, [("load", 0, 2), ("unload", 22, 1)]),
        ({"load": "2 min", "hands_on": "last 5 min"}, [("load", 0, 2), ("hands-on", 17, 5)]),
        ({"load": "2 min", "people": "1", "unload": "3 min"}, [("load", 0, 2), ("hands-on", 2, 20), ("unload", 22, 3)]),
    ],
)
def test_hands_are_needed_when_the_step_says_so(more: dict[str, Any], expected: list[tuple[str, int, int]]) -> None:
    assert parts(**more) == expected


def test_parts_are_equal_when_their_figures_are() -> None:
    assert time_of(takes="20 min").parts == (Part("hands-on", 0, 20),)


def test_on_slow_equipment_the_step_takes_longer_and_loading_does_not() -> None:
    parsed = Step.model_validate({"name": "bake", "takes": "11..12 min", "load": "2 min", "unload": "1 min"})
    path = ("components", "sponge", "steps", 0)
    slow = batch_time(parsed, None, Fraction(1), ITEM, "sponge", path, "longest", Fraction(1, 5))
    # 12 minutes and a fifth of them are 14.4.
    assert slow == BatchTime(2 + 15 + 1, (Part("load", 0, 2), Part("unload", 17, 1)))
