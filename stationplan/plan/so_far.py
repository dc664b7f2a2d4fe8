"""From a plan and what has happened of it to what its network is built around when the rest is planned anew."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Protocol

from stationplan.network.alternatives import CHAMBERED, named, start_of
from stationplan.network.closing import closures_of_unit
from stationplan.network.crews import mornings_of
from stationplan.network.network import SeatUse
from stationplan.network.so_far import Hands, Meant, Run, SoFar, Stood
from stationplan.network.stations import heating_minutes
from stationplan.plan.errors import PlanError
from stationplan.scenario.models import Scenario
from stationplan.scenario.units import Setting

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from stationplan.network.so_far import Outcome, StageKey
    from stationplan.plan.document import Batch, Plan, Seat, Station
    from stationplan.scenario.models import Equipment, EquipmentNeed, Shift

# The plan rounds a temperature given in °F, ninths of a degree, to a decimal number.
FINEST = 1000


class RunLike(Protocol):
    """What is recorded of a batch that has begun; ``end`` is None while it runs.

    ``stations`` has one for each of its seats in the plan and ``people`` one for each of its hands; empty: as planned.
    """

    @property
    def label(self) -> str:
        """The label of the batch."""

    @property
    def start(self) -> int:
        """When it began, minutes since midnight of the first day."""

    @property
    def end(self) -> int | None:
        """When it ended; None while it runs."""

    @property
    def expected_end(self) -> int:
        """When it is, or was, expected to end."""

    @property
    def outcome(self) -> Outcome:
        """What has become of it."""

    @property
    def stations(self) -> tuple[str, ...]:
        """Where, one for each of its seats."""

    @property
    def people(self) -> tuple[str, ...]:
        """Who, one for each pair of hands."""


@dataclass(frozen=True, slots=True)
class Recorded:
    """A batch that has begun, as :class:`RunLike` describes it; times in minutes since midnight of the first day."""

    label: str
    start: int
    end: int | None
    expected_end: int
    outcome: Outcome
    stations: tuple[str, ...] = ()
    people: tuple[str, ...] = ()


def so_far_of(plan: Plan, runs: Iterable[RunLike], now: int, scenario: Scenario | None = None) -> SoFar:
    """What has happened of a plan.

    Args:
        plan: the plan in force.
        runs: every batch that has begun, those included that had begun when the plan was made.
        now: minutes since midnight of the first day.
        scenario: the scenario as it is now, if it is not that of the plan any more.

    Raises:
        PlanError: when a batch is none of the plan.
    """
    batches = {batch.label: batch for batch in plan.batches}
    scenario = Scenario.model_validate(plan.scenario) if scenario is None else scenario
    equipment = {station.name: station.equipment for station in plan.stations}
    found = []
    for run in runs:
        if run.label not in batches:
            raise PlanError(f"{run.label} is no batch of this plan")
        found.append(_run(batches[run.label], run, now, scenario, equipment))
    meant: dict[StageKey, list[Meant]] = defaultdict(list)
    for batch in plan.batches:
        hands = sorted(batch.hands, key=lambda hand: hand.start)
        names = (*(seat.station for seat in batch.seats), *(hand.person for hand in hands))
        meant[batch.item, batch.step, batch.round].append(Meant(batch.number, batch.size, names))
    return SoFar(
        now=now,
        runs=tuple(found),
        meant={stage: tuple(sorted(batches, key=lambda batch: batch.number)) for stage, batches in meant.items()},
        stood=tuple(Stood(s.before, s.after, s.position, s.station, s.amount, s.end) for s in plan.stays),
        letters={entry.item: entry.letters for entry in plan.legend},
        ovens=_ovens(plan, found, now, scenario),
        counted=_counted(plan, scenario),
    )


def _counted(plan: Plan, scenario: Scenario) -> dict[int, Fraction]:
    """What the plan counts on of stock that could not all be used in time: for the rest, something else was made."""
    if plan.past is None or not plan.past.left_over:
        return {}
    # Entries come and go with what is recorded and undone, so that their places are no longer the same.
    before = _told_apart(Scenario.model_validate(plan.scenario))
    places = {entry: place for place, entry in enumerate(_told_apart(scenario))}
    left = [(before[entry.stock - 1], Fraction(entry.counted)) for entry in plan.past.left_over]
    return {places[entry]: counted for entry, counted in left if entry in places}


def _told_apart(scenario: Scenario) -> list[tuple[str, int]]:
    """Each entry of the stock, and how many like it come before it."""
    entries = [stock.model_dump_json() for stock in scenario.stock]
    return [(entry, entries[:place].count(entry)) for place, entry in enumerate(entries)]


def needs_on(scenario: Scenario, batch: Batch, equipment: Collection[str]) -> tuple[EquipmentNeed, ...]:
    """The ways of doing a batch on one of some pieces of equipment, as its recipe has them; empty where it has none."""
    item = scenario.items.get(batch.item)
    step = None if item is None else item.step_called(batch.step)
    kitchen = scenario.kitchen.equipment
    return tuple(
        need
        for need in (() if step is None else step.equipment)
        if any(kitchen[place].name in equipment for place in named(need.use, kitchen))
    )


def _run(batch: Batch, run: RunLike, now: int, scenario: Scenario, equipment: Mapping[str, str]) -> Run:
    end = max(run.expected_end, now) if run.end is None else run.end
    stations = run.stations or tuple(seat.station for seat in batch.seats)
    return Run(
        label=batch.label,
        item=batch.item,
        step=batch.step,
        round=batch.round,
        number=batch.number,
        size=batch.size,
        start=run.start,
        end=end,
        outcome=run.outcome,
        seats=tuple(
            (station, use_of(seat, () if station == seat.station else needs_on(scenario, batch, {equipment[station]})))
            for station, seat in zip(stations, batch.seats, strict=True)
        ),
        hands=tuple(_hands(batch, run, end)),
    )


def use_of(seat: Seat, needs: Sequence[EquipmentNeed]) -> SeatUse:
    """What a batch takes up: as planned, but elsewhere at the temperature that the recipe asks for there, if any."""
    setting = setting_of(seat)
    there = [need.at for need in needs if need.at is not None]
    if setting is not None and there and setting not in there:
        setting = there[0]
    return SeatUse(seat.amount, setting, seat.holding)


def setting_of(seat: Seat) -> Setting | None:
    """The temperature and setting at which a batch is on a station, None where there is none."""
    if seat.celsius is None:
        return None
    return Setting(Fraction(seat.celsius).limit_denominator(FINEST), seat.setting)


def _hands(batch: Batch, run: RunLike, end: int) -> Iterable[Hands]:
    """Who works on a batch that began or ends at another time than planned: its last minutes come when it ends."""
    people = run.people or tuple(hand.person for hand in batch.hands)
    for person, hand in zip(people, batch.hands, strict=True):
        later, longer = run.start - batch.start, end - batch.end
        last = hand.end == batch.end
        first = hand.start + (longer if last and hand.start > batch.start else later)
        until = hand.end + (longer if last else later)
        yield Hands(person, min(max(first, run.start), end), min(until, end), hand.doing)


def _ovens(plan: Plan, runs: Sequence[Run], now: int, scenario: Scenario) -> dict[str, Setting]:
    """What each oven is at: as its last load needs it, or on the way to what the plan has it get ready for."""
    equipment = {entry.name: entry for entry in scenario.kitchen.equipment}
    before = {entry.name: entry for entry in Scenario.model_validate(plan.scenario).kitchen.equipment}
    mornings = [plan.opens + morning for morning in mornings_of(scenario.kitchen.people, scenario.shift)]
    told = {} if plan.past is None else {oven.station: oven for oven in plan.past.ovens}
    begun = {run.label for run in runs}
    found = {}
    for station in plan.stations:
        if station.kind not in CHAMBERED:
            continue
        cold = Setting(start_of(equipment[station.equipment]), "")
        at, since = cold, plan.opens
        loads = [
            (run.start, run.end, run.label, use) for run in runs for name, use in run.seats if name == station.name
        ]
        last = max((start for start, *_ in loads), default=since)
        back = _back(plan, station, equipment[station.equipment], scenario.shift)
        if station.name in told and plan.past is not None:
            oven = told[station.name]
            at, since = Setting(Fraction(oven.celsius), oven.setting), plan.past.now
            # It has been getting ready for its next load since what the plan knew to be over.
            heard = {run.label for run in plan.past.began if station.name in run.stations}
            loads = [load for load in loads if load[1] > since or load[2] not in heard]
            known = _back(plan, station, before[station.equipment], scenario.shift)
            back = [moment for moment in back if moment > since or moment not in known]
        for _, end, _, use in sorted(loads, key=lambda load: load[:3]):
            at, since = use.setting or at, end
        # What went in before it was out of use has not made it hot again, however long it was in there.
        colds = [*(moment for moment in mornings if since <= moment), *(moment for moment in back if last < moment)]
        moment = max((moment for moment in colds if moment <= now), default=None)
        if moment is not None:
            at, since = cold, moment
        to_come = [
            (seat.start, setting)
            for batch in plan.batches
            for seat in batch.seats
            if seat.station == station.name and batch.label not in begun and (setting := setting_of(seat)) is not None
        ]
        if to_come:
            load = min(to_come, key=lambda load: load[0])
            at = _on_the_way(plan, station.name, equipment[station.equipment], at, since, load, now)
        found[station.name] = at
    return found


def _back(plan: Plan, station: Station, machine: Equipment, shift: Shift) -> list[int]:
    """When a chamber was in use again after it had been out of use, and so was cold."""
    rows = [row.name for row in plan.stations if row.equipment == station.equipment]
    unit, chamber = divmod(rows.index(station.name), machine.chambers)
    return [plan.opens + closure.end for closure in closures_of_unit(machine, unit + 1, shift, chamber + 1)]


def _on_the_way(
    plan: Plan, station: str, machine: Equipment, at: Setting, since: int, load: tuple[int, Setting], now: int
) -> Setting:
    """What an oven is at that may be getting ready for its next load: in even steps, beginning as planned.

    It may have further to go than was planned, where it has been out of use since.
    """
    start, wanted = load
    changes = [change for change in plan.changes if change.station == station and change.end <= start]
    change = max(changes, key=lambda change: change.end, default=None)
    if change is None or at == wanted or change.after != str(wanted):
        return at
    gone = now - max(change.start, since)
    if gone <= 0:
        return at
    needed = max(change.end - change.start, heating_minutes(machine, at, wanted))
    share = min(Fraction(1), Fraction(gone, needed))
    return Setting(at.celsius + (wanted.celsius - at.celsius) * share, wanted.mode)
