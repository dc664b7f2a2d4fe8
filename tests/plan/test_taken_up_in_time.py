"""What goes from batch to batch, and by when it must be taken up."""

from __future__ import annotations

from functools import partial

import planned
from planned import plan_by_hand, solved, step, wait

from stationplan.plan.document import Plan
from stationplan.plan.passing import passings_of


def limits(plan: Plan) -> list[tuple[str | None, str, str, int]]:
    """Who must take up by when what from where, in the order of time."""
    found = [(p.after, p.item, p.before, p.latest) for p in passings_of(plan) if p.latest is not None]
    return sorted(found, key=lambda limit: limit[3])


# Names that a scenario as users write it may have.
raw = partial(planned.raw, equipment=[{"name": "tall rack", "kind": "rack", "holds": "4 trays"}])


def test_a_wait_with_a_most_limits_the_batch_after_it() -> None:
    plan = plan_by_hand(raw(step("mix"), wait("rest", "5 min", at_most="20 min"), step("roll")), Aa1=0, Ab1=25)
    assert limits(plan) == [("Ab1", "tart", "Aa1", 360 + 10 + 20)]


def test_a_wait_without_a_most_limits_nothing() -> None:
    assert limits(plan_by_hand(raw(step("mix"), wait("rest", "5 min"), step("roll")), Aa1=0, Ab1=25)) == []


def test_a_most_between_two_steps_limits_though_nothing_is_seen_to_wait() -> None:
    plan = plan_by_hand(raw(step("mix"), step("roll", after={"step": "mix", "at_most": "12 min"})), Aa1=0, Ab1=15)
    assert plan.stays == ()
    assert limits(plan) == [("Ab1", "tart", "Aa1", 360 + 10 + 12)]


def test_a_most_on_what_is_taken_up_limits_whoever_takes_it_up() -> None:
    cream = {"makes": "1 kg", "steps": [step("whip")]}
    use = {"cream": {"amount": "1 kg", "at_most": "15.5 min"}}
    _, plan = solved(raw(step("pipe"), components={"cream": cream}, uses=use))
    [whip, pipe] = sorted(plan.batches, key=lambda batch: batch.start)
    # Whole minutes, rounded down.
    assert limits(plan) == [(pipe.label, "cream", whip.label, whip.end + 15)]


def test_in_a_chain_of_waits_the_last_counts_from_its_own_begin() -> None:
    hold = wait("hold", "0 min", at_most="10 min", fills="1 tray per tray", **{"in": "rack"})
    _, plan = solved(raw(step("bake"), wait("cool", "30 min"), hold, step("cut")))
    stay = next(stay for stay in plan.stays if stay.name == "hold")
    assert limits(plan) == [(stay.after, "tart", stay.before, stay.start + 10)]
