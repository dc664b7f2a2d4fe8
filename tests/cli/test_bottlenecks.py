"""``stationplan bottlenecks``: of a scenario, of a saved plan, of what cannot be done; interrupted; on a cluster."""

from __future__ import annotations

import json
import os
import signal
import subprocess
from collections.abc import Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from .conftest import FIRST_SHIFT, Run, invoke
from .hard import write_hard_scenario
from .kitchens import tart, write
from .test_interruption import COMMAND, read_rest, read_until

BAKED = "name: bake, takes: 30 min, equipment: oven at 180 C, hands_on: none, batch: 1 tray"
WRAPPED = "name: wrap, takes: 5 min, people: 1, batch: 1 tray"
SMALL = ("--effort", "2", "--width", "100")


@contextmanager
def threads(_: int | None) -> Iterator[Executor]:
    with ThreadPoolExecutor(2) as executor:
        yield executor


@pytest.fixture
def in_threads(monkeypatch: pytest.MonkeyPatch) -> None:
    """Processes take seconds to start; that they give the same answers is tested beside the trials."""
    monkeypatch.setattr("stationplan.cli.parallel.processes", threads)


@pytest.fixture(name="folder")
def scenario_with_one_oven(tmp_path: Path) -> Path:
    return write(tmp_path, tart(BAKED, WRAPPED, quantity=4, order=', due: "07:30"'))


def told(output: str) -> str:
    return " ".join(output.split())


@pytest.mark.usefixtures("in_threads")
def test_everything_is_told_of_a_scenario(run: Run, folder: Path) -> None:
    result = run("bottlenecks", folder, *SMALL)
    assert result.exit_code == 0
    # Heating takes 16 minutes; two trays at a time take two rounds of 30 and 5 minutes of wrapping.
    assert "finished 07:21" in result.stdout
    # 06:16 to 07:16, both slots of the oven, in the time to 07:21.
    assert "oven 47 100 76 74 %" in told(result.stdout)
    # With two ovens one round is enough, and two people wrap two trays each.
    assert "Most is saved by one more oven: 25 min, proved." in result.stdout
    assert "one more oven 06:56 saves 25 min proved" in told(result.stdout)
    assert "cannot be done: without the oven" in result.stdout
    assert "changes to try, 2 at a time, each for at most 2 units of effort.\n" in result.stderr


@pytest.mark.usefixtures("in_threads")
def test_the_same_comes_of_a_saved_plan_of_it(run: Run, folder: Path, tmp_path: Path) -> None:
    saved = tmp_path / "plan.json"
    assert run("plan", folder, "--effort", "2", "--out", saved).exit_code == 0
    assert run("bottlenecks", saved, *SMALL).stdout == run("bottlenecks", folder, *SMALL).stdout


@pytest.mark.usefixtures("in_threads")
def test_the_kinds_of_change_can_be_chosen(run: Run, folder: Path) -> None:
    only = run("bottlenecks", folder, *SMALL, "--only", "more-equipment", "--json", "--quiet")
    assert only.stderr == ""
    answers = json.loads(only.stdout)["comparison"]["answers"]
    assert [answer["sentence"] for answer in answers] == ["one more oven"]
    both = ("--only", "more-equipment", "--only", "fewer-equipment", "--without", "more-equipment")
    answers = json.loads(run("bottlenecks", folder, *SMALL, *both, "--json").stdout)["comparison"]["answers"]
    assert [(answer["sentence"], answer["ending"]) for answer in answers] == [("without the oven", "impossible")]


def test_without_what_ifs_nothing_is_tried(run: Run, plan_file: Path) -> None:
    result = run("bottlenecks", plan_file, "--no-what-ifs")
    assert (result.exit_code, result.stderr) == (0, "")
    assert "how busy, the tightest first" in result.stdout
    assert "what if" not in result.stdout


@pytest.mark.usefixtures("in_threads")
def test_what_cannot_be_done_is_told_with_what_would_make_it_possible(run: Run, tmp_path: Path) -> None:
    folder = write(tmp_path, tart(BAKED, WRAPPED, quantity=4, closes="07:10"))
    result = run("bottlenecks", folder, *SMALL)
    assert result.exit_code == 3
    assert "Trial: no plan is possible from 06:00 to 07:10" in result.stdout
    assert "one more oven 06:56 proved" in told(result.stdout)
    assert "open as long as it takes 07:21 proved" in told(result.stdout)
    # Nothing is taken away from a kitchen that is too small.
    assert "without" not in result.stdout
    assert result.stderr.splitlines()[1] == f"{folder}: this cannot be done as it stands."


@pytest.mark.usefixtures("in_threads")
def test_closing_later_is_tried_where_something_is_late(run: Run, tmp_path: Path) -> None:
    def sentences(due: str) -> list[str]:
        folder = write(tmp_path, tart(BAKED, quantity=4, order=f', due: "{due}"'))
        printed = run("bottlenecks", folder, *SMALL, "--only", "later-close", "--json").stdout
        return [answer["sentence"] for answer in json.loads(printed)["comparison"]["answers"]]

    assert sentences("07:00") == ["open as long as it takes"]
    assert sentences("08:00") == []


def test_a_saved_plan_keeps_its_durations(run: Run, plan_file: Path) -> None:
    assert run("bottlenecks", plan_file, "--durations", "longest", "--no-what-ifs").exit_code == 0
    result = run("bottlenecks", plan_file, "--durations", "shortest")
    assert result.exit_code == 2
    assert result.stderr == f"{plan_file}: this plan was made with --durations longest; leave the option out\n"


def test_a_plan_that_contradicts_its_scenario_is_refused(run: Run, plan_file: Path, tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.json"
    wrong.write_text(plan_file.read_text(encoding="utf-8").replace('"closes": 720', '"closes": 721'), encoding="utf-8")
    for command in ("bottlenecks", "smallest"):
        result = run(command, wrong)
        assert result.exit_code == 2
        assert "this plan contradicts its scenario, so nothing follows from it" in result.stderr


@pytest.mark.parametrize("command", ["bottlenecks", "smallest"])
def test_what_is_neither_scenario_nor_plan_is_refused(run: Run, tmp_path: Path, command: str) -> None:
    (tmp_path / "list.json").write_text("[1, 2]", encoding="utf-8")
    assert run(command, tmp_path / "list.json").exit_code == 2
    assert run(command, tmp_path / "nowhere").exit_code == 2


def test_processes_give_the_answers_and_an_interruption_ends_it_with_those_there_are(tmp_path: Path) -> None:
    pty = pytest.importorskip("pty", reason="needs a pseudo-terminal")
    saved = tmp_path / "plan.json"
    assert invoke("plan", write_hard_scenario(tmp_path), "--effort", "0.01", "--out", saved).exit_code == 0
    terminal, other_side = pty.openpty()
    options = ["--time-limit", "600", "--workers", "1", "--only", "more-equipment", "--only", "fewer-equipment"]
    with subprocess.Popen(
        [*COMMAND, "bottlenecks", str(saved), *options], stdout=subprocess.PIPE, stderr=other_side
    ) as process:
        os.close(other_side)
        read_until(terminal, b"20 changes to try, 1 at a time, each for at most 600 s: at most 3 h 20 min in all.")
        process.send_signal(signal.SIGINT)
        assert process.stdout is not None
        shown = process.stdout.read().decode("utf-8")
        heard = read_rest(terminal).decode("utf-8")
    os.close(terminal)
    assert process.returncode == 0
    assert "Traceback" not in heard
    assert heard.endswith("Interrupted: this is what was known by then.\r\n")
    assert "interrupted before it was known: 20 of 20 changes" in shown


def test_a_cluster_gives_the_same_answers(run: Run, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    distributed = pytest.importorskip("distributed", reason="needs the optional package of --cluster")
    options = (*SMALL, "--only", "more-equipment", "--only", "fewer-people", "--quiet")
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None
    ) as cluster:
        there = run("bottlenecks", folder, *options, "--cluster", cluster.scheduler_address)
    monkeypatch.setattr("stationplan.cli.parallel.processes", threads)
    assert there.stdout == run("bottlenecks", folder, *options).stdout
    assert there.exit_code == 0


def test_an_address_where_no_cluster_is_ends_with_a_sentence(run: Run) -> None:
    pytest.importorskip("distributed", reason="needs the optional package of --cluster")
    result = run("bottlenecks", FIRST_SHIFT, "--effort", "0.1", "--cluster", "nonsense://nowhere:1")
    assert result.exit_code == 2
    assert "--cluster nonsense://nowhere:1: no cluster answers there" in result.stderr


@pytest.mark.usefixtures("in_threads")
def test_the_plan_as_it_is_and_the_trials_are_searched_for_alike(
    run: Run, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from stationplan.plan import produce

    given: list[bool] = []
    search = produce.search

    def recorded(network: Any, limits: Any, on_progress: Any = None, scenario: Any = None) -> Any:
        given.append(scenario is not None)
        return search(network, limits, on_progress, scenario)

    monkeypatch.setattr(produce, "search", recorded)
    assert run("bottlenecks", folder, *SMALL, "--only", "more-equipment").exit_code == 0
    assert given == [True, True]
