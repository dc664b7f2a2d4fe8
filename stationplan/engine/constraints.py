"""What a schedule must obey, added to the model one kind at a time."""

from __future__ import annotations

from collections import defaultdict
from itertools import combinations, pairwise

from ortools.sat.python import cp_model

from stationplan.engine.problem import Chamber, Link, LinkKind, Pool
from stationplan.engine.symmetry import identical_chambers
from stationplan.engine.variables import Expression, Literal, Part, Values, Variables
from stationplan.engine.windows import calendar_of, use_length
from stationplan.engine.work import closed_under_overlap


def add_constraints(variables: Variables) -> Orders:
    """Add every constraint of the problem between the tasks that the model holds.

    Args:
        variables: the model's variables.

    Returns:
        The orders decided between uses of chambers, for the objective.
    """
    by_resource: dict[int, list[Part]] = defaultdict(list)
    for part in variables.parts:
        by_resource[part.resource].append(part)
    add_links(variables)
    add_pools(variables, by_resource)
    add_chamber_slots(variables, by_resource)
    orders = add_changeovers(variables, by_resource)
    add_restarts(variables, by_resource)
    add_shared_capacity(variables)
    add_consumables(variables)
    order_identical_chambers(variables, by_resource)
    return orders


UseKey = tuple[int, int, int]


class Orders:
    """For pairs of uses that must not overlap in a chamber: the literal that the first goes before the second."""

    def __init__(self) -> None:
        self._before: dict[tuple[UseKey, UseKey], Literal] = {}

    def add(self, first: UseKey, second: UseKey, literal: Literal) -> None:
        """Record the literal of ``first`` before ``second``."""
        self._before[first, second] = literal

    def before(self, first: UseKey, second: UseKey) -> Literal:
        """The literal that is true when ``first`` goes before ``second``."""
        literal = self._before.get((first, second))
        return literal if literal is not None else ~self._before[second, first]

    def __contains__(self, pair: tuple[UseKey, UseKey]) -> bool:
        return pair in self._before or pair[::-1] in self._before


def add_links(variables: Variables) -> None:
    """Least and most lags, and the precedence in every hold."""
    model = variables.model
    for link in variables.problem.links:
        if link.before not in variables.start or link.after not in variables.start:
            continue
        if link.before not in variables.free and link.after not in variables.free:
            continue
        lag = lag_of(variables, link)
        if link.least is not None:
            model.add(lag >= link.least)
        if link.most is not None:
            model.add(lag <= link.most)


def lag_of(variables: Variables, link: Link) -> Expression:
    """The lag of a link as an expression."""
    before = variables.end if link.kind in (LinkKind.END_START, LinkKind.END_END) else variables.start
    after = variables.end if link.kind in (LinkKind.END_END, LinkKind.START_END) else variables.start
    return after[link.after] - before[link.before]


def add_pools(variables: Variables, by_resource: dict[int, list[Part]]) -> None:
    """No pool is used beyond the capacity that its closures leave."""
    for index, resource in enumerate(variables.problem.resources):
        if isinstance(resource, Pool) and by_resource[index]:
            _add_cumulative(variables, by_resource[index], [index], resource.capacity)


def add_chamber_slots(variables: Variables, by_resource: dict[int, list[Part]]) -> None:
    """No chamber is used beyond its slots."""
    for index, resource in enumerate(variables.problem.resources):
        if isinstance(resource, Chamber) and by_resource[index]:
            _add_cumulative(variables, by_resource[index], [index], resource.capacity)


def add_shared_capacity(variables: Variables) -> None:
    """What may choose between resources stays, all together, within their summed capacity.

    With every choice decided this is implied, but without it the solver sees nothing of
    a bottleneck until the choices are made. In a pooled model it stands in place of the
    choices: for every set of resources the uses that are bound to it fit into it (the
    condition of Hall's theorem, at every moment), which is a relaxation, for one use
    might have to change hands half-way.
    """
    for together in sorted(closed_under_overlap({choices for choices, _ in variables.shared}), key=sorted):
        inside = [part for part in variables.parts if part.resource in together and part.single]
        inside += [part for choices, part in variables.shared if choices <= together]
        capacity = sum(variables.problem.resources[index].capacity for index in together)
        _add_cumulative(variables, inside, sorted(together), capacity)


def _add_cumulative(variables: Variables, parts: list[Part], resources: list[int], capacity: int) -> None:
    model = variables.model
    intervals = [part.interval for part in parts]
    demands = [part.amount for part in parts]
    closed = [
        (start, end, variables.problem.resources[index].capacity - max(0, room))
        for index in resources
        for start, end, room in calendar_of(variables.problem, index)
    ]
    # Holds may have length 0, which takes no room but would still separate others in a no-overlap.
    unary = all(part.use is not None and 2 * part.amount > capacity >= part.amount for part in parts)
    if unary and not closed:
        model.add_no_overlap(intervals)
        return
    for number, (start, end, away) in enumerate(closed):
        intervals.append(model.new_fixed_size_interval_var(start, end - start, f"closed {resources} {number}"))
        demands.append(away)
    model.add_cumulative(intervals, demands, capacity)


def add_changeovers(variables: Variables, by_resource: dict[int, list[Part]]) -> Orders:
    """Uses of different states never overlap in a chamber, and leave time for the changeover between them.

    One literal a pair says which goes first, whichever chamber the two share.
    """
    model, orders = variables.model, Orders()
    for index, resource in enumerate(variables.problem.resources):
        if not isinstance(resource, Chamber):
            continue
        parts = by_resource[index]
        for part in parts:
            least = resource.first.get(part.state or "", 0)
            if least and part.task in variables.free:
                constraint = model.add(part.start >= least)
                if part.active is not None:
                    constraint.only_enforce_if(part.active)
        for first, second in combinations(parts, 2):
            if first.task == second.task and key_of(first)[1] != key_of(second)[1]:
                continue  # two modes of one task are never both chosen
            if first.task not in variables.free and second.task not in variables.free:
                continue
            there, back = _gap(resource, first, second), _gap(resource, second, first)
            if there is None or back is None:
                continue
            both = [part.active for part in (first, second) if part.active is not None]
            before = _order(variables, orders, first, second)
            model.add(second.start >= first.end + there).only_enforce_if(before, *both)
            model.add(first.start >= second.end + back).only_enforce_if(~before, *both)
    return orders


def add_restarts(variables: Variables, by_resource: dict[int, list[Part]]) -> None:
    """After each restart a chamber takes as long to its state as at first, unless some use goes on through it."""
    for index, resource in enumerate(variables.problem.resources):
        if not isinstance(resource, Chamber):
            continue
        for restart in resource.restarts:
            through = [(part, _goes_on(variables, part, restart)) for part in by_resource[index]]
            for part in by_resource[index]:
                ready = restart + resource.after_restarts.get(part.state or "", 0)
                others = [going for other, going in through if other is not part]
                if ready > restart and not any(going is True for going in others):
                    literals = [going for going in others if not isinstance(going, bool)]
                    _keep_out(variables, part, restart, ready, literals)


def _goes_on(variables: Variables, part: Part, restart: int) -> Literal | bool:
    """Whether a use goes on through a restart, where that is known; otherwise a literal that makes it do so."""
    task, number, position = key_of(part)
    mode = variables.problem.tasks[task].modes[number]
    offset, length = mode.uses[position].offset, use_length(mode, mode.uses[position])
    if task not in variables.free:
        begin = variables.placed[task].start + offset
        return begin < restart < begin + length
    windows = variables.windows
    if windows.earliest[task] + offset >= restart or windows.latest[task] + offset + length <= restart:
        return False

    def value(values: Values) -> int:
        place = values.tasks[task]
        there = place.mode == number and place.resources[position] == part.resource
        return int(there and place.start + offset < restart < place.start + offset + length)

    going = variables.boolean(f"through {restart} {part.resource} {task} {number} {position}", value)
    variables.model.add(part.start < restart).only_enforce_if(going)
    variables.model.add(part.end > restart).only_enforce_if(going)
    if part.active is not None:
        variables.model.add_implication(going, part.active)
    return going


def _keep_out(variables: Variables, part: Part, restart: int, ready: int, through: list[Literal]) -> None:
    """A use does not begin from a restart until its state is reached, unless one of ``through`` is true."""
    if part.task in variables.free:
        allowed = cp_model.Domain.from_intervals([[0, restart - 1], [ready, max(ready, variables.windows.horizon)]])
        constraint = variables.model.add_linear_expression_in_domain(part.start, allowed)
        constraint.only_enforce_if(*(~going for going in through), *(() if part.active is None else (part.active,)))
    elif through:
        task, number, position = key_of(part)
        offset = variables.problem.tasks[task].modes[number].uses[position].offset
        if restart <= variables.placed[task].start + offset < ready:
            variables.model.add_bool_or(through)


def _gap(chamber: Chamber, first: Part, second: Part) -> int | None:
    """Minutes between the end of one use and the start of the next; None when they may overlap."""
    pair = (first.state or "", second.state or "")
    if first.state != second.state:
        return chamber.changeovers.get(pair, 0)
    if chamber.capacity == 1 and chamber.changeovers.get(pair, 0):
        return chamber.changeovers[pair]
    return None


def _order(variables: Variables, orders: Orders, first: Part, second: Part) -> Literal:
    """The literal that the first goes before the second, made once for each pair of uses."""
    keys = (key_of(first), key_of(second))
    if keys not in orders:

        def value(values: Values) -> int:
            starts = [
                values.tasks[task].start + variables.problem.tasks[task].modes[number].uses[position].offset
                for task, number, position in keys
            ]
            return int((starts[0], keys[0]) < (starts[1], keys[1]))

        orders.add(*keys, variables.boolean(f"order {keys}", value))
    return orders.before(*keys)


def key_of(part: Part) -> UseKey:
    """The use that a part in a chamber belongs to; holds are never in chambers."""
    assert part.use is not None
    return part.use


def add_consumables(variables: Variables) -> None:
    """All tasks together take no more of a consumable than there is."""
    tasks = variables.problem.tasks
    for index, consumable in enumerate(variables.problem.consumables):
        terms: list[Expression] = []
        for task in sorted(variables.start):
            for number, mode in enumerate(tasks[task].modes):
                amount = sum(taken for other, taken in mode.consumes if other == index)
                if task in variables.modes:
                    terms.append(amount * variables.modes[task][number])
                elif task in variables.free or variables.placed[task].mode == number:
                    terms.append(amount)
        if terms:
            variables.model.add(sum(terms) <= consumable.total)


def order_identical_chambers(variables: Variables, by_resource: dict[int, list[Part]]) -> None:
    """Identical chambers are opened in their order: a use may be in one only if an earlier use is in the one before.

    "Earlier" is by the position of the task. Only in a model without placed tasks, as these tell chambers apart.
    """
    if variables.placed:
        return
    for group in identical_chambers(variables.problem):
        for previous, chamber in pairwise(group):
            opened = {key_of(part): part.active for part in by_resource[previous]}
            for part in by_resource[chamber]:
                if part.active is not None:
                    earlier = [active for key, active in opened.items() if key < key_of(part) and active is not None]
                    variables.model.add_bool_or([*earlier, ~part.active])
