"""Which of several like people or bowls does what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planned import by_hand, raw, step

from stationplan.plan.naming import name_units

if TYPE_CHECKING:
    from stationplan.plan.timeline import Timeline


def hands(timeline: Timeline) -> dict[str, tuple[str, ...]]:
    """Everybody who works on a batch, part by part."""
    found: dict[str, tuple[str, ...]] = {}
    for (task, _), names in sorted(name_units(timeline).items()):
        label = timeline.network.tasks[task].label
        found[label] = found.get(label, ()) + names
    return found


def skilled(*steps: dict[str, Any], quantity: int = 1) -> dict[str, Any]:
    return raw(*steps, quantity=quantity, people=[{"name": "Ines"}, {"name": "Odo"}, {"name": "Ada"}])


def test_whoever_did_the_step_before_goes_on() -> None:
    steps = step("roll", batch="1 tray"), step("cut", batch="1 tray")
    timeline = by_hand(skilled(*steps, quantity=2), Aa1=0, Aa2=0, Ab1=20, Ab2=20)
    assert hands(timeline) == {"Aa1": ("Ines",), "Aa2": ("Odo",), "Ab1": ("Ines",), "Ab2": ("Odo",)}


def test_else_the_one_with_the_least_to_do() -> None:
    mix = [step("mix", "5 min"), step("roll", "20 min", after="none"), step("cut", after="none"),
           step("pack", "0 min", after=["mix", "roll", "cut"])]  # fmt: skip
    timeline = by_hand(skilled(*mix), Aa1=0, Ab1=0, Ac1=30, Ad1=40)
    assert hands(timeline) == {"Aa1": ("Ines",), "Ab1": ("Odo",), "Ac1": ("Ada",)}


def test_nobody_does_two_things_at_once() -> None:
    timeline = by_hand(skilled(step("roll", batch="1 tray"), quantity=6), Aa1=0, Aa2=0, Aa3=0, Aa4=10, Aa5=10, Aa6=10)
    found = hands(timeline)
    assert sorted(found[f"Aa{number}"][0] for number in (1, 2, 3)) == ["Ada", "Ines", "Odo"]
    assert sorted(found[f"Aa{number}"][0] for number in (4, 5, 6)) == ["Ada", "Ines", "Odo"]


def test_a_part_that_needs_two_gets_two() -> None:
    timeline = by_hand(skilled(step("lift", people="2")), Aa1=0)
    assert hands(timeline) == {"Aa1": ("Ines", "Odo")}


def test_loading_and_unloading_may_be_done_by_the_same_person() -> None:
    bake = step("bake", "20 min", equipment="oven at 180 C", load="2 min", unload="1 min")
    assert hands(by_hand(skilled(bake), Aa1=16)) == {"Aa1": ("Ines", "Ines")}


def test_bowls_that_need_no_washing_are_named_too() -> None:
    whip = step("whip", equipment="mixer", fills="1 l per tray", batch="1 tray")
    timeline = by_hand(raw(whip, quantity=3), Aa1=0, Aa2=5, Aa3=10)
    assert hands(timeline) == {"Aa1": ("mixer 1",), "Aa2": ("mixer 2",), "Aa3": ("mixer 1",)}


def test_a_single_person_is_named() -> None:
    timeline = by_hand(raw(step("fold"), people=[{"name": "Ines"}]), Aa1=0)
    assert hands(timeline) == {"Aa1": ("Ines",)}
