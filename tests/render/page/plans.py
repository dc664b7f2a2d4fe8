"""Plans to show: real ones, so that quantities and sheets can be worked out from their scenarios."""

from __future__ import annotations

from functools import cache

from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.produce import produce
from stationplan.scenario import from_plain

from ..files.conftest import AWKWARD, LIMITS, awkward, plan_of

__all__ = ["NASTY", "PLANS", "nasty_plan", "plan_of"]

PLANS = ("scenarios/first-shift", "docs/examples/oven-temperatures", "docs/examples/shift-overnight", "awkward")
NASTY = (
    "</title></style><script>document.title='product'</script>",
    '"><img src=x onerror="document.title=1">',
    "'><svg onload=document.title=2>&amp; {{ 7*7 }}",
    "]]><!-- <a href=javascript:document.title=3>",
)
"""Names that would change the page if they were taken for markup: a product, a person, a station, a step."""


@cache
def nasty_plan() -> Plan:
    """A plan whose names are nasty."""

    def renamed(value: object) -> object:
        if isinstance(value, dict):
            return {renamed(key): renamed(inner) for key, inner in value.items()}
        if isinstance(value, list):
            return [renamed(inner) for inner in value]
        return NASTY[AWKWARD.index(value)] if value in AWKWARD else value

    raw = renamed({**awkward(), "name": NASTY[0]})
    assert isinstance(raw, dict)
    return produce(build(from_plain(raw)), raw, LIMITS)
