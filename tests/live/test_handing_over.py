"""Work on a running batch of somebody who has gone: handed on where that can be, and told where it cannot."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from stationplan.live.moment import moment_of, turns_of
from stationplan.live.record import Log, add_plan, read
from stationplan.live.replanning import Proposal, Unmanned, proposal
from stationplan.plan.document import Batch, Plan
from stationplan.plan.produce import Effort
from stationplan.render.replan import replan_page

from .conftest import MOMENT, Tell
from .test_expecting import as_planned


def by_label(plan: Plan, label: str) -> Batch:
    return next(batch for batch in plan.batches if batch.label == label)


def gone(tell: Tell, log: Callable[[], Log], label: str, *people: str, after: int) -> tuple[Proposal, int]:
    """All goes as planned until some minutes after a batch has begun; people leave, and the rest is planned anew."""
    plan, start = log().plan, by_label(log().plan, label).start
    as_planned(tell, plan, start + after)
    for person in people:
        tell(f"away {person} until +40", now=start + after)
    return proposal(log(), start + after, Effort(effort=0)), start + after


def test_what_is_to_come_goes_to_somebody_else_and_status_says_so(
    plan: Plan, shift: Path, tell: Tell, log: Callable[[], Log]
) -> None:
    leaves = by_label(plan, "Ac2").hands[-1].person
    found, now = gone(tell, log, "Ac2", leaves, after=5)
    number = log().last
    add_plan(shift, found.replanned.plan, accepted=True, after=number, moment=MOMENT)

    assert found.unmanned == ()
    [unload] = [turn for turn in turns_of(moment_of(read(shift), now)) if turn.outlook.batch.label == "Ac2"]
    assert unload.person != leaves
    assert not any("needs hands" in alarm.sentence for alarm in moment_of(read(shift), now).alarms)


def test_where_nobody_is_left_the_plan_says_so(plan: Plan, tell: Tell, log: Callable[[], Log]) -> None:
    found, _ = gone(tell, log, "Ac1", "Tamsin", "Odo", after=5)
    bake = by_label(plan, "Ac1")
    assert found.unmanned == (Unmanned("Ac1", "bake shells", bake.hands[-1].person, bake.end - 1),)
    assert "! Ac1 bake shells needs hands at 07:47, but " in replan_page(found, width=200)


def test_what_is_under_way_stays_with_whoever_has_begun_it(plan: Plan, tell: Tell, log: Callable[[], Log]) -> None:
    [hand] = by_label(plan, "Ab1").hands
    found, now = gone(tell, log, "Ab1", hand.person, after=3)
    assert by_label(found.replanned.plan, "Ab1").hands == (hand,)
    assert found.unmanned == (Unmanned("Ab1", "line rings", hand.person, now),)
    [alarm] = [alarm for alarm in moment_of(log(), now).alarms if "needs hands" in alarm.sentence]
    assert alarm.sentence.endswith("is away: lend it a hand, or record failed Ab1")
