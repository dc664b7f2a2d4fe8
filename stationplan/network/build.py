"""From a scenario to its scheduling problem."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import floor
from typing import TYPE_CHECKING

from stationplan.engine.problem import Hold, Link, LinkKind, Mode, Problem, Task
from stationplan.network.delivering import deliveries_of, orders_of
from stationplan.network.flow import stands_of_use, stands_until_taken
from stationplan.network.goods import all_there
from stationplan.network.history import History
from stationplan.network.labels import batch_label, item_letters, letters, stock_label
from stationplan.network.lots import BatchClaim, Claim, claims_on, overlaps
from stationplan.network.modes import Resources, modes_of, resources_of
from stationplan.network.network import (
    BatchTask,
    LegendEntry,
    Lifted,
    Lot,
    ModeUses,
    MoveTask,
    Network,
    OrderTasks,
    StockTask,
)
from stationplan.network.production import Production
from stationplan.network.quantities import amounts_of, productions
from stationplan.network.sharing import Leaving, Taker, together
from stationplan.network.standing import room_for, spots_of
from stationplan.network.stock import Stocked

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from stationplan.network.batches import Range
    from stationplan.network.flow import Entry
    from stationplan.network.so_far import Hands, SoFar
    from stationplan.network.times import Durations
    from stationplan.scenario.models import Scenario

TIDY_MINUTE = 1
TIDY_CHANGEOVER = 10


def build(scenario: Scenario, durations: Durations = "longest", so_far: SoFar | None = None) -> Network:
    """Turn a scenario into tasks, resources, links and holds.

    Args:
        scenario: a valid scenario.
        durations: which end of time ranges counts: the longest, the shortest, or the middle.
        so_far: what has happened of it already: batches that have begun stay as they are, and nothing else starts
            before now.

    Returns:
        The problem, with time 0 at the opening of the shift, and the meaning of its parts.

    Raises:
        NetworkError: when the recipes, the orders and the kitchen do not fit together.
    """
    made = productions(scenario, so_far)
    builder = _Builder(scenario, made, durations, so_far)
    builder.add_batches()
    builder.add_stock()
    builder.add_flow_lots()
    claims = claims_on(made, scenario.orders)
    builder.add_taken_lots(claims)
    builder.add_ready_lots()
    supply = {name: builder.supply_of(production) for name, production in made.items()}
    orders = orders_of(made, scenario.orders, claims, supply, builder.ready)
    return builder.network(orders)


class _Builder:
    """Collects tasks, links, holds and lots; the order in which they are added is the order in the problem."""

    def __init__(
        self, scenario: Scenario, made: Mapping[str, Production], durations: Durations, so_far: SoFar | None
    ) -> None:
        self.scenario = scenario
        self.made = made
        self.durations = durations
        self.minutes = scenario.shift.closes - scenario.shift.opens
        self.named = item_letters(made, so_far)
        self.resources: Resources = resources_of(scenario, made, so_far)
        self.history = None if so_far is None else History(scenario, self.resources, so_far)
        if self.history is not None:
            self.resources = self.history.resources
        self.tasks: list[Task] = []
        self.meaning: list[BatchTask | MoveTask | StockTask] = []
        self.links: list[Link] = []
        self.holds: list[Hold] = []
        self.lots: list[Lot] = []
        self.legend: list[LegendEntry] = []
        self.batches: dict[tuple[str, int], tuple[int, ...]] = {}
        self.stock: dict[str, tuple[int, ...]] = {}
        self.ready: dict[tuple[str, int], int] = {}

    @property
    def release(self) -> int:
        """The earliest start of what has not begun."""
        return 0 if self.history is None else self.history.now

    def add_batches(self) -> None:
        """A task for every batch, and the order between batches of one step."""
        for name, production in self.made.items():
            steps = production.recipe.flow.steps
            places = dict.fromkeys(entry.path for entry in steps)
            step_letters = {path: letters(number) for number, path in enumerate(places)}
            names = {entry.path: entry.name for entry in steps}
            self.legend.append(
                LegendEntry(self.named[name], name, tuple((step_letters[path], names[path]) for path in places))
            )
            for entry in steps:
                self._add_step(production, entry, self.named[name] + step_letters[entry.path])

    def _add_step(self, production: Production, entry: Entry, step_letters: str) -> None:
        recipe = production.recipe
        ranges = production.batches[entry.index]
        by_size = {
            size: modes_of(entry, recipe, size, self.resources, self.durations)
            for size in sorted({batch.size for batch in ranges if batch.begun is None})
        }
        release, last_goods = all_there(production.recipe, entry, self.scenario)
        first = len(self.tasks)
        batches = max([len(ranges), *(batch.number for batch in ranges)])
        for batch in ranges:
            label = batch_label(step_letters, batch.number, None if entry.group is None else entry.round)
            hands: tuple[Hands, ...] = ()
            meanings: tuple[ModeUses, ...]
            if self.history is not None and batch.begun is not None:
                fixed = self.history.task(batch.begun, entry.step)
                task, meanings, hands = fixed.task, (fixed.uses,), fixed.hands
                self.history.ended[len(self.tasks)] = batch.begun.end - self.history.opens
            else:
                modes, meanings = by_size[batch.size]
                task = Task(label, modes, max(release, self.release), deadline=self.minutes)
            self.tasks.append(task)
            self.meaning.append(
                BatchTask(
                    label,
                    recipe.name,
                    entry.name,
                    entry.round,
                    batch.number,
                    batches,
                    batch.first,
                    batch.last,
                    recipe.item.makes.unit,
                    meanings,
                    entry.path,
                    last_goods,
                    batch.begun,
                    hands,
                    () if self.history is None else self.history.names(recipe.name, entry, batch.number),
                )
            )
        indices = tuple(range(first, len(self.tasks)))
        self.batches[recipe.name, entry.index] = indices
        for before, after in pairwise(indices):
            self._follow(before, after)

    def _follow(self, before: int, after: int) -> None:
        """One task starts no later than another; whether what has begun did is no question any more."""
        if self.tasks[before].fixed_start is None and self.tasks[after].fixed_start is None:
            self.links.append(Link(before, after, kind=LinkKind.START_START))

    def add_stock(self) -> None:
        """A task without length for all stock that is taken up, at the moment at which it is there."""
        for name, production in self.made.items():
            first = len(self.tasks)
            for number, stocked in enumerate(production.stock, 1):
                label = stock_label(self.named[name], number)
                most, path = stocked.stand.most, stocked.stand.path
                use_by = None if most is None else stocked.start + most
                unit = production.recipe.item.makes.unit
                if self.history is not None and stocked.start <= self.history.now:
                    self.history.there.add(len(self.tasks))
                self.tasks.append(Task(label, (Mode(0),), fixed_start=stocked.start))
                self.meaning.append(StockTask(label, name, stocked.first, stocked.last, unit, use_by, path))
            self.stock[name] = tuple(range(first, len(self.tasks)))

    def add_flow_lots(self) -> None:
        """What goes from step to step within an item."""
        for name, production in self.made.items():
            for link in production.recipe.flow.links:
                takers = [
                    Taker(batch.first, batch.last, task, link.stands)
                    for batch, task in zip(production.batches[link.after], self.batches[name, link.after], strict=True)
                ]
                self._add_lots(production, production.given(link.before), self.batches[name, link.before], takers)

    def add_taken_lots(self, claims: Mapping[str, tuple[Claim, ...]]) -> None:
        """What goes from the last step of a component to the steps that take it up."""
        for name, production in self.made.items():
            flow = production.recipe.flow
            takers = [
                Taker(
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
            self._add_lots(production, production.supply, self.supply_of(production), takers, keeps)

    def add_ready_lots(self) -> None:
        """The waits of products until they are ready for delivery."""
        for name, production in self.made.items():
            flow = production.recipe.flow
            if production.recipe.path[0] == "products" and flow.trailing:
                takers = [
                    Taker(batch.first, batch.last, None, flow.trailing)
                    for batch in production.given(flow.outlet)
                    if batch.size
                ]
                self._add_lots(production, production.given(flow.outlet), self.batches[name, flow.outlet], takers)

    def supply_of(self, production: Production) -> tuple[int, ...]:
        """The tasks that give what others take up, in the order of :attr:`Production.supply`."""
        name, outlet = production.recipe.name, production.recipe.flow.outlet
        stock = iter(self.stock[name])
        made = {
            batch.number: task
            for batch, task in zip(production.batches[outlet], self.batches[name, outlet], strict=True)
        }
        return tuple(next(stock) if isinstance(part, Stocked) else made[part.number] for part in production.supply)

    def _add_lots(
        self,
        production: Production,
        sources: Sequence[Range | Stocked],
        tasks: Sequence[int],
        takers: Sequence[Taker],
        keeps: int | None = None,
    ) -> None:
        """Link batches and stock to whatever takes them up, batches within the minutes that they keep."""
        whole: dict[int, Range | Stocked] = {}
        for task, source in zip(tasks, sources, strict=True):
            # A batch that is cut in two, for stock to come in between, stands as one.
            known = whole.get(task)
            whole[task] = source if known is None else replace(known, last=known.last + source.size)
        leaving: dict[int, list[Leaving]] = {}
        for one, other, size in overlaps(sources, takers):
            source, taker = sources[one], takers[other]
            parts = leaving.setdefault(tasks[one], [])
            first = parts[-1].last if parts else Fraction(0)
            stands = (source.stand, *taker.own) if isinstance(source, Stocked) else taker.stands
            parts.append(Leaving(taker.after, first, first + size, stands))
        for task, parts in leaving.items():
            source = whole[task]
            self._add_batch_lots(production, task, source, parts, None if isinstance(source, Stocked) else keeps)

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
            links: list[int | None] = []
            for position, (stand, pair) in enumerate(zip(part.stands or (None,), pairwise(chain), strict=True)):
                least, most = (0, None) if stand is None else (stand.least, stand.most)
                if part.after is None:
                    # Until delivery it stands for its least: whoever fetches it later finds it ready.
                    most = least
                tidy = 0 if isinstance(batch, Stocked) and stand is batch.stand else TIDY_MINUTE
                links.append(self._add_link(part, chain, Link(*pair, least, most, tidy=tidy), position))
            if isinstance(batch, Stocked) and batch.stand.most is not None and len(part.stands) > 1:
                # What takes it up must begin in time, however long it is out of its place by then.
                self._add_link(part, chain, Link(chain[0], chain[-1], None, batch.stand.most))
            shelf_life = None
            if keeps is not None:
                shelf_life = self._add_link(part, chain, Link(chain[0], chain[-1], None, keeps))
            size, name = part.last - part.first, production.recipe.name
            self.lots.append(
                Lot(name, before, part.after, size, part.stands, chain, tuple(links), tuple(kept), shelf_life)
            )
            if part.after is None:
                self.ready[production.recipe.name, before] = chain[-1]

    def _add_link(self, part: Leaving, chain: tuple[int, ...], link: Link, position: int | None = None) -> int | None:
        """Link two tasks of the chain of the next lot, unless all of it is over; the link's position.

        The link is for the wait at ``position`` of the chain, or for how long it keeps in all.
        """
        if self.tasks[chain[-1]].fixed_start is not None:
            return None
        if self.history is not None and link.before in self.history.ended:
            after = None if part.after is None else self.tasks[part.after].name
            wait = Lifted(len(self.lots), position or 0, "shelf life" if position is None else "most")
            link = self.history.link(link, (self.tasks[chain[0]].name, after, position), wait)
        self.links.append(link)
        return len(self.links) - 1

    def _add_chain(self, before: int, part: Leaving, lot: int) -> tuple[int, ...]:
        """The batch, the moves from wait to wait, and the task that takes the part up or the move that readies it."""
        chain = [before]
        for position in range(len(part.stands) - (part.after is not None)):
            until = "ready" if part.after is None else self.tasks[part.after].name
            label = f"{self.tasks[before].name} > {until}, {position + 1}"
            task = Task(label, (Mode(0),), self.release, deadline=self.minutes)
            if self.history is not None:
                after = None if part.after is None else self.tasks[part.after]
                task = self.history.move(task, chain[-1], self.tasks[before], after, part.stands[position], position)
                if task.fixed_start is not None:
                    self.history.ended[len(self.tasks)] = task.fixed_start
            chain.append(len(self.tasks))
            self.tasks.append(task)
            self.meaning.append(MoveTask(label, lot, position))
        return (*chain, *(() if part.after is None else (part.after,)))

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
                    if self.history is not None:
                        one, name = chains[group[0]][position], self.tasks[chains[group[0]][0]].name
                        pools = self.history.places(one, name, position, pools)
                    for number, amount in zip(group, amounts, strict=True):
                        one, other = chains[number][position : position + 2]
                        wait = Lifted(len(self.lots) + number, position, "place")
                        if self._keeps_room(chains[number], wait) and amount:
                            holds[number][position] = len(self.holds)
                            self.holds.append(Hold(one, other, pools, amount, leader))
                            leader = holds[number][position] if leader is None else leader
                    for earlier, later in pairwise(group):
                        come = chains[earlier][position], chains[later][position]
                        leave = chains[earlier][position + 1], chains[later][position + 1]
                        if leave[0] != leave[1]:
                            self._follow(*leave)
                        if position and all(self.tasks[task].fixed_start is None for task in come):
                            # A shared tray comes from the wait before in one piece.
                            self.links.append(Link(*come, 0, 0, LinkKind.START_START))
        return holds

    def _keeps_room(self, chain: tuple[int, ...], wait: Lifted) -> bool:
        """Whether what waits between two tasks of a lot's chain takes room that others could have from now on."""
        one, other = chain[wait.position : wait.position + 2]
        if self.tasks[other].fixed_start is not None:
            return False
        return self.history is None or self.history.keeps_room(one, self.tasks[chain[0]].name, wait)

    def network(self, orders: tuple[OrderTasks, ...]) -> Network:
        """Put everything together."""
        opens = self.scenario.shift.opens
        problem = Problem(
            tasks=tuple(self.tasks),
            resources=self.resources.engine,
            links=tuple(self.links),
            holds=tuple(self.holds),
            deliveries=deliveries_of(orders, opens),
            horizon=self.minutes if self.history is None else max([self.minutes, *self.history.ended.values()]),
            tidy_changeover=TIDY_CHANGEOVER,
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
            amounts=amounts_of(self.made),
            legend=tuple(self.legend),
            so_far=None if self.history is None else self.history.so_far,
            lifted=() if self.history is None else tuple(self.history.lifted),
        )
