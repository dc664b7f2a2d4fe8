"""A plan laid beside its scenario: every look-up the checks need, worked out once."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from stationplan.plan.check.fault import Fault, FaultKind
from stationplan.plan.check.making import Making, work_out_amounts
from stationplan.plan.check.measure import is_pool
from stationplan.plan.check.recipe import Recipe, Stage, StageKey, lay_out
from stationplan.plan.document import Batch, Plan, Station
from stationplan.scenario.models import Equipment, Person, Scenario

# Long enough for any product of losses, short enough to be reckoned with at once.
_EXACT_NUMBER = re.compile(r"\d{1,60}(/\d{1,60})?", re.ASCII)


@dataclass(frozen=True)
class Run:
    """A batch of the plan that belongs to a stage of a recipe, with its range in numbers."""

    batch: Batch
    stage: Stage
    first: Fraction
    last: Fraction

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
    stated = {amount.item: read_number(amount.quantity) for amount in plan.amounts}
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
            runs[stage.key].append(Run(batch, stage, first, last))
    delivered_at: dict[str, int] = {}
    for stay in plan.stays:
        if stay.after is None:
            delivered_at[stay.before] = max(stay.end, delivered_at.get(stay.before, stay.end))
    equipment = {entry.name.casefold(): entry for entry in scenario.kitchen.equipment}
    return Case(
        plan=plan,
        scenario=scenario,
        recipes=recipes,
        making=work_out_amounts(scenario, recipes, stated),
        runs={key: tuple(sorted(found, key=lambda run: (run.batch.number, run.first))) for key, found in runs.items()},
        stations={station.name: station for station in plan.stations},
        equipment=equipment,
        people={person.name: person for person in scenario.kitchen.people},
        delivered_at=delivered_at,
        unreadable=tuple(unreadable),
    )
