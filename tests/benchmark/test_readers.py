"""The formats of the public sets are read as their descriptions say."""

from __future__ import annotations

from . import tiny
from .readers import (
    Arc,
    Operation,
    Project,
    ProjectMode,
    Shop,
    job_shop,
    read_flexible_shop,
    read_progen_max,
    read_psplib,
)


def test_a_project_of_one_mode() -> None:
    assert read_psplib(tiny.SINGLE_MODE) == Project(
        (
            (ProjectMode(0, (0, 0)),),
            (ProjectMode(3, (2, 0)),),
            (ProjectMode(4, (2, 1)),),
            (ProjectMode(0, (0, 0)),),
        ),
        (Arc(0, 1), Arc(0, 2), Arc(1, 3), Arc(2, 3)),
        (3, 1),
    )


def test_a_project_of_several_modes_with_a_stock() -> None:
    project = read_psplib(tiny.SEVERAL_MODES)
    assert project.activities[1] == (ProjectMode(2, (1,), (5,)), ProjectMode(6, (1,), (1,)))
    assert (project.capacities, project.stocks) == ((1,), (5,))


def test_a_project_with_least_and_most_lags() -> None:
    assert read_progen_max(tiny.LAGS) == Project(
        ((ProjectMode(0, (0,)),), (ProjectMode(3, (1,)),), (ProjectMode(4, (1,)),), (ProjectMode(0, (0,)),)),
        (
            Arc(0, 1, 0, from_end=False),
            Arc(1, 2, 5, from_end=False),
            Arc(1, 3, 3, from_end=False),
            Arc(2, 1, -7, from_end=False),
            Arc(2, 3, 4, from_end=False),
        ),
        (1,),
    )


def test_a_flexible_job_shop_whose_0_is_a_machine_that_cannot() -> None:
    assert read_flexible_shop(tiny.FLEXIBLE) == Shop(
        ((Operation(((0, 3), (1, 4))), Operation(((1, 2),))), (Operation(((0, 3), (1, 9))),)), 2
    )


def test_a_job_shop_of_two_matrices() -> None:
    assert job_shop([[3, 2], [4, 1]], [[0, 1], [1, 0]]) == Shop(
        ((Operation(((0, 3),)), Operation(((1, 2),))), (Operation(((1, 4),)), Operation(((0, 1),)))), 2
    )
