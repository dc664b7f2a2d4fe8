"""A plan in lines."""

from __future__ import annotations

import pytest

from stationplan.plan.document import Hand
from stationplan.render.lettering import columns
from stationplan.render.lines import lines_of, listing

from .invented_plans import make


def test_every_batch_wait_change_and_order_has_a_line_in_the_order_of_time() -> None:
    plan = make()
    lines = lines_of(plan)
    assert len(lines) == len(plan.batches) + len(plan.stays) + len(plan.changes) + len(plan.orders)
    assert [line.start for line in lines] == sorted(line.start for line in lines)
    texts = [line.text for line in lines]
    for batch in plan.batches:
        assert sum(text.startswith(f"{batch.label} {batch.step} ") for text in texts) == 1


@pytest.mark.parametrize("by", ["time", "person", "station"])
@pytest.mark.parametrize("unicode", [True, False])
def test_a_list_keeps_to_the_width_and_to_ascii(by: str, unicode: bool) -> None:
    text = listing(make(), by=by, width=60, unicode=unicode)  # type: ignore[arg-type]
    assert all(columns(line) <= 60 for line in text.splitlines())
    assert unicode or text.isascii()


def test_the_list_of_a_person_has_all_that_she_does_and_nothing_else() -> None:
    plan = make()
    parts = listing(plan, by="person", width=400).split("\n\n")
    for person in plan.people:
        found = [line for part in parts if part.startswith(f"{person}:\n") for line in part.splitlines()[1:]]
        own = [batch.label for batch in plan.batches if any(hand.person == person for hand in batch.hands)]
        assert sorted(line.split(" ")[0] for line in found) == sorted(own)


def test_a_person_who_only_takes_out_finds_it_at_its_time() -> None:
    plan = make()
    first, second = plan.batches[:2]
    out = Hand(person="Ines", start=700, end=701, doing="unload")
    work = Hand(person="Ines", start=400, end=410, doing="hands-on")
    long = first.model_copy(update={"start": 300, "end": 701, "hands": (out,)})
    short = second.model_copy(update={"start": 400, "end": 410, "hands": (work,)})
    text = listing(plan.model_copy(update={"batches": (long, short), "people": ("Ines",)}), by="person", width=400)
    assert text.index(f"{short.label} {short.step} ") < text.index(f"{long.label} {long.step} ")


def test_the_list_of_a_station_has_its_batches_waits_and_changes() -> None:
    plan = make()
    parts = listing(plan, by="station", width=400).split("\n\n")
    for station in plan.stations:
        seats = sum(seat.station == station.name for batch in plan.batches for seat in batch.seats)
        others = sum(part.station == station.name for part in (*plan.stays, *plan.changes))
        found = [part for part in parts if part.startswith(f"{station.name}:\n")]
        assert sum(len(part.splitlines()) - 1 for part in found) == seats + others


def test_what_needs_nobody_and_no_station_is_listed_too() -> None:
    plan = make()
    alone = plan.batches[0].model_copy(update={"seats": (), "hands": ()})
    found = plan.model_copy(update={"batches": (alone,), "stays": (), "changes": (), "orders": ()})
    for by, title in (("person", "without anybody:"), ("station", "on no station:")):
        text = listing(found, by=by, width=400)  # type: ignore[arg-type]
        assert f"\n{title}\n{alone.label} {alone.step} " in text
        assert "nobody works" in text


def test_a_span_lists_what_happens_in_it() -> None:
    plan = make()
    text = listing(plan, by="time", width=400, span=(420, 480))
    for batch in plan.batches:
        assert (f"\n{batch.label} {batch.step} " in text) == (batch.start < 480 and batch.end > 420)
