"""What a recipe asks for: its steps round by round, and what links them.

An item's entries are laid out with every repeat written out. Steps become stages;
waits become the stays of the link between the stages on either side of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from stationplan.plan.check.fault import UnclearScenarioError
from stationplan.scenario.models import Item, Product, Repeat, Scenario, Step, Use, Wait
from stationplan.scenario.units import Rate

StageKey = tuple[str, str, int]


@dataclass(frozen=True)
class Stage:
    """A step of an item in one of its rounds.

    ``index`` is its place among the item's stages, in the order of the file.
    """

    item: str
    step: Step
    round: int
    repeated: bool
    index: int

    @property
    def key(self) -> StageKey:
        """Item, step and round, as a batch of the plan names them."""
        return (self.item, self.step.name, self.round)


@dataclass(frozen=True)
class Waiting:
    """A wait on a link: least and most in whole minutes, and where it stands."""

    name: str
    least: int
    most: int | None
    place: str | None = None
    fills: Rate | None = None


@dataclass(frozen=True)
class Link:
    """Two stages, one after the other, with the waits in between.

    ``least`` and ``most`` limit the time from end to start over and above the waits.
    ``after`` is None for what waits for delivery.
    """

    before: Stage
    after: Stage | None
    waits: tuple[Waiting, ...] = ()
    least: int = 0
    most: int | None = None

    @property
    def least_gap(self) -> int:
        """Least minutes from the end of a batch before to the start of one after."""
        return self.least + sum(wait.least for wait in self.waits)

    @property
    def most_gap(self) -> int | None:
        """Most minutes from end to start, None when there is no limit."""
        if not self.waits:
            return self.most
        mosts = [wait.most for wait in self.waits if wait.most is not None]
        return sum(mosts) + (self.most or 0) if len(mosts) == len(self.waits) else None


@dataclass(frozen=True)
class TakeUp:
    """A component that a stage takes up."""

    component: str
    use: Use
    stage: Stage


@dataclass(frozen=True)
class Recipe:
    """An item laid out: stages, links between them, and what it ends with.

    ``rank`` orders items where nothing else does: products first, then components.
    ``trailing`` are the waits after the last stage.
    """

    name: str
    item: Item
    rank: int
    stages: tuple[Stage, ...]
    links: tuple[Link, ...]
    last: Stage
    trailing: tuple[Waiting, ...]
    takes_up: tuple[TakeUp, ...]

    @property
    def is_product(self) -> bool:
        """Whether it can be ordered."""
        return isinstance(self.item, Product)


@dataclass(frozen=True)
class _Entry:
    """One line of a recipe with repeats written out; ``group`` is the repeat it stands in."""

    what: Step | Wait
    round: int
    group: int | None

    @property
    def name(self) -> str:
        """What the step or wait is called in the recipe."""
        return self.what.wait if isinstance(self.what, Wait) else self.what.name


def lay_out(scenario: Scenario) -> dict[str, Recipe]:
    """Lay out every item of a scenario.

    Args:
        scenario: the input.

    Returns:
        Recipes by item name, components first, each in the order of the file.

    Raises:
        UnclearScenarioError: when a recipe has no single meaning.
    """
    recipes: dict[str, Recipe] = {}
    for place, (name, component) in enumerate(scenario.components.items()):
        recipes[name] = _lay_out_item(name, component, len(scenario.products) + place)
    for place, (name, product) in enumerate(scenario.products.items()):
        if name in recipes:
            raise UnclearScenarioError(f"{name} is both a component and a product.")
        recipes[name] = _lay_out_item(name, product, place)
    return recipes


def waiting_for_use(use: Use) -> Waiting:
    """The wait that a use itself asks for between the component and the step that takes it up."""
    return Waiting("", math.ceil(use.at_least), _whole_most(use.at_most), use.place, use.fills)


def link_to_user(recipe: Recipe, taken: TakeUp) -> Link:
    """The way of a component to the stage that takes it up: its trailing waits, then the use's own limits."""
    own = waiting_for_use(taken.use)
    if own.place is None and not recipe.trailing:
        return Link(recipe.last, taken.stage, (), own.least, own.most)
    asked = own.place is not None or own.least > 0 or own.most is not None
    return Link(recipe.last, taken.stage, (*recipe.trailing, own) if asked else recipe.trailing)


def _lay_out_item(name: str, item: Item, rank: int) -> Recipe:
    sizes = [item.makes, *([item.pieces.amount] if item.pieces else []), *([item.pieces.per] if item.pieces else [])]
    if any(size is not None and size.amount <= 0 for size in sizes):
        raise UnclearScenarioError(f"{name} makes nothing.")
    entries = _written_out(item)
    before = _what_comes_before(name, entries)
    stages: dict[int, Stage] = {}
    for position, entry in enumerate(entries):
        if isinstance(entry.what, Step):
            stages[position] = Stage(name, entry.what, entry.round, entry.group is not None, len(stages))
    if not stages:
        raise UnclearScenarioError(f"{name} has no step.")

    def origin(position: int) -> tuple[Stage, tuple[Waiting, ...]] | None:
        """The stage at or before an entry, and the waits from there up to and including the entry."""
        waits: list[Waiting] = []
        while position not in stages:
            what = entries[position].what
            assert isinstance(what, Wait)  # every step has a stage
            if len(before[position]) > 1 or len(waits) > len(entries):
                raise UnclearScenarioError(f"{name}: the wait {what.wait} must come after one thing, and not itself.")
            if not before[position]:
                return None
            waits.append(_waiting(what))
            position = before[position][0][0]
        return stages[position], tuple(reversed(waits))

    links = []
    for position, stage in stages.items():
        for earlier, least, most in before[position]:
            found = origin(earlier)
            if found is not None:
                links.append(Link(found[0], stage, found[1], least, most))
    followed = {earlier for earliers in before for earlier, _, _ in earliers}
    ends = [position for position in range(len(entries)) if position not in followed]
    last = origin(ends[0]) if len(ends) == 1 else None
    if last is None:
        raise UnclearScenarioError(f"{name} must end in exactly one step or wait that nothing follows.")
    first = min(stages.values(), key=lambda stage: stage.index)
    takes_up = [TakeUp(component, use, first) for component, use in item.uses.items()]
    for stage in stages.values():
        # A repeated step takes up what it uses once, in its first round.
        if stage.round == 1:
            takes_up += [TakeUp(component, use, stage) for component, use in stage.step.uses.items()]
    return Recipe(name, item, rank, tuple(stages.values()), tuple(links), last[0], last[1], tuple(takes_up))


def _written_out(item: Item) -> list[_Entry]:
    entries: list[_Entry] = []
    for group, what in enumerate(item.steps):
        if isinstance(what, Repeat):
            entries += [_Entry(inner, turn, group) for turn in range(1, what.repeat + 1) for inner in what.steps]
        else:
            entries.append(_Entry(what, 1, None))
    return entries


def _what_comes_before(name: str, entries: list[_Entry]) -> list[list[tuple[int, int, int | None]]]:
    """For each entry the positions of the entries it follows, with the least and most written there."""
    positions: dict[tuple[str, int], int] = {}
    rounds: dict[str, int] = {}
    groups: dict[str, int | None] = {}
    for position, entry in enumerate(entries):
        positions[entry.name, entry.round] = position
        rounds[entry.name] = entry.round
        groups[entry.name] = entry.group
    before: list[list[tuple[int, int, int | None]]] = []
    for position, entry in enumerate(entries):
        if entry.what.after is None:
            before.append([(position - 1, 0, None)] if position else [])
            continue
        found = []
        for after in entry.what.after:
            if after.step not in rounds:
                raise UnclearScenarioError(f"{name}: {entry.name} comes after {after.step}, which is not there.")
            together = entry.group is not None and groups[after.step] == entry.group
            earlier = positions[after.step, entry.round if together else rounds[after.step]]
            found.append((earlier, math.ceil(after.at_least), _whole_most(after.at_most)))
        before.append(found)
    return before


def _waiting(wait: Wait) -> Waiting:
    return Waiting(wait.wait, math.ceil(wait.at_least), _whole_most(wait.at_most), wait.place, wait.fills)


def _whole_most(most: Fraction | None) -> int | None:
    return None if most is None else math.floor(most)
