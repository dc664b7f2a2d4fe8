"""The network that a plan was made from, built once more."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from stationplan.network import Network, build
from stationplan.network.so_far import SoFar
from stationplan.plan.document import Began, Past, Plan
from stationplan.plan.so_far import Recorded, so_far_of
from stationplan.scenario import from_plain
from stationplan.scenario.units import Setting


def network_of(plan: Plan) -> Network:
    """The scheduling problem of a plan's scenario and, if the plan has a past, around what had happened by then.

    Args:
        plan: a plan that has passed the check.
    """
    return build(from_plain(plan.scenario), plan.durations, had_happened(plan))


def had_happened(plan: Plan) -> SoFar | None:
    """What had happened when a plan was made, as it tells it; None for a plan without a past.

    Args:
        plan: a plan that has passed the check.
    """
    return None if plan.past is None else _so_far(plan, plan.past)


def _so_far(plan: Plan, past: Past) -> SoFar:
    so_far = so_far_of(plan, [_recorded(began) for began in past.began], past.now)
    return replace(
        so_far,
        ovens={oven.station: Setting(Fraction(oven.celsius), oven.setting) for oven in past.ovens},
        lift=frozenset(
            (rule.before, rule.after, None if rule.rule == "shelf life" else rule.position)
            for rule in past.lifted
            if rule.rule != "place"
        ),
        lift_places=frozenset((rule.before, rule.position) for rule in past.lifted if rule.rule == "place"),
    )


def _recorded(began: Began) -> Recorded:
    """A batch that had begun; where and by whom stands in the plan itself."""
    ended = None if began.outcome == "running" else began.end
    return Recorded(began.label, began.start, ended, began.end, began.outcome)
