"""What can go wrong and is told by one choice: which batch, which machine, who."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from stationplan.live.expecting import Outlook
from stationplan.live.moment import Moment
from stationplan.live.wording import unit_name
from stationplan.render.templating import templates
from stationplan.scenario.units import format_clock


@dataclass(frozen=True)
class Choice:
    """A word of the record and what it can be about: what to type, and how it is shown."""

    word: str
    asked: str
    options: tuple[tuple[str, str], ...]


def choices(moment: Moment) -> str:
    """What can go wrong, or be right again, at a moment, as a part of the board's page.

    Args:
        moment: the shift at the moment.
    """
    asked = [
        Choice("failed", "a batch", tuple(_batches(moment))),
        Choice("out", "equipment", tuple((name, name) for name in _equipment(moment, out=False))),
        Choice("back", "equipment that is out", tuple((name, name) for name in _equipment(moment, out=True))),
        Choice("away", "somebody", tuple((name, name) for name in _people(moment, away=False))),
        Choice("in", "somebody who is away", tuple((name, name) for name in _people(moment, away=True))),
    ]
    return templates().get_template("board/choices.html").render(choices=[choice for choice in asked if choice.options])


def _batches(moment: Moment) -> Iterator[tuple[str, str]]:
    """Those that run, then those that are done, the last one first."""
    begun = [outlook for outlook in moment.forecast.outlooks.values() if outlook.standing in ("running", "done")]
    for outlook in sorted(begun, key=lambda outlook: (outlook.standing == "done", -outlook.end)):
        batch = outlook.batch
        yield batch.label, f"{batch.label} {batch.step}, {_since(outlook)}"


def _since(outlook: Outlook) -> str:
    if outlook.standing == "running":
        return f"running since {format_clock(outlook.start)}"
    return f"finished {format_clock(outlook.end)}"


def _equipment(moment: Moment, *, out: bool) -> Iterator[str]:
    """Equipment, and each unit where there are several."""
    gone = [(outage.equipment, outage.unit) for outage in moment.state.outages if outage.ended is None]
    if out:
        yield from (unit_name(*entry) for entry in gone)
        return
    for machine in moment.scenario["kitchen"]["equipment"]:
        name, count = machine["name"], int(machine.get("count", 1))
        for unit in (None, *(range(1, count + 1) if count > 1 else ())):
            if (name, unit) not in gone and (name, None) not in gone:
                yield unit_name(name, unit)


def _people(moment: Moment, *, away: bool) -> Iterator[str]:
    for person in moment.state.plan.people:
        if (moment.state.away(person, moment.now) is not None) == away:
            yield person
