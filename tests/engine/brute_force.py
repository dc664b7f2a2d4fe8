"""The optimum of a tiny problem by trying everything, written from the definitions of the problem only.

Every task gets the list of all its options (mode, resources, start). A depth-first search takes an option
for one task after another. What two tasks forbid each other is a table of bit masks, made once; what many
tasks share (pools, slots, consumables) is counted minute by minute while placing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations, pairwise, product

from stationplan.engine.problem import Chamber, Hold, Link, LinkKind, Mode, Pool, Problem, Task


@dataclass(frozen=True)
class Occupation:
    """A resource taken over [start, end)."""

    resource: int
    start: int
    end: int
    amount: int
    state: str | None


@dataclass(frozen=True)
class Option:
    """One way to do a task."""

    start: int
    end: int
    mode: Mode
    occupations: tuple[Occupation, ...]


@dataclass(frozen=True, order=True)
class Cost:
    lateness: int
    makespan: int
    tidiness: int


def optimum(problem: Problem, *, tidy: bool = False, forgiven: int = 0) -> Cost | None:
    """The best cost of a problem, None when it has no schedule.

    Args:
        problem: a tiny problem.
        tidy: whether to find the least untidiness as well (0 in the answer otherwise).
        forgiven: lateness up to here counts as none.
    """
    if problem.horizon is None:
        problem = replace(problem, horizon=safe_horizon(problem))
    best: Cost | None = None
    for places in product(*(hold.resources for hold in problem.holds)):
        best = _Search(problem, places, tidy, forgiven, best).run()
    return best


def safe_horizon(problem: Problem) -> int:
    """A time by which some optimal schedule has ended.

    After the last release, fixed start and closure, a minute in which no task runs can be cut out of a schedule
    unless a lag or a changeover is at its limit across it. A lag does so for |limit| minutes at most, a changeover
    for its own length before the task that waits for it. So no more minutes are needed than counted here.
    """
    calendar = [0]
    for task in problem.tasks:
        calendar += [task.release, task.fixed_start or 0]
    needed = sum(max(mode.duration for mode in task.modes) for task in problem.tasks)
    needed += sum(max(abs(limit) for limit in (link.least or 0, link.most or 0)) for link in problem.links)
    for resource in problem.resources:
        ends = [closure.end for closure in resource.closures]
        if isinstance(resource, Pool):
            calendar += ends
        else:
            restarts = (0, *ends, *resource.restarts)
            again = resource.first if resource.again is None else resource.again
            minutes = (0, *resource.first.values(), *again.values())
            calendar += [moment + first for moment in restarts for first in minutes]
            uses = sum(len(mode.uses) for task in problem.tasks for mode in task.modes)
            needed += uses * max(resource.changeovers.values(), default=0)
    return max(calendar) + needed


def _options(problem: Problem, task: Task) -> list[Option]:
    horizon = problem.horizon
    assert horizon is not None
    latest_end = horizon if task.deadline is None else min(horizon, task.deadline)
    options = []
    for mode in task.modes:
        for chosen in product(*(use.resources for use in mode.uses)):
            for start in range(latest_end - mode.duration + 1):
                if start < task.release and task.fixed_start is None:
                    continue
                if task.fixed_start not in (None, start):
                    continue
                occupations = []
                for use, resource in zip(mode.uses, chosen, strict=True):
                    begin = start + use.offset
                    end = start + mode.duration if use.length is None else begin + use.length
                    occupations.append(Occupation(resource, begin, end, use.amount, use.state))
                option = Option(start, start + mode.duration, mode, tuple(occupations))
                if _warm(problem, option) and _chamber_agrees(problem, combinations(occupations, 2)):
                    options.append(option)
    return sorted(options, key=lambda option: option.end)


def _warm(problem: Problem, option: Option) -> bool:
    """Whether each chamber is open and had the time to come into its state from the start, and after each closure."""
    for occupation in option.occupations:
        resource = problem.resources[occupation.resource]
        if isinstance(resource, Chamber):
            first = resource.first.get(occupation.state or "", 0)
            shut = [(closure.start, closure.end) for closure in resource.closures if closure.start < closure.end]
            again = resource.first if resource.again is None else resource.again
            later = again.get(occupation.state or "", 0)
            for begin, ready in [(-1, first), *((begin, end + later) for begin, end in shut)]:
                if occupation.start < ready and occupation.end > begin:
                    return False
    return True


def _chamber_agrees(problem: Problem, pairs: object) -> bool:
    for one, other in pairs:  # type: ignore[attr-defined]
        resource = problem.resources[one.resource]
        if one.resource != other.resource or not isinstance(resource, Chamber):
            continue
        if one.state == other.state and (resource.capacity > 1 or (one.state, one.state) not in resource.changeovers):
            continue
        one_first = other.start >= one.end + resource.changeovers.get((one.state, other.state), 0)
        other_first = one.start >= other.end + resource.changeovers.get((other.state, one.state), 0)
        if not one_first and not other_first:
            return False
    return True


def _lag(link: Link, before: Option, after: Option) -> int:
    match link.kind:
        case LinkKind.END_START:
            return after.start - before.end
        case LinkKind.START_START:
            return after.start - before.start
        case LinkKind.END_END:
            return after.end - before.end
        case LinkKind.START_END:
            return after.end - before.start


def _within(link: Link, lag: int) -> bool:
    return (link.least is None or lag >= link.least) and (link.most is None or lag <= link.most)


class _Search:
    def __init__(self, problem: Problem, places: tuple[int, ...], tidy: bool, forgiven: int, best: Cost | None) -> None:
        self.problem, self.places, self.tidy, self.forgiven, self.best = problem, places, tidy, forgiven, best
        count = len(problem.tasks)
        self.options = [_options(problem, task) for task in problem.tasks]
        for link in problem.links:
            if link.before == link.after:
                task = link.before
                self.options[task] = [o for o in self.options[task] if _within(link, _lag(link, o, o))]
        for hold in problem.holds:
            if hold.before == hold.after:
                self.options[hold.before] = [o for o in self.options[hold.before] if o.start >= o.end]
        self.order = sorted(range(count), key=lambda task: len(self.options[task]))
        self.allowed = {
            (one, other): self._masks(one, other) for one, other in product(range(count), repeat=2) if one != other
        }
        assert problem.horizon is not None
        self.room = [self._room(resource, problem.horizon) for resource in problem.resources]
        self.stock = [consumable.total for consumable in problem.consumables]
        self.placed: dict[int, Option] = {}
        self.least_untidy = [self._least_untidy(link) for link in problem.links]

    def run(self) -> Cost | None:
        if all(self.options):
            self._search([(1 << len(options)) - 1 for options in self.options])
        return self.best

    @staticmethod
    def _room(resource: Pool | Chamber, horizon: int) -> list[int]:
        closures = resource.closures if isinstance(resource, Pool) else ()
        return [
            max(0, resource.capacity - sum(c.amount for c in closures if c.start <= minute < c.end))
            for minute in range(horizon)
        ]

    def _masks(self, one: int, other: int) -> list[int]:
        """For each option of one task, which options of the other task do not contradict it."""
        everything = (1 << len(self.options[other])) - 1
        links = [link for link in self.problem.links if {link.before, link.after} == {one, other}]
        holds = [hold for hold in self.problem.holds if {hold.before, hold.after} == {one, other}]
        masks = []
        for option in self.options[one]:
            mask = everything
            if links or holds or any(o.state is not None for o in option.occupations):
                mask = 0
                for position, candidate in enumerate(self.options[other]):
                    if self._agree(links, holds, one, option, candidate):
                        mask |= 1 << position
            masks.append(mask)
        return masks

    def _agree(self, links: list[Link], holds: list[Hold], one: int, option: Option, candidate: Option) -> bool:
        for link in links:
            before, after = (option, candidate) if link.before == one else (candidate, option)
            if not _within(link, _lag(link, before, after)):
                return False
        for hold in holds:
            before, after = (option, candidate) if hold.before == one else (candidate, option)
            if after.start < before.end:
                return False
        return _chamber_agrees(self.problem, product(option.occupations, candidate.occupations))

    def _least_untidy(self, link: Link) -> int:
        if not link.tidy or not self.options[link.before] or not self.options[link.after]:
            return 0
        pairs = product(self.options[link.before], self.options[link.after])
        return min(link.tidy * (_lag(link, before, after) - (link.least or 0)) for before, after in pairs)

    def _search(self, domains: list[int]) -> None:
        if self._bound(domains) is None:
            return
        if len(self.placed) == len(domains):
            if not self._ready_again():
                return
            cost = self._bound(domains)
            if cost is not None and self.tidy:
                changes = self.problem.tidy_changeover * self._changes()
                cost = replace(cost, tidiness=cost.tidiness + changes)
            if cost is not None and (self.best is None or cost < self.best):
                self.best = cost
            return
        task = self.order[len(self.placed)]
        rest = domains[task]
        while rest:
            lowest = rest & -rest
            rest ^= lowest
            position = lowest.bit_length() - 1
            option = self.options[task][position]
            self.placed[task] = option
            taken = [*option.occupations, *self._held_by(task)]
            if self._take(taken, option, 1):
                narrowed = [
                    lowest
                    if other == task
                    else domain
                    if other in self.placed
                    else domain & self.allowed[task, other][position]
                    for other, domain in enumerate(domains)
                ]
                if all(narrowed):
                    self._search(narrowed)
            self._take(taken, option, -1)
            del self.placed[task]

    def _ready_again(self) -> bool:
        """Whether each chamber had the time to come into its state after each restart that nothing went on through."""
        occupations = [o for option in self.placed.values() for o in option.occupations]
        for position, resource in enumerate(self.problem.resources):
            here = [o for o in occupations if o.resource == position]
            if isinstance(resource, Pool):
                continue
            again = resource.first if resource.again is None else resource.again
            for restart in resource.restarts:
                if not any(o.start < restart < o.end for o in here) and any(
                    restart <= o.start < restart + again.get(o.state or "", 0) for o in here
                ):
                    return False
        return True

    def _held_by(self, task: int) -> list[Occupation]:
        """The holds that are known now that this task is placed."""
        return [
            Occupation(place, self.placed[hold.before].end, self.placed[hold.after].start, hold.amount, None)
            for hold, place in zip(self.problem.holds, self.places, strict=True)
            if task in (hold.before, hold.after) and {hold.before, hold.after} <= self.placed.keys()
        ]

    def _take(self, taken: list[Occupation], option: Option, sign: int) -> bool:
        """Take (or with sign -1 give back) resources; tell whether there is enough of all."""
        enough = True
        for occupation in taken:
            room = self.room[occupation.resource]
            for minute in range(occupation.start, occupation.end):
                room[minute] -= sign * occupation.amount
                enough = enough and room[minute] >= 0
        for consumable, amount in option.mode.consumes:
            self.stock[consumable] -= sign * amount
            enough = enough and self.stock[consumable] >= 0
        return enough

    def _bound(self, domains: list[int]) -> Cost | None:
        """What the schedule costs at least; None when that is no better than the best known.

        Options are sorted by end, so the lowest bit of a domain has the earliest end.
        """
        ends = [self.options[t][(d & -d).bit_length() - 1].end for t, d in enumerate(domains)]
        lateness = sum(
            delivery.weight * max(0, max(ends[task] for task in delivery.tasks) - delivery.due)
            for delivery in self.problem.deliveries
            if delivery.tasks
        )
        untidy = sum(
            self._untidy(link, least) for link, least in zip(self.problem.links, self.least_untidy, strict=True)
        )
        bound = Cost(max(0, lateness - self.forgiven), max(ends, default=0), untidy if self.tidy else 0)
        return bound if self.best is None or bound < self.best else None

    def _untidy(self, link: Link, least: int) -> int:
        if not link.tidy or not {link.before, link.after} <= self.placed.keys():
            return least
        return link.tidy * (_lag(link, self.placed[link.before], self.placed[link.after]) - (link.least or 0))

    def _changes(self) -> int:
        occupations = [o for option in self.placed.values() for o in option.occupations if o.state is not None]
        changes = 0
        for resource, entry in enumerate(self.problem.resources):
            if not (isinstance(entry, Chamber) and entry.tidy):
                continue
            states = [o.state for o in sorted(occupations, key=lambda o: o.start) if o.resource == resource]
            changes += sum(one != other for one, other in pairwise(states))
        return changes
