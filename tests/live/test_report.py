"""What became of a plan: the first shift, worked through with what goes wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stationplan.live.events import Away, Back, Event, Failed, Finished, In, OrderChanged, Out, Started
from stationplan.live.report import Report, ShiftReport, report_of
from stationplan.live.report_delays import Account
from stationplan.live.report_jobs import jobs_of, ran_of
from stationplan.plan.document import Batch, Plan
from stationplan.plan.passing import passings_of
from stationplan.render.shift_report import report_page
from stationplan.scenario.units import ClockSpan

from .working import log_of, worked


def reported(plan: Plan, **how: object) -> ShiftReport:
    return report_of([worked(plan, **how)]).shifts[0]  # type: ignore[arg-type]


def batch(plan: Plan, label: str) -> Batch:
    return next(batch for batch in plan.batches if batch.label == label)


def first_of_chain(plan: Plan) -> Batch:
    """What the finish hangs on first: the plan leaves no room after it."""
    return batch(plan, plan.chain[0].label)


def accounts(shift: ShiftReport) -> list[Account]:
    found = [shift.finish, *(order.account for order in shift.orders)]
    return [account for account in found if account is not None]


def test_a_shift_as_planned_differs_in_nothing(plan: Plan) -> None:
    shift = reported(plan)
    assert (shift.batches, shift.not_ended, shift.lost) == (25, (), ())
    assert [account.causes for account in accounts(shift)] == [(), ()]
    assert all(row.planned == row.taken for row in (*shift.steps, *shift.stations))
    assert sum(row.taken for row in shift.steps) == sum(batch.end - batch.start for batch in plan.batches)
    assert shift.orders[0].ready == plan.orders[0].ready


def test_what_the_finish_hangs_on_makes_it_late(plan: Plan) -> None:
    first = first_of_chain(plan)
    shift = reported(plan, longer={first.label: 7})
    assert shift.finish is not None
    assert shift.finish.slip > 0
    assert ("steps", 7, first.label) in [(c.kind, c.minutes, c.label) for c in shift.finish.causes]
    assert sum(cause.minutes for cause in shift.finish.causes) == shift.finish.slip
    row = next(row for row in shift.steps if (row.item, row.step) == (first.item, first.step))
    assert row.taken - row.planned == 7


def test_minutes_on_a_station_are_those_of_its_batches(plan: Plan) -> None:
    baked = [batch for batch in plan.batches if batch.step == "bake shells"]
    shift = reported(plan, longer={baked[0].label: 12})
    oven = next(row for row in shift.stations if row.name == "deck oven")
    # Two bakes of 18 minutes with a minute of loading and unloading each.
    assert (oven.planned_batches, oven.batches, oven.planned, oven.taken) == (2, 2, 40, 52)


def test_an_oven_out_of_use_is_owed_what_it_kept(plan: Plan) -> None:
    baked = min((batch for batch in plan.batches if batch.step == "bake shells"), key=lambda batch: batch.start)
    back = baked.start + 25
    out = Out(at=baked.start - 5, who="Ida", equipment="deck oven", until=back)
    shift = reported(plan, also=[out, Back(at=back, who="Ida", equipment="deck oven")])
    assert shift.finish is not None
    owed = [cause for cause in shift.finish.causes if cause.kind == "equipment"]
    assert [(cause.minutes, cause.label) for cause in owed] == [(25, baked.label)]
    assert owed[0].what.startswith("deck oven, out of use until 0")


def test_somebody_away_without_a_word_keeps_what_needs_them(plan: Plan) -> None:
    # Only Tamsin has the skill to line rings; while nobody knows when she comes back, it cannot be begun.
    first = next(batch for batch in plan.batches if batch.step == "line rings")
    away = Away(at=first.start, who="Odo", person="Tamsin"), In(at=first.start + 20, who="Odo", person="Tamsin")
    shift = reported(plan, also=away)
    assert shift.finish is not None
    owed = [cause for cause in shift.finish.causes if cause.kind == "people"]
    assert ("people", 20, first.label) in [(c.kind, c.minutes, c.label) for c in owed]


def test_what_has_no_end_is_not_reckoned_with(plan: Plan) -> None:
    shift = reported(plan, until=plan.opens + 90)
    assert shift.finish is None
    assert shift.orders[0].ready is None
    assert shift.orders[0].account is None
    ended = sum(row.ended for row in shift.steps)
    assert 0 < ended == 25 - len(shift.not_ended)
    assert all(row.planned == row.taken for row in shift.steps)


def test_a_lost_batch_counts_apart_and_leaves_its_order_open(plan: Plan) -> None:
    last = plan.orders[0].batches[-1]
    ended = worked(plan)
    shift = report_of([log_of(plan, [*(e.event for e in ended.events), Failed(at=900, who="Ida", label=last)])]).shifts[
        0
    ]
    assert shift.lost == (last,)
    row = next(row for row in shift.steps if row.step == batch(plan, last).step)
    assert (row.batches, row.ended, row.lost) == (4, 3, 1)
    assert shift.orders[0].ready is None
    assert shift.finish is not None


def test_a_failed_batch_counts_alike_for_its_step_and_its_station(plan: Plan) -> None:
    """By hand: 20 minutes planned for each bake; the first takes 28, the second is given up after 5."""
    one, other = sorted(b.label for b in plan.batches if b.step == "bake shells")
    events: list[Event] = [
        Started(at=450, who="Ida", label=one),
        Finished(at=478, who="Ida", label=one),
        Started(at=480, who="Ida", label=other),
        Failed(at=485, who="Ida", label=other),
    ]
    shift = report_of([log_of(plan, events)]).shifts[0]
    step = next(row for row in shift.steps if row.step == "bake shells")
    assert (step.batches, step.ended, step.lost, step.planned, step.taken) == (2, 1, 1, 20, 28)
    [oven] = shift.stations
    assert (oven.name, oven.planned_batches, oven.batches, oven.lost) == ("deck oven", 1, 1, 1)
    assert (oven.planned, oven.taken) == (20, 28)
    rows = [line.split() for line in report_page(Report((shift,), ()), width=80).splitlines()]
    assert ["-", "bake", "shells", "1", "of", "2", "1", "20", "28", "+8"] in rows
    assert ["deck", "oven", "1", "1", "20", "28", "+8"] in rows
    assert ["-", "mix", "paste", "0", "of", "1", "-", "-", "-"] in rows
    assert ["-:", "no", "batch", "of", "it", "has", "ended", "well"] in rows


def test_a_station_on_which_all_failed_has_no_minutes(plan: Plan) -> None:
    first = plan.batches[0].label
    events = [Started(at=361, who="Ida", label=first), Failed(at=363, who="Ida", label=first)]
    shift = report_of([log_of(plan, events)]).shifts[0]
    assert [(row.name, row.batches, row.lost, row.taken) for row in shift.stations] == [("mixer", 0, 1, 0)]
    rows = [line.split() for line in report_page(Report((shift,), ()), width=80).splitlines()]
    assert ["mixer", "0", "1", "-", "-", "-"] in rows


def test_where_it_was_done_counts_and_not_where_it_was_planned(plan: Plan) -> None:
    cooked = next(batch for batch in plan.batches if batch.step == "cook lemon cream")
    events: list[Event] = []
    for entry in worked(plan).events:
        event = entry.event
        if isinstance(event, Started) and event.label == cooked.label:
            event = event.model_copy(update={"stations": ("rack",)})
        events.append(event)
    rows = {row.name: row for row in report_of([log_of(plan, events)]).shifts[0].stations}
    assert (rows["ring"].planned_batches, rows["ring"].batches, rows["rack"].batches) == (1, 0, 1)


@settings(max_examples=10, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_every_minute_of_a_slip_is_accounted_for(plan: Plan, data: st.DataObject) -> None:
    labels = [batch.label for batch in plan.batches]
    longer: Mapping[str, int] = data.draw(st.dictionaries(st.sampled_from(labels), st.integers(-2, 25), max_size=5))
    also: list[Event] = []
    if data.draw(st.booleans()):
        start = data.draw(st.integers(plan.opens, plan.finish))
        away = Away(at=start, who="Ida", person=data.draw(st.sampled_from(plan.people)))
        also += [away, In(at=start + data.draw(st.integers(1, 40)), who="Ida", person=away.person)]
    if data.draw(st.booleans()):
        start = data.draw(st.integers(plan.opens, plan.finish))
        until = start + data.draw(st.integers(1, 60))
        oven = data.draw(st.sampled_from(["deck oven", "mixer"]))
        also += [Out(at=start, who="Ida", equipment=oven, until=until), Back(at=until, who="Ida", equipment=oven)]
    shift = reported(plan, longer=longer, also=also)
    for account in accounts(shift):
        assert sum(cause.minutes for cause in account.causes) == account.slip
        assert account.chain


def test_a_shift_in_which_nothing_happened_has_no_finish(plan: Plan) -> None:
    shift = report_of([log_of(plan, [])]).shifts[0]
    assert len(shift.not_ended) == 25
    assert (shift.finish, shift.stations) == (None, ())


@pytest.mark.parametrize("minutes", [0, 3])
def test_an_event_out_of_its_place_breaks_nothing(plan: Plan, minutes: int) -> None:
    # Written down afterwards: everything begun and ended at once.
    events: list[Event] = []
    for one in plan.batches:
        events += [
            Started(at=plan.opens, who="Ida", label=one.label),
            Finished(at=plan.opens + minutes, who="Ida", label=one.label),
        ]
    for account in accounts(report_of([log_of(plan, events)]).shifts[0]):
        assert sum(cause.minutes for cause in account.causes) == account.slip < 0


def test_what_was_made_again_after_a_failure_is_told_apart(plan: Plan) -> None:
    # The last box of tartlets is dropped; a plan made anew packs it again, from its end on.
    last = max((one for one in plan.batches if one.label in plan.orders[0].batches), key=lambda one: one.end)
    minutes = last.end - last.start
    later = [hand.model_copy(update={"start": hand.start + minutes, "end": hand.end + minutes}) for hand in last.hands]
    again = last.model_copy(
        update={"label": "Dc9", "number": 9, "start": last.end, "end": last.end + minutes, "hands": tuple(later)}
    )
    order = plan.orders[0].model_copy(update={"batches": (*plan.orders[0].batches, again.label)})
    new = plan.model_copy(update={"batches": (*plan.batches, again), "orders": (order,)})
    events = [entry.event for entry in worked(plan).events]
    events += [
        Failed(at=last.end, who="Ida", label=last.label),
        Started(at=again.start, who="Ida", label=again.label),
        Finished(at=again.end, who="Ida", label=again.label),
    ]
    log = replace(log_of(plan, events), plan=new)
    shift = report_of([log]).shifts[0]
    assert (shift.batches, shift.lost) == (26, (last.label,))
    assert shift.finish is not None
    what = f"{last.label} failed, Dc9 was made for it"
    assert [(c.kind, c.minutes, c.what) for c in shift.finish.causes] == [("failed", minutes, what)]


def test_what_came_with_a_changed_order_is_told_apart(plan: Plan) -> None:
    again = max(plan.batches, key=lambda one: one.end)
    rest = tuple(one for one in plan.batches if one is not again)
    order = plan.orders[0].model_copy(update={"ready": max(one.end for one in rest)})
    first = plan.model_copy(update={"batches": rest, "orders": (order,)})
    more = OrderChanged(at=plan.opens, who="Ida", order=1, quantity=90)
    log = replace(log_of(plan, [more, *(entry.event for entry in worked(plan).events)]), first=first)
    finish = report_of([log]).shifts[0].finish
    assert finish is not None
    assert {cause.kind for cause in finish.causes if cause.minutes > 0} <= {"orders"}
    assert sum(cause.minutes for cause in finish.causes) == finish.slip > 0


def test_what_the_scenario_says_is_out_of_use_is_owed_as_well(plan: Plan) -> None:
    # As if the plan had been made for an oven that the scenario has out of use for ten minutes after the bake's time.
    baked = min((one for one in plan.batches if one.step == "bake shells"), key=lambda one: one.start)
    raw = plan.model_dump(mode="json")
    [oven] = [machine for machine in raw["scenario"]["kitchen"]["equipment"] if machine["name"] == "deck oven"]
    out = ClockSpan(baked.start - 1, baked.start + 10)
    oven["out_of_use"] = [{"between": str(out)}]
    events = [
        event.model_copy(update={"at": event.at + 10})
        if isinstance(event, (Started, Finished)) and event.label == baked.label
        else event
        for event in (entry.event for entry in worked(plan).events)
    ]
    told = log_of(Plan.model_validate(raw), events)
    ran = ran_of(told)
    job = jobs_of(told, ran, passings_of(plan))[baked.label]
    kept = [keeping for keeping in job.keeping if keeping.kind == "equipment"]
    assert [(keeping.until, job.start) for keeping in kept] == [(baked.start + 10, baked.start + 10)]


@pytest.mark.parametrize("failing", [1, 0])
def test_what_is_made_again_from_its_first_step_is_owed_to_the_failure_also_when_orders_change(
    plan: Plan, failing: int
) -> None:
    # A batch of the first step that the first plan did not have, after one of the last step of its recipe has failed.
    steps = [one for one in plan.batches if one.item == plan.batches[0].item]
    one, other = steps[0], steps[-1]
    assert one.step != other.step
    again = one.model_copy(update={"label": "Xx9", "start": other.end, "end": other.end + 5, "hands": (), "seats": ()})
    events: list[Event] = [entry.event for entry in worked(plan).events]
    events.append(OrderChanged(at=plan.opens, who="Ida", order=1, quantity=80))
    lost = (one, other)[failing]
    events += [Failed(at=lost.end, who="Ida", label=lost.label), Started(at=again.start, who="Ida", label="Xx9")]
    events.append(Finished(at=again.end, who="Ida", label="Xx9"))
    log = replace(log_of(plan, events), plan=plan.model_copy(update={"batches": (*plan.batches, again)}))
    added = jobs_of(log, ran_of(log), passings_of(plan))["Xx9"].added
    assert (added.kind, added.what) == ("failed", f"{lost.label} failed, Xx9 was made for it")
