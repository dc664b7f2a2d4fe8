"""From a plan to its course: what people wait for who keep to the plan's order rather than to its clock."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import networkx as nx

from stationplan.engine.problem import Chamber, LinkKind
from stationplan.live.course import Arc, Course, Due, Leaving, Limit, Moment, Stretch, Work
from stationplan.live.draft import Draft
from stationplan.live.errors import FollowingError
from stationplan.live.hours import Away, times_away
from stationplan.live.order_of_use import Taking, handed_on
from stationplan.live.ways import Times, times_of, times_of_running
from stationplan.network import build
from stationplan.network.flow import total_most
from stationplan.network.network import BatchTask, MoveTask, StockTask
from stationplan.plan.rebuilding import had_happened
from stationplan.plan.so_far import setting_of
from stationplan.scenario import from_plain

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.network import Network
    from stationplan.plan.document import Batch, Plan, Stay
    from stationplan.scenario.models import Scenario


def course_of(plan: Plan, *, early: bool = False) -> Course:
    """What people wait for who work through a plan in its order.

    Everybody and every station does the batches in the order of the plan. Without ``early`` no batch begins before its
    planned time, unless what it takes up would otherwise have waited for longer than it may. With ``early``
    everything begins as soon as it can, except for what must be taken up soon, which is not made too early.

    Of a plan that was made when a part of the shift was over only the rest is left to chance: what was done stays as it
    was, and what was running takes no less than it had lasted by then. Rules that had been given up are not counted.

    Args:
        plan: a checked plan.
        early: whether people work ahead of the plan where they can.

    Raises:
        FollowingError: when the plan is not made in the batches of its scenario.
    """
    scenario, so_far = from_plain(plan.scenario), had_happened(plan)
    networks = tuple(build(scenario, ends, so_far) for ends in (plan.durations, "shortest", "longest"))
    return _Following(plan, scenario, networks[0], early).course(networks[1], networks[2])


@dataclass(frozen=True, slots=True)
class _Handled:
    """Somebody's hands at a part of a batch: planned minutes and moments."""

    person: str
    start: int
    end: int
    begins: int
    ends: int


class _Following:
    def __init__(self, plan: Plan, scenario: Scenario, network: Network, early: bool) -> None:
        self.plan = plan
        self.scenario = scenario
        self.network = network
        self.early = early
        self.draft = Draft()
        self.now = plan.opens if plan.past is None else plan.past.now
        self.outcomes = {} if plan.past is None else {began.label: began.outcome for began in plan.past.began}
        self.batches = {batch.label: batch for batch in plan.batches}
        self.begins: dict[str, int] = {}
        self.ends: dict[str, int] = {}
        self.moves: dict[int, int] = {}
        self.hands: list[_Handled] = []
        labels = [task.label for task in network.tasks if isinstance(task, BatchTask)]
        if sorted(labels) != sorted(self.batches):
            raise FollowingError(
                "the batches of this plan are not those that its scenario asks for, so it cannot be worked through; "
                "make the plan anew"
            )

    def course(self, shortest: Network, longest: Network) -> Course:
        """The course, with the times of the batches between those of two networks."""
        networks = (self.network, shortest, longest)
        works: list[Work] = []
        for index, task in enumerate(self.network.tasks):
            if not isinstance(task, BatchTask):
                continue
            batch, outcome = self.batches[task.label], self.outcomes.get(task.label)
            if outcome is None:
                works.append(self._work(len(works), batch, times_of(index, batch, networks)))
            elif outcome == "running":
                works.append(self._work(len(works), batch, times_of_running(self.plan, batch, self.scenario, self.now)))
            else:
                self.begins[task.label] = self.draft.add_over(batch.start)
                self.ends[task.label] = self.draft.add_over(batch.end)
        self._add_moves()
        self._add_links()
        limits = tuple(self._limits())
        self._add_stations()
        self._shut()
        leavings = tuple(self._add_people())
        self._hold(limits)
        orders = tuple(
            Due(order.product, order.quantity, order.due, delivered.ready, tuple(map(self._ends_at, order.ready)))
            for order, delivered in zip(self.network.orders, self.plan.orders, strict=True)
        )
        ends = [*self.ends.values(), *(self.moves[lot.tasks[-1]] for lot in self.network.lots if lot.after is None)]
        ends += [self._ends_at(task) for order in self.network.orders for task in order.ready]
        moments, arcs = tuple(self.draft.moments), (tuple(self.draft.arcs),)
        now = None if self.plan.past is None else self.now
        course = Course(moments, arcs, tuple(works), limits, leavings, orders, tuple(ends), self.plan.finish, now)
        return _in_order(course)

    def _work(self, number: int, batch: Batch, times: Times) -> Work:
        """The moments of a batch; a part that needs hands begins when the person is free."""
        draft, opens = self.draft, self.plan.opens
        takes = batch.end - batch.start - times.load - times.unload
        first, last = (0, 0) if times.all_hands else (times.first, times.last)
        begins = min(first, takes)
        ends = min(last, takes - begins)
        stretches: list[tuple[int, int, Stretch | None]] = [
            (times.load, times.load, None),
            (first, begins, Stretch.FIRST),
            (1, takes - begins - ends, Stretch.MIDDLE),
            (last, ends, Stretch.LAST),
            (times.unload, times.unload, None),
        ]
        runs = batch.label in self.outcomes
        at, ended = batch.start, draft.add_over(batch.start) if runs else draft.add(batch.start, opens)
        self.begins[batch.label] = ended
        for there, length, stretch in stretches:
            if not there:
                continue
            hands = [hand for hand in batch.hands if hand.start <= at and hand.end >= at + length and length]
            begun = ended
            if hands and at > batch.start:
                begun = draft.add(at, opens)
                draft.then(ended, begun)
            at += length
            ended = draft.add(at, opens)
            if stretch is None:
                draft.then(begun, ended, length)
            else:
                draft.arcs.append(Arc(begun, ended, 0.0, number, stretch))
            self.hands += [_Handled(hand.person, at - length, at, begun, ended) for hand in hands if at > self.now]
        over = draft.add(batch.end, opens)
        draft.then(ended, over)
        self.ends[batch.label] = over
        stations = {station.name: (station.equipment, station.kind) for station in self.plan.stations}
        equipment = stations[batch.seats[0].station] if batch.seats else ()
        return Work(
            batch.label, batch.item, batch.step, equipment, self.begins[batch.label], over,
            times.least, times.most, takes, times.load, times.unload, first, last,
            max(0, self.now - batch.start - times.load - times.unload) if runs else 0,
        )  # fmt: skip

    def _stays(self) -> dict[tuple[str, str | None, int], Stay]:
        return {(stay.before, stay.after, stay.position): stay for stay in self.plan.stays}

    def _add_moves(self) -> None:
        stays = self._stays()
        for index, task in enumerate(self.network.tasks):
            if isinstance(task, MoveTask):
                lot = self.network.lots[task.lot]
                after = None if lot.after is None else self.network.tasks[lot.after].label
                before = self.network.tasks[lot.before].label
                stay = stays[before, after, task.position]
                if self.network.problem.tasks[index].fixed_start is not None and self.outcomes.get(before) == "done":
                    self.moves[index] = self.draft.add_over(stay.end)
                    continue
                self.moves[index] = self.draft.add(stay.end, self.plan.opens)
                if self.network.problem.tasks[index].fixed_start is not None:
                    # It is expected now, when what runs ends; nothing but that has to be before it.
                    previous = lot.tasks[lot.tasks.index(index) - 1]
                    self.draft.then(self._ends_at(previous), self.moves[index], lot.stands[task.position].least)
                elif index != lot.tasks[-1] and not self.early:
                    self.draft.hold(self.moves[index])
            elif isinstance(task, StockTask):
                there = self.plan.opens + (self.network.problem.tasks[index].fixed_start or 0)
                self.moves[index] = self.draft.add(there, there)

    def _begins_at(self, task: int) -> int:
        return self.moves[task] if task in self.moves else self.begins[self.network.tasks[task].label]

    def _ends_at(self, task: int) -> int:
        return self.moves[task] if task in self.moves else self.ends[self.network.tasks[task].label]

    def _add_links(self) -> None:
        """The recipes' order with its least times; what must happen at once happens together."""
        for task, given in enumerate(self.network.problem.tasks):
            self.draft.not_before(self._begins_at(task), self.plan.opens + given.release)
        for link in self.network.problem.links:
            before = (
                self._ends_at(link.before)
                if link.kind in (LinkKind.END_START, LinkKind.END_END)
                else self._begins_at(link.before)
            )
            after = (
                self._begins_at(link.after)
                if link.kind in (LinkKind.END_START, LinkKind.START_START)
                else self._ends_at(link.after)
            )
            if link.least is not None:
                self.draft.then(before, after, link.least)
            if link.most == link.least == 0 and link.kind is LinkKind.START_START:
                self.draft.then(after, before)

    def _limits(self) -> Iterator[Limit]:
        lifted = {one.lot for one in self.network.lifted}
        for number, lot in enumerate(self.network.lots):
            if lot.after is None or number in lifted or self.network.tasks[lot.after].label in self.outcomes:
                continue
            before, after = self.network.tasks[lot.before], self.network.tasks[lot.after]
            named = " and ".join(stand.name for stand in lot.stands if stand.name)
            name = named or (before.step if isinstance(before, BatchTask) else "stock")
            keeps = None if lot.shelf_life is None else self.network.problem.links[lot.shelf_life].most
            ends = self._ends_at(lot.before), self.begins[after.label]
            for told, most in ((name, total_most(lot.stands)), ("shelf life", keeps)):
                if most is not None:
                    yield Limit(lot.item, told, before.label, after.label, *ends, most)

    def _add_stations(self) -> None:
        """A batch waits for the room that is planned for it."""
        takings: dict[str, list[Taking]] = defaultdict(list)
        stations = {station.name: station for station in self.plan.stations}
        room = {name: 1 if one.kind == "mixer" else one.capacity for name, one in stations.items()}
        for batch in self.plan.batches:
            for seat in batch.seats if self.outcomes.get(batch.label, "running") == "running" else ():
                amount = min(seat.amount, room[seat.station])
                moments = self.begins[batch.label], self.ends[batch.label]
                takings[seat.station].append(Taking(seat.start, seat.end, amount, *moments))
        for station, taking in self._standing():
            takings[station].append(taking)
        for change in self.plan.changes:
            if change.end <= self.now and self.outcomes:
                continue
            begins, ends = (self.draft.add(minute, self.plan.opens) for minute in (change.start, change.end))
            self.draft.then(begins, ends, change.end - change.start)
            if not self.early and change.kind != "wash":
                self.draft.hold(begins)
            # An oven that changes its temperature is empty.
            takings[change.station].append(Taking(change.start, change.end, room[change.station], begins, ends))
        for name in stations:
            real = [taking for taking in takings[name] if taking.amount and taking.start < taking.end]
            for before, after in handed_on(real, room[name]):
                self.draft.then(before, after)

    def _shut(self) -> None:
        """Nothing begins on a station that would be out of use before it is done, as planned, or not be ready again."""
        groups = {name: index for index, group in enumerate(self.network.resources) for name in group.names}
        for batch in self.plan.batches:
            for seat in batch.seats if batch.label not in self.outcomes else ():
                resource = self.network.problem.resources[groups[seat.station]]
                chamber = isinstance(resource, Chamber)
                setting = setting_of(seat)
                heats = resource.after_restarts.get(str(setting), 0) if isinstance(resource, Chamber) else 0
                offset, until = seat.start - batch.start, seat.end - batch.start
                spans = tuple(
                    (self.plan.opens + closure.start - until, self.plan.opens + closure.end + heats - offset)
                    for closure in resource.closures
                    if chamber or closure.amount >= resource.capacity
                )
                self.draft.shut(self.begins[batch.label], spans)

    def _standing(self) -> Iterator[tuple[str, Taking]]:
        """What stands somewhere between two batches."""
        lots = {}
        for lot in self.network.lots:
            after = None if lot.after is None else self.network.tasks[lot.after].label
            lots[self.network.tasks[lot.before].label, after] = lot
        for stay in self.plan.stays:
            if stay.station is not None and stay.amount and (stay.end > self.now or not self.outcomes):
                tasks = lots[stay.before, stay.after].tasks
                moments = self._ends_at(tasks[stay.position]), self._begins_at(tasks[stay.position + 1])
                yield stay.station, Taking(stay.start, stay.end, stay.amount, *moments)

    def _add_people(self) -> Iterator[Leaving]:
        """Everybody works in the planned order; a break that cannot begin in time begins later and is as long."""
        away = times_away(self.scenario)
        for person in self.plan.people:
            mine = sorted(
                (hand for hand in self.hands if hand.person == person), key=lambda hand: (hand.start, hand.end)
            )
            if not mine:
                continue
            until: dict[int, Leaving] = {}
            entries: list[_Handled | Away] = sorted([*mine, *away[person]], key=lambda entry: (entry.start, entry.end))
            before: list[tuple[int, int]] = []
            came = self.plan.opens
            for entry in entries:
                if entry.start >= mine[-1].end:
                    break
                if entry.end <= self.now:
                    came = max(came, entry.end) if isinstance(entry, Away) else came
                    continue
                if isinstance(entry, Away) and not entry.rests:
                    came = entry.end
                    continue
                if isinstance(entry, Away):
                    begins, ends = (self.draft.add(minute, minute) for minute in (entry.start, entry.end))
                    self.draft.then(begins, ends, entry.end - entry.start)
                else:
                    begins, ends = entry.begins, entry.ends
                    self.draft.not_before(begins, came)
                    goes = next((one.start for one in away[person] if one.start >= entry.end and not one.rests), None)
                    until[goes or self.plan.closes] = Leaving(person, ends, goes or self.plan.closes)
                # What runs may have been begun by somebody who was busy: then nothing waits for the other.
                done = [moment for end, moment in before if end <= entry.start]
                for moment in done if entry.start >= self.now else ():
                    if moment != begins:
                        self.draft.then(moment, begins)
                before = [one for one in before if one[1] not in done] + [(entry.end, ends)]
            yield from until.values()

    def _hold(self, limits: tuple[Limit, ...]) -> None:
        """Hold batches to the clock: all of them, or, when people work ahead, those that must be taken up soon."""
        soon = {limit.end for limit in limits}
        for label, begins in self.begins.items():
            if label not in self.outcomes and (not self.early or self.ends[label] in soon):
                self.draft.hold(begins, tuple((one.end, one.most) for one in limits if one.begin == begins))


def _in_order(course: Course) -> Course:
    """The same with moments that must come together as one, and each after what leads to it."""
    [arcs] = course.arcs
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(len(course.moments)))
    graph.add_edges_from((arc.before, arc.after) for arc in arcs)
    graph.add_edges_from((one, number) for number, moment in enumerate(course.moments) for one, _ in moment.unless)
    # Two batches may change places in the same minute, each into the room that the other leaves.
    together = [sorted(found) for found in nx.strongly_connected_components(graph)]
    first = {number: found[0] for found in together for number in found}
    merged: nx.DiGraph[int] = nx.DiGraph()
    merged.add_nodes_from(sorted(found[0] for found in together))
    merged.add_edges_from((first[one], first[other]) for one, other in graph.edges if first[one] != first[other])
    position = {number: at for at, number in enumerate(nx.lexicographical_topological_sort(merged))}
    place = {number: position[one] for number, one in first.items()}
    members: dict[int, list[Moment]] = defaultdict(list)
    for number in sorted(first):
        members[place[number]].append(course.moments[number])
    into: list[list[Arc]] = [[] for _ in position]
    for arc in arcs:
        if place[arc.before] != place[arc.after]:
            into[place[arc.after]].append(replace(arc, before=place[arc.before], after=place[arc.after]))
    return Course(
        tuple(_as_one(members[number], number, place) for number in range(len(position))),
        tuple(tuple(dict.fromkeys(found)) for found in into),
        tuple(replace(work, begin=place[work.begin], end=place[work.end]) for work in course.works),
        tuple(replace(one, end=place[one.end], begin=place[one.begin]) for one in course.limits),
        tuple(replace(one, end=place[one.end]) for one in course.leavings),
        tuple(replace(one, ready=tuple(place[number] for number in one.ready)) for one in course.orders),
        tuple(sorted({place[number] for number in course.ends})),
        course.finish,
        course.now,
    )


def _as_one(moments: list[Moment], number: int, place: dict[int, int]) -> Moment:
    """Several moments that come together: not before any of them may, held if any of them is."""
    unless = dict.fromkeys((place[one], most) for moment in moments for one, most in moment.unless)
    return Moment(
        max(moment.planned for moment in moments),
        max(moment.earliest for moment in moments),
        any(moment.held for moment in moments),
        tuple((one, most) for one, most in unless if one != number),
        tuple(sorted({span for moment in moments for span in moment.shut})),
    )
