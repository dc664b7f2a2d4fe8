"""Where the bound on the finish comes from, in the kitchen's words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.engine.problem import Chamber
from stationplan.engine.result import Bound, BoundKind
from stationplan.network.network import BatchTask, Crew, StationGroup, StockTask
from stationplan.plan.document import Reason
from stationplan.scenario.units import format_clock, format_duration, plural

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stationplan.network import Network

MOST_REASONS = 5


def reasons_of(network: Network, bounds: Iterable[Bound]) -> tuple[Reason, ...]:
    """The strongest bounds as sentences.

    Args:
        network: what the bounds refer to.
        bounds: lower bounds on the makespan.

    Returns:
        At most five, the strongest first.
    """
    due = bool(network.problem.deliveries)
    found = [
        Reason(
            minutes=bound.minutes,
            because=_because(network, bound),
            punctual=due and bound.kind is BoundKind.SOLVER,
        )
        for bound in bounds
    ]
    found.sort(key=lambda reason: -reason.minutes)
    return tuple({reason.because: reason for reason in reversed(found)}.values())[::-1][:MOST_REASONS]


def _because(network: Network, bound: Bound) -> str:
    finish = format_clock(network.opens + bound.minutes)
    if bound.kind is BoundKind.SOLVER:
        return f"everything together: the search has ruled out any plan that is no later and ends before {finish}"
    if bound.kind is BoundKind.CRITICAL_PATH:
        labels = [part.label for task in bound.tasks if isinstance(part := network.tasks[task], BatchTask | StockTask)]
        held = held_up(network, bound)
        if labels and held:
            labels[0] += f" {format_clock(network.opens + bound.head)} ({held})"
        return f"one step after the other without delay, {' > '.join(labels)}: cannot end before {finish}"
    names, unit = who(network, bound.resources)
    count = len(set(bound.tasks))
    loads = "1 batch" if count == 1 else f"{count} batches"
    sentence = f"{names}: {loads}, "
    if bound.turns:
        length = format_duration(bound.minutes - bound.head - bound.tail)
        at_a_time = "one" if bound.lines == 1 else str(bound.lines)
        sentence += f"no more than {at_a_time} at a time, so {bound.turns} one after another take {length}"
    else:
        sentence += f"{bound.work:,} {unit} of work"
    if bound.head:
        sentence += f" after {format_clock(network.opens + bound.head)}"
    if bound.lost > 0:
        sentence += f", and {bound.lost:,} more lost to changing over or to room that is too small for anything else"
    if bound.tail:
        sentence += f", with {format_duration(bound.tail)} still to come after the last"
    return f"{sentence}: cannot end before {finish}"


def held_up(network: Network, bound: Bound) -> str:
    """What a chain of steps cannot begin before: a break, somebody's hours, an oven that must get hot.

    Args:
        network: what the bound refers to.
        bound: a critical path.

    Returns:
        Words such as "Maren's break until then; 40 min would not fit before 10:00"; empty when it begins at opening.
    """
    if not bound.head or not bound.tasks:
        return ""
    first = network.tasks[bound.tasks[0]]
    if isinstance(first, StockTask):
        return "in stock then"
    if isinstance(first, BatchTask) and network.problem.tasks[bound.tasks[0]].release == bound.head:
        return f"{first.last_goods} comes then"
    mode = network.problem.tasks[bound.tasks[0]].modes[0]
    for use in mode.uses:
        moment = bound.head + use.offset
        for index in use.resources:
            resource, group = network.problem.resources[index], network.resources[index]
            if isinstance(resource, Chamber):
                if resource.first.get(use.state or "", 0) == moment:
                    return f"{who(network, (index,))[0]} hot then"
                continue
            closure = next((closure for closure in resource.closures if closure.end == moment), None)
            if closure is not None and isinstance(group, Crew):
                names = " and ".join(group.names)
                length = format_duration(mode.duration - use.offset if use.length is None else use.length)
                if closure.start <= 0:
                    return f"{names} not there earlier"
                before = format_clock(network.opens + closure.start)
                return f"{names}'s break until then; {length} would not fit before {before}"
    return ""


def who(network: Network, resources: tuple[int, ...]) -> tuple[str, str]:
    """Resources in words, and the unit of their work: ('the 2 deck ovens', 'tray-minutes').

    Args:
        network: what the resources refer to.
        resources: positions of resources.
    """
    people: list[str] = []
    stations: dict[str, int] = {}
    units: set[str] = set()
    for index in resources:
        group = network.resources[index]
        if isinstance(group, Crew):
            people.extend(group.names)
            units.add("minutes")
        else:
            count = group.capacity if group.unit == "place" else len(group.names)
            stations[group.equipment_name] = stations.get(group.equipment_name, 0) + count
            units.add(_unit_minutes(group))
    words = [f"the {name}" if count == 1 else f"the {count} {plural(name, count)}" for name, count in stations.items()]
    words += people
    who = words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
    return who, units.pop() if len(units) == 1 else "minutes"


def _unit_minutes(group: StationGroup) -> str:
    """Work on a station: tray-minutes where loads share it, minutes where it or a place of it takes one at a time."""
    if group.kind == "mixer" or group.unit in ("batch", "place"):
        return "minutes"
    return f"{group.unit}-minutes"
