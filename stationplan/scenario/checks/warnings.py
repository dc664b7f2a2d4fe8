"""What can be planned from but may not be meant: it is told, and keeps nobody from planning."""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING, Any

from stationplan.scenario.checks.entries import all_steps
from stationplan.scenario.checks.ingredients import written_amounts
from stationplan.scenario.checks.people import needs_nobody
from stationplan.scenario.draft import complete_draft
from stationplan.scenario.units import format_clock, format_duration
from stationplan.scenario.units.durations import MINUTES_PER_DAY
from stationplan.scenario.units.numbers import nearest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.models import Scenario
    from stationplan.scenario.sentences import Finding

LONGEST_SHIFT = 16 * 60
"""Minutes from which a shift looks like a mistaken hour rather than a day's work."""

_HALF_DAY = MINUTES_PER_DAY // 2
_MOST_NAMES = 10
_MOST_STEPS = 5


def warnings(scenario: Scenario, raw: dict[str, Any]) -> Iterator[Finding]:
    """Everything about a valid scenario that may not be meant, as (path, sentence).

    Args:
        scenario: the scenario.
        raw: the plain data that it was read from.
    """
    yield from _long_shift(scenario, raw)
    yield from _due_outside_the_shift(scenario)
    yield from _not_ordered(scenario)
    yield from islice(_nobody_at_the_hob(scenario), _MOST_STEPS)
    yield from _described_by_another_name(scenario)


def _long_shift(scenario: Scenario, raw: dict[str, Any]) -> Iterator[Finding]:
    opens, closes = scenario.shift.opens, scenario.shift.closes
    # Whoever writes the day has not mistaken the hour.
    if closes - opens > LONGEST_SHIFT and "day" not in str(raw["shift"]["closes"]).lower():
        meant = closes - _HALF_DAY
        hint = f"; write {format_clock(meant)} if that is meant" if opens < meant else ""
        length = format_duration(closes - opens)
        yield ("shift", "closes"), f"the shift lasts {length}, from {opens} to {closes}{hint}"


def _due_outside_the_shift(scenario: Scenario) -> Iterator[Finding]:
    opens, closes = scenario.shift.opens, scenario.shift.closes
    for index, order in enumerate(scenario.orders):
        path = ("orders", index, "due")
        if order.due is None or opens <= order.due <= closes:
            continue
        if order.due > closes:
            sentence = f"due {order.due} is after the shift closes at {closes}, when everything must be ready"
            yield path, f"{sentence} in any case"
        else:
            later = order.due + _HALF_DAY
            hint = f"; write {format_clock(later)} if the afternoon is meant" if opens <= later <= closes else ""
            yield path, f"due {order.due} is before the shift opens at {opens}, so this order is always late{hint}"


def _not_ordered(scenario: Scenario) -> Iterator[Finding]:
    ordered = {order.product for order in scenario.orders}
    names = [name for name in scenario.products if name not in ordered]
    if names:
        more = [f"and {len(names) - _MOST_NAMES} more"] if len(names) > _MOST_NAMES else []
        yield ("orders",), f"not ordered: {', '.join([*names[:_MOST_NAMES], *more])}"


def _nobody_at_the_hob(scenario: Scenario) -> Iterator[Finding]:
    """A step on a hob for which nobody has to be there, without anybody having written so."""
    draft = complete_draft(scenario)
    for _, _, step, path in all_steps(draft):
        on_hob = any(machine.kind == "hob" for need in step.equipment for machine in draft.find(need.use))
        if on_hob and step.hands_on is None and needs_nobody(step):
            sentence = f"nobody's hands are needed for '{step.name}' on a hob; write hands_on: all if somebody stirs, "
            yield (*path, "equipment"), f"{sentence}or hands_on: none if it is meant"


def _described_by_another_name(scenario: Scenario) -> Iterator[Finding]:
    """A description that no recipe uses, beside a name in a recipe that is nearly the same and has none."""
    written = {name.casefold(): name for _, name, _ in written_amounts(complete_draft(scenario))}
    described = {name.casefold() for name in scenario.ingredients}
    missing = [name for key, name in written.items() if key not in described]
    for name in scenario.ingredients:
        near = None if name.casefold() in written else nearest(name, missing)
        if near is not None:
            yield ("ingredients", name), f"no recipe has '{name}', but there is '{near}', of which nothing is said"
