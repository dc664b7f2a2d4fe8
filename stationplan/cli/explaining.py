"""What makes a scenario impossible and what would make it possible: looking for it, and putting it in lines."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from stationplan.cli.status_line import StatusLine

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.network.errors import Path
    from stationplan.plan.explanation import Explanation
    from stationplan.plan.repairs import Repair
    from stationplan.scenario import Loaded

SECONDS = 20.0
"""For looking into it, where the search had neither a time limit nor one of effort."""

MOST_IN_DOUBT = 10
MOST_UNKNOWN = 6
"""Longer lists of what may or may not be so help nobody."""

WIDTH = 80


def look_into(
    loaded: Loaded, network: Network, time_limit: float | None, effort: float | None, seed: int, *, quiet: bool
) -> Explanation | None:
    """Find out what is in conflict and what would help, for as long again as the search was allowed to take.

    Args:
        loaded: the scenario, which is proved to have no plan.
        network: its scheduling problem.
        time_limit: seconds that the search was allowed.
        effort: work that the search was allowed; without a time limit, the clock does not count.
        seed: random seed.
        quiet: whether to show no progress.

    Returns:
        What was found until then, or until an interruption; None when it came before anything was.
    """
    seconds = SECONDS if time_limit is None and effort is None else time_limit
    line = StatusLine("no plan; looking into it: ", quiet=quiet)
    line.show("what exactly is in conflict")
    try:
        from stationplan.plan.explanation import explain

        return explain(
            network, loaded.scenario, loaded.raw, time_limit=seconds, effort=effort, seed=seed, on_trial=line.show
        )
    except KeyboardInterrupt:
        return None
    finally:
        line.show("")


def explained(explanation: Explanation, where: Callable[[Path], str]) -> Iterator[str]:
    """An explanation in lines.

    Args:
        explanation: what was found.
        where: the file and line of a place in the scenario.

    Yields:
        Lines; those that lead to a place in the files are as long as it takes.
    """
    yield from _together(explanation, where)
    yield from _enough([repair for repair in explanation.repairs if repair.enough], where)
    others = [repair.sentence for repair in explanation.repairs if repair.enough is False]
    if others and len(others) == len(explanation.repairs):
        yield "None of these alone is enough, up to as much as this; more may be in the way:"
        yield from _in_a_row(others)
    elif others:
        yield "Not enough alone, up to as much as this:"
        yield from _in_a_row(others)
    unknown = [repair.sentence for repair in explanation.repairs if repair.enough is None]
    if len(unknown) > MOST_UNKNOWN:
        yield f"Of {len(unknown)} further changes it was not found out in the time whether they are enough."
    elif unknown:
        yield "Not found out in the time, whether enough:"
        yield from _in_a_row(unknown)


def _together(explanation: Explanation, where: Callable[[Path], str]) -> Iterator[str]:
    if not explanation.together:
        return
    if not explanation.doubtful:
        yield "All else left aside, these cannot all be kept; without any one, the others can:"
    elif len(explanation.doubtful) <= MOST_IN_DOUBT:
        yield "These cannot all be kept; it was not found out in the time whether all are needed:"
    else:
        yield "What exactly is in conflict was not found out in the time."
        return
    for demand in explanation.together:
        yield f"  {where(demand.path)}: {demand.sentence}"


def _enough(repairs: list[Repair], where: Callable[[Path], str]) -> Iterator[str]:
    if not repairs:
        return
    one = len(repairs) == 1
    yield (
        "This makes it possible; a plan was made and checked:"
        if one
        else "Each of these alone makes it possible; a plan was made and checked for each:"
    )
    for repair in repairs:
        doubt = "" if repair.least else " (perhaps less is enough)"
        yield f"  {where(repair.path)}: {repair.sentence}{doubt}"


def _in_a_row(sentences: list[str]) -> list[str]:
    return textwrap.wrap("; ".join(sentences), WIDTH, initial_indent="  ", subsequent_indent="  ")
