"""Objective: lateness, makespan and tidiness are what the plan says, and its bounds and proofs agree."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind
from stationplan.plan.check.flow import Lot, over
from stationplan.plan.check.orders import Readiness
from stationplan.plan.check.ovens import count_setting_changes
from stationplan.plan.check.stock import Stocked

# In the last tier a change of an oven's setting counts as much as ten minutes of standing about.
MINUTES_PER_SETTING_CHANGE = 10
_TIERS = ("lateness", "makespan", "tidiness")


def check_objective(case: Case, lots: tuple[Lot, ...], readiness: list[Readiness]) -> Iterator[Fault]:
    """Recompute every tier, and hold its bound and proof against it."""
    plan = case.plan
    values = {
        "lateness": sum(ready.order.weight * ready.late for ready in readiness),
        "makespan": plan.finish - case.opens,
        "tidiness": _waited_too_long(case, lots) + MINUTES_PER_SETTING_CHANGE * count_setting_changes(case),
    }
    if tuple(tier.name for tier in plan.tiers) != _TIERS:
        yield Fault(FaultKind.TIER_MISSING, f"The plan must state {', '.join(_TIERS)}, once each and in this order.")
    for tier in plan.tiers:
        if tier.value != values[tier.name]:
            sentence = f"The {tier.name} is {values[tier.name]}, not {tier.value}."
            yield Fault(FaultKind.TIER_VALUE, sentence)
        if tier.bound > tier.value:
            sentence = f"No plan can have a {tier.name} below {tier.bound}, says the plan, but its own is {tier.value}."
            yield Fault(FaultKind.BOUND_ABOVE_VALUE, sentence)
        if tier.proved != (tier.bound == tier.value):
            sentence = f"A {tier.name} of {tier.value} with a bound of {tier.bound} is "
            sentence += "not proved." if tier.proved else "proved, but the plan says it is not."
            yield Fault(FaultKind.PROVED_WRONG, sentence)
    for reason in plan.reasons:
        if reason.minutes > values["makespan"]:
            sentence = f"The plan takes {values['makespan']} minutes, less than the bound of {reason.minutes}"
            yield Fault(FaultKind.BOUND_ABOVE_VALUE, f"{sentence} ({reason.because}).")
    # A plan is proved when no other is less late or shorter; tidiness comes after that.
    proved = all(tier.proved for tier in plan.tiers if tier.name != "tidiness")
    if plan.status == "proved" and not proved:
        yield Fault(FaultKind.STATUS_WRONG, "The plan says it is proved, but its lateness or makespan is not.")
    elif plan.status != "proved" and proved:
        yield Fault(FaultKind.STATUS_WRONG, "Lateness and makespan are proved, but the plan does not say so.")


def _waited_too_long(case: Case, lots: tuple[Lot, ...]) -> int:
    """Minutes that all lots together waited beyond their least."""
    minutes = 0
    taken_out: dict[tuple[str, str | None], list[int]] = defaultdict(list)
    for stay in case.plan.stays:
        if stay.position == 0:
            taken_out[stay.before, stay.after].append(stay.end)
    for lot in lots:
        if over(lot):
            continue
        end = lot.before.end
        if isinstance(lot.before, Stocked):
            # What is in stock waits as long as it likes; what has been taken out of it does not.
            ends = taken_out[lot.before.label, lot.labels[-1]]
            if len(lot.link.waits) == 1 or not ends:
                continue
            end = ends.pop(0)
        if lot.after is not None:
            taken_up = lot.after.batch.start
        else:
            taken_up = case.delivered_at.get(lot.before.label, end + lot.link.least_gap)
        minutes += taken_up - end - lot.link.least_gap
    return minutes
