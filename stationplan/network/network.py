"""The outcome of :func:`stationplan.network.build`: the scheduling problem and what its parts mean in the kitchen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from stationplan.engine.problem import Problem
    from stationplan.network.errors import Path
    from stationplan.network.flow import Stand
    from stationplan.network.so_far import Hands, Run, SoFar
    from stationplan.network.times import Doing, Durations
    from stationplan.scenario.models import EquipmentKind
    from stationplan.scenario.units import Setting


@dataclass(frozen=True, slots=True)
class StationGroup:
    """A resource that is equipment.

    Attributes:
        names: its stations: one chamber, bowl or place, or several identical bowls.
        equipment: position of the equipment entry in the kitchen.
        equipment_name: its name.
        kind: its kind.
        capacity: room of each station, in ``unit``.
        unit: g, ml, a count, or 'batch' for one batch at a time.
        cold: ovens and provers: the setting it is at when the kitchen opens.
        at: ovens and provers: the setting it is at now, when part of the shift is over; else the same.
        heats: ovens and provers: minutes from that to each setting that steps need.
        left: bowls that are washed: what was in it last and when that came out, minutes after opening.
    """

    names: tuple[str, ...]
    equipment: int
    equipment_name: str
    kind: EquipmentKind
    capacity: int
    unit: str
    cold: Setting | None = None
    at: Setting | None = None
    heats: Mapping[str, int] = field(default_factory=dict, hash=False)
    left: tuple[str, int] | None = None


@dataclass(frozen=True, slots=True)
class Crew:
    """A resource that is people of the same skills, hours and breaks."""

    names: tuple[str, ...]
    skills: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SeatUse:
    """A use that is room on equipment: ``amount`` in the station's unit, setting or bowl content if it has one."""

    amount: int
    setting: Setting | None = None
    holding: str | None = None


@dataclass(frozen=True, slots=True)
class HandUse:
    """A use that is one or more people's hands.

    ``skill`` is None when anybody will do, and ``person`` who has begun it when somebody has.
    """

    doing: Doing
    people: int
    skill: str | None
    person: str | None = None


ModeUses = tuple[SeatUse | HandUse, ...]


@dataclass(frozen=True, slots=True)
class BatchTask:
    """A task that is one run of one step.

    Attributes:
        label: short and unique.
        item: component or product.
        step: name of the step.
        round: 1.. of a repeated step.
        number: 1..of.
        of: batches of this step and round.
        first: cumulated quantity where it begins, in base units.
        last: cumulated quantity where it ends.
        unit: base unit of the item.
        modes: for each mode of the task, what each of its uses is.
        path: where the step stands in the scenario.
        last_goods: the ingredient for which it cannot start at opening, '' when all are there.
        begun: what is known of it once it has begun; its uses are those that are still to come.
        hands: who works on it, as far as that has begun or cannot be changed.
        names: who and what it was to be done by in a plan before this one.
    """

    label: str
    item: str
    step: str
    round: int
    number: int
    of: int
    first: Fraction
    last: Fraction
    unit: str
    modes: tuple[ModeUses, ...]
    path: Path
    last_goods: str = ""
    begun: Run | None = None
    hands: tuple[Hands, ...] = ()
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StockTask:
    """A task without length or choice: stock is there.

    Attributes:
        label: short and unique.
        item: component or product.
        first: cumulated quantity where it begins, in base units.
        last: cumulated quantity where it ends.
        unit: base unit of the item.
        use_by: minutes after opening by which what takes it up must begin, None without a limit.
        path: where it stands in the scenario.
    """

    label: str
    item: str
    first: Fraction
    last: Fraction
    unit: str
    use_by: int | None
    path: Path


@dataclass(frozen=True, slots=True)
class MoveTask:
    """A task without length: a lot goes from one wait to the next, or is ready for delivery after its last."""

    label: str
    lot: int
    position: int


@dataclass(frozen=True, slots=True)
class Lot:
    """What goes from one batch to another, or from the last batch of a product to delivery.

    Attributes:
        item: the item that waits.
        before: task it comes from, a batch or stock.
        after: task that takes it up; None: ready for delivery.
        size: base units of the item.
        stands: the waits it passes through.
        tasks: ``before``, the moves between the waits, and ``after`` or the move that makes it ready.
        links: the link between each two of ``tasks``, None where both are over.
        holds: for each wait the hold that keeps its room, None without a place.
        shelf_life: the link that keeps its shelf life, None without one.
    """

    item: str
    before: int
    after: int | None
    size: Fraction
    stands: tuple[Stand, ...]
    tasks: tuple[int, ...]
    links: tuple[int | None, ...]
    holds: tuple[int | None, ...]
    shelf_life: int | None = None


@dataclass(frozen=True, slots=True)
class Lifted:
    """A rule for what already waits that cannot be kept.

    The wait at ``position`` of a lot goes on longer than ``most`` minutes, there is no room for it where it should
    stand, or it does not keep that long at all.
    """

    lot: int
    position: int
    rule: Literal["most", "place", "shelf life"]
    most: int | None = None


@dataclass(frozen=True, slots=True)
class OrderTasks:
    """An order and what it is ready with: ``batches`` of the last step, and the tasks whose end makes it ``ready``."""

    product: str
    quantity: int
    due: int | None
    weight: int
    batches: tuple[int, ...]
    ready: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class AmountMade:
    """How much of an item is made, in base units, and how many recipes that is.

    ``least`` would do for all orders, besides what is taken from ``stock``.
    """

    item: str
    unit: str
    made: Fraction
    least: Fraction
    recipes: Fraction
    stock: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class LegendEntry:
    """Letters of an item and, with their names, of its steps."""

    letters: str
    item: str
    steps: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Network:
    """The scheduling problem of a scenario and what its parts mean.

    Attributes:
        name: the scenario's name.
        problem: the problem; its time 0 is when the shift opens.
        opens: when the shift opens, minutes since midnight of the first day.
        closes: when it closes.
        durations: which end of a range counts.
        tasks: what each task is.
        resources: what each resource is.
        people: everybody in the kitchen, in the order of the scenario.
        lots: everything that goes from one batch to another.
        orders: the orders as listed.
        amounts: what is made, components first.
        legend: what the letters of the labels stand for.
        so_far: what had happened when it was built.
        lifted: the rules that it does without because of that.
    """

    name: str
    problem: Problem
    opens: int
    closes: int
    durations: Durations
    tasks: tuple[BatchTask | MoveTask | StockTask, ...]
    resources: tuple[StationGroup | Crew, ...]
    people: tuple[str, ...]
    lots: tuple[Lot, ...]
    orders: tuple[OrderTasks, ...]
    amounts: tuple[AmountMade, ...]
    legend: tuple[LegendEntry, ...]
    so_far: SoFar | None = None
    lifted: tuple[Lifted, ...] = ()
