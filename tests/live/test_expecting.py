"""What is to be expected: the order of the plan, as late as it must be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import pytest

from stationplan.live.moment import Moment, may_help, moment_of
from stationplan.live.record import Log
from stationplan.live.replanning import proposal
from stationplan.live.standing import as_it_stands
from stationplan.plan.document import Batch, Past, Plan
from stationplan.plan.produce import Effort
from stationplan.render.marks import Kind
from stationplan.render.rows import rows_of
from stationplan.render.shift import chart_page, status_page
from stationplan.scenario.units import format_clock

from .conftest import Tell
from .working import worked


@pytest.fixture
def look(log: Callable[[], Log]) -> Callable[[int], Moment]:
    return lambda now: moment_of(log(), now)


def batch(plan: Plan, label: str) -> Batch:
    return next(batch for batch in plan.batches if batch.label == label)


def as_planned(tell: Tell, plan: Plan, until: int) -> None:
    """Everything up to a minute has gone exactly as planned."""
    moments = [(b.start, 1, f"started {b.label}") for b in plan.batches]
    moments += [(b.end, 0, f"finished {b.label}") for b in plan.batches]
    for minute, _, words in sorted(moments):
        if minute <= until:
            tell(words, now=minute)


def test_a_shift_that_has_not_begun_is_expected_as_planned(plan: Plan, look: Callable[[int], Moment]) -> None:
    moment = look(plan.opens)
    for label, outlook in moment.forecast.outlooks.items():
        assert (label, outlook.start, outlook.end) == (label, outlook.batch.start, outlook.batch.end)
    assert moment.forecast.finish == plan.finish
    assert [delivery.ready for delivery in moment.forecast.deliveries] == [order.ready for order in plan.orders]


@pytest.mark.parametrize("minute", [400, 450, 500, 540])
def test_a_shift_that_goes_as_planned_is_expected_as_planned(
    plan: Plan, tell: Tell, look: Callable[[int], Moment], minute: int
) -> None:
    as_planned(tell, plan, minute)
    forecast = look(minute).forecast
    assert forecast.finish == plan.finish
    assert {label for label, outlook in forecast.outlooks.items() if outlook.drift} == set()
    words = {outlook.batch.label: outlook.standing for outlook in forecast.outlooks.values()}
    assert {w for label, w in words.items() if batch(plan, label).end <= minute} == {"done"}


def test_a_running_batch_that_is_over_its_time_ends_now_and_holds_others_up(
    plan: Plan, tell: Tell, look: Callable[[int], Moment]
) -> None:
    as_planned(tell, plan, batch(plan, "Ac1").end - 1)
    now = batch(plan, "Ac1").end + 7
    moment = look(now)
    bake, next_bake = moment.forecast.outlooks["Ac1"], moment.forecast.outlooks["Ac2"]
    assert (bake.standing, bake.end, bake.overdue) == ("running", now, 7)
    assert next_bake.start >= now
    assert next_bake.because == "deck oven is busy"
    assert any(alarm.sentence.startswith("Ac1 bake shells should have ended") for alarm in moment.alarms)
    assert moment.forecast.finish >= plan.finish


def test_a_new_estimate_moves_what_hangs_on_it(plan: Plan, tell: Tell, look: Callable[[int], Moment]) -> None:
    start = batch(plan, "Ac1").start
    as_planned(tell, plan, start)
    tell("overrunning Ac1 +20", now=start)
    outlooks = look(start).forecast.outlooks
    assert outlooks["Ac1"].end == batch(plan, "Ac1").end + 20
    assert outlooks["Ac2"].start == outlooks["Ac1"].end
    # Shells cool for at least 20 minutes before they are brushed.
    assert outlooks["Ad1"].start >= outlooks["Ac1"].end + 20


def test_nobody_starts_in_a_break_or_while_away(plan: Plan, tell: Tell, look: Callable[[int], Moment]) -> None:
    as_planned(tell, plan, 400)
    tell("away Odo until 08:15", now=400)
    tell("away Tamsin until 07:40", now=400)
    gone = {"Odo": [(400, 495), (450, 480)], "Tamsin": [(400, 460), (510, 540)]}
    for outlook in look(400).forecast.outlooks.values():
        for hand in outlook.batch.hands if not outlook.begun else ():
            start = outlook.start + hand.start - outlook.batch.start
            end = outlook.start + hand.end - outlook.batch.start
            assert not any(start < until and since < end for since, until in gone[hand.person])


def test_a_batch_whose_people_have_left_for_good_is_blocked(
    plan: Plan, tell: Tell, look: Callable[[int], Moment]
) -> None:
    tell("away Tamsin", now=360)
    moment = look(365)
    first = moment.forecast.outlooks["Ab1"]
    assert (first.standing, first.because) == ("blocked", "Tamsin is away")
    assert moment.forecast.outlooks["Ac1"].standing == "blocked"
    assert any(alarm.sentence.startswith("Tamsin is away: ") for alarm in moment.alarms)
    assert [delivery.blocked for delivery in moment.forecast.deliveries] == [True]


def test_what_a_failed_batch_would_have_given_is_missing(plan: Plan, tell: Tell, look: Callable[[int], Moment]) -> None:
    as_planned(tell, plan, batch(plan, "Ac1").end - 1)
    tell("failed Ac1", now=batch(plan, "Ac1").end - 1)
    moment = look(batch(plan, "Ac1").end)
    assert moment.forecast.outlooks["Ac1"].standing == "lost"
    assert (moment.forecast.outlooks["Ad1"].standing, moment.forecast.outlooks["Ad1"].because) == (
        "blocked",
        "Ac1 failed",
    )
    assert moment.forecast.outlooks["Ac2"].standing == "waiting"


def test_what_should_have_begun_and_could_is_late(plan: Plan, look: Callable[[int], Moment]) -> None:
    first = batch(plan, "Aa1")
    moment = look(first.start + 9)
    assert moment.forecast.outlooks["Aa1"].standing == "late"
    assert any(
        alarm.sentence.startswith("Aa1 mix paste should have begun at 06:01, 9 min ago") for alarm in moment.alarms
    )


def test_nothing_that_takes_turns_overlaps(plan: Plan, tell: Tell, look: Callable[[int], Moment]) -> None:
    as_planned(tell, plan, 420)
    outlooks = look(470).forecast.outlooks
    spans: dict[str, list[tuple[int, int]]] = {"Tamsin": [], "Odo": [], "mixer": []}
    for outlook in outlooks.values():
        if outlook.begun:
            continue
        shift = outlook.start - outlook.batch.start
        for hand in outlook.batch.hands:
            spans[hand.person].append((hand.start + shift, hand.end + shift))
        for seat in outlook.batch.seats:
            if seat.station == "mixer":
                spans["mixer"].append((seat.start + shift, seat.end + shift))
    for taken in spans.values():
        ordered = sorted(taken)
        assert ordered
        assert all(before[1] <= after[0] for before, after in pairwise(ordered))


def test_an_oven_is_named_before_it_has_to_be_heated(plan: Plan, tell: Tell, look: Callable[[int], Moment]) -> None:
    [heating] = [change for change in plan.changes if change.kind == "heat"]
    early, soon = heating.start - 31, heating.start - 10
    as_planned(tell, plan, early)
    assert not any("heat deck oven" in alarm.sentence for alarm in look(early).alarms)
    as_planned_since = [b for b in plan.batches if early < b.start <= soon]
    for late in as_planned_since:
        tell(f"started {late.label}", now=late.start)
    assert any(alarm.sentence.startswith("heat deck oven to 170 C at ") for alarm in look(soon).alarms)


def test_a_wait_that_is_nearly_over_is_an_alarm(plan: Plan, tell: Tell, look: Callable[[int], Moment]) -> None:
    # Whipped cream must be piped within 30 minutes.
    whip = batch(plan, "Ca1")
    as_planned(tell, plan, whip.end)
    late = look(whip.end + 20)
    [alarm] = [alarm for alarm in late.alarms if alarm.sentence.startswith("whipped cream of Ca1 must be taken up by")]
    assert "too late" in alarm.sentence
    assert alarm.minute <= whip.end + 30


def test_an_oven_that_was_out_of_use_has_to_be_heated_from_cold(
    plan: Plan, tell: Tell, look: Callable[[int], Moment]
) -> None:
    """By hand: from 20 C to 170 C at 8 C/min is 18.75, so 19 minutes."""
    first = min((b for b in plan.batches if b.step == "bake shells"), key=lambda b: b.start)
    as_planned(tell, plan, first.start - 10)
    tell("out deck oven until +30", now=first.start - 10)
    moment = look(first.start - 10)
    back = first.start + 20
    outlook = moment.forecast.outlooks[first.label]
    assert (outlook.start, outlook.because) == (back + 19, "deck oven heats up")
    drawn = as_it_stands(moment)
    heated = [(change.start, change.end, change.before) for change in drawn.changes if change.station == "deck oven"]
    assert heated[0] == (back, back + 19, "20 C")
    assert all(start >= back for start, *_ in heated)


def test_nothing_of_a_failed_batch_stands_anywhere(plan: Plan, tell: Tell, look: Callable[[int], Moment]) -> None:
    tell("started Aa1", now=361)
    tell("failed Aa1", now=365)
    drawn = as_it_stands(look(366))
    assert {stay.before for stay in plan.stays} - {stay.before for stay in drawn.stays} == {"Aa1"}
    assert (drawn.standings["Aa1"], drawn.now, drawn.planned) == ("lost", 366, {"Aa1": batch(plan, "Aa1").start})


def test_somebody_away_is_told_apart_from_a_break(plan: Plan, tell: Tell, look: Callable[[int], Moment]) -> None:
    tell("away Odo until 06:50", now=400)
    rows = {row.name: row for row in rows_of(as_it_stands(look(401)), "people", unicode=True)}
    kinds = [(bar.kind, bar.start, bar.end) for bar in rows["Odo"].away]
    assert (Kind.ABSENT, 400, 410) in kinds
    assert Kind.BREAK in [kind for kind, *_ in kinds]


def test_whoever_is_away_when_a_running_batch_needs_hands_is_named(
    plan: Plan, tell: Tell, look: Callable[[int], Moment]
) -> None:
    bake = batch(plan, "Ac1")
    person = next(hand.person for hand in bake.hands if hand.doing == "unload")
    as_planned(tell, plan, bake.start + 5)
    tell(f"away {person} until +60", now=bake.start + 5)
    wanted = f"Ac1 bake shells needs hands at {format_clock(bake.end - 1)}, but {person} is away: plan the rest anew"
    assert any(alarm.sentence.startswith(wanted) for alarm in look(bake.start + 6).alarms)
    tell(f"in {person}", now=bake.start + 7)
    assert not any("needs hands" in alarm.sentence for alarm in look(bake.start + 8).alarms)


def test_an_oven_that_is_not_back_yet_has_not_been_heated(
    plan: Plan, tell: Tell, look: Callable[[int], Moment], log: Callable[[], Log]
) -> None:
    """By hand: from 20 C to 170 C at 8 C/min is 18.75, so 19 minutes, from now at the earliest."""
    first = min((b for b in plan.batches if b.step == "bake shells"), key=lambda b: b.start)
    out, now = first.start - 30, first.start - 5
    as_planned(tell, plan, now)
    tell("out deck oven until +15 at " + format_clock(out), now=now)
    assert look(now).forecast.outlooks[first.label].start >= now + 19
    again = proposal(log(), now, Effort(effort=0, workers=1)).replanned.plan
    assert batch(again, first.label).start >= now + 19
    assert again.past is not None
    assert [(oven.station, oven.celsius) for oven in again.past.ovens] == [("deck oven", "20")]


def test_an_oven_that_was_not_heated_in_time_is_told_with_what_it_means(
    plan: Plan, tell: Tell, look: Callable[[int], Moment], log: Callable[[], Log]
) -> None:
    """By hand: from 20 C to 170 C at 8 C/min is 18.75, so 19 minutes."""
    first = min((b for b in plan.batches if b.step == "bake shells"), key=lambda b: b.start)
    out, back = first.start - 10, first.start - 9
    as_planned(tell, plan, back)
    tell("out deck oven", now=out)
    tell("back deck oven", now=back)

    def told(now: int) -> tuple[int, list[str]]:
        moment = look(now)
        into = moment.forecast.outlooks[first.label].start
        return into, [alarm.sentence for alarm in moment.alarms if "to 170 C" in alarm.sentence]

    into, sentences = told(back)
    begin = "now" if into == back + 19 else f"at {format_clock(into - 19)}"
    assert sentences == [f"heat deck oven to 170 C {begin}, for {first.label} at {format_clock(into)}"]
    now = into - 15
    into, sentences = told(now)
    since = format_clock(into - 19)
    assert sentences == [
        f"deck oven should be heating to 170 C since {since}, for {first.label} at {format_clock(into)}; "
        f"if it is begun only now, at {format_clock(now + 19)}"
    ]
    again = proposal(log(), back + 4, Effort(effort=0, workers=1)).replanned.plan
    assert batch(again, first.label).start >= back + 19


def test_a_new_plan_may_use_whoever_is_still_there_when_something_failed(
    plan: Plan, tell: Tell, look: Callable[[int], Moment]
) -> None:
    as_planned(tell, plan, plan.finish)
    last = max(plan.batches, key=lambda batch: batch.end)
    assert not may_help(look(plan.finish), "Odo")
    tell(f"failed {last.label}", now=plan.finish)
    assert may_help(look(plan.finish), "Odo")
    assert not may_help(look(plan.closes), "Odo")
    tell("away Odo", now=plan.finish)
    assert not may_help(look(plan.finish), "Odo")
    assert may_help(look(plan.finish), "Tamsin")


def test_what_stands_in_a_place_out_of_use_is_to_be_moved(
    plan: Plan, tell: Tell, look: Callable[[int], Moment]
) -> None:
    inside = [stay for stay in plan.stays if stay.station == "fridge"]
    now = min(stay.start for stay in inside if stay.before.startswith("B"))
    as_planned(tell, plan, now)
    tell("out fridge", now=now)
    done = {stay.before for stay in inside if stay.start <= now < stay.end}
    [move] = [alarm for alarm in look(now).alarms if alarm.sentence.startswith("move ")]
    assert move.sentence == f"move {', '.join(sorted(done))} out of fridge, which is out of use"
    assert move.breaks
    tell("back fridge", now=now + 2)
    assert not [alarm for alarm in look(now + 2).alarms if "fridge" in alarm.sentence]


def test_what_cannot_go_into_a_place_out_of_use_is_named(plan: Plan, tell: Tell, look: Callable[[int], Moment]) -> None:
    into = min(stay.start for stay in plan.stays if stay.station == "fridge")
    coming = {stay.before for stay in plan.stays if stay.station == "fridge"}
    tell("out fridge", now=plan.opens)
    [alarm] = [alarm for alarm in look(plan.opens).alarms if "cannot go in" in alarm.sentence]
    assert alarm.sentence.startswith("fridge is out of use: ")
    assert f"(expected from {format_clock(into)})" in alarm.sentence
    assert all(label in alarm.sentence for label in coming)
    tell(f"out fridge until {format_clock(into)}", now=plan.opens)
    assert not [alarm for alarm in look(plan.opens).alarms if "cannot go in" in alarm.sentence]


def test_a_break_that_work_would_reach_into_is_told_apart_from_being_away(
    plan: Plan, tell: Tell, look: Callable[[int], Moment]
) -> None:
    as_planned(tell, plan, 400)
    told = {outlook.because for now in range(400, 560, 10) for outlook in look(now).forecast.outlooks.values()}
    assert "Tamsin's break at 08:30 is too near" in told
    # Nobody was recorded as away.
    assert not any(because.endswith("is away") for because in told)


def test_whoever_is_kept_for_what_is_blocked_is_not_called_busy(
    plan: Plan, tell: Tell, look: Callable[[int], Moment]
) -> None:
    as_planned(tell, plan, 400)
    tell("out deck oven", now=400)
    moment = look(500)
    told = {outlook.because for outlook in moment.forecast.outlooks.values()}
    assert any("kept for" in because for because in told)


def test_what_comes_late_is_named_once_with_what_it_keeps_waiting(
    plan: Plan, tell: Tell, look: Callable[[int], Moment]
) -> None:
    def told_of(now: int) -> list[str]:
        return [alarm.sentence for alarm in look(now).alarms if alarm.sentence.startswith("cream ")]

    first, *others = sorted((b for b in plan.batches if b.step == "whip cream"), key=lambda b: b.start)
    tell(f"late cream until {format_clock(first.start)}", now=plan.opens)
    assert told_of(plan.opens) == []
    until = plan.finish
    tell(f"late cream until {format_clock(until)}", now=plan.opens)
    more = f" and {len(others)} more" if others else ""
    says = (
        f"cream comes late: {first.label} whip cream{more} cannot begin before {format_clock(until)} "
        f"(planned {format_clock(first.start)})"
    )
    assert told_of(plan.opens) == [says]
    tell("in cream", now=plan.opens + 1)
    assert told_of(plan.opens + 1) == []


def test_once_everything_is_done_it_is_finished_later_than_first_planned(plan: Plan) -> None:
    # The first plan had one batch less.
    rest = tuple(sorted(plan.batches, key=lambda one: one.end)[:-1])
    order = plan.orders[0].model_copy(update={"ready": rest[-1].end})
    first = plan.model_copy(update={"batches": rest, "orders": (order,), "stays": ()})
    log = replace(worked(plan, longer={plan.chain[0].label: 7}), first=first)
    finish = moment_of(log, plan.finish + 60).forecast.finish
    assert finish > plan.finish > first.finish

    def told(now: int) -> str:
        return status_page(moment_of(log, now), width=120).splitlines()[2]

    ended = f"{format_clock(finish)}, {finish - first.finish} min later than planned ({format_clock(first.finish)})"
    assert told(finish) == f"finished {ended}"
    assert told(finish - 1).startswith("finish expected ")


def test_a_chart_says_which_plan_the_actual_is_held_against(plan: Plan) -> None:
    def told(of: Plan) -> str:
        page = chart_page(moment_of(worked(of), of.finish), width=120)
        return next(line for line in page.splitlines() if line.startswith("planned against actual"))

    assert told(plan) == "planned against actual: all as planned"
    anew = plan.model_copy(update={"past": Past(now=370, began=())})
    assert told(anew) == "planned against actual, by the plan of 06:10: all as planned"
