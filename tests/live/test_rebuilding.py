"""A plan with a past carries all that its network was built around."""

from __future__ import annotations

import pytest

from stationplan.network.network import BatchTask, Network
from stationplan.plan.document import Plan
from stationplan.plan.passing import passings_of
from stationplan.plan.rebuilding import network_of

from .shifts import as_planned, failed, planned, went_on


def ranges(network: Network) -> dict[str, tuple[str, str]]:
    return {task.label: (str(task.first), str(task.last)) for task in network.tasks if isinstance(task, BatchTask)}


def rests() -> list[Plan]:
    """The rest of a shift at several times: as planned, and with the batch that began last lost."""
    plan = planned()
    found = []
    for now in range(plan.opens + 10, plan.finish, 25):
        runs = as_planned(plan, now)
        found.append(went_on(plan, runs, now))
        last = max(runs, key=lambda label: runs[label].start)
        found.append(went_on(plan, {**runs, last: failed(runs[last], now)}, now))
    return found


@pytest.mark.parametrize("plan", rests(), ids=lambda plan: str(plan.past.now))
def test_the_network_of_a_plan_with_a_past_has_its_batches(plan: Plan) -> None:
    network = network_of(plan)
    assert ranges(network) == {batch.label: (batch.first, batch.last) for batch in plan.batches}
    begun = {began.label for began in plan.past.began} if plan.past else set()
    for task, meaning in zip(network.problem.tasks, network.tasks, strict=True):
        if isinstance(meaning, BatchTask):
            assert (task.fixed_start is not None) == (meaning.label in begun)


@pytest.mark.parametrize("plan", rests(), ids=lambda plan: str(plan.past.now))
def test_nothing_goes_on_from_a_lost_batch(plan: Plan) -> None:
    lost = {batch.label for batch in plan.batches if batch.lost}
    assert not lost & {passing.before for passing in passings_of(plan)}
    assert {passing.before for passing in passings_of(plan)} <= {batch.label for batch in plan.batches}
