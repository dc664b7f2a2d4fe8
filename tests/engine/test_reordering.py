from __future__ import annotations

from stationplan.engine.groups import Groups
from stationplan.engine.problem import Link, Mode, Pool, Problem, Task, Use
from stationplan.engine.reordering import Move, Reordering
from stationplan.engine.windows import Windows, find_windows


def bakes(*minutes: int) -> tuple[Problem, Windows, Groups]:
    """Tasks on one oven, of the given lengths."""
    tasks = tuple(Task(f"bake {n}", (Mode(length, (Use((0,), 1),)),)) for n, length in enumerate(minutes))
    problem = Problem(tasks, (Pool("oven", 1),), horizon=1000)
    windows = find_windows(problem)
    assert isinstance(windows, Windows)
    return problem, windows, Groups(problem, windows)


def keys_by_move(
    problem: Problem, windows: Windows, groups: Groups, starts: list[int]
) -> dict[Move, list[list[float]]]:
    reordering = Reordering(problem, windows, groups, seed=1)
    keys: dict[Move, list[list[float]]] = {}
    for _ in range(300):
        move, key = reordering.next(starts, 100)
        keys.setdefault(move, []).append(key)
    return keys


def test_kinds_of_work_move_as_a_whole_and_the_others_stay() -> None:
    # Kinds are told apart by their minutes: {0, 1}, {2, 3}; task 4 is alone and of no kind.
    starts = [0, 10, 20, 40, 60]
    keys = keys_by_move(*bakes(10, 10, 20, 20, 30), starts)
    assert set(keys) == set(Move)
    for move in (Move.SHIFT, Move.SPREAD, Move.STRETCH, Move.EXCHANGE):
        assert all(key[4] == 60 for key in keys[move])
    for key in keys[Move.SHIFT]:
        assert abs(key[1] - key[0] - 10) < 1e-9
        assert abs(key[3] - key[2] - 20) < 1e-9
    for key in keys[Move.SPREAD]:
        assert min(key) >= 0
        assert max(key) <= 100
    for key in keys[Move.STRETCH]:
        assert key[0] <= key[1]
        assert key[2] <= key[3]
    assert all(key == [20, 40, 0, 10, 60] for key in keys[Move.EXCHANGE])


def test_where_no_two_kinds_have_several_groups_the_order_is_only_shaken() -> None:
    keys = keys_by_move(*bakes(10, 10, 20, 30), [0, 10, 20, 40])
    assert set(keys) == {Move.SHAKE}


def test_tasks_tied_by_a_most_lag_move_together() -> None:
    problem = Problem(
        tuple(
            Task(name, (Mode(length, (Use((0,), 1),)),))
            for name, length in (("mix", 5), ("bake", 10), ("mix", 5), ("bake", 10), ("cut", 7), ("cut", 7))
        ),
        (Pool("oven", 2),),
        links=(Link(0, 1, most=5), Link(2, 3, most=5)),
        horizon=1000,
    )
    windows = find_windows(problem)
    assert isinstance(windows, Windows)
    keys = keys_by_move(problem, windows, Groups(problem, windows), [0, 5, 15, 20, 30, 40])
    for key in keys[Move.SPREAD]:
        assert key == [0, 5, 15, 20, key[4], key[5]] or (key[0] == key[1] and key[2] == key[3])


def test_moves_that_bring_something_are_made_more_often() -> None:
    reordering = Reordering(*bakes(10, 10, 20, 20), seed=1)
    counts = dict.fromkeys(Move, 0)
    for _ in range(600):
        move, _ = reordering.next([0, 10, 20, 40], 100)
        counts[move] += 1
        reordering.learn(move, better=move is Move.SPREAD)
    assert counts[Move.SPREAD] > 2 * max(count for move, count in counts.items() if move is not Move.SPREAD)
