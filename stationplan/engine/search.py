"""The search: models of the whole and of parts in turn, an incumbent and bounds that never get worse."""

from __future__ import annotations

from dataclasses import replace
from itertools import zip_longest

from ortools.sat.python import cp_model

from stationplan.engine.assigning import choose_pools, cost_of
from stationplan.engine.drawn_together import drawn_together
from stationplan.engine.errors import ModelError
from stationplan.engine.improve import Improvement
from stationplan.engine.limits import Limits
from stationplan.engine.model import Model
from stationplan.engine.problem import Problem, Schedule
from stationplan.engine.result import (
    Bound,
    BoundKind,
    Conflict,
    Phase,
    Progress,
    ProgressCallback,
    Result,
    Status,
    Tier,
    TierName,
)
from stationplan.engine.solver import Answer, Settings, run
from stationplan.engine.stopping import Costs
from stationplan.engine.symmetry import with_chambers_in_order
from stationplan.engine.variables import Values
from stationplan.engine.verify import evaluate, verify
from stationplan.engine.windows import Windows, find_windows

# Shares of the budget at which the search goes on to the next stage.
AT_ONCE, IMPROVED, POOLED, EXACT, TIDY = 0.25, 0.4, 0.7, 0.88, 1.0
# The most of the patience before a stall that one run for what can be proved at once may take. A stage has two, and
# a stall there would end the search before it has tried to improve anything.
PATIENCE_AT_ONCE = 0.4
# With more tasks than these: there is no hope of proving the whole model, so the solver tries neighbourhoods of
# the schedule alone; the whole comes after the parts only; it takes longer to set up than it can ever pay back.
FEW_TASKS, MANY_TASKS, MOST_TASKS_MODELLED = 250, 450, 2000
# With fewer tasks than this a part is next to the whole, or the exact model as quick as the pooled one.
FEWEST_TASKS_TO_IMPROVE, FEWEST_FOR_POOLED = 30, 80
SECONDS_TO_CHOOSE, FEWEST_SECONDS_TO_CHOOSE = 4.0, 0.5


class Search:
    """Works through lateness, makespan and tidiness, each held at its best while the next is improved.

    Args:
        problem: the problem.
        windows: its windows.
        bounds: known lower bounds on the makespan.
        limits: the budget of the solve.
        settings: seed and workers.
        on_progress: called at each improvement.

    Attributes:
        schedule: the best schedule so far.
        infeasible: whether the search has proved that there is none.
    """

    def __init__(
        self,
        problem: Problem,
        windows: Windows,
        bounds: tuple[Bound, ...],
        limits: Limits,
        settings: Settings,
        on_progress: ProgressCallback | None,
    ) -> None:
        self._problem = problem
        self._windows = windows
        self._bounds = bounds
        self._limits = limits
        self._settings = settings
        self._on_progress = on_progress
        self.schedule: Schedule | None = None
        self._value = dict.fromkeys(TierName, 0)
        self._bound = dict.fromkeys(TierName, 0)
        self._bound[TierName.MAKESPAN] = max((bound.minutes for bound in bounds), default=0)
        self._bound[TierName.LATENESS] = _least_lateness(problem, windows)
        # Dearer than any makespan, so that a minute late outweighs it in the common objective.
        self._late_minute = windows.horizon + 1
        self.infeasible = False
        self._phase = Phase.CONSTRUCT

    def _new_model(self, *, pooled: bool = False) -> Model:
        """A model of the whole, with room for what is no worse than the incumbent and no more."""
        if self.schedule is None or self._value[TierName.LATENESS] > self._bound[TierName.LATENESS]:
            return Model(self._problem, self._windows, pooled=pooled)
        shorter = replace(self._problem, horizon=self._value[TierName.MAKESPAN])
        windows = find_windows(shorter)
        if isinstance(windows, Conflict):
            raise ModelError(f"the best schedule does not fit its own makespan of {shorter.horizon}")
        return Model(shorter, windows, pooled=pooled)

    def offer(self, schedule: Schedule) -> None:
        """Take a schedule as incumbent if it is better than the one so far.

        Args:
            schedule: a complete schedule.

        Raises:
            ModelError: when the schedule breaks a constraint.
        """
        schedule = with_chambers_in_order(self._problem, schedule)
        faults = verify(self._problem, schedule)
        if faults:
            raise ModelError(f"a schedule fails verification: {faults[0]}")
        objective = evaluate(self._problem, schedule)
        value = dict(zip(TierName, (objective.lateness, objective.makespan, objective.tidiness), strict=True))
        if self.schedule is None or tuple(value.values()) < tuple(self._value.values()):
            self.schedule, self._value = schedule, value
            self._tell()
            self._report(TierName.MAKESPAN)

    def run(self) -> None:
        """Search until every objective is proved or the limits are used up.

        What the whole model of a few tasks can prove at once is proved; then parts of the schedule are improved,
        and what is left of the budget goes to the whole model again. That begins without what the first run has
        learned, so that where there are no parts to improve one run has it all.
        """
        count = len(self._problem.tasks)
        modelled = count <= MOST_TASKS_MODELLED
        if not modelled or self._has_parts():
            if self.schedule is None or count <= MANY_TASKS:
                self._model_whole(AT_ONCE, AT_ONCE)
            if self.infeasible:
                return
            self._improve(IMPROVED if modelled else 1.0)
        if modelled:
            self._model_whole(POOLED, EXACT if self._can_be_tidied() else TIDY)
            self._tidy()

    def draw_together(self) -> None:
        """Shorten the waits, unless proved, in the order as it is: the least tidying, however little time is left."""
        if self.schedule is None or not self._can_be_tidied() or self._proved(TierName.TIDINESS):
            return
        by_work = self._limits.deterministic
        shorter = drawn_together(self._problem, self._windows, self.schedule, by_work, self._settings.seed)
        if shorter is not None:
            self.offer(shorter)

    def _begin(self, phase: Phase) -> None:
        self._phase = phase
        self._limits.begin_stage()

    def _model_whole(self, pooled: float, exact: float) -> None:
        """Search with a model of the whole: pooled, where pools are to choose from, then exact."""
        if self._worth_pooling() and not self._done(pooled):
            self._begin(Phase.POOLED)
            self._shorten(self._new_model(pooled=True), pooled)
        if self._done(exact) or self.infeasible:
            return
        self._begin(Phase.EXACT)
        model = self._new_model()
        if self.schedule is None:
            self._find_any(model)
        if self.schedule is not None:
            self._shorten(model, exact)

    def _improve(self, share: float) -> None:
        """Shorten the schedule part by part, if there are parts and nothing is late."""
        if self.schedule is None or self._done(share) or not self._has_parts() or self._value[TierName.LATENESS]:
            return
        self._begin(Phase.IMPROVE)
        Improvement(
            self._problem, self._windows, self._limits, self._settings, self._bound[TierName.MAKESPAN], self.offer
        ).run(self.schedule, share)

    def _has_parts(self) -> bool:
        """Whether parts can be improved: there are enough tasks, and none takes from a stock."""
        return len(self._problem.tasks) >= FEWEST_TASKS_TO_IMPROVE and not self._problem.consumables

    def _done(self, share: float) -> bool:
        """Whether nothing is left to gain, or of the share of the budget to use, given that there is a schedule."""
        return self.schedule is not None and (self._shortest() or self._limits.used_up(share))

    def result(self) -> Result:
        """The incumbent with its objectives and bounds."""
        interrupted = self._limits.interrupted
        if self.schedule is None:
            stopped = self._limits.stopped
            return Result(Status.UNKNOWN, None, (), self._bounds, interrupted=interrupted, stopped=stopped)
        for name in TierName:
            if self._bound[name] > self._value[name]:
                raise ModelError(f"the bound {self._bound[name]} on {name} is above the value {self._value[name]}")
        tiers = tuple(Tier(name, self._value[name], self._bound[name]) for name in TierName)
        makespan = self._bound[TierName.MAKESPAN]
        bounds = self._bounds
        if makespan > max((bound.minutes for bound in bounds), default=0):
            bounds = (Bound(BoundKind.SOLVER, makespan), *bounds)
        if self._shortest():
            return Result(Status.OPTIMAL, self.schedule, tiers, bounds, interrupted=interrupted)
        stopped = self._limits.stopped
        return Result(Status.FEASIBLE, self.schedule, tiers, bounds, interrupted=interrupted, stopped=stopped)

    def _shortest(self) -> bool:
        """Whether lateness and makespan are proved."""
        return self.schedule is not None and self._proved(TierName.LATENESS) and self._proved(TierName.MAKESPAN)

    def _proved(self, tier: TierName) -> bool:
        return self._bound[tier] >= self._value[tier]

    def _worth_pooling(self) -> bool:
        uses = (use for task in self._problem.tasks for mode in task.modes for use in mode.uses)
        choices = any(len(use.resources) > 1 and use.state is None for use in uses)
        return choices and len(self._problem.tasks) >= FEWEST_FOR_POOLED

    def _can_be_tidied(self) -> bool:
        return bool(self._problem.tidy_changeover) or any(link.tidy for link in self._problem.links)

    def _find_any(self, model: Model) -> None:
        answer = self._run(model, TIDY, first_only=True)
        if answer.status == cp_model.INFEASIBLE:
            # Presolve has claimed too much before (see the OR-Tools issues on probing), so ask again without it.
            answer = self._run(model, TIDY, first_only=True, probing=False)
            self.infeasible = answer.status == cp_model.INFEASIBLE
        self._take(model, answer)

    def _shorten(self, model: Model, share: float) -> None:
        """Improve lateness and makespan with a model, together while anything is late."""
        if self._problem.deliveries and (self.schedule is None or self._value[TierName.LATENESS]):
            self._shorten_late(model, share)
        if self._shortest() or self._limits.used_up(share) or (self.schedule is None and not model.pooled):
            return
        if self.schedule is not None and self._problem.deliveries:
            model.proto.add(model.objectives.lateness <= self._value[TierName.LATENESS])
        model.proto.add(model.objectives.makespan >= self._bound[TierName.MAKESPAN])
        model.proto.minimize(model.objectives.makespan)
        # Without a limit there is time for a proof however many tasks there are.
        many = len(self._problem.tasks) > FEW_TASKS and self._limits.bounded
        around = many and self.schedule is not None and not model.pooled
        answer = self._run(model, share, tier=TierName.MAKESPAN, around=around)
        if answer.found:
            self.raise_bound(TierName.MAKESPAN, answer.bound)
        self._take(model, answer)
        self._heed_relaxation(model, answer)

    def _shorten_late(self, model: Model, share: float) -> None:
        """Lateness and makespan in one objective, until nothing is late any more or the optimum is proved."""
        makespan = model.objectives.makespan
        model.proto.add(makespan >= self._bound[TierName.MAKESPAN])
        model.proto.minimize(self._late_minute * model.objectives.lateness + makespan)
        answer = self._run(model, share, tier=TierName.LATENESS, goal=self._windows.horizon)
        if answer.found:
            lateness = answer.bound // self._late_minute
            self.raise_bound(TierName.LATENESS, lateness)
        self._take(model, answer)
        self._heed_relaxation(model, answer)
        if answer.found and self.schedule is not None and lateness >= self._value[TierName.LATENESS]:
            self.raise_bound(TierName.MAKESPAN, answer.bound - lateness * self._late_minute)

    def _heed_relaxation(self, model: Model, answer: Answer) -> None:
        """Where not even the pooled model, a relaxation, has a solution, there is no schedule."""
        if answer.status == cp_model.INFEASIBLE and self.schedule is None and not self.infeasible:
            again = self._run(model, TIDY, first_only=True, probing=False)
            self.infeasible = again.status == cp_model.INFEASIBLE

    def _tidy(self) -> None:
        """Improve tidiness with lateness and makespan held where they are."""
        if self.schedule is None or not self._can_be_tidied() or self._limits.used_up(TIDY):
            return
        self._begin(Phase.TIDY)
        self.draw_together()
        model, value = self._new_model(), self._value
        expression = model.objectives.tidiness
        if isinstance(expression, int):
            self.raise_bound(TierName.TIDINESS, expression)
            return
        if self._problem.deliveries:
            model.proto.add(model.objectives.lateness <= value[TierName.LATENESS])
        model.proto.add(model.objectives.makespan <= value[TierName.MAKESPAN])
        model.proto.minimize(expression)
        answer = self._run(model, TIDY, tier=TierName.TIDINESS)
        if answer.found:
            self.raise_bound(TierName.TIDINESS, answer.bound)
        self._take(model, answer)

    def raise_bound(self, tier: TierName, bound: int) -> None:
        """Take note of what no schedule that is as good in the tiers before can go below."""
        self._bound[tier] = max(self._bound[tier], bound)
        self._tell()

    def _tell(self, value: Costs | None = None, bound: Costs = ()) -> bool:
        """Tell the limits what is known, with the news of a run under way; whether that is enough."""
        if value is None and self.schedule is not None:
            value = tuple(self._value.values())
        known = tuple(self._bound.values())
        return self._limits.told(value, tuple(max(pair) for pair in zip_longest(known, bound, fillvalue=0)))

    def _run(
        self,
        model: Model,
        share: float,
        *,
        tier: TierName = TierName.LATENESS,
        first_only: bool = False,
        probing: bool = True,
        goal: int | None = None,
        around: bool = False,
    ) -> Answer:
        if self.schedule is not None:
            tasks = dict(enumerate(self.schedule.tasks))
            model.variables.hint(Values(tasks, dict(enumerate(self.schedule.holds))))
        seconds, effort = self._limits.left(share)
        if share == AT_ONCE:
            silence = PATIENCE_AT_ONCE * self._limits.most_silence
            seconds, effort = (
                (seconds, min(effort, silence)) if self._limits.deterministic else (min(seconds, silence), effort)
            )

        def report(value: int | None, bound: int) -> bool:
            if first_only:
                value, bound = None, 0
            # What a pooled model finds is no plan yet, so only its bound is news.
            return self._hear(tier, None if model.pooled else value, bound)

        return run(
            model.proto,
            self._limits,
            self._settings,
            seconds=seconds,
            effort=effort,
            report=report,
            probing=probing,
            first_only=first_only,
            goal=goal,
            around=around,
        )

    def _take(self, model: Model, answer: Answer) -> None:
        """Offer the solution of a model, once the choices that a pooled one leaves open have been made."""
        if not answer.found:
            return
        values = model.read(answer.value)
        if model.pooled:
            self._take_pooled(values)
        else:
            self._offer_values(values)

    def _take_pooled(self, values: Values) -> None:
        """Make the choices that a pooled solution leaves open and offer the schedule, if that may be better."""
        best = (self._value[TierName.LATENESS], self._value[TierName.MAKESPAN])
        if self.schedule is not None and cost_of(self._problem, values) >= best:
            return
        seconds = None
        if not self._limits.deterministic:
            seconds = max(FEWEST_SECONDS_TO_CHOOSE, min(SECONDS_TO_CHOOSE, self._limits.left()[0]))
        chosen = choose_pools(self._problem, self._windows, values, self._limits, self._settings, seconds)
        if chosen is not None:
            self._offer_values(chosen)

    def _offer_values(self, values: Values) -> None:
        tasks = tuple(values.tasks[task] for task in range(len(self._problem.tasks)))
        self.offer(Schedule(tasks, tuple(values.holds[hold] for hold in range(len(self._problem.holds)))))

    def _hear(self, tier: TierName, value: int | None, bound: int) -> bool:
        """Pass on the news of a run under way: the value of a schedule and a bound; whether that is enough."""
        late, short = self._value[TierName.LATENESS], self._value[TierName.MAKESPAN]
        if tier is TierName.LATENESS:
            costs = None if value is None else divmod(value, self._late_minute)
            lateness, makespan = divmod(bound, self._late_minute)
            self._report(tier, None if costs is None else costs[0], lateness)
            proved = lateness >= (late if costs is None else costs[0])
            return self._tell(costs, (lateness, makespan if proved else 0))
        self._report(tier, value, bound)
        if tier is TierName.MAKESPAN:
            return self._tell(None if value is None else (late, value), (0, bound))
        return self._tell(None if value is None else (late, short, value), (0, 0, bound))

    def _report(self, tier: TierName, value: int | None = None, bound: int = 0) -> None:
        if self._on_progress is None:
            return
        best = self._value[tier] if value is None and self.schedule is not None else value
        try:
            self._on_progress(Progress(self._phase, tier, best, max(bound, self._bound[tier]), self._limits.seconds))
        except KeyboardInterrupt:
            self._limits.interrupted = True
        except Exception:
            self._on_progress = None


def _least_lateness(problem: Problem, windows: Windows) -> int:
    """Lateness that the heads of the delivered tasks make unavoidable."""
    total = 0
    for delivery in problem.deliveries:
        ends = (
            windows.earliest[task] + min(mode.duration for mode in problem.tasks[task].modes) for task in delivery.tasks
        )
        total += delivery.weight * max(0, max(ends, default=0) - delivery.due)
    return total
