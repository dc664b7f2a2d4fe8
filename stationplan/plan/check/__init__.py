"""The independent check: a plan against the meaning of its scenario.

It shares no code with what makes plans. Nothing that it reports may reach a user as a
plan: see :func:`check_plan`.
"""

from __future__ import annotations

from pydantic import ValidationError

from stationplan.plan.check.batches import check_batches, check_shift
from stationplan.plan.check.bowls import check_bowls
from stationplan.plan.check.capacity import check_capacity
from stationplan.plan.check.case import lay_beside
from stationplan.plan.check.changes import check_changes
from stationplan.plan.check.exam import check_exam
from stationplan.plan.check.fault import Fault, FaultKind, UnclearScenarioError
from stationplan.plan.check.flow import follow
from stationplan.plan.check.goods import check_goods
from stationplan.plan.check.header import check_header
from stationplan.plan.check.labels import check_labels
from stationplan.plan.check.objective import check_objective
from stationplan.plan.check.orders import check_orders, work_out_readiness
from stationplan.plan.check.out_of_use import check_out_of_use
from stationplan.plan.check.ovens import check_ovens
from stationplan.plan.check.past import check_past
from stationplan.plan.check.people import check_people
from stationplan.plan.check.quantities import check_quantities
from stationplan.plan.check.seats import check_seats
from stationplan.plan.check.stock import check_stock, check_use_by
from stationplan.plan.check.waits import check_waits
from stationplan.plan.document import Plan
from stationplan.scenario.models import Scenario

__all__ = ["Fault", "FaultKind", "check_plan"]


def check_plan(plan: Plan, scenario: Scenario | None = None) -> tuple[Fault, ...]:
    """Check a plan against its scenario, and recompute everything it claims.

    Args:
        plan: any document that parses as a plan.
        scenario: what to check it against; None for the one that the plan carries. One with an exam is compared with
            the exam that the plan carries, and the plan's one kitchen with it.

    Returns:
        Every fault found; none for a valid plan. A scenario without a clear meaning is one fault.
    """
    try:
        if scenario is None or scenario.exam is None:
            return _check(plan, Scenario.model_validate(plan.scenario) if scenario is None else scenario)
        if plan.exam is None:
            return (Fault(FaultKind.EXAM_UNCLEAR, "The scenario is one of an exam, and the plan is not."),)
        return _check(plan, Scenario.model_validate(plan.scenario), scenario)
    except ValidationError as error:
        sentence = f"The scenario in the plan cannot be read: {error.errors()[0]['msg']}."
    except UnclearScenarioError as error:
        sentence = str(error)
    return (Fault(FaultKind.SCENARIO_UNCLEAR, sentence),)


def _check(plan: Plan, scenario: Scenario, exam: Scenario | None = None) -> tuple[Fault, ...]:
    case = lay_beside(plan, scenario)
    flow = follow(case)
    readiness = work_out_readiness(case, flow)
    return (
        *check_header(case),
        *check_quantities(case),
        *check_stock(case),
        *check_batches(case),
        *check_shift(case),
        *check_goods(case),
        *check_seats(case),
        *check_capacity(case),
        *check_out_of_use(case),
        *check_ovens(case),
        *check_bowls(case),
        *check_changes(case),
        *check_people(case),
        *check_waits(case, flow.lots),
        *check_use_by(flow.lots),
        *check_orders(case, readiness),
        *check_objective(case, flow.lots, readiness),
        *check_labels(case),
        *check_past(case),
        *check_exam(plan, scenario, exam),
    )
