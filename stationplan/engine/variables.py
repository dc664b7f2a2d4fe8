"""The decision variables of the CP-SAT model, each with the value it has in a given schedule.

Every variable is registered together with a function that reads its value off a
schedule, so that a known schedule hints the whole model, not only the starts.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

from ortools.sat.python import cp_model

from stationplan.engine.plain_model import PlainModel
from stationplan.engine.problem import Assignment, Hold, Mode, Problem, Use
from stationplan.engine.windows import Windows, calendar_of, resource_starts, use_length

Literal = cp_model.BoolVarT
Expression = cp_model.LinearExpr | int
Placed = Mapping[int, Assignment]
ValueOf = Callable[["Values"], int]


@dataclass(frozen=True, slots=True)
class Values:
    """A schedule, complete or partial, to read hints from: assignments by task, resources by hold."""

    tasks: Placed
    holds: Mapping[int, int]


@dataclass(frozen=True, slots=True)
class Part:
    """One use of one mode on one of its resources: the interval it takes there if ``active``.

    ``active`` is None when there is no other choice; ``single`` says that no other resource
    will do. ``use`` is (task, mode, position of the use), the same on every resource the use
    may choose; None for a hold.
    """

    use: tuple[int, int, int] | None
    task: int
    resource: int
    amount: int
    state: str | None
    start: Expression
    end: Expression
    interval: cp_model.IntervalVar
    active: Literal | None
    single: bool = True


class Variables:
    """Starts, modes and choices of resources for the free tasks; constants for the placed ones.

    Args:
        problem: the problem.
        windows: its windows.
        free: the tasks to decide on.
        placed: tasks that stay where they are. Tasks in neither are left out.
        place_holds: the resources of the holds between placed tasks.
        pooled: leave open which of several pools a use takes; see :func:`add_shared_capacity`.
    """

    def __init__(
        self,
        problem: Problem,
        windows: Windows,
        free: Collection[int],
        placed: Placed,
        place_holds: Mapping[int, int],
        *,
        pooled: bool = False,
    ) -> None:
        self.model = PlainModel()
        self.problem = problem
        self.windows = windows
        self.free = frozenset(free)
        self.placed = placed
        self.place_holds = place_holds
        self.start: dict[int, Expression] = {}
        self.end: dict[int, Expression] = {}
        self.pooled = pooled
        self.parts: list[Part] = []
        self.shared: list[tuple[frozenset[int], Part]] = []
        self.modes: dict[int, list[Literal]] = {}
        self.choices: dict[tuple[int, int, int], list[tuple[int, Literal | None]]] = {}
        self.hold_choices: dict[int, list[tuple[int, Literal | None]]] = {}
        self._values: list[tuple[cp_model.IntVar, ValueOf]] = []
        self._calendars = [calendar_of(problem, index) for index in range(len(problem.resources))]
        for task in sorted(self.free):
            self._add_task(task)
        for task in sorted(placed):
            self._place_task(task)
        for index, hold in enumerate(problem.holds):
            if hold.before in self.start and hold.after in self.start:
                self._add_hold(index, hold)

    def integer(self, low: int, high: int, name: str, value: ValueOf) -> cp_model.IntVar:
        """A new integer variable with the function that reads its value off a schedule."""
        variable = self.model.new_int_var(low, high, name)
        self._values.append((variable, value))
        return variable

    def boolean(self, name: str, value: ValueOf) -> cp_model.IntVar:
        """A new Boolean variable with the function that reads its value off a schedule."""
        variable = self.model.new_bool_var(name)
        self._values.append((variable, value))
        return variable

    def hint(self, values: Values) -> None:
        """Hint every variable of the model with its value in a schedule."""
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        for variable, value in self._values:
            self.model.add_hint(variable, value(values))

    def hint_start(self, task: int, start: int) -> None:
        """Hint the start of a free task alone."""
        variable = self.start[task]
        if isinstance(variable, cp_model.IntVar):
            self.model.add_hint(variable, start)

    def _add_task(self, task: int) -> None:
        data, allowed = self.problem.tasks[task], self.windows.allowed[task]
        domain = cp_model.Domain.from_intervals([[low, high] for mode in allowed for low, high in mode] or [[1, 0]])
        start = self.model.new_int_var_from_domain(domain, f"start {task}")
        self._values.append((start, lambda values: values.tasks[task].start))
        self.start[task] = start
        if len(data.modes) == 1:
            self.end[task] = start + data.modes[0].duration
            self._add_uses(task, 0, data.modes[0], start, None)
            return
        literals = [self.boolean(f"mode {task} {number}", _mode_is(task, number)) for number in range(len(data.modes))]
        self.modes[task] = list(literals)
        self.model.add_exactly_one(literals)
        durations = {mode.duration for mode in data.modes}
        if len(durations) == 1:
            self.end[task] = start + durations.pop()
        else:
            # Intervals of holds begin here, and the solver takes only a variable for that.
            end = self.integer(
                0, self.windows.horizon, f"end {task}", lambda values: end_of(self.problem, values, task)
            )
            for mode, literal in zip(data.modes, literals, strict=True):
                self.model.add(end == start + mode.duration).only_enforce_if(literal)
            self.end[task] = end
        for number, (mode, literal) in enumerate(zip(data.modes, literals, strict=True)):
            if not allowed[number]:
                self.model.add(literal == 0)
                continue
            inside = cp_model.Domain.from_intervals([list(interval) for interval in allowed[number]])
            self.model.add_linear_expression_in_domain(start, inside).only_enforce_if(literal)
            self._add_uses(task, number, mode, start, literal)

    def _add_uses(self, task: int, number: int, mode: Mode, start: cp_model.IntVar, chosen: Literal | None) -> None:
        for position, use in enumerate(mode.uses):
            length = use_length(mode, use)
            if not length or not use.amount:
                continue
            possible = self._possible(task, number, use, length)
            options: list[tuple[int, Literal | None]]
            if len(possible) > 1:
                begin = start + use.offset
                interval = self._interval(begin, length, f"any {task} {number} {position}", chosen)
                key = (task, number, position)
                part = Part(key, task, min(possible), use.amount, None, begin, begin + length, interval, chosen)
                self.shared.append((frozenset(possible), part))
            if len(possible) == 1:
                options = [(possible[0], chosen)]
            elif self.pooled and use.state is None:
                continue
            else:
                literals = [
                    self.boolean(
                        f"choice {task} {number} {position} {resource}",
                        _chosen_is(task, number, position, resource),
                    )
                    for resource in possible
                ]
                self.model.add(sum(literals) == (1 if chosen is None else chosen))
                options = list(zip(possible, literals, strict=True))
                self._keep_to_calendars(task, number, use, length, start, options)
            self.choices[task, number, position] = options
            for resource, active in options:
                begin = start + use.offset
                name = f"part {task} {number} {position} {resource}"
                interval = self._interval(begin, length, name, active)
                self.parts.append(
                    Part(
                        (task, number, position),
                        task,
                        resource,
                        use.amount,
                        use.state,
                        begin,
                        begin + length,
                        interval,
                        active,
                        len(options) == 1,
                    )
                )

    def _interval(
        self, start: cp_model.LinearExpr, length: int, name: str, active: Literal | None
    ) -> cp_model.IntervalVar:
        if active is None:
            return self.model.new_fixed_size_interval_var(start, length, name)
        return self.model.new_optional_fixed_size_interval_var(start, length, active, name)

    def _possible(self, task: int, number: int, use: Use, length: int) -> list[int]:
        """The resources that can take a use at some start that the mode allows; all if none can, so that it fails."""
        starts = list(self.windows.allowed[task][number])
        possible = [
            resource
            for resource in use.resources
            if starts and resource_starts(self.problem, self._calendars[resource], resource, use, length, starts)
        ]
        return possible or [use.resources[0]]

    def _keep_to_calendars(
        self,
        task: int,
        number: int,
        use: Use,
        length: int,
        start: cp_model.IntVar,
        options: list[tuple[int, Literal | None]],
    ) -> None:
        starts = list(self.windows.allowed[task][number])
        for resource, active in options:
            free = resource_starts(self.problem, self._calendars[resource], resource, use, length, starts)
            if free != starts and active is not None:
                domain = cp_model.Domain.from_intervals([list(interval) for interval in free])
                self.model.add_linear_expression_in_domain(start, domain).only_enforce_if(active)

    def _place_task(self, task: int) -> None:
        assignment = self.placed[task]
        mode = self.problem.tasks[task].modes[assignment.mode]
        self.start[task] = assignment.start
        self.end[task] = assignment.start + mode.duration
        for position, (use, resource) in enumerate(zip(mode.uses, assignment.resources, strict=True)):
            length = use_length(mode, use)
            if length and use.amount:
                begin = assignment.start + use.offset
                interval = self.model.new_fixed_size_interval_var(begin, length, f"placed {task} {resource}")
                key = (task, assignment.mode, position)
                self.parts.append(
                    Part(key, task, resource, use.amount, use.state, begin, begin + length, interval, None)
                )

    def _add_hold(self, index: int, hold: Hold) -> None:
        start, end = self.end[hold.before], self.start[hold.after]
        horizon = self.windows.horizon
        size = self.integer(
            0,
            horizon,
            f"stay {index}",
            lambda values: values.tasks[hold.after].start - end_of(self.problem, values, hold.before),
        )
        options: list[tuple[int, Literal | None]]
        leader = hold.beside
        if index in self.place_holds and hold.before in self.placed and hold.after in self.placed:
            options = [(self.place_holds[index], None)]
        elif leader is not None and (leader in self.hold_choices or leader in self.place_holds):
            options = self.hold_choices.get(leader) or [(self.place_holds[leader], None)]
        else:
            possible = [r for r in hold.resources if self.problem.resources[r].capacity >= hold.amount]
            if len(possible) <= 1:
                options = [((possible or hold.resources)[0], None)]
            else:
                literals = [self.boolean(f"place {index} {r}", _place_is(index, r)) for r in possible]
                self.model.add_exactly_one(literals)
                options = list(zip(possible, literals, strict=True))
        self.hold_choices[index] = options
        for resource, active in options:
            name = f"hold {index} {resource}"
            interval = (
                self.model.new_interval_var(start, size, end, name)
                if active is None
                else self.model.new_optional_interval_var(start, size, end, active, name)
            )
            single = len(options) == 1
            self.parts.append(
                Part(None, hold.before, resource, hold.amount, None, start, end, interval, active, single)
            )


def end_of(problem: Problem, values: Values, task: int) -> int:
    """The end of a task in a schedule, minutes."""
    assignment = values.tasks[task]
    return assignment.start + problem.tasks[task].modes[assignment.mode].duration


def _mode_is(task: int, number: int) -> ValueOf:
    return lambda values: int(values.tasks[task].mode == number)


def _chosen_is(task: int, number: int, position: int, resource: int) -> ValueOf:
    def value(values: Values) -> int:
        assignment = values.tasks[task]
        return int(assignment.mode == number and assignment.resources[position] == resource)

    return value


def _place_is(hold: int, resource: int) -> ValueOf:
    return lambda values: int(values.holds[hold] == resource)
