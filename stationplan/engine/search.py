"""The exact search: one model, the objectives in turn, an incumbent and bounds that never get worse."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from ortools.sat.python import cp_model

from stationplan.engine.errors import ModelError
from stationplan.engine.limits import Limits
from stationplan.engine.model import Model
from stationplan.engine.problem import Problem, Schedule
from stationplan.engine.result import Bound, BoundKind, Progress, ProgressCallback, Result, Status, Tier, TierName
from stationplan.engine.solver import Answer, Settings, run
from stationplan.engine.symmetry import with_chambers_in_order
from stationplan.engine.variables import Expression, Values
from stationplan.engine.verify import evaluate, verify
from stationplan.engine.windows import Windows

# Shares of the budget at which the search leaves an objective that it cannot prove.
SHARES = {TierName.LATENESS: 0.4, TierName.MAKESPAN: 0.85, TierName.TIDINESS: 1.0}


class Search:
    """Works through lateness, makespan and tidiness, each held at its best while the next is improved.

    Args:
        problem: the problem.
        windows: its windows.
        bounds: known lower bounds on the makespan.
        limits: the budget of the solve.
        settings: seed and workers.
        on_progress: called at each improvement.
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
        self._schedule: Schedule | None = None
        self._value = dict.fromkeys(TierName, 0)
        self._bound = dict.fromkeys(TierName, 0)
        self._bound[TierName.MAKESPAN] = max((bound.minutes for bound in bounds), default=0)
        self.infeasible = False

    @cached_property
    def _model(self) -> Model:
        return Model(self._problem, self._windows)

    def offer(self, schedule: Schedule | None) -> None:
        """Take a schedule as incumbent if it is better than the one so far.

        Args:
            schedule: a complete schedule, or None.

        Raises:
            ModelError: when the schedule breaks a constraint.
        """
        if schedule is None:
            return
        schedule = with_chambers_in_order(self._problem, schedule)
        faults = verify(self._problem, schedule)
        if faults:
            raise ModelError(f"a schedule fails verification: {faults[0]}")
        objective = evaluate(self._problem, schedule)
        value = dict(zip(TierName, (objective.lateness, objective.makespan, objective.tidiness), strict=True))
        if self._schedule is None or tuple(value.values()) < tuple(self._value.values()):
            self._schedule, self._value = schedule, value
            self._report("incumbent", TierName.MAKESPAN)

    def run(self) -> None:
        """Search until every objective is proved or the limits are used up."""
        if self._schedule is None:
            self._find_any()
        if self._schedule is None:
            return
        for tier in TierName:
            self._improve(tier)
            self._hold(tier)

    def result(self) -> Result:
        """The incumbent with its objectives and bounds."""
        interrupted = self._limits.interrupted
        if self._schedule is None:
            return Result(Status.UNKNOWN, None, (), self._bounds, interrupted=interrupted)
        tiers = tuple(Tier(name, self._value[name], min(self._bound[name], self._value[name])) for name in TierName)
        makespan = self._bound[TierName.MAKESPAN]
        bounds = self._bounds
        if makespan > max((bound.minutes for bound in bounds), default=0):
            bounds = (Bound(BoundKind.SOLVER, makespan), *bounds)
        status = Status.OPTIMAL if all(tier.proved for tier in tiers[:2]) else Status.FEASIBLE
        return Result(status, self._schedule, tiers, bounds, interrupted=interrupted)

    def _find_any(self) -> None:
        answer = self._run(self._model, TierName.LATENESS, SHARES[TierName.MAKESPAN], first_only=True)
        if answer.status == cp_model.INFEASIBLE:
            # Presolve has claimed too much before (see the OR-Tools issues on probing), so ask again without it.
            again = self._run(self._model, TierName.LATENESS, 1.0, first_only=True, probing=False)
            self.infeasible = again.status == cp_model.INFEASIBLE
            answer = again
        self._take(answer)

    def _improve(self, tier: TierName) -> None:
        if self._bound[tier] >= self._value[tier] or self._limits.used_up(SHARES[tier]):
            return
        proto = self._model.proto
        expression = self._expression(tier)
        if isinstance(expression, int):
            self._bound[tier] = max(self._bound[tier], expression)
            return
        if tier is TierName.MAKESPAN:
            proto.add(expression >= self._bound[tier])
        proto.minimize(expression)
        self._hint()
        answer = self._run(self._model, tier, SHARES[tier])
        self._take(answer)
        if answer.found:
            self._bound[tier] = max(self._bound[tier], answer.bound)

    def _expression(self, tier: TierName) -> Expression:
        objectives = self._model.objectives
        if tier is TierName.LATENESS:
            return objectives.lateness
        return objectives.makespan if tier is TierName.MAKESPAN else objectives.tidiness

    def _hold(self, tier: TierName) -> None:
        """Keep an objective at its best value while the later ones are improved."""
        if tier is TierName.LATENESS and self._problem.deliveries:
            self._model.proto.add(self._model.objectives.lateness <= self._value[tier])
        if tier is TierName.MAKESPAN:
            self._model.proto.add(self._model.objectives.makespan <= self._value[tier])

    def _hint(self) -> None:
        if self._schedule is not None:
            tasks = dict(enumerate(self._schedule.tasks))
            self._model.variables.hint(Values(tasks, dict(enumerate(self._schedule.holds))))

    def _run(
        self, model: Model, tier: TierName, share: float, *, first_only: bool = False, probing: bool = True
    ) -> Answer:
        seconds, effort = self._limits.left(share)
        report: Callable[[int | None, int], None] | None = None
        if self._on_progress is not None:
            report = lambda value, bound: self._report("search", tier, value, bound)  # noqa: E731
        return run(
            model.proto,
            self._limits,
            self._settings,
            seconds=seconds,
            effort=effort,
            report=report,
            probing=probing,
            first_only=first_only,
        )

    def _take(self, answer: Answer) -> None:
        if answer.found:
            values = self._model.read(answer)
            self.offer(
                Schedule(
                    tuple(values.tasks[task] for task in range(len(self._problem.tasks))),
                    tuple(values.holds[hold] for hold in range(len(self._problem.holds))),
                )
            )

    def _report(self, phase: str, tier: TierName, value: int | None = None, bound: int = 0) -> None:
        if self._on_progress is None:
            return
        best = self._value[tier] if value is None and self._schedule is not None else value
        try:
            self._on_progress(Progress(phase, tier, best, max(bound, self._bound[tier]), self._limits.seconds))
        except Exception:
            self._on_progress = None
