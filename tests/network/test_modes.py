"""Batches as tasks with modes: which resources, how much, and what each use means."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.engine.problem import Chamber, Use
from stationplan.network import BatchError, Network
from stationplan.network.network import HandUse, SeatUse
from stationplan.scenario.units import parse_setting

from .small import index_of, network, step

KITCHEN: list[dict[str, Any]] = [
    {"name": "deck oven", "kind": "oven", "count": 2, "holds": "4 trays"},
    {"name": "fan oven", "kind": "oven", "holds": "6 trays", "settings": ["fan"]},
    {"name": "mixer", "kind": "mixer", "count": 2, "holds": "20 l"},
    {"name": "hand mixer", "kind": "mixer"},
    {"name": "ring", "kind": "hob", "count": 3},
    {"name": "long bench", "kind": "bench", "count": 2},
    {"name": "marble", "kind": "bench"},
]


def made(*steps: dict[str, Any], quantity: int = 3, **more: Any) -> Network:
    return network(product={"makes": "1 tray", "steps": list(steps)}, quantity=quantity, equipment=KITCHEN, **more)


def names(found: Network, use: Use) -> list[str]:
    return [found.problem.resources[index].name for index in use.resources]


def test_all_chambers_with_the_same_time_and_setting_are_one_mode() -> None:
    found = made(step("bake", "12 min", equipment="oven at 180 C"))
    (mode,) = found.problem.tasks[0].modes
    assert (mode.duration, [(use.amount, use.state) for use in mode.uses]) == (12, [(3, "180 C")])
    assert names(found, mode.uses[0]) == ["deck oven 1", "deck oven 2", "fan oven"]


def test_another_time_or_setting_is_another_mode() -> None:
    fan = {"use": "fan oven at 165 C fan", "takes": "9..10 min"}
    found = made(step("bake", "12 min", equipment=["deck oven at 180 C", fan]))
    first, second = found.problem.tasks[0].modes
    assert (first.duration, names(found, first.uses[0]), first.uses[0].state) == (
        12,
        ["deck oven 1", "deck oven 2"],
        "180 C",
    )
    assert (second.duration, names(found, second.uses[0]), second.uses[0].state) == (10, ["fan oven"], "165 C fan")
    task = found.tasks[0]
    assert task.modes[1] == (SeatUse(3, parse_setting("165 C fan")),)  # type: ignore[union-attr]


def test_equipment_that_cannot_hold_the_batch_is_no_mode() -> None:
    found = made(step("bake", equipment="oven at 180 C"), quantity=5)
    (mode,) = found.problem.tasks[0].modes
    assert names(found, mode.uses[0]) == ["fan oven"]


def test_an_alternative_named_twice_is_one() -> None:
    found = made(step("bake", equipment="fan oven at 180 C or oven at 180 C"))
    (mode,) = found.problem.tasks[0].modes
    assert names(found, mode.uses[0]) == ["fan oven", "deck oven 1", "deck oven 2"]


def test_a_bowl_is_one_batch_whatever_it_fills() -> None:
    found = made(step("whip", equipment="mixer", fills="1.5 l per tray"))
    (mode,) = found.problem.tasks[0].modes
    assert mode.uses == (Use((3,), 1),)
    assert found.tasks[0].modes == ((SeatUse(4500, holding="tart"),),)  # type: ignore[union-attr]


def test_bowls_that_are_washed_have_what_is_in_them_as_their_state() -> None:
    washed = [{**entry, "wash": "5 min"} if entry["name"] == "mixer" else entry for entry in KITCHEN]
    whip = step("whip", equipment="mixer", fills="1 l per tray", holding="egg white")
    found = network(
        product={"makes": "1 tray", "steps": [whip, step("mix", equipment="mixer", fills="1 l per tray")]},
        equipment=washed,
    )
    assert [task.modes[0].uses[0].state for task in found.problem.tasks] == ["egg white", "tart"]
    assert names(found, found.problem.tasks[0].modes[0].uses[0]) == ["mixer 1", "mixer 2"]
    bowl = found.problem.resources[3]
    assert isinstance(bowl, Chamber)
    assert bowl.changeovers == {("egg white", "tart"): 5, ("tart", "egg white"): 5}


def test_washed_and_unwashed_bowls_are_different_modes() -> None:
    washed = [{**entry, "wash": "5 min"} if entry["name"] == "mixer" else entry for entry in KITCHEN]
    whip = step("whip", equipment="mixer or hand mixer", fills="1 l per tray")
    steps = [whip, step("mix", equipment="mixer", holding="dough", fills="1 l per tray")]
    found = network(product={"makes": "1 tray", "steps": steps}, equipment=washed)
    assert [names(found, mode.uses[0]) for mode in found.problem.tasks[0].modes] == [
        ["mixer 1", "mixer 2"],
        ["hand mixer"],
    ]


def test_a_ring_is_one_place_for_a_batch_and_a_bench_is_needed_besides() -> None:
    found = made(step("boil", equipment="ring", also={"bench": "1 place"}))
    (mode,) = found.problem.tasks[0].modes
    assert [(names(found, use), use.amount) for use in mode.uses] == [(["ring"], 1), (["long bench", "marble"], 1)]


def test_hands_are_uses_of_a_part_of_the_batch() -> None:
    found = made(step("bake", "12 min", equipment="fan oven at 180 C", load="2 min", unload="1 min", people="1 pastry"))
    uses = found.problem.tasks[0].modes[0].uses
    assert [(names(found, use), use.amount, use.offset, use.length) for use in uses[1:]] == [
        (["Ines"], 1, 0, 2),
        (["Ines"], 1, 2, 12),
        (["Ines"], 1, 14, 1),
    ]
    assert found.tasks[0].modes[0][1:] == (  # type: ignore[union-attr]
        HandUse("load", 1, "pastry"),
        HandUse("hands-on", 1, "pastry"),
        HandUse("unload", 1, "pastry"),
    )


def test_anybody_will_do_unless_a_skill_is_named() -> None:
    found = made(step("fold", people="2"))
    assert [names(found, use) for use in found.problem.tasks[0].modes[0].uses] == [["Ines", "Odo"], ["Ines", "Odo"]]
    found = made(step("fold", people="1 pastry and 1"))
    assert [names(found, use) for use in found.problem.tasks[0].modes[0].uses] == [["Ines"], ["Ines", "Odo"]]


def test_shorter_durations_change_the_time_but_not_the_batches() -> None:
    steps = [step("bake", "10..14 min", equipment="fan oven at 180 C")]
    longest = made(*steps, quantity=13)
    shortest = network("shortest", product={"makes": "1 tray", "steps": steps}, quantity=13, equipment=KITCHEN)
    assert [task.modes[0].duration for task in longest.problem.tasks] == [14] * 3
    assert [task.modes[0].duration for task in shortest.problem.tasks] == [10] * 3


def test_a_batch_cannot_take_no_time_in_an_oven() -> None:
    with pytest.raises(BatchError, match="'bake' takes no time"):
        made(step("bake", "0 min", equipment="fan oven at 180 C"))


def test_larger_and_smaller_batches_take_their_own_time() -> None:
    found = made(step("roll", "1 min + 2 min per tray", batch="4 trays"), quantity=7)
    assert [found.problem.tasks[index_of(found, label)].modes[0].duration for label in ("Aa1", "Aa2")] == [9, 7]
