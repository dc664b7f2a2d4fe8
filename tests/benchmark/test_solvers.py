"""The engine and its peers get the same problem: on tiny instances they prove the same."""

from __future__ import annotations

import json
from pathlib import Path
from types import ModuleType

import pytest
from click.testing import CliRunner

from . import peer_pyjobshop, textbook, tiny, to_problem
from .answers import Instance, Limits, Outcome
from .checker import find_faults, find_makespan
from .collection import FamilyError, list_family, load, sample
from .family import Kitchen, KitchenLink, KitchenTask, kitchen
from .readers import job_shop, read_flexible_shop, read_progen_max, read_psplib
from .run import main

LIMITS = Limits(seconds=60, workers=1, seed=0)
# One oven, two bakes of 20 minutes at 160 C and one at 180 C, each with all the room: hot last costs 3 minutes, hot
# first 5, hot between 8. The mix of 10 minutes for one of the cool ones can be done meanwhile.
ONE_OVEN = Kitchen(
    (
        KitchenTask("mix", 0, 0, 10, {"people": 1}),
        KitchenTask("bake", 0, 0, 20, {}, 8, 160),
        KitchenTask("bake", 1, 0, 20, {}, 8, 160),
        KitchenTask("bake", 2, 0, 20, {}, 8, 180),
    ),
    (KitchenLink(0, 1, 0, 30),),
    {"people": 1},
    ovens=1,
)
PROJECTS_AND_SHOPS = [
    # 3 and then 4, because they share resource 0.
    pytest.param(read_psplib(tiny.SINGLE_MODE), 7, id="one mode"),
    # The slow 6 and then 3, because of the stock.
    pytest.param(read_psplib(tiny.SEVERAL_MODES), 9, id="several modes"),
    # A least lag of 5 from start to start, then 4.
    pytest.param(read_progen_max(tiny.LAGS), 9, id="lags"),
    # Job 0 on machine 1 until 4 and 6; or on machine 0 until 3 with job 1 after it until 6.
    pytest.param(read_flexible_shop(tiny.FLEXIBLE), 6, id="flexible job shop"),
    # Fisher and Thompson's way of writing: job 0 is 3 and 2, job 1 is 4 and 1 the other way round.
    pytest.param(job_shop([[3, 2], [4, 1]], [[0, 1], [1, 0]]), 6, id="job shop"),
]


def prove(solver: ModuleType, instance: Instance, makespan: int) -> None:
    answer = solver.solve(instance, LIMITS)
    assert (answer.outcome, answer.value, answer.bound) == (Outcome.OPTIMAL, makespan, makespan)
    assert find_faults(instance, answer.plan) == ()
    assert find_makespan(instance, answer.plan) == makespan
    assert answer.first_plan is not None


@pytest.mark.parametrize("solver", [to_problem, textbook], ids=["stationplan", "textbook"])
@pytest.mark.parametrize(("instance", "makespan"), [*PROJECTS_AND_SHOPS, pytest.param(ONE_OVEN, 63, id="kitchen")])
def test_a_tiny_instance_is_proved(solver: ModuleType, instance: Instance, makespan: int) -> None:
    prove(solver, instance, makespan)


@pytest.mark.parametrize(("instance", "makespan"), PROJECTS_AND_SHOPS)
def test_the_peer_of_the_registry_proves_a_tiny_instance(instance: Instance, makespan: int) -> None:
    pytest.importorskip("pyjobshop", reason="comes with the benchmark extra")
    prove(peer_pyjobshop, instance, makespan)


def test_engine_and_textbook_agree_on_a_kitchen_of_two_batches() -> None:
    ours, textbooks = (solver.solve(kitchen(1, 2), LIMITS) for solver in (to_problem, textbook))
    assert ours.outcome is textbooks.outcome is Outcome.OPTIMAL
    assert ours.value == textbooks.value


@pytest.mark.parametrize("solver", [to_problem, textbook], ids=["stationplan", "textbook"])
def test_contradicting_lags_are_infeasible(solver: ModuleType) -> None:
    # At least 5 and at most 4.
    assert solver.solve(read_progen_max(tiny.LAGS.replace("-7", "-4")), LIMITS).outcome is Outcome.INFEASIBLE


def test_the_peer_of_the_registry_cannot_say_a_kitchen() -> None:
    answer = peer_pyjobshop.solve(kitchen(1, 1), LIMITS)
    assert answer.outcome is Outcome.CANNOT_SAY
    assert "setup times" in answer.note


def a_set(folder: Path, best: int) -> None:
    """A folder with one public set of four instances, all the same."""
    facts = {}
    for name in ("a1", "a2", "b1", "b2"):
        (folder / f"{name}.sm").write_text(tiny.SINGLE_MODE, encoding="utf-8")
        facts[name] = {"path": f"{name}.sm", "lb": best, "ub": best, "optimal": True}
    (folder / "best-known.json").write_text(json.dumps({"RCPSP": facts}), encoding="utf-8")


def test_a_family_is_a_set_or_the_part_of_it_whose_names_begin_alike(tmp_path: Path) -> None:
    a_set(tmp_path, 7)
    assert [entry.name for entry in list_family("RCPSP", tmp_path, 1)] == ["a1", "a2", "b1", "b2"]
    entries = list_family("RCPSP:b", tmp_path, 1)
    assert [(entry.name, entry.known.upper) for entry in entries] == [("b1", 7), ("b2", 7)]
    assert load(entries[0], tmp_path) == read_psplib(tiny.SINGLE_MODE)


def test_a_sample_is_the_same_for_the_same_seed(tmp_path: Path) -> None:
    a_set(tmp_path, 7)
    entries = list_family("RCPSP", tmp_path, 1)
    assert sample(entries, 2, seed=1) == sample(entries, 2, seed=1)
    assert len({sample(entries, 2, seed) for seed in range(20)}) > 1
    assert sample(entries, 9, seed=1) == entries


@pytest.mark.parametrize("family", ["kitchen:people", "kitchen:people:0x2", "RCPSP:c", "TSP", "JSP:nothing"])
def test_a_family_that_is_not_there_is_refused(family: str, tmp_path: Path) -> None:
    a_set(tmp_path, 7)
    with pytest.raises(FamilyError):
        list_family(family, tmp_path, 1)


@pytest.mark.parametrize(("best", "code"), [(7, 0), (6, 1)])
def test_the_command_reports_and_ends_with_1_on_a_contradiction(tmp_path: Path, best: int, code: int) -> None:
    # A published 6 for what takes 7: whoever proves 7 contradicts it.
    a_set(tmp_path, best)
    options = ["--family", "RCPSP:a1", "--data", str(tmp_path), "--only", "textbook", "--out", str(tmp_path / "out")]
    result = CliRunner().invoke(main, options)
    assert result.exit_code == code
    assert ("CONTRADICTION" in result.output) == bool(code)
    assert {path.name for path in (tmp_path / "out").iterdir()} == {"instances.csv", "families.csv"}
