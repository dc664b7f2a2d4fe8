"""Batches that are in equipment that is out of use."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from stationplan.live.state import Outage, Run, ShiftState
from stationplan.live.wording import unit_name
from stationplan.scenario.units import format_clock


@dataclass(frozen=True, slots=True)
class Stranded:
    """A batch that runs in equipment that is out of use; nobody knows what it will be until somebody looks."""

    run: Run
    outage: Outage

    @property
    def sentence(self) -> str:
        """What has to be recorded, in a sentence without its full stop."""
        label = self.run.label
        name = unit_name(self.outage.equipment, self.outage.unit, self.outage.chamber)
        return (
            f"{label} is in {name}, which is out of use since {format_clock(self.outage.start)}: "
            f"record what became of it, finished {label} or failed {label}"
        )


def stranded_in(state: ShiftState) -> Iterator[Stranded]:
    """The running batches that are in equipment out of use, in the order in which they were recorded.

    Args:
        state: what is recorded.
    """
    for run in state.runs.values():
        outage = next((outage for name in run.stations for outage in state.outages_of(name)), None)
        if run.end is None and outage is not None:
            yield Stranded(run, outage)
