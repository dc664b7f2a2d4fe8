"""A plan laid beside its scenario: every look-up the checks need, worked out once."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from stationplan.plan.check.fault import Fault, FaultKind
from stationplan.plan.check.making import Making, UnderWay, work_out_amounts
from stationplan.plan.check.measure import is_pool
from stationplan.plan.check.recipe import Recipe, Stage, StageKey, lay_out
from stationplan.plan.document import Batch, Began, Plan, Station
from stationplan.scenario.models import Equipment, Person, Scenario

# Long enough for any product of losses, short enough to be reckoned with at once.
_EXACT_NUMBER = re.compile(r"\d{1,60}(/\d{1,60})?", re.ASCII)


@dataclass(frozen=True)
class Run:
    """A batch of the plan that belongs to a stage of a recipe, with its range in numbers.

    It takes the quantity from ``first`` to ``last`` and gives the one from ``given_first`` to ``given_last``, which is
    empty for one that was lost. ``began`` is what the plan was told of it if it had begun.
    """

    batch: Batch
    stage: Stage
    first: Fraction
    last: Fraction
    given_first: Fraction
    given_last: Fraction
    began: Began | None = None

    @property
    def size(self) -> Fraction:
        """How much it makes, in the item's base unit."""
        return self.last - self.first

    @property
    def label(self) -> str:
        """Its label."""
        return self.batch.label

    @property
    def end(self) -> int:
        """When what it makes can be taken up at the earliest."""
        return self.batch.end

    @property
    def title(self) -> str:
        """How a sentence names it: ``Ac3 (almond sponge, bake)``."""
        return f"{self.batch.label} ({self.batch.item}, {self.batch.step})"


@dataclass(frozen=True)
class Case:
    """A plan and its scenario, indexed.

    Attributes:
        recipes: every item laid out, by name.
        making: how much of each item is needed and made, users before what they use.
        runs: the plan's batches of each stage, by number.
        stations: the plan's stations by name.
        equipment: the kitchen's entries by name in lower case.
        people: the kitchen's people by name.
        delivered_at: when a batch's last wait for delivery ends, by its label.
        unreadable: faults of batches that belong to no stage or have no range.
        began: what the plan was told of the batches that had begun, by their labels.
    """

    plan: Plan
    scenario: Scenario
    recipes: Mapping[str, Recipe]
    making: Mapping[str, Making]
    runs: Mapping[StageKey, tuple[Run, ...]]
    stations: Mapping[str, Station]
    equipment: Mapping[str, Equipment]
    people: Mapping[str, Person]
    delivered_at: Mapping[str, int]
    unreadable: tuple[Fault, ...]
    began: Mapping[str, Began]

    @property
    def now(self) -> int:
        """When the plan was made, if part of the shift was over; else when it opens."""
        return self.opens if self.plan.past is None else self.plan.past.now

    @property
    def opens(self) -> int:
        """When the shift opens, minutes since midnight of the first day."""
        return self.scenario.shift.opens

    @property
    def closes(self) -> int:
        """When the shift closes, minutes since midnight of the first day."""
        return self.scenario.shift.closes

    def all_runs(self) -> list[Run]:
        """Every batch that belongs to a stage, in no particular order."""
        return [run for runs in self.runs.values() for run in runs]

    def equipment_of(self, station: str) -> Equipment | None:
        """The kitchen's entry that a station of the plan belongs to, None when there is none."""
        row = self.stations.get(station)
        return None if row is None else self.equipment.get(row.equipment.casefold())

    def answers(self, equipment: Equipment, use: str) -> bool:
        """Whether a piece of equipment is what a recipe calls ``use``: by its name, or else by its kind."""
        wanted = use.casefold()
        if wanted in self.equipment:
            return equipment.name.casefold() == wanted
        return equipment.kind == wanted

    def may_wait_in(self, equipment: Equipment, place: str | None) -> bool:
        """Whether a wait ``in`` a place may be in a piece of equipment."""
        return place is not None and is_pool(equipment) and self.answers(equipment, place)


def read_number(text: str) -> Fraction | None:
    """An exact number as the plan writes it, ``240`` or ``7/2``; None when it is not one."""
    if not _EXACT_NUMBER.fullmatch(text):
        return None
    _, _, denominator = text.partition("/")
    return None if denominator and int(denominator) == 0 else Fraction(text)


def lay_beside(plan: Plan, scenario: Scenario) -> Case:
    """Index a plan by the meaning of its scenario.

    Args:
        plan: any document that parses as a plan.
        scenario: what it is to be checked against.

    Returns:
        The case for the checks.

    Raises:
        UnclearScenarioError: when the scenario has no meaning.
    """
    recipes = lay_out(scenario)
    stages = {stage.key: stage for recipe in recipes.values() for stage in recipe.stages}
    began = {} if plan.past is None else {entry.label: entry for entry in plan.past.began}
    runs: dict[StageKey, list[Run]] = defaultdict(list)
    unreadable = []
    for batch in plan.batches:
        stage = stages.get((batch.item, batch.step, batch.round))
        first, last = read_number(batch.first), read_number(batch.last)
        if stage is None:
            sentence = f"{batch.label}: {batch.item} has no step {batch.step} in round {batch.round}."
            unreadable.append(Fault(FaultKind.BATCH_UNKNOWN, sentence, (batch.label,)))
        elif first is None or last is None or first >= last:
            sentence = f"{batch.label}: {batch.first} to {batch.last} is no quantity of {batch.item}."
            unreadable.append(Fault(FaultKind.BATCH_RANGE, sentence, (batch.label,)))
        else:
            runs[stage.key].append(Run(batch, stage, first, last, first, last, began.get(batch.label)))
    delivered_at: dict[str, int] = {}
    for stay in plan.stays:
        if stay.after is None:
            delivered_at[stay.before] = max(stay.end, delivered_at.get(stay.before, stay.end))
    in_order = {key: _in_order(found, plan) for key, found in runs.items()}
    equipment = {entry.name.casefold(): entry for entry in scenario.kitchen.equipment}
    return Case(
        plan=plan,
        scenario=scenario,
        recipes=recipes,
        making=_making(plan, scenario, recipes, in_order),
        runs=in_order,
        stations={station.name: station for station in plan.stations},
        equipment=equipment,
        people={person.name: person for person in scenario.kitchen.people},
        delivered_at=delivered_at,
        unreadable=tuple(unreadable),
        began=began,
    )


def _making(
    plan: Plan, scenario: Scenario, recipes: Mapping[str, Recipe], runs: Mapping[StageKey, tuple[Run, ...]]
) -> dict[str, Making]:
    stated = {amount.item: read_number(amount.quantity) for amount in plan.amounts}
    if plan.past is None:
        return work_out_amounts(scenario, recipes, stated)
    begun = {
        key: tuple((run.began.start, run.size) for run in found if run.began is not None) for key, found in runs.items()
    }
    letters = {entry.item: entry.letters for entry in plan.legend}
    return work_out_amounts(scenario, recipes, stated, UnderWay(plan.past, _taken(runs), begun, letters))


def _in_order(runs: list[Run], plan: Plan) -> tuple[Run, ...]:
    """The batches of a stage by number, or by what they take where some had begun, each with what it gives."""
    by_range = plan.past is not None
    found: list[Run] = []
    for run in sorted(runs, key=lambda run: (0 if by_range else run.batch.number, run.first, run.batch.number)):
        if by_range:
            first = found[-1].given_last if found else Fraction(0)
            run = replace(run, given_first=first, given_last=first if run.batch.lost else first + run.size)
        found.append(run)
    return tuple(found)


def _taken(runs: Mapping[StageKey, tuple[Run, ...]]) -> dict[StageKey, Fraction]:
    """What all batches of a stage take together."""
    return {key: sum((run.size for run in found), Fraction(0)) for key, found in runs.items()}
