"""Changes: the plan shows every heating, cooling and wash, in the empty time and long enough."""

from __future__ import annotations

from collections.abc import Iterator

from stationplan.plan.check.bowls import bowl_turnovers
from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.ovens import State, Turnover, oven_turnovers
from stationplan.plan.document import Change
from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import parse_setting

# The plan may round a temperature for reading, to a tenth of a degree.
_ROUNDING = 0.06


def check_changes(case: Case) -> Iterator[Fault]:
    """Match the changes of the plan with those that its batches ask for."""
    unmatched = list(case.plan.changes)
    unmet = []
    for turnover in (*oven_turnovers(case), *bowl_turnovers(case)):
        change = next((change for change in unmatched if _means(change, turnover) and _fits(change, turnover)), None)
        if change is None:
            unmet.append(turnover)
        else:
            unmatched.remove(change)
    for turnover in unmet:
        change = next((change for change in unmatched if _means(change, turnover)), None)
        if change is not None:
            unmatched.remove(change)
            yield from _what_is_wrong(change, turnover)
        else:
            yield Fault(
                FaultKind.CHANGE_MISSING,
                f"{turnover.station} must go from {turnover.before or 'nothing'} to {turnover.after or 'nothing'} "
                f"({turnover.kind}) before {clock(turnover.until)}; the plan does not show it.",
            )
    for change in unmatched:
        sentence = f"{change.station} does not need to go from {change.before} to {change.after} ({change.kind})"
        yield Fault(FaultKind.CHANGE_EXTRA, f"{sentence} at {clock(change.start)}.")


def _means(change: Change, turnover: Turnover) -> bool:
    return (
        change.station == turnover.station
        and change.kind == turnover.kind
        and _same(change.before, turnover.before)
        and _same(change.after, turnover.after)
    )


def _same(text: str, state: State | str) -> bool:
    if isinstance(state, str):
        return text == state
    try:
        setting = parse_setting(text)
    except UnitError:
        return False
    if state.celsius is None or setting.mode != state.mode:
        return False
    return abs(float(setting.celsius - state.celsius)) < _ROUNDING


def _inside(change: Change, turnover: Turnover) -> bool:
    return turnover.since <= change.start and change.end <= turnover.until


def _fits(change: Change, turnover: Turnover) -> bool:
    return _inside(change, turnover) and change.end - change.start >= turnover.minutes


def _what_is_wrong(change: Change, turnover: Turnover) -> Iterator[Fault]:
    what = f"{change.station} goes from {change.before} to {change.after} ({change.kind})"
    if change.end - change.start < turnover.minutes:
        sentence = f"{what} in {change.end - change.start} minutes, but takes {turnover.minutes}."
        yield Fault(FaultKind.CHANGE_TOO_SHORT, sentence)
    # A gap that is too short for it is the fault of the batches, and told with them.
    if turnover.until - turnover.since >= turnover.minutes and not _inside(change, turnover):
        sentence = (
            f"{what} from {clock(change.start)} to {clock(change.end)}, "
            f"but is free for it only from {clock(turnover.since)} to {clock(turnover.until)}."
        )
        yield Fault(FaultKind.CHANGE_OUTSIDE_GAP, sentence)
