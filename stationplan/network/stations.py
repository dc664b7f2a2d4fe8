"""Equipment as engine resources: chambers, bowls and pools, with their changeovers."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor
from typing import TYPE_CHECKING

from stationplan.engine.problem import Chamber, Pool
from stationplan.network.alternatives import CHAMBERED, capacity_of, start_of, unit_of
from stationplan.network.closing import closures_of_place, closures_of_unit
from stationplan.network.network import StationGroup
from stationplan.scenario.units import Setting

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from stationplan.scenario.models import Equipment, Shift

HEATS = Fraction(10)
COOLS = Fraction(4)


def stations_of(
    position: int,
    machine: Equipment,
    settings: Iterable[Setting],
    contents: Iterable[str],
    shift: Shift,
    mornings: tuple[int, ...] = (),
) -> tuple[tuple[StationGroup, Pool | Chamber], ...]:
    """The resources that one equipment entry is.

    Args:
        position: its position in the kitchen.
        machine: the entry.
        settings: temperatures and modes that steps need of it.
        contents: what steps put into its bowl.
        shift: when the kitchen opens and closes.
        mornings: when the kitchen opens anew, minutes after the first opening.

    Returns:
        One per chamber of ovens and provers, and per bowl that needs washing or is not like the others; else one pool.
    """
    names = station_names(machine)
    capacity, unit = floor(capacity_of(machine)), unit_of(machine)
    if machine.kind in CHAMBERED:
        wanted = list(settings)
        changeovers = {
            (str(before), str(after)): heating_minutes(machine, before, after)
            for before in wanted
            for after in wanted
            if before != after
        }
        cold = Setting(start_of(machine), "")
        first = {str(after): heating_minutes(machine, cold, after) for after in wanted if after != cold}
        return tuple(
            (
                _group((name,), position, machine, capacity, unit, first),
                Chamber(
                    name,
                    capacity,
                    changeovers,
                    first,
                    restarts=mornings,
                    closures=closures_of_unit(
                        machine, number // machine.chambers + 1, shift, number % machine.chambers + 1
                    ),
                ),
            )
            for number, name in enumerate(names)
        )
    if machine.kind == "mixer":
        inside = list(contents)
        washes = {(before, after): wash_minutes(machine, before, after) for before in inside for after in inside}
        washes = {pair: minutes for pair, minutes in washes.items() if minutes}
        if washes or machine.out_of_use or any(slow.unit is not None for slow in machine.slower):
            shut = [closures_of_unit(machine, number, shift) for number in range(1, machine.count + 1)]
            bowls = [
                Chamber(name, 1, washes, tidy=False, closures=closures)
                for name, closures in zip(names, shut, strict=True)
            ]
            return tuple((_group((bowl.name,), position, machine, capacity, unit), bowl) for bowl in bowls)
        return ((_group(names, position, machine, capacity, unit), Pool(machine.name, machine.count)),)
    pool = Pool(machine.name, capacity, closures_of_place(machine, shift))
    return ((_group(names, position, machine, capacity, unit), pool),)


def _group(
    names: tuple[str, ...],
    position: int,
    machine: Equipment,
    capacity: int,
    unit: str,
    heats: Mapping[str, int] | None = None,
) -> StationGroup:
    cold = Setting(start_of(machine), "") if machine.kind in CHAMBERED else None
    return StationGroup(names, position, machine.name, machine.kind, capacity, unit, cold, cold, heats or {})


def station_names(machine: Equipment) -> tuple[str, ...]:
    """Names of its chambers or bowls; the entry's own name when there is one, or when it is a place."""
    if machine.kind not in CHAMBERED and machine.kind != "mixer":
        return (machine.name,)
    if machine.count * machine.chambers == 1:
        return (machine.name,)
    if machine.count > 1 and machine.chambers > 1:
        return tuple(
            f"{machine.name} {unit}.{chamber}"
            for unit in range(1, machine.count + 1)
            for chamber in range(1, machine.chambers + 1)
        )
    return tuple(f"{machine.name} {number}" for number in range(1, machine.count * machine.chambers + 1))


def heating_minutes(machine: Equipment, before: Setting, after: Setting) -> int:
    """Minutes in which an empty chamber comes from one setting to another, different one."""
    change = after.celsius - before.celsius
    rate = (machine.heats or HEATS) if change > 0 else (machine.cools or COOLS)
    return max(1, ceil(abs(change) / rate))


def wash_minutes(machine: Equipment, before: str, after: str) -> int:
    """Minutes of washing a bowl between two contents; the most exact changeover given counts."""
    given = {(changeover.before, changeover.after): changeover.takes for changeover in machine.changeovers}
    if before == after:
        return ceil(given.get((before, after), Fraction(0)))
    pairs = ((before, after), (before, "anything"), ("anything", after), ("anything", "anything"))
    return ceil(next((given[pair] for pair in pairs if pair in given), machine.wash))
