"""Running CP-SAT: parameters, progress, stopping rules and interruption."""

from __future__ import annotations

import math
import threading
from collections.abc import Callable
from dataclasses import dataclass

from ortools.sat.python import cp_model

from stationplan.engine.errors import ModelError
from stationplan.engine.limits import Limits
from stationplan.engine.variables import Expression

# Neighbourhoods and searches of the solver that know nothing of schedules. With few workers they take turns with
# those that do, and find next to nothing meanwhile.
WITHOUT_SENSE_OF_TIME = (
    "feasibility_pump",
    "graph_arc_lns",
    "graph_cst_lns",
    "graph_dec_lns",
    "graph_var_lns",
    "lb_relax_lns",
    "ls",
    "rins/rens",
    "rnd_cst_lns",
    "rnd_var_lns",
)

Report = Callable[[int | None, int], bool]
ValueOf = Callable[[Expression], int]


@dataclass(frozen=True, slots=True)
class Settings:
    """How to search: random seed and number of workers."""

    seed: int
    workers: int


@dataclass(frozen=True, slots=True)
class Answer:
    """What a run of the solver found: its status, and a function to read values from its best solution."""

    status: cp_model.CpSolverStatus
    bound: int
    value: ValueOf

    @property
    def found(self) -> bool:
        """Whether there is a solution."""
        return self.status in (cp_model.OPTIMAL, cp_model.FEASIBLE)

    @property
    def infeasible(self) -> bool:
        """Whether it is proved that there is no solution."""
        return self.status == cp_model.INFEASIBLE


def run(
    model: cp_model.CpModel,
    limits: Limits,
    settings: Settings,
    *,
    seconds: float = math.inf,
    effort: float = math.inf,
    report: Report | None = None,
    probing: bool = True,
    first_only: bool = False,
    goal: int | None = None,
    around: bool = False,
) -> Answer:
    """Solve a model within what is left of the limits.

    The solver runs in a thread of its own so that Ctrl-C reaches this one, which then
    stops the solver and marks the limits as interrupted. Where only work counts, a run
    that has improved nothing for as long as the limits have patience is over; one that
    has goes on from its best solution.

    Args:
        model: the model.
        limits: the budget of the whole solve; what the run spends is taken off.
        settings: seed and workers.
        seconds: the most seconds for this run.
        effort: the most deterministic effort for this run.
        report: called with (best value or None, bound) at each improvement; says whether that is enough.
        probing: whether presolve may probe; off to re-check a claim of infeasibility.
        first_only: stop at the first solution.
        goal: stop at the first solution that costs no more than this.
        around: look only in neighbourhoods of the hinted solution, which must be complete, and prove nothing.

    Returns:
        The answer.

    Raises:
        ModelError: when the solver refuses the model.
    """
    ends, most, orders = limits.seconds + seconds, limits.spent + effort, _is_of_orders(model)
    best: Answer | None = None
    while True:
        solver = _solver(settings, limits, probing=probing, first_only=first_only, around=around, orders=orders)
        before = limits.spent
        effort = min(max(0.0, most - before), limits.left()[1])
        patience = math.inf if first_only else limits.patience
        # Several workers tell their news at moments that depend on the machine.
        watch = _Watch(solver, report, limits, goal, heeding=settings.workers == 1 or not limits.deterministic)
        answer = _run_once(solver, model, watch, limits, ends, min(effort, patience))
        if best is not None:
            found = answer if answer.found else best
            answer = Answer(found.status, max(answer.bound, best.bound), found.value)
        best = answer
        finished = answer.status in (cp_model.OPTIMAL, cp_model.INFEASIBLE) or watch.stopped or limits.spent == before
        if finished or patience >= effort or limits.seconds >= ends or limits.used_up():
            return best
        solution = solver.response_proto.solution
        if solution:
            model.clear_hints()  # type: ignore[no-untyped-call]
        for index, value in enumerate(solution):
            model.add_hint(model.get_int_var_from_proto_index(index), value)


def _solver(
    settings: Settings, limits: Limits, *, probing: bool, first_only: bool, around: bool, orders: bool
) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    parameters = solver.parameters
    parameters.random_seed = settings.seed
    parameters.num_workers = settings.workers
    parameters.catch_sigint_signal = False
    parameters.stop_after_first_solution = first_only
    parameters.use_lns_only = around
    parameters.ignore_subsolvers.extend(WITHOUT_SENSE_OF_TIME)
    if settings.workers > 1 and limits.deterministic:
        parameters.interleave_search = True
    if not probing:
        parameters.cp_model_probing_level = 0
    if orders:
        # A linear relaxation says nothing of what goes first, and branching on it leads astray: proofs take ten
        # times as long with it. The first of the solver's own workers has it.
        parameters.linearization_level = 0
        parameters.extra_subsolvers.append("no_lp")
        parameters.use_dynamic_precedence_in_disjunctive = True
    return solver


def _is_of_orders(model: cp_model.CpModel) -> bool:
    """Whether a model decides what goes first where one thing is done at a time, to end early if anything."""
    proto = model.proto
    if len(proto.objective.vars) > 1 or any(constraint.has_cumulative() for constraint in proto.constraints):
        return False
    return any(constraint.has_no_overlap() for constraint in proto.constraints)


def _run_once(
    solver: cp_model.CpSolver, model: cp_model.CpModel, watch: _Watch, limits: Limits, ends: float, effort: float
) -> Answer:
    """Run the solver once, to ``ends`` at the latest (in seconds of the limits) and for no more than the effort."""
    parameters = solver.parameters
    solver.best_bound_callback = watch.on_bound
    if math.isfinite(effort):
        parameters.max_deterministic_time = effort
    # OR-Tools 9.15 has been seen to break down in presolve when it looks for symmetries in a small sound model.
    for symmetry_level in (parameters.symmetry_level, 0):
        parameters.symmetry_level = symmetry_level
        seconds = min(ends - limits.seconds, limits.left()[0])
        if math.isfinite(seconds):
            parameters.max_time_in_seconds = max(0.0, seconds)
        status = _solve(solver, model, watch, limits)
        if status is not None:
            break
    if status is None or status == cp_model.MODEL_INVALID:
        raise ModelError(model.validate() or "the solver stopped without an answer")
    limits.spend(solver.response_proto.deterministic_time)
    return Answer(status, _whole(solver.best_objective_bound), solver.value)


def _solve(
    solver: cp_model.CpSolver,
    model: cp_model.CpModel,
    watch: _Watch,
    limits: Limits,
) -> cp_model.CpSolverStatus | None:
    """Solve in a thread of its own, so that an interrupt reaches this one; None when the solver breaks down."""
    outcome: list[cp_model.CpSolverStatus] = []
    # Not Thread.join: an interrupt inside it makes CPython up to 3.12 take a running thread for finished.
    done = threading.Event()

    def work() -> None:
        try:
            outcome.append(solver.solve(model, watch))
        except (IndexError, RuntimeError):
            outcome.clear()
        finally:
            done.set()

    threading.Thread(target=work, daemon=True).start()
    while True:
        try:
            if limits.stop_a_run():
                # Again at every turn: a stop before the search has begun is forgotten.
                solver.stop_search()
            if done.wait(0.05):
                return outcome[0] if outcome else None
        except KeyboardInterrupt:
            limits.interrupted = True


class _Watch(cp_model.CpSolverSolutionCallback):
    """Passes improvements on, and stops the search at its goal or when what it passes on is enough.

    A report that raises is not called again and never loses the solve; one that raises
    KeyboardInterrupt ends the search.

    Attributes:
        stopped: whether it has stopped the search.
    """

    def __init__(
        self,
        solver: cp_model.CpSolver,
        report: Report | None,
        limits: Limits,
        goal: int | None,
        *,
        heeding: bool,
    ) -> None:
        super().__init__()
        self._solver = solver
        self._report = report
        self._limits = limits
        self._goal = goal
        self._heeding = heeding
        self._best: int | None = None
        self._bound = 0
        self.stopped = False

    def on_solution_callback(self) -> None:
        """Called by the solver at each new best solution."""
        self._best = round(self.objective_value)
        self._bound = max(self._bound, _whole(self.best_objective_bound))
        if self._goal is not None and self._best <= self._goal:
            self._stop()
        self._pass_on()

    def on_bound(self, bound: float) -> None:
        """Called by the solver at each new bound."""
        self._bound = max(self._bound, _whole(bound))
        self._pass_on()

    def _pass_on(self) -> None:
        if self._report is not None:
            try:
                if self._report(self._best, self._bound) and self._heeding:
                    self._stop()
            except KeyboardInterrupt:
                self._limits.interrupted = True
            except Exception:
                self._report = None

    def _stop(self) -> None:
        self.stopped = True
        self._solver.stop_search()


def _whole(bound: float) -> int:
    """A bound on whole minutes, rounded up past the solver's tolerance; 0 while there is none."""
    return math.ceil(bound - 1e-6) if math.isfinite(bound) else 0
