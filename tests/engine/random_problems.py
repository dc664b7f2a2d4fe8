"""Small random problems over everything a problem can say, feasible and infeasible ones."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from stationplan.engine.problem import (
    Chamber,
    Closure,
    Consumable,
    Delivery,
    Hold,
    Link,
    LinkKind,
    Mode,
    Pool,
    Problem,
    Task,
    Use,
)

STATES = ("hot", "mild", "cold")


def random_problem(seed: int, *, tasks: int = 6, horizon: int = 14, longest: int = 4) -> Problem:
    """A problem drawn from the seed, the same one every time.

    Args:
        seed: any number.
        tasks: most tasks it may have.
        horizon: most minutes it may have; a problem without horizon of its own stays small all the same.
        longest: longest duration.
    """
    draw = Random(seed)
    if draw.random() < 0.2:
        return _with_series(draw, horizon)
    if draw.random() < 0.25:
        # Without a horizon the engine has to find one, so the numbers must be small for brute force.
        return replace(_mixed(draw, min(tasks, 4), 6, min(longest, 2)), horizon=None)
    return _mixed(draw, tasks, horizon, longest)


def _mixed(draw: Random, most_tasks: int, horizon: int, longest: int) -> Problem:
    count = draw.randint(2, most_tasks)
    resources = _resources(draw, horizon)
    consumables = tuple(Consumable(f"stock {n}", draw.randint(1, 3)) for n in range(draw.choice((0, 0, 1))))
    tasks = tuple(_task(draw, n, resources, len(consumables), horizon, longest) for n in range(count))
    pools = [index for index, resource in enumerate(resources) if isinstance(resource, Pool)]
    return Problem(
        tasks=tasks,
        resources=resources,
        links=tuple(_link(draw, count) for _ in range(draw.randint(0, 4))),
        holds=tuple(_hold(draw, count, pools) for _ in range(draw.choice((0, 1, 2)) if pools else 0)),
        deliveries=tuple(_delivery(draw, n, count, horizon) for n in range(draw.choice((0, 0, 1, 2)))),
        consumables=consumables,
        horizon=draw.randint(2 * horizon // 3, horizon),
        tidy_changeover=draw.choice((0, 1, 10)),
    )


def _resources(draw: Random, horizon: int) -> tuple[Pool | Chamber, ...]:
    pools = [_pool(draw, n, horizon) for n in range(draw.choice((0, 1, 1, 2)))]
    chambers = [_chamber(draw, 0, horizon) for _ in range(draw.choice((0, 1)))]
    if chambers and draw.random() < 0.5:
        # A second chamber, every other time just like the first (or all but one thing).
        like = replace(chambers[0], name="chamber 1", tidy=draw.choice((chambers[0].tidy, True)))
        chambers.append(like if draw.random() < 0.5 else _chamber(draw, 1, horizon))
    mixed: list[Pool | Chamber] = [*pools, *chambers]
    draw.shuffle(mixed)
    return tuple(mixed)


def _closures(draw: Random, horizon: int) -> tuple[Closure, ...]:
    starts = [draw.randint(0, horizon) for _ in range(draw.choice((0, 0, 1, 2)))]
    return tuple(Closure(start, start + draw.randint(0, 3), draw.randint(1, 2)) for start in starts)


def _pool(draw: Random, number: int, horizon: int) -> Pool:
    capacity = draw.choice((1, 1, 2, 2, 3)) if draw.random() < 0.95 else 0
    return Pool(f"pool {number}", capacity, _closures(draw, horizon))


def _chamber(draw: Random, number: int, horizon: int) -> Chamber:
    capacity = draw.choice((1, 1, 2))
    pairs = [(one, other) for one in STATES for other in STATES if one != other or capacity == 1]
    changeovers = {pair: draw.randint(0, 3) for pair in pairs if draw.random() < (0.6 if pair[0] != pair[1] else 0.3)}
    first = {state: draw.randint(1, 3) for state in STATES if draw.random() < 0.3}
    tidy = draw.random() < 0.8
    return Chamber(f"chamber {number}", capacity, changeovers, first, tidy, closures=_closures(draw, horizon))


def _task(
    draw: Random, number: int, resources: tuple[Pool | Chamber, ...], stocks: int, horizon: int, longest: int
) -> Task:
    modes = tuple(_mode(draw, resources, stocks, longest) for _ in range(draw.choice((1, 1, 1, 2, 2, 3))))
    return Task(
        f"task {number}",
        modes,
        release=draw.randint(1, horizon // 2) if draw.random() < 0.15 else 0,
        deadline=draw.randint(horizon // 2, horizon) if draw.random() < 0.1 else None,
        fixed_start=draw.randint(0, horizon // 2) if draw.random() < 0.04 else None,
    )


def _mode(draw: Random, resources: tuple[Pool | Chamber, ...], stocks: int, longest: int) -> Mode:
    duration = draw.choice((0, *range(1, longest + 1), *range(1, longest + 1)))
    uses = [_use(draw, resources, duration) for _ in range(draw.choice((0, 1, 1, 2)) if resources else 0)]
    return Mode(
        duration,
        uses=tuple(use for use in uses if use is not None),
        consumes=tuple((stock, draw.randint(0, 2)) for stock in range(stocks) if draw.random() < 0.6),
    )


def _use(draw: Random, resources: tuple[Pool | Chamber, ...], duration: int) -> Use | None:
    index = draw.randrange(len(resources))
    like = [n for n, resource in enumerate(resources) if isinstance(resource, type(resources[index])) and n != index]
    eligible = (index, *(n for n in like if draw.random() < 0.5))
    offset, length = 0, None
    if draw.random() < 0.3:
        offset = draw.randint(0, duration)
        length = draw.choice((None, draw.randint(0, duration - offset)))
    if isinstance(resources[index], Pool):
        return Use(eligible, draw.choice((0, 1, 1, 1, 1, 1, 2)), offset, length)
    if (duration - offset if length is None else length) < 1:
        return None
    room = min(resources[n].capacity for n in eligible)
    return Use(eligible, draw.randint(1, room), offset, length, draw.choice(STATES))


def _link(draw: Random, count: int) -> Link:
    before, after = sorted(draw.sample(range(count), 2))
    if draw.random() < 0.1:
        before, after = after, before
    if draw.random() < 0.03:
        after = before
    least = draw.choice((None, 0, 0, 0, 1, 2, 3, -1, -3))
    most = (least or 0) + draw.randint(0, 4) if draw.random() < 0.4 else None
    tidy = 0 if least is None else draw.choice((0, 0, 1, 2))
    return Link(before, after, least, most, draw.choice(tuple(LinkKind)), tidy)


def _hold(draw: Random, count: int, pools: list[int]) -> Hold:
    before, after = sorted(draw.sample(range(count), 2))
    places = tuple(draw.sample(pools, draw.randint(1, len(pools))))
    return Hold(before, after, places, draw.choice((0, 1, 1, 2)))


def _delivery(draw: Random, number: int, count: int, horizon: int) -> Delivery:
    tasks = tuple(draw.sample(range(count), draw.randint(1, count)))
    return Delivery(f"delivery {number}", tasks, draw.randint(0, horizon), draw.choice((0, 1, 1, 2, 3)))


def _with_series(draw: Random, horizon: int) -> Problem:
    """Batches of a series, most often identical, and one more task beside them."""
    batches, stages = draw.choice(((2, 2), (3, 1), (2, 1), (3, 2) if horizon <= 8 else (2, 2)))
    base = _mixed(draw, 3, horizon, 3)
    stage_tasks = [replace(base.tasks[stage % len(base.tasks)], fixed_start=None) for stage in range(stages)]
    tasks: list[Task] = []
    series: list[tuple[int, ...]] = []
    links: list[Link] = []
    holds: list[Hold] = []
    inner_links = [replace(link, before=0, after=1) for link in base.links] if stages == 2 else []
    inner_holds = [replace(hold, before=0, after=1) for hold in base.holds] if stages == 2 else []
    for batch in range(batches):
        first = len(tasks)
        tasks += [replace(task, name=f"{task.name}.{batch}") for task in stage_tasks]
        series.append(tuple(range(first, first + stages)))
        links += [replace(link, before=first, after=first + 1) for link in inner_links]
        holds += [replace(hold, before=first, after=first + 1) for hold in inner_holds]
    tasks.append(replace(base.tasks[-1], name="another", fixed_start=None))
    if draw.random() < 0.4:
        # What tells one batch from the others: the engine must not treat them as interchangeable.
        odd, another = draw.choice(series)[0], len(tasks) - 1
        match draw.randrange(5):
            case 0:
                tasks[odd] = replace(tasks[odd], release=draw.randint(0, 3))
            case 1:
                links.append(Link(another, odd, draw.choice((0, 1))))
            case 2:
                links.append(Link(odd, another, 0, draw.choice((None, 1))))
            case 3:
                tasks[odd] = replace(tasks[odd], fixed_start=draw.randint(0, 4))
            case _:
                holds += holds[:1]
    ends = draw.choice(((), (series[-1][-1],), tuple(batch[-1] for batch in series)))
    deliveries = [Delivery("delivery", ends, draw.randint(0, horizon), 1)] if ends else []
    if draw.random() < 0.3:
        deliveries.append(Delivery("another", (len(tasks) - 1,), draw.randint(0, 4), 2))
    return replace(
        base,
        tasks=tuple(tasks),
        links=tuple(links),
        holds=tuple(holds),
        deliveries=tuple(deliveries),
        series=(tuple(series),),
    )
