"""From a scenario to its scheduling problem."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import floor
from typing import TYPE_CHECKING

from stationplan.engine.problem import Delivery, Hold, Link, LinkKind, Mode, Problem, Task
from stationplan.network.flow import stands_of_use, stands_until_taken
from stationplan.network.labels import batch_label, letters, stock_label
from stationplan.network.lots import BatchClaim, Claim, OrderClaim, claims_on, overlaps
from stationplan.network.modes import Resources, modes_of, resources_of
from stationplan.network.network import (
    AmountMade,
    BatchTask,
    LegendEntry,
    Lot,
    MoveTask,
    Network,
    OrderTasks,
    StockTask,
)
from stationplan.network.production import Production
from stationplan.network.quantities import productions
from stationplan.network.sharing import Leaving, together
from stationplan.network.standing import room_for, spots_of
from stationplan.network.stock import Stocked

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from stationplan.network.batches import Range
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
    builder.add_stock()
    builder.add_flow_lots()
    claims = claims_on(made, scenario.orders)
    builder.add_taken_lots(claims)
    builder.add_ready_lots()
    orders = builder.order_tasks(claims)
    return builder.network(orders)


@dataclass(frozen=True, slots=True)
class _Taker:
    """What takes up the cumulated quantity after ``first`` up to ``last``: a task, or delivery when it is None.

    ``own`` are those of the waits that are not behind what is in stock.
    """

    first: Fraction
    last: Fraction
    after: int | None
    stands: tuple[Stand, ...]
    own: tuple[Stand, ...] = ()


class _Builder:
    """Collects tasks, links, holds and lots; the order in which they are added is the order in the problem."""

    def __init__(self, scenario: Scenario, made: Mapping[str, Production], durations: Durations) -> None:
        self.scenario = scenario
        self.made = made
        self.durations = durations
        self.minutes = scenario.shift.closes - scenario.shift.opens
        self.resources: Resources = resources_of(scenario, made)
        self.tasks: list[Task] = []
        self.meaning: list[BatchTask | MoveTask | StockTask] = []
        self.links: list[Link] = []
        self.holds: list[Hold] = []
        self.lots: list[Lot] = []
        self.legend: list[LegendEntry] = []
        self.batches: dict[tuple[str, int], tuple[int, ...]] = {}
        self.stock: dict[str, tuple[int, ...]] = {}
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
        release, last_goods = self._all_there(production, entry)
        first = len(self.tasks)
        for position, batch in enumerate(ranges):
            modes, meanings = by_size[batch.size]
            label = batch_label(step_letters, position + 1, None if entry.group is None else entry.round)
            self.tasks.append(Task(label, modes, release, deadline=self.minutes))
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
                    last_goods,
                )
            )
        indices = tuple(range(first, len(self.tasks)))
        self.batches[recipe.name, entry.index] = indices
        for before, after in pairwise(indices):
            self.links.append(Link(before, after, kind=LinkKind.START_START))

    def add_stock(self) -> None:
        """A task without length for all stock that is taken up, at the moment at which it is there."""
        for position, (name, production) in enumerate(self.made.items()):
            first = len(self.tasks)
            for number, stocked in enumerate(production.stock, 1):
                label = stock_label(letters(position).upper(), number)
                most, path = stocked.stand.most, stocked.stand.path
                use_by = None if most is None else stocked.start + most
                unit = production.recipe.item.makes.unit
                self.tasks.append(Task(label, (Mode(0),), fixed_start=stocked.start))
                self.meaning.append(StockTask(label, name, stocked.first, stocked.last, unit, use_by, path))
            self.stock[name] = tuple(range(first, len(self.tasks)))

    def _all_there(self, production: Production, entry: Entry) -> tuple[int, str]:
        """When the last of a step's ingredients is there, minutes after opening, and which one it is."""
        wanted = {name.casefold() for name, _ in production.recipe.ingredients_into(entry)}
        coming = [
            (goods.since - self.scenario.shift.opens, goods.ingredient)
            for goods in self.scenario.goods
            if goods.ingredient.casefold() in wanted
        ]
        return max([(0, ""), *coming])

    def add_flow_lots(self) -> None:
        """What goes from step to step within an item."""
        for name, production in self.made.items():
            for link in production.recipe.flow.links:
                takers = [
                    _Taker(batch.first, batch.last, task, link.stands)
                    for batch, task in zip(production.batches[link.after], self.batches[name, link.after], strict=True)
                ]
                before = self.batches[name, link.before]
                self._add_lots(production, production.batches[link.before], before, takers)

    def add_taken_lots(self, claims: Mapping[str, tuple[Claim, ...]]) -> None:
        """What goes from the last step of a component to the steps that take it up."""
        for name, production in self.made.items():
            flow = production.recipe.flow
            takers = [
                _Taker(
                    claim.first,
                    claim.last,
                    self.batches[claim.user, claim.taking.entry][claim.batch],
                    stands_until_taken(flow, claim.taking),
                    stands_of_use(claim.taking),
                )
                for claim in claims[name]
                if isinstance(claim, BatchClaim)
            ]
            life = production.recipe.item.shelf_life
            keeps = None if life is None else floor(life)
            self._add_lots(production, production.supply, self._supply(production), takers, keeps)

    def add_ready_lots(self) -> None:
        """The waits of products until they are ready for delivery."""
        for production in self.made.values():
            flow = production.recipe.flow
            if production.recipe.path[0] == "products" and flow.trailing:
                takers = [
                    _Taker(batch.first, batch.last, None, flow.trailing) for batch in production.batches[flow.outlet]
                ]
                before = self.batches[production.recipe.name, flow.outlet]
                self._add_lots(production, production.batches[flow.outlet], before, takers)

    def _supply(self, production: Production) -> tuple[int, ...]:
        """The tasks that give what others take up, in the order of :attr:`Production.supply`."""
        name = production.recipe.name
        return (*self.stock[name], *self.batches[name, production.recipe.flow.outlet])

    def _add_lots(
        self,
        production: Production,
        sources: Sequence[Range | Stocked],
        tasks: Sequence[int],
        takers: Sequence[_Taker],
        keeps: int | None = None,
    ) -> None:
        """Link batches and stock to whatever takes them up, batches within the minutes that they keep."""
        leaving: dict[int, list[Leaving]] = {}
        for one, other, size in overlaps(sources, takers):
            source, taker = sources[one], takers[other]
            parts = leaving.setdefault(one, [])
            first = parts[-1].last if parts else Fraction(0)
            stands = (source.stand, *taker.own) if isinstance(source, Stocked) else taker.stands
            parts.append(Leaving(taker.after, first, first + size, stands))
        for one, parts in leaving.items():
            source = sources[one]
            self._add_batch_lots(production, tasks[one], source, parts, None if isinstance(source, Stocked) else keeps)

    def _add_batch_lots(
        self,
        production: Production,
        before: int,
        batch: Range | Stocked,
        parts: list[Leaving],
        keeps: int | None,
    ) -> None:
        """Link one batch to the tasks that take up its parts, through chains of waits, and keep room for them."""
        chains = [self._add_chain(before, part, len(self.lots) + number) for number, part in enumerate(parts)]
        holds = self._add_holds(production, batch, parts, chains)
        for part, chain, kept in zip(parts, chains, holds, strict=True):
            links = []
            for stand, (one, other) in zip(part.stands or (None,), pairwise(chain), strict=True):
                least, most = (0, None) if stand is None else (stand.least, stand.most)
                if part.after is None:
                    # Until delivery it stands for its least: whoever fetches it later finds it ready.
                    most = least
                links.append(len(self.links))
                tidy = 0 if isinstance(batch, Stocked) and stand is batch.stand else TIDY_MINUTE
                self.links.append(Link(one, other, least, most, tidy=tidy))
            if isinstance(batch, Stocked) and batch.stand.most is not None and len(part.stands) > 1:
                # What takes it up must begin in time, however long it is out of its place by then.
                self.links.append(Link(chain[0], chain[-1], None, batch.stand.most))
            shelf_life = None
            if keeps is not None:
                shelf_life = len(self.links)
                self.links.append(Link(chain[0], chain[-1], None, keeps))
            size, name = part.last - part.first, production.recipe.name
            self.lots.append(
                Lot(name, before, part.after, size, part.stands, chain, tuple(links), tuple(kept), shelf_life)
            )
            if part.after is None:
                self.ready[production.recipe.name, before] = chain[-1]

    def _add_chain(self, before: int, part: Leaving, lot: int) -> tuple[int, ...]:
        """The batch, the moves from wait to wait, and the task that takes the part up or the move that readies it."""
        moves = []
        for position in range(len(part.stands) - (part.after is not None)):
            until = "ready" if part.after is None else self.tasks[part.after].name
            label = f"{self.tasks[before].name} > {until}, {position + 1}"
            moves.append(len(self.tasks))
            self.tasks.append(Task(label, (Mode(0),), deadline=self.minutes))
            self.meaning.append(MoveTask(label, lot, position))
        return (before, *moves, *(() if part.after is None else (part.after,)))

    def _add_holds(
        self, production: Production, batch: Range | Stocked, parts: list[Leaving], chains: list[tuple[int, ...]]
    ) -> list[list[int | None]]:
        """Room for the parts at every wait that has a place; parts that share a tray leave in their order."""
        equipment = self.scenario.kitchen.equipment
        holds: list[list[int | None]] = [[None] * len(part.stands) for part in parts]
        for position in range(max(len(part.stands) for part in parts)):
            for stand in dict.fromkeys(part.stands[position] for part in parts if position < len(part.stands)):
                if stand.place is None:
                    continue
                spots = spots_of(production.recipe, stand, equipment)
                mine = [part if part.stands[position : position + 1] == (stand,) else None for part in parts]
                for group in together(mine, spots[0].room):
                    sharing = [parts[number] for number in group]
                    # What nobody takes up stands with the part that leaves last.
                    end = batch.size if group[-1] == len(parts) - 1 else sharing[-1].last
                    fitting, amounts = room_for(production.recipe, stand, spots, sharing, end, equipment)
                    pools = self.resources.pools(fitting)
                    leader: int | None = None
                    for number, amount in zip(group, amounts, strict=True):
                        if amount:
                            holds[number][position] = len(self.holds)
                            one, other = chains[number][position : position + 2]
                            self.holds.append(Hold(one, other, pools, amount, leader))
                            leader = holds[number][position] if leader is None else leader
                    self.links.extend(
                        Link(chains[one][position + 1], chains[other][position + 1], kind=LinkKind.START_START)
                        for one, other in pairwise(group)
                        if chains[one][position + 1] != chains[other][position + 1]
                    )
                    if position:
                        # A shared tray comes from the wait before in one piece.
                        self.links.extend(
                            Link(chains[one][position], chains[other][position], 0, 0, LinkKind.START_START)
                            for one, other in pairwise(group)
                        )
        return holds

    def order_tasks(self, claims: Mapping[str, tuple[Claim, ...]]) -> tuple[OrderTasks, ...]:
        """The batches of the last step that each order is made from."""
        found: dict[int, OrderTasks] = {}
        for name, production in self.made.items():
            takers = [claim for claim in claims[name] if isinstance(claim, OrderClaim)]
            batches: dict[int, list[int]] = {claim.order: [] for claim in takers}
            supply = self._supply(production)
            for one, other, _ in overlaps(production.supply, takers):
                batches[takers[other].order].append(supply[one])
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
                production.stocked,
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
