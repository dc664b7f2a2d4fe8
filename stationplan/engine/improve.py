"""Large-neighbourhood search: parts of the best schedule are decided anew, so that the whole ends earlier."""

from __future__ import annotations

import random
from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass

from stationplan.engine.justify import Builder, Built, built
from stationplan.engine.limits import Limits
from stationplan.engine.neighbourhood import MOST_FREE, Cut, Kind, SubModel, choose, model_of
from stationplan.engine.problem import Link, Problem, Schedule
from stationplan.engine.solver import Answer, Settings, run
from stationplan.engine.verify import verify
from stationplan.engine.windows import Windows

# The solver does not count what its presolve settles, but that is work too.
LEAST_EFFORT_PER_TRY, EFFORT_PER_TRY, SECONDS_PER_TRY = 0.005, 0.1, 1.0
# Free tasks at first and at least, and how their number follows what the tries say.
FIRST_SIZE, LEAST_SIZE = 40.0, 8.0
SMALLER, LARGER = 0.88, 1.03
# The first step is this share of the makespan; halved after so many tries in vain, doubled by each success.
FIRST_STEP, TRIES_PER_STEP = 0.02, 12
# Tries in vain with the smallest step, and the share of the budget without success, after which it ends.
PATIENCE, SHARE_WITHOUT_SUCCESS = 60, 0.06


@dataclass(frozen=True, slots=True)
class Try:
    """What came of one neighbourhood: a shorter schedule, or whether the model said that there is none."""

    kind: Kind
    schedule: Schedule | None = None
    closed: bool | None = None
    spent: float = 0.0


class Improvement:
    """Shortens a schedule without lateness.

    Args:
        problem: the problem; it must have no consumables.
        windows: its windows.
        limits: the budget of the solve.
        settings: seed and workers: as many neighbourhoods are tried at a time.
        goal: a lower bound on the makespan.
        offer: called with each shorter schedule.
    """

    def __init__(
        self,
        problem: Problem,
        windows: Windows,
        limits: Limits,
        settings: Settings,
        goal: int,
        offer: Callable[[Schedule], None],
    ) -> None:
        self._problem = problem
        self._windows = windows
        self._limits = limits
        self._settings = settings
        self._goal = goal
        self._offer = offer
        self._builder = Builder(problem, windows)
        self._groups = {
            task: group.number for group in self._builder.groups.ordered(windows.earliest) for task in group.tasks
        }
        self._relations = (*problem.links, *(Link(hold.before, hold.after) for hold in problem.holds))
        self._latest = _latest_ends(problem)
        self._draw = random.Random(settings.seed)
        self._size = FIRST_SIZE
        self._weights = dict.fromkeys(Kind, 1.0)

    def run(self, schedule: Schedule, share: float) -> None:
        """Try neighbourhoods until the goal, the share of the budget or the end of patience is reached.

        Tries are begun and heeded in the same order whatever their speed, so that the outcome
        depends on their number alone.

        Args:
            schedule: the schedule to start from.
            share: the share of the budget.
        """
        given = built(self._problem, schedule)
        best = self._pushed_left(given)
        if best.cost < given.cost:
            self._offer(best.schedule)
        step, vain, since = max(1, round(FIRST_STEP * best.cost[1])), 0, self._limits.share_used
        rest = 0.0
        if self._limits.bounded:
            # Where nothing comes after it, there is nothing to leave the rest of the budget to.
            rest = SHARE_WITHOUT_SUCCESS if share < 1 else 1.0
        cut: Cut | None = None
        running: deque[tuple[Future[Try], Limits]] = deque()
        waiting = 1 if self._settings.workers == 1 else 2 * self._settings.workers
        with ThreadPoolExecutor(self._settings.workers) as pool:
            while not self._limits.used_up(share) and best.cost[1] > self._goal:
                step = min(step, best.cost[1] - self._goal)
                cut = cut or self._cut(best, best.cost[1] - step)
                while cut is not None and len(running) < waiting:
                    running.append(self._begin(pool, cut, share))
                found = self._heed(running.popleft(), best) if running else None
                if found is not None:
                    shorter = found.cost[:2] < best.cost[:2]
                    best, cut = self._pushed_left(found), None
                    self._offer(best.schedule)
                    if shorter:
                        vain, since = 0, self._limits.share_used
                        step = 2 * step
                    continue
                vain += 1
                if step > 1 and (cut is None or vain >= TRIES_PER_STEP):
                    step, cut, vain = step // 2, None, 0
                elif cut is None or (vain >= PATIENCE and self._limits.share_used >= min(1.0, since + rest)):
                    break
            for _, limits in running:
                limits.interrupted = True

    def _pushed_left(self, found: Built) -> Built:
        """The schedule justified, if that is no worse."""
        left = self._builder.left(found.starts)
        best = found if left is None or left.cost > found.cost else left
        justified = self._builder.justify(best)
        return best if justified is None or justified.cost > best.cost else justified

    def _cut(self, best: Built, end: int) -> Cut | None:
        right = self._builder.right(best.schedule, end, self._latest)
        return None if right is None else Cut(best.schedule, right, end, self._latest)

    def _begin(self, pool: ThreadPoolExecutor, cut: Cut, share: float) -> tuple[Future[Try], Limits]:
        kind = self._draw.choices(list(self._weights), list(self._weights.values()))[0]
        size = round(self._size * self._draw.uniform(0.7, 1.4))
        part = choose(self._problem, cut, self._groups, kind, size, self._draw)
        sub = model_of(self._problem, self._windows, self._relations, cut, part)
        seconds = None if self._limits.deterministic else min(SECONDS_PER_TRY, self._limits.left(share)[0])
        limits = Limits(seconds, EFFORT_PER_TRY)
        return pool.submit(self._try, kind, sub, limits, self._draw.randrange(2**31)), limits

    def _heed(self, running: tuple[Future[Try], Limits], best: Built) -> Built | None:
        """Wait for a try and learn from it; its schedule if that is better than the best."""
        future, limits = running
        try:
            outcome = future.result()
        except KeyboardInterrupt:
            self._limits.interrupted = limits.interrupted = True
            outcome = future.result()
        self._limits.spend(max(LEAST_EFFORT_PER_TRY, outcome.spent))
        self._learn(outcome)
        found = None if outcome.schedule is None else built(self._problem, outcome.schedule)
        return found if found is not None and found.cost < best.cost else None

    def _try(self, kind: Kind, sub: SubModel | None, limits: Limits, seed: int) -> Try:
        if sub is None:
            return Try(kind)
        answer: Answer = run(sub.model.proto, limits, Settings(seed, 1), first_only=True)
        if not answer.found:
            return Try(kind, closed=answer.infeasible, spent=limits.spent)
        schedule = sub.schedule(self._problem, sub.model.read(answer.value))
        if verify(self._problem, schedule):
            return Try(kind, closed=False, spent=limits.spent)
        return Try(kind, schedule, closed=True, spent=limits.spent)

    def _learn(self, each: Try) -> None:
        most = min(MOST_FREE, max(LEAST_SIZE, 0.8 * len(self._problem.tasks)))
        if each.schedule is None and each.closed is not None:
            self._size = min(most, max(LEAST_SIZE, self._size * (LARGER if each.closed else SMALLER)))
        self._weights[each.kind] = max(0.2, 0.95 * self._weights[each.kind] + 0.05 * (6 if each.schedule else 0))


def _latest_ends(problem: Problem) -> dict[int, int]:
    """The latest end of each task that has a deadline, or is delivered and shall not be late."""
    latest = {number: task.deadline for number, task in enumerate(problem.tasks) if task.deadline is not None}
    for delivery in problem.deliveries:
        if delivery.weight:
            for task in delivery.tasks:
                latest[task] = min(delivery.due, latest.get(task, delivery.due))
    return latest
