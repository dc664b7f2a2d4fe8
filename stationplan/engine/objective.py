"""The three objectives as expressions over the model's variables, each made when it is first asked for."""

from __future__ import annotations

from collections import defaultdict
from functools import cached_property
from itertools import product

from ortools.sat.python import cp_model

from stationplan.engine.constraints import Orders, key_of, lag_of
from stationplan.engine.problem import Chamber
from stationplan.engine.variables import Expression, Literal, Part, Values, Variables, end_of

# Beyond this many (use, use, use of another state) triples the changes of state are left out of the
# model of the last tier and only bounded: the exact count would outgrow the rest of the model.
MOST_TRIPLES = 30_000


class Objectives:
    """Lateness, makespan and tidiness of what a model schedules.

    Args:
        variables: the model's variables.
        orders: the orders between uses of chambers.
    """

    def __init__(self, variables: Variables, orders: Orders) -> None:
        self._variables = variables
        self._orders = orders

    @cached_property
    def lateness(self) -> Expression:
        """Weighted minutes late over all deliveries whose tasks are in the model."""
        variables, terms = self._variables, []
        for number, delivery in enumerate(variables.problem.deliveries):
            tasks = [task for task in delivery.tasks if task in variables.end]
            if not tasks or not delivery.weight:
                continue
            latest = max(0, variables.windows.horizon - delivery.due)

            def value(values: Values, tasks: list[int] = tasks, due: int = delivery.due) -> int:
                return max(0, max(end_of(variables.problem, values, task) for task in tasks) - due)

            late = variables.integer(0, latest, f"late {number}", value)
            for task in tasks:
                variables.model.add(late >= variables.end[task] - delivery.due)
            terms.append(delivery.weight * late)
        return sum(terms)

    @cached_property
    def makespan(self) -> cp_model.IntVar:
        """The end of the last task."""
        variables = self._variables

        def value(values: Values) -> int:
            return max(end_of(variables.problem, values, task) for task in variables.start)

        makespan = variables.integer(0, variables.windows.horizon, "makespan", value)
        for task in sorted(variables.end):
            variables.model.add(makespan >= variables.end[task])
            if task in variables.free:
                variables.model.add(makespan >= variables.start[task] + variables.windows.tail[task])
        return makespan

    @cached_property
    def tidiness(self) -> Expression:
        """Minutes waited beyond the least, weighted, and the changes of state in chambers."""
        variables = self._variables
        terms: list[Expression] = [
            link.tidy * (lag_of(variables, link) - (link.least or 0))
            for link in variables.problem.links
            if link.tidy and link.before in variables.start and link.after in variables.start
        ]
        if variables.problem.tidy_changeover:
            terms += [variables.problem.tidy_changeover * change for change in self._changes_of_state()]
        return sum(terms)

    def _changes_of_state(self) -> list[Expression]:
        variables = self._variables
        chambers: dict[int, list[Part]] = defaultdict(list)
        for part in variables.parts:
            resource = variables.problem.resources[part.resource]
            if isinstance(resource, Chamber) and resource.tidy:
                chambers[part.resource].append(part)
        if sum(_triples(parts) for parts in chambers.values()) > MOST_TRIPLES:
            return []
        changes: list[Expression] = []
        for parts in chambers.values():
            changes.extend(self._changes_in_chamber(parts))
        return changes

    def _changes_in_chamber(self, parts: list[Part]) -> list[Expression]:
        """Runs of one state begun, less one if the chamber is used at all.

        A use either begins a run or names an earlier use of the same state from which
        no use of another state separates it.
        """
        if len({part.state for part in parts}) < 2:
            return []
        variables, model = self._variables, self._variables.model
        begun: list[Literal] = []
        for part in parts:
            begins = variables.boolean(f"run {part.resource} {part.use}", self._value_of_begin(parts, part))
            begun.append(begins)
            follows: list[Literal] = []
            for other in parts:
                if other is part or other.state != part.state or _exclusive(other, part):
                    continue
                link = variables.boolean(
                    f"after {part.resource} {other.use} {part.use}", self._value_of_follow(parts, other, part)
                )
                follows.append(link)
                if other.active is not None:
                    model.add_implication(link, other.active)
                strict = int(key_of(other) > key_of(part))
                model.add(other.start + strict <= part.start).only_enforce_if(link)
                for between in parts:
                    if between.state != part.state and not _exclusive(between, part) and not _exclusive(between, other):
                        apart = (
                            self._orders.before(key_of(other), key_of(between)),
                            self._orders.before(key_of(part), key_of(between)),
                        )
                        present = [] if between.active is None else [~between.active]
                        model.add_bool_or([~link, *present, ~apart[0], apart[1]])
            model.add_bool_or([begins, *follows, *([] if part.active is None else [~part.active])])
        if any(part.active is None for part in parts):
            return [*begun, -1]
        used = variables.boolean(
            f"used {parts[0].resource}", lambda values: int(any(_present(values, part) for part in parts))
        )
        model.add_bool_or([~used, *(part.active for part in parts if part.active is not None)])
        return [*begun, -1 * used]

    def _value_of_follow(self, parts: list[Part], other: Part, part: Part):  # type: ignore[no-untyped-def]
        def value(values: Values) -> int:
            return int(self._previous_in_run(parts, part, values) is other)

        return value

    def _value_of_begin(self, parts: list[Part], part: Part):  # type: ignore[no-untyped-def]
        def value(values: Values) -> int:
            return int(_present(values, part) and self._previous_in_run(parts, part, values) is None)

        return value

    def _previous_in_run(self, parts: list[Part], part: Part, values: Values) -> Part | None:
        """The use just before ``part`` in its run of one state in a schedule, if there is one."""
        if not _present(values, part):
            return None

        def moment(other: Part) -> tuple[int, tuple[int, int, int]]:
            task, number, position = key_of(other)
            offset = self._variables.problem.tasks[task].modes[number].uses[position].offset
            return values.tasks[task].start + offset, key_of(other)

        earlier = [other for other in parts if _present(values, other) and moment(other) < moment(part)]
        previous = max(earlier, key=moment, default=None)
        return previous if previous is not None and previous.state == part.state else None


def _exclusive(one: Part, other: Part) -> bool:
    """Whether two uses belong to different modes of one task."""
    return one.task == other.task and key_of(one)[1] != key_of(other)[1]


def _present(values: Values, part: Part) -> bool:
    task, number, position = key_of(part)
    assignment = values.tasks[task]
    return assignment.mode == number and assignment.resources[position] == part.resource


def _triples(parts: list[Part]) -> int:
    return sum(1 for one, other in product(parts, parts) if one is not other and one.state == other.state) * len(parts)
