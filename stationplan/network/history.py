"""Batches that have begun, as tasks that stay where they are, and stations and people as these leave them.

What is over cannot be wrong any more. So a task that has begun takes only what it still needs from now on, and no
more of it than there is; and what was in an oven or a bowl counts through the time from which it can take other things.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from stationplan.engine.problem import Chamber, Link, Mode, Pool, Task, Use
from stationplan.network.network import Crew, HandUse, Lifted, ModeUses, SeatUse, StationGroup
from stationplan.network.stations import heating_minutes

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.engine.problem import Closure
    from stationplan.network.flow import Entry, Stand
    from stationplan.network.modes import Resources
    from stationplan.network.so_far import Hands, Run, SoFar, WaitKey
    from stationplan.scenario.models import Scenario, Step


@dataclass(frozen=True)
class Fixed:
    """A batch that has begun: its task, what its uses are, and the hands that nothing can be changed about."""

    task: Task
    uses: ModeUses
    hands: tuple[Hands, ...]


@dataclass(frozen=True, slots=True)
class _Load:
    """Something that is or was in a chamber or a bowl; times in minutes after opening."""

    label: str
    start: int
    end: int
    seat: SeatUse

    @property
    def state(self) -> str:
        """What the chamber is set to, or what is in the bowl."""
        return str(self.seat.setting) if self.seat.setting is not None else self.seat.holding or ""


class History:
    """The kitchen as the batches that have begun leave it.

    Args:
        scenario: the scenario.
        resources: its resources as they are when nothing has begun.
        so_far: what has happened.

    Attributes:
        so_far: what has happened.
        opens: when the shift opens, minutes since midnight of the first day.
        now: minutes after opening.
        resources: the resources with what is over left out.
        ended: when the tasks that have begun end, minutes after opening; before 0 when they ended before it.
        there: the stock that is there already.
        lifted: the rules that cannot be kept any more.
    """

    def __init__(self, scenario: Scenario, resources: Resources, so_far: SoFar) -> None:
        self._scenario = scenario
        self.so_far = so_far
        self.opens = int(scenario.shift.opens)
        self.now = max(0, so_far.now - self.opens)
        self.ended: dict[int, int] = {}
        self.there: set[int] = set()
        self.lifted: list[Lifted] = []
        self._resources = resources
        self._stations: dict[str, int] = {}
        self._people: dict[str, int] = {}
        for index, group in enumerate(resources.meaning):
            known = self._people if isinstance(group, Crew) else self._stations
            known.update(dict.fromkeys(group.names, index))
        self._taken: dict[int, list[tuple[int, int, int]]] = {}
        self._in_chambers: dict[tuple[str, int], int] = {}
        engine, meaning = list(resources.engine), list(resources.meaning)
        for index, resource in enumerate(resources.engine):
            group = meaning[index]
            if isinstance(resource, Pool):
                engine[index] = self._from_now_on(resource)
            elif isinstance(group, StationGroup):
                engine[index], meaning[index] = self._chamber(index, resource, group)
        self.resources = replace(resources, engine=tuple(engine), meaning=tuple(meaning))

    def _from_now_on(self, pool: Pool) -> Pool:
        return replace(pool, closures=self._closures(pool))

    def _closures(self, resource: Pool | Chamber) -> tuple[Closure, ...]:
        closures = (replace(closure, start=max(closure.start, self.now)) for closure in resource.closures)
        return tuple(closure for closure in closures if closure.start < closure.end)

    def _chamber(self, index: int, chamber: Chamber, group: StationGroup) -> tuple[Chamber, StationGroup]:
        loads = self._loads(chamber.name)
        inside = [load for load in loads if load.end > self.now]
        # Loads that cannot be in there together keep everything else out until they are gone.
        agree = len({load.state for load in inside}) < 2 and (chamber.capacity > 1 or len(inside) < 2)
        closures = self._closures(chamber)
        agree &= not any(shut.start < load.end for shut in closures for load in inside)
        room = chamber.capacity if agree else 0
        for load in sorted(inside, key=lambda load: -load.end):
            amount = min(room, 1 if group.kind == "mixer" else load.seat.amount)
            self._in_chambers[load.label, index] = amount
            room -= amount
        settings = {str(setting): setting for setting in self._resources.settings[group.equipment]}
        first = {}
        for state in [*settings, *self._resources.contents[group.equipment]]:
            first[state] = 0
            for place, load in enumerate(loads):
                shared = load.state == state and chamber.capacity > 1
                if not agree or (load.end <= self.now and not shared):
                    since = any(other.state == state for other in [*loads[place + 1 :], *inside])
                    gap = 0 if since else chamber.changeovers.get((load.state, state), 0)
                    first[state] = max(first[state], load.end + gap)
        if group.kind == "mixer":
            last = max(loads, key=lambda load: (load.end, load.label), default=None)
            group = replace(group, left=None if last is None else (last.state, last.end))
        else:
            at = self.so_far.ovens.get(chamber.name, group.cold) if not inside else inside[-1].seat.setting
            assert at is not None
            machine = self._scenario.kitchen.equipment[group.equipment]
            heats = {name: heating_minutes(machine, at, to) for name, to in settings.items() if to != at}
            group = replace(group, at=at, heats=heats)
            for state, minutes in heats.items():
                first[state] = max(first[state], self.now + minutes)
        # People know chambers with a past apart, even if both are at the same temperature.
        first[chamber.name] = 0
        restarts = tuple(restart for restart in chamber.restarts if restart > self.now)
        return replace(chamber, first=first, restarts=restarts, closures=closures, again=chamber.first), group

    def _loads(self, station: str) -> list[_Load]:
        loads = [
            _Load(run.label, run.start - self.opens, run.end - self.opens, seat)
            for run in self.so_far.runs
            for name, seat in run.seats
            if name == station
        ]
        return sorted(loads, key=lambda load: (load.start, load.end, load.label))

    def task(self, run: Run, step: Step) -> Fixed:
        """A batch that has begun.

        Args:
            run: the batch.
            step: its step.
        """
        # The problem begins at opening.
        start, end = max(0, run.start - self.opens), max(0, run.end - self.opens)
        uses: list[Use] = []
        meaning: list[SeatUse | HandUse] = []
        fixed: list[Hands] = []
        for name, seat in run.seats:
            index = self._stations.get(name)
            if index is None or end <= self.now:
                continue
            for use, amount in self._seat_uses(run, index, seat, start, end):
                uses.append(use)
                meaning.append(replace(seat, amount=amount))
        for hand in run.hands:
            begins, ends = max(self.now, hand.start - self.opens), min(hand.end - self.opens, end)
            under_way = hand.begun(run.start, self.so_far.now)
            crew = None if under_way or begins >= ends else self._crew(hand, step, begins, ends)
            if crew is None:
                fixed.append(hand)
            index = self._people.get(hand.person) if crew is None else crew
            if index is None or begins >= ends:
                continue
            # A crew is free all the time: one piece of work stays one, whatever else begins or ends meanwhile.
            stretches = self._free(index, begins, ends) if crew is None else ((begins, ends, 1),)
            for begin, until, room in stretches:
                # Where nobody is free for it, it keeps everybody: no plan can give them anything else.
                amount = min(1, room) if under_way else room
                if amount:
                    self._take(index, begin, until, amount)
                    uses.append(Use((index,), amount, begin - start, until - begin))
                    meaning.append(HandUse(hand.doing, 1, None, hand.person if crew is None else None))
        task = Task(run.label, (Mode(end - start, tuple(uses)),), fixed_start=start)
        return Fixed(task, tuple(meaning), tuple(fixed))

    def move(self, task: Task, previous: int, before: Task, after: Task | None, stand: Stand, position: int) -> Task:
        """The move of a lot from one wait to the next: where it stands in the past, it is over.

        Nobody records moves, so each is taken to have been made when the plan so far has it, if it could be.

        Args:
            task: the move as a task that is still to come.
            previous: the position of the batch or move before it.
            before: the batch that the lot comes from.
            after: the batch that takes it up, None when it is ready with the last of these moves.
            stand: the wait that ends with it.
            position: the position of that wait.
        """
        begun = None if after is None else after.fixed_start
        end = self.ended.get(previous, begun)
        if end is None:
            return task
        moment = end + stand.least
        stood = self.so_far.stood_at(before.name, None if after is None else after.name, position)
        if after is not None and stood is not None:
            moment = max(moment, stood.until - self.opens)
        if begun is not None:
            moment = max(min(moment, begun), end)
        return task if begun is None and moment > self.now else replace(task, fixed_start=max(0, moment), deadline=None)

    def link(self, link: Link, key: WaitKey, wait: Lifted) -> Link:
        """A link from a task that has begun to one that has not; a most that is over, or may be, is lifted.

        Args:
            link: from the end of the one to the start of the other.
            key: the wait.
            wait: what is noted when the most is lifted.
        """
        # A move of the past came when it did; how long that took still counts.
        end, least, most = self.ended[link.before], link.least, None if link.after in self.ended else link.most
        if most is not None and (end + most < self.now or self.so_far.lift_waits or key in self.so_far.lift):
            self.lifted.append(replace(wait, most=most))
            most = None
        # The problem begins at opening, even if the task has ended before.
        early = min(0, end)
        least = None if least is None else least + early
        return replace(link, least=least, most=None if most is None else most + early)

    def places(self, before: int, label: str, position: int, pools: tuple[int, ...]) -> tuple[int, ...]:
        """The pools that a lot may wait in: only the one where it stands already, if it does.

        Args:
            before: the task with whose end the wait begins.
            label: of the batch that the lot comes from.
            position: of the wait in its chain.
            pools: those that it may be in by the recipe.
        """
        stood = self.so_far.stood_at(label, None, position)
        if stood is None or before not in self.ended or self.ended[before] > self.now:
            return pools
        here = self._stations.get(stood.station or "")
        return (here,) if here is not None and here in pools else pools

    def keeps_room(self, task: int, label: str, wait: Lifted) -> bool:
        """Whether a lot takes room where it waits after a task; noted when it does not, as what is there may have to.

        It is noted for all that share the room, also for those that take none more of it.
        """
        there = task in self.ended or task in self.there
        lifted = there and (label, wait.position) in self.so_far.lift_places
        if lifted:
            self.lifted.append(wait)
        return not lifted

    def names(self, item: str, entry: Entry, number: int) -> tuple[str, ...]:
        """Who and what a batch was to be done by in the plan so far."""
        meant = self.so_far.meant.get((item, entry.name, entry.round), ())
        return next((batch.names for batch in meant if batch.number == number), ())

    def _seat_uses(self, run: Run, index: int, seat: SeatUse, start: int, end: int) -> Iterator[tuple[Use, int]]:
        begins = max(self.now, start)
        if isinstance(self.resources.engine[index], Chamber):
            amount = self._in_chambers.get((run.label, index), 0)
            if amount:
                state = str(seat.setting) if seat.setting is not None else seat.holding or ""
                yield Use((index,), amount, begins - start, end - begins, state), amount
            return
        wanted = 1 if seat.holding is not None else seat.amount
        for begin, until, room in self._free(index, begins, end):
            amount = min(wanted, room)
            if amount:
                self._take(index, begin, until, amount)
                yield Use((index,), amount, begin - start, until - begin), amount

    def _crew(self, hand: Hands, step: Step, begins: int, ends: int) -> int | None:
        """The crew that can do a part of a batch that is to come: that of whoever was to, else another that is able."""
        skills = {need.skill for need in step.people} or {None}
        own = [self._people[hand.person]] if hand.person in self._people else []
        able = [index for index, crew in self._resources.crews if len(skills) == 1 and skills & {None, *crew.skills}]
        for index in [*own, *able]:
            if all(room for _, _, room in self._free(index, begins, ends)):
                return index
        return None

    def _free(self, index: int, start: int, end: int) -> Iterator[tuple[int, int, int]]:
        """Stretches of a pool, each with the room that closures and batches that have begun leave in it."""
        pool = self.resources.engine[index]
        assert isinstance(pool, Pool)
        away = [*((shut.start, shut.end, shut.amount) for shut in pool.closures), *self._taken.get(index, ())]
        inner = {moment for begin, until, _ in away for moment in (begin, until) if start < moment < end}
        for begin, until in pairwise(sorted({start, end, *inner})):
            taken = sum(amount for first, last, amount in away if first < until and begin < last)
            yield begin, until, max(0, pool.capacity - taken)

    def _take(self, index: int, start: int, end: int, amount: int) -> None:
        self._taken.setdefault(index, []).append((start, end, amount))
