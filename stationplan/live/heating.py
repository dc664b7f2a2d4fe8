"""How long an oven or prover takes to be hot again that was out of use, and so has become cold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.network.alternatives import CHAMBERED, start_of
from stationplan.network.stations import heating_minutes
from stationplan.plan.document import Change
from stationplan.plan.so_far import setting_of
from stationplan.scenario.units import Setting

if TYPE_CHECKING:
    from stationplan.plan.document import Plan, Seat
    from stationplan.scenario.models import Scenario


class Heating:
    """What the chambers of a kitchen need to become hot.

    Args:
        plan: the plan in force.
        scenario: the one that the shift began with.
    """

    def __init__(self, plan: Plan, scenario: Scenario) -> None:
        machines = {machine.name: machine for machine in scenario.kitchen.equipment if machine.kind in CHAMBERED}
        self._chambers = {row.name: machines[row.equipment] for row in plan.stations if row.equipment in machines}

    def minutes(self, seat: Seat) -> int:
        """Minutes from cold to what a batch needs; 0 for what is no chamber."""
        machine = self._chambers.get(seat.station)
        return 0 if machine is None else self.between(Setting(start_of(machine), ""), seat) or 0

    def between(self, before: Setting | None, seat: Seat) -> int | None:
        """Minutes from one setting to what a batch needs; None for what is no chamber."""
        machine, goal = self._chambers.get(seat.station), setting_of(seat)
        if machine is None or goal is None or before is None:
            return None
        return 0 if goal == before else heating_minutes(machine, before, goal)

    def change(self, seat: Seat, before: Setting | None = None) -> Change:
        """The chamber becoming hot from cold, or from another setting, to be ready when the batch goes in."""
        before = Setting(start_of(self._chambers[seat.station]), "") if before is None else before
        goal = setting_of(seat)
        degrees = before.celsius if goal is None else goal.celsius
        return Change(
            station=seat.station,
            start=seat.start - (self.between(before, seat) or 0),
            end=seat.start,
            kind="setting" if degrees == before.celsius else "cool" if degrees < before.celsius else "heat",
            before=str(before),
            after=str(goal),
        )
