"""Events, and when there is an alarm."""

from __future__ import annotations

from fractions import Fraction

import pytest

from stationplan.plan.document import Batch, Change, Delivered, Hand, Plan, Seat, Station
from stationplan.plan.ingredients import BatchContents
from stationplan.plan.passing import Passing
from stationplan.render.files.events import NOTICE, TIGHT, Alarm, Event, events_of_kitchen, events_of_person
from stationplan.render.sheets.source import Source
from stationplan.scenario.units import Quantity


def source_of(
    *hands: Hand,
    changes: tuple[Change, ...] = (),
    orders: tuple[Delivered, ...] = (),
    into: tuple[Passing, ...] = (),
) -> Source:
    """One batch of buns, baked from 06:00 to 06:30."""
    batch = Batch(
        label="Aa1", item="bun", step="bake", number=1, of=1, first="0", last="2", unit="tray", start=360, end=390,
        seats=(Seat(station="oven", start=360, end=390, amount=2, celsius=182.5, setting="fan"),), hands=hands,
    )  # fmt: skip
    plan = Plan(
        name="Saturday", opens=300, closes=600, status="proved",
        stations=(Station(name="oven", equipment="oven", kind="oven", capacity=2, unit="tray"),),
        people=("Ida", "Odo"), amounts=(), batches=(batch,), stays=(), changes=changes, orders=orders, tiers=(),
        reasons=(), chain=(), legend=(), scenario={"kitchen": {"people": [{"name": "Ida", "breaks": "05:30-05:40"}]}},
    )  # fmt: skip
    contents = {"Aa1": BatchContents("Aa1", "bun", "bake", Quantity(Fraction(2), "tray"), Fraction(2))}
    return Source(plan, {"Aa1": batch}, contents, {"Aa1": into}, {}, frozenset(), {}, outcomes={})


def hand(person: str, start: int, end: int, doing: str = "hands-on") -> Hand:
    return Hand(person=person, start=start, end=end, doing=doing)  # type: ignore[arg-type]


LOAD, UNLOAD = hand("Ida", 360, 361, "load"), hand("Odo", 389, 390, "unload")


def alarms(events: tuple[Event, ...]) -> list[Alarm]:
    return [alarm for event in events for alarm in event.alarms]


def test_whoever_takes_out_is_called_and_whoever_puts_in_is_not() -> None:
    source = source_of(LOAD, UNLOAD)
    assert alarms(events_of_person(source, "Ida")) == []
    assert alarms(events_of_person(source, "Odo")) == [Alarm(389, "take out Aa1 bake")]
    assert alarms(events_of_kitchen(source)) == [Alarm(389, "Odo: take out Aa1 bake")]


def test_whoever_was_last_at_a_batch_is_told_of_its_end() -> None:
    source = source_of(LOAD, hand("Odo", 362, 364))
    assert alarms(events_of_person(source, "Ida")) == []
    assert alarms(events_of_person(source, "Odo")) == [Alarm(362, "Aa1 bake"), Alarm(390, "Aa1 bake ends")]


def test_the_end_of_a_batch_that_nobody_works_at_is_told_in_the_kitchen() -> None:
    assert alarms(events_of_kitchen(source_of())) == [Alarm(390, "Aa1 bake ends")]
    assert [event.summary for event in events_of_person(source_of(), "Ida")] == ["break"]


@pytest.mark.parametrize(
    ("spare", "minute"), [(TIGHT + 1, None), (TIGHT, 360), (NOTICE, 360), (NOTICE - 1, 359), (0, 360 - NOTICE)]
)
def test_what_cannot_wait_is_told_when_it_is_to_begin_or_some_minutes_before_it_is_too_late(
    spare: int, minute: int | None
) -> None:
    dough = Passing("dough", Fraction(2), "kg", "Da1", "Aa1", (), 360 + spare)
    jam = Passing("jam", Fraction(1), "kg", "Ja1", "Aa1", (), 2000)
    water = Passing("water", Fraction(1), "kg", "Wa1", "Aa1", (), None)
    limit = f"begin by 06:{spare:02d} at the latest: dough from Da1 must not wait longer"
    expected = [] if minute is None else [Alarm(minute, f"Aa1 bake: {limit}")]
    source = source_of(LOAD, UNLOAD, into=(water, jam, dough))
    assert alarms(events_of_person(source, "Ida")) == expected
    assert alarms(events_of_person(source, "Odo")) == [Alarm(389, "take out Aa1 bake")]
    [batch] = events_of_kitchen(source)
    assert [alarm for alarm in batch.alarms if "begin" in alarm.text] == expected
    assert [line for line in batch.details if line.startswith("begin")] == [
        limit,
        "begin by day 2 09:20 at the latest: jam from Ja1 must not wait longer",
    ]


def test_getting_a_station_ready_is_told_when_it_begins() -> None:
    change = Change(station="oven", start=340, end=360, kind="heat", before="20 C", after="182.5 C fan")
    [first, _] = events_of_kitchen(source_of(LOAD, UNLOAD, changes=(change,)))
    assert (first.start, first.end, first.place) == (340, 360, "oven")
    assert first.alarms == (Alarm(340, "oven heats up from 20 C to 182.5 C fan"),)


def test_an_order_is_told_when_it_is_ready_with_its_due_time() -> None:
    order = Delivered(product="bun", quantity=24, due=380, weight=1, ready=390, late=10, batches=("Aa1",))
    event = events_of_kitchen(source_of(orders=(order,)))[-1]
    assert (event.summary, event.start, event.end) == ("24 bun ready, due 06:20, 10 min late", 390, 390)


def test_a_break_is_an_event_of_its_person() -> None:
    [event] = events_of_person(source_of(), "Ida")
    assert (event.start, event.end, event.summary) == (330, 340, "break")
    assert events_of_person(source_of(), "Odo") == ()


def test_a_place_and_its_temperature_are_told() -> None:
    [event] = events_of_kitchen(source_of(LOAD, UNLOAD))
    assert event.details == (
        "on oven at 182.5 C fan, takes 2 trays",
        "Ida loads 06:00-06:01",
        "Odo unloads 06:29-06:30",
    )
