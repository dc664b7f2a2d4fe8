"""From a scenario to its scheduling problem."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING

from stationplan.engine.problem import Delivery, Hold, Link, LinkKind, Mode, Problem, Task
from stationplan.network.alternatives import spots_for_wait
from stationplan.network.errors import BatchError
from stationplan.network.flow import stands_until_taken
from stationplan.network.labels import batch_label, letters
from stationplan.network.lots import BatchClaim, Claim, OrderClaim, claims_on, overlaps
from stationplan.network.modes import Resources, modes_of, resources_of
from stationplan.network.network import AmountMade, BatchTask, LegendEntry, Lot, MoveTask, Network, OrderTasks
from stationplan.network.quantities import Production, productions

if TYPE_CHECKING:
    from collections.abc import Mapping

    from stationplan.network.flow import Entry, Stand
    from stationplan.network.times import Durations
    from stationplan.scenario.models import Scenario

TIDY_MINUTE = 1
TIDY_CHANGEOVER = 10


def build(scenario: Scenario, durations: Durations = "longest") -> Network:
    """Turn a scenario into tasks, resources, links and holds.

    Args:
        scenario: a valid scenario.
        durations: which end of time ranges counts: the longest, the shortest, or the middle.

    Returns:
        The problem, with time 0 at the opening of the shift, and the meaning of its parts.

    Raises:
        NetworkError: when the recipes, the orders and the kitchen do not fit together.
    """
    made = productions(scenario)
    builder = _Builder(scenario, made, durations)
    builder.add_batches()
    builder.add_flow_lots()
    claims = claims_on(made, scenario.orders)
    builder.add_taken_lots(claims)
    builder.add_ready_lots()
    orders = builder.order_tasks(claims)
    return builder.network(orders)


class _Builder:
    """Collects tasks, links, holds and lots; the order in which they are added is the order in the problem."""

    def __init__(self, scenario: Scenario, made: Mapping[str, Production], durations: Durations) -> None:
        self.scenario = scenario
        self.made = made
        self.durations = durations
        self.minutes = scenario.shift.closes - scenario.shift.opens
        self.resources: Resources = resources_of(scenario, made)
        self.tasks: list[Task] = []
        self.meaning: list[BatchTask | MoveTask] = []
        self.links: list[Link] = []
        self.holds: list[Hold] = []
        self.lots: list[Lot] = []
        self.legend: list[LegendEntry] = []
        self.batches: dict[tuple[str, int], tuple[int, ...]] = {}
        self.ready: dict[tuple[str, int], int] = {}

    def add_batches(self) -> None:
        """A task for every batch, and the order between batches of one step."""
        for position, (name, production) in enumerate(self.made.items()):
            item_letters = letters(position).upper()
            steps = production.recipe.flow.steps
            places = dict.fromkeys(entry.path for entry in steps)
            step_letters = {path: letters(number) for number, path in enumerate(places)}
            names = {entry.path: entry.name for entry in steps}
            self.legend.append(
                LegendEntry(item_letters, name, tuple((step_letters[path], names[path]) for path in places))
            )
            for entry in steps:
                self._add_step(production, entry, item_letters + step_letters[entry.path])

    def _add_step(self, production: Production, entry: Entry, step_letters: str) -> None:
        recipe = production.recipe
        ranges = production.batches[entry.index]
        by_size = {
            size: modes_of(entry, recipe, size, self.resources, self.durations)
            for size in sorted({batch.size for batch in ranges})
        }
        first = len(self.tasks)
        for position, batch in enumerate(ranges):
            modes, meanings = by_size[batch.size]
            label = batch_label(step_letters, position + 1, None if entry.group is None else entry.round)
            self.tasks.append(Task(label, modes, deadline=self.minutes))
            self.meaning.append(
                BatchTask(
                    label,
                    recipe.name,
                    entry.name,
                    entry.round,
                    position + 1,
                    len(ranges),
                    batch.first,
                    batch.last,
                    recipe.item.makes.unit,
                    meanings,
                    entry.path,
                )
            )
        indices = tuple(range(first, len(self.tasks)))
        self.batches[recipe.name, entry.index] = indices
        for before, after in pairwise(indices):
            self.links.append(Link(before, after, kind=LinkKind.START_START))

    def add_flow_lots(self) -> None:
        """What goes from step to step within an item."""
        for name, production in self.made.items():
            for link in production.recipe.flow.links:
                before, after = self.batches[name, link.before], self.batches[name, link.after]
                for one, other, size in overlaps(production.batches[link.before], production.batches[link.after]):
                    self._add_lot(production, before[one], after[other], size, link.stands)

    def add_taken_lots(self, claims: Mapping[str, tuple[Claim, ...]]) -> None:
        """What goes from the last step of a component to the steps that take it up."""
        for name, production in self.made.items():
            takers = [claim for claim in claims[name] if isinstance(claim, BatchClaim)]
            outlet = production.recipe.flow.outlet
            for one, other, size in overlaps(production.batches[outlet], takers):
                claim = takers[other]
                before = self.batches[name, outlet][one]
                after = self.batches[claim.user, claim.taking.entry][claim.batch]
                stands = stands_until_taken(production.recipe.flow, claim.taking)
                self._add_lot(production, before, after, size, stands)

    def add_ready_lots(self) -> None:
        """The waits of products until they are ready for delivery."""
        for name, production in self.made.items():
            flow = production.recipe.flow
            if production.recipe.path[0] != "products" or not flow.trailing:
                continue
            for batch, task in zip(production.batches[flow.outlet], self.batches[name, flow.outlet], strict=True):
                self._add_lot(production, task, None, batch.size, flow.trailing)
                self.ready[name, task] = len(self.tasks) - 1

    def _add_lot(
        self, production: Production, before: int, after: int | None, size: Fraction | int, stands: tuple[Stand, ...]
    ) -> None:
        """Link two batches through a chain of waits, or a batch to the moment when it is ready."""
        chain = [before]
        for position in range(len(stands) - (after is not None)):
            chain.append(self._add_move(before, after, position))
        if after is not None:
            chain.append(after)
        links = []
        holds: list[int | None] = []
        for stand, (one, other) in zip(stands or (None,), pairwise(chain), strict=True):
            least, most = (0, None) if stand is None else (stand.least, stand.most)
            if after is None:
                # Until delivery it stands for its least: whoever fetches it later finds it ready.
                most = least
            links.append(len(self.links))
            self.links.append(Link(one, other, least, most, tidy=TIDY_MINUTE))
            holds.append(
                None if stand is None or stand.place is None else self._hold(production, stand, one, other, size)
            )
        kept = tuple(holds) if stands else ()
        self.lots.append(
            Lot(production.recipe.name, before, after, Fraction(size), stands, tuple(chain), tuple(links), kept)
        )

    def _add_move(self, before: int, after: int | None, position: int) -> int:
        until = "ready" if after is None else self.tasks[after].name
        label = f"{self.tasks[before].name} > {until}, {position + 1}"
        self.tasks.append(Task(label, (Mode(0),), deadline=self.minutes))
        self.meaning.append(MoveTask(label, len(self.lots), position))
        return len(self.tasks) - 1

    def _hold(self, production: Production, stand: Stand, before: int, after: int, size: Fraction | int) -> int:
        recipe = production.recipe
        assert stand.place is not None
        equipment = self.scenario.kitchen.equipment
        spots = spots_for_wait(stand.place, stand.fills, recipe.item, recipe.name, equipment, stand.path)
        fitting = tuple(spot for spot in spots if spot.holds(size))
        if not fitting:
            raise BatchError(
                f"{size} {recipe.item.makes.unit} of {recipe.name} come at once, more than the {stand.place} holds; "
                "give the step before it a smaller `batch`",
                stand.path,
            )
        amount = ceil(fitting[0].room.amount(size))
        # A hold has one amount: places counted in another unit are left out.
        equal = tuple(spot for spot in fitting if ceil(spot.room.amount(size)) == amount)
        self.holds.append(Hold(before, after, self.resources.pools(equal), amount))
        return len(self.holds) - 1

    def order_tasks(self, claims: Mapping[str, tuple[Claim, ...]]) -> tuple[OrderTasks, ...]:
        """The batches of the last step that each order is made from."""
        found: dict[int, OrderTasks] = {}
        for name, production in self.made.items():
            outlet = production.recipe.flow.outlet
            takers = [claim for claim in claims[name] if isinstance(claim, OrderClaim)]
            batches: dict[int, list[int]] = {claim.order: [] for claim in takers}
            for one, other, _ in overlaps(production.batches[outlet], takers):
                batches[takers[other].order].append(self.batches[name, outlet][one])
            for position, tasks in batches.items():
                order = self.scenario.orders[position]
                ready = tuple(self.ready.get((name, task), task) for task in tasks)
                found[position] = OrderTasks(name, order.quantity, order.due, order.weight, tuple(tasks), ready)
        return tuple(found[position] for position in sorted(found))

    def network(self, orders: tuple[OrderTasks, ...]) -> Network:
        """Put everything together."""
        opens = self.scenario.shift.opens
        deliveries = tuple(
            Delivery(f"{order.quantity} {order.product}", order.ready, order.due - opens, order.weight)
            for order in orders
            if order.due is not None
        )
        problem = Problem(
            tasks=tuple(self.tasks),
            resources=self.resources.engine,
            links=tuple(self.links),
            holds=tuple(self.holds),
            deliveries=deliveries,
            horizon=self.minutes,
            tidy_changeover=TIDY_CHANGEOVER,
        )
        amounts = tuple(
            AmountMade(
                name,
                production.recipe.item.makes.unit,
                production.made,
                production.least,
                production.made / production.recipe.item.makes.amount,
            )
            for name, production in self.made.items()
        )
        return Network(
            name=self.scenario.name,
            problem=problem,
            opens=opens,
            closes=self.scenario.shift.closes,
            durations=self.durations,
            tasks=tuple(self.meaning),
            resources=self.resources.meaning,
            people=tuple(person.name for person in self.scenario.kitchen.people),
            lots=tuple(self.lots),
            orders=orders,
            amounts=amounts,
            legend=tuple(self.legend),
        )
