"""The steps of one item in order: repeats written out, and waits turned into links between steps."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor
from typing import TYPE_CHECKING

import networkx as nx

from stationplan.network.errors import FlowError, Path
from stationplan.scenario.models import Repeat, Step, Wait

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from stationplan.scenario.models import After, Item, Use
    from stationplan.scenario.units import Rate


@dataclass(frozen=True, slots=True)
class Entry:
    """A step or wait of an item in one round. ``group`` is the position of its repeat group, None outside one."""

    index: int
    part: Step | Wait
    path: Path
    group: int | None = None
    round: int = 1

    @property
    def name(self) -> str:
        """The name of the step or wait."""
        return self.part.name if isinstance(self.part, Step) else self.part.wait

    @property
    def step(self) -> Step:
        """The step; only for entries that are no waits."""
        assert isinstance(self.part, Step)
        return self.part


@dataclass(frozen=True, slots=True)
class Stand:
    """One wait between two steps: whole minutes, and the place if there is one. ``name`` is '' for an unnamed one."""

    name: str
    least: int
    most: int | None
    path: Path
    place: str | None = None
    fills: Rate | None = None


@dataclass(frozen=True, slots=True)
class FlowLink:
    """The step at ``after`` follows the one at ``before``, with these waits in between."""

    before: int
    after: int
    stands: tuple[Stand, ...]


@dataclass(frozen=True, slots=True)
class Taking:
    """The step at ``entry`` takes up a component."""

    entry: int
    component: str
    use: Use
    path: Path


@dataclass(frozen=True, slots=True)
class Flow:
    """How an item is made: ``entries`` in order, ``links`` between its steps, ``outlet`` the last step.

    ``trailing`` are the waits after the outlet.
    """

    entries: tuple[Entry, ...]
    links: tuple[FlowLink, ...]
    outlet: int
    trailing: tuple[Stand, ...]
    takings: tuple[Taking, ...]

    @property
    def steps(self) -> tuple[Entry, ...]:
        """The entries that are steps."""
        return tuple(entry for entry in self.entries if isinstance(entry.part, Step))


def minutes_between(at_least: Fraction, at_most: Fraction | None, path: Path) -> tuple[int, int | None]:
    """A least and a most in whole minutes: the least rounded up, the most down.

    Raises:
        FlowError: when no whole minute lies between them.
    """
    least, most = ceil(at_least), None if at_most is None else floor(at_most)
    if most is not None and most < least:
        raise FlowError("at_most is below at_least, or no whole minute lies between the two", path)
    return least, most


def flow_of(item: Item, path: Path) -> Flow:
    """Lay out an item's steps.

    Args:
        item: the component or product.
        path: where it stands in the scenario, such as ('components', 'almond sponge').

    Raises:
        FlowError: when an entry follows something unknown, follows itself, or more than one entry ends the item.
    """
    entries = tuple(_entries(item, path))
    graph = _graph(entries)
    last = _last(entries, graph)
    steps = [entry for entry in entries if isinstance(entry.part, Step)]
    links = []
    for entry in steps:
        for before in graph.predecessors(entry.index):
            source, stands = _back_to_step(entries, graph, before)
            least, most = graph.edges[before, entry.index]["lag"]
            if not stands and (least, most) != (0, None):
                stands = (Stand("", least, most, entry.path),)
            links.append(FlowLink(source, entry.index, stands))
    outlet, trailing = _back_to_step(entries, graph, last)
    return Flow(entries, tuple(links), outlet, trailing, tuple(_takings(item, steps, path)))


def _takings(item: Item, steps: list[Entry], path: Path) -> Iterator[Taking]:
    for component, use in item.uses.items():
        yield Taking(steps[0].index, component, use, (*path, "uses", component))
    for entry in steps:
        # A repeated step takes up what it uses once, in its first round.
        if entry.round == 1:
            for component, use in entry.step.uses.items():
                yield Taking(entry.index, component, use, (*entry.path, "uses", component))


def _entries(item: Item, path: Path) -> Iterator[Entry]:
    index = 0
    for position, part in enumerate(item.steps):
        where = (*path, "steps", position)
        if not isinstance(part, Repeat):
            yield Entry(index, part, where)
            index += 1
            continue
        for number in range(1, part.repeat + 1):
            for inner, member in enumerate(part.steps):
                yield Entry(index, member, (*where, "steps", inner), position, number)
                index += 1


def _graph(entries: tuple[Entry, ...]) -> nx.DiGraph[int]:
    """Entries as nodes; each edge carries its lag in minutes (least, most)."""
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(entry.index for entry in entries)
    for entry in entries:
        if entry.part.after is None:
            if entry.index:
                graph.add_edge(entry.index - 1, entry.index, lag=(0, None))
            continue
        for after in entry.part.after:
            before = _named(entries, entry, after)
            lag = minutes_between(after.at_least, after.at_most, entry.path)
            if lag != (0, None) and (isinstance(entry.part, Wait) or isinstance(entries[before].part, Wait)):
                wait = entry.name if isinstance(entry.part, Wait) else after.step
                raise FlowError(f"put the at_least and at_most on the wait {wait!r} itself, not on `after`", entry.path)
            graph.add_edge(before, entry.index, lag=lag)
    if not nx.is_directed_acyclic_graph(graph):
        circle = [entries[edge[0]] for edge in nx.find_cycle(graph)]
        names = ", ".join(entry.name for entry in circle)
        raise FlowError(f"these follow each other in a circle: {names}", circle[0].path)
    for entry in entries:
        if isinstance(entry.part, Wait):
            _check_wait(entry, entry.part, graph)
    return graph


def _named(entries: tuple[Entry, ...], entry: Entry, after: After) -> int:
    """The entry that ``after`` means: of the same round inside a repeat, else of the last round."""
    found = [other for other in entries if other.name == after.step]
    if not found:
        raise FlowError(
            f"{entry.name!r} comes after {after.step!r}, but there is no such step or wait here", entry.path
        )
    same_round = [other for other in found if other.group == entry.group and other.round == entry.round]
    return same_round[0].index if entry.group is not None and same_round else found[-1].index


def _check_wait(entry: Entry, wait: Wait, graph: nx.DiGraph[int]) -> None:
    before, after = graph.in_degree(entry.index), graph.out_degree(entry.index)
    if before == 0:
        raise FlowError(f"nothing comes before the wait {wait.wait!r}; a wait needs a step that it follows", entry.path)
    if before > 1:
        raise FlowError(f"the wait {wait.wait!r} follows more than one entry; name only one in `after`", entry.path)
    if wait.place is not None and after > 1:
        raise FlowError(
            f"more than one entry follows the wait {wait.wait!r}; only one may follow a wait in a place",
            entry.path,
        )


def _last(entries: tuple[Entry, ...], graph: nx.DiGraph[int]) -> int:
    last = [entry for entry in entries if graph.out_degree(entry.index) == 0]
    if len(last) > 1:
        raise FlowError(
            f"nothing follows {last[0].name!r}, nor {last[1].name!r}; only one step or wait may be the last",
            last[0].path,
        )
    return last[0].index


def _back_to_step(entries: tuple[Entry, ...], graph: nx.DiGraph[int], index: int) -> tuple[int, tuple[Stand, ...]]:
    """Walk back over waits to the step they come from."""
    stands: list[Stand] = []
    while isinstance(wait := entries[index].part, Wait):
        least, most = minutes_between(wait.at_least, wait.at_most, entries[index].path)
        stands.insert(0, Stand(wait.wait, least, most, entries[index].path, wait.place, wait.fills))
        index = next(iter(graph.predecessors(index)))
    return index, tuple(stands)


def stands_until_taken(flow: Flow, taking: Taking) -> tuple[Stand, ...]:
    """The waits between a component's last step and a step that takes it up: its own trailing ones, then the use's.

    Args:
        flow: the component's flow.
        taking: who takes it up.
    """
    return (*flow.trailing, *stands_of_use(taking))


def stands_of_use(taking: Taking) -> tuple[Stand, ...]:
    """The wait that a use itself asks for, if it does."""
    use = taking.use
    least, most = minutes_between(use.at_least, use.at_most, taking.path)
    if use.place is None and (least, most) == (0, None):
        return ()
    return (Stand("", least, most, taking.path, use.place, use.fills),)


def total_most(stands: tuple[Stand, ...]) -> int | None:
    """Longest minutes that waits one after the other allow, None without limit."""
    mosts = [stand.most for stand in stands]
    if not mosts or None in mosts:
        return None
    return sum(most for most in mosts if most is not None)
