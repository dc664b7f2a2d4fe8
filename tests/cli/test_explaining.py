"""The lines that tell why there is no plan and what would make one possible."""

from __future__ import annotations

import os
import signal
import subprocess
from pathlib import Path
from typing import NoReturn

import pytest

from stationplan.cli.explaining import explained
from stationplan.engine.requirements import Requirement
from stationplan.plan.demands import Demand, Kind
from stationplan.plan.explanation import Explanation
from stationplan.plan.repairs import Repair

from .conftest import SCENARIOS, Run
from .kitchens import circle, line_of, write
from .test_interruption import COMMAND, read_rest, read_until


def demand(number: int) -> Demand:
    return Demand(Kind.MOST, f"wait {number} at most 5 min", ("components", number), Requirement())


def lines(explanation: Explanation) -> list[str]:
    return list(explained(explanation, lambda path: f"file:{path[1]}"))


def test_the_demands_in_conflict_stand_with_their_places() -> None:
    assert lines(Explanation((demand(1), demand(2)))) == [
        "All else left aside, these cannot all be kept; without any one, the others can:",
        "  file:1: wait 1 at most 5 min",
        "  file:2: wait 2 at most 5 min",
    ]


def test_a_doubt_is_told() -> None:
    [head, *rest] = lines(Explanation((demand(1), demand(2)), (demand(2),)))
    assert head == "These cannot all be kept; it was not found out in the time whether all are needed:"
    assert len(rest) == 2


def test_a_long_list_in_doubt_is_no_help() -> None:
    many = tuple(demand(number) for number in range(11))
    assert lines(Explanation(many, many)) == ["What exactly is in conflict was not found out in the time."]


def test_each_change_stands_with_its_place_and_its_doubt() -> None:
    repairs = (Repair("one more oven", ("equipment", 3), True), Repair("close later", ("shift", 4), True, False))
    assert lines(Explanation(repairs=repairs)) == [
        "Each of these alone makes it possible; a plan was made and checked for each:",
        "  file:3: one more oven",
        "  file:4: close later (perhaps less is enough)",
    ]
    assert lines(Explanation(repairs=repairs[:1])) == [
        "This makes it possible; a plan was made and checked:",
        "  file:3: one more oven",
    ]


def test_what_is_not_enough_and_what_is_not_known_are_told_apart() -> None:
    repairs = (
        Repair("one more oven", ("equipment", 3), True),
        Repair("two more mixers", ("equipment", 4), False),
        Repair("close later", ("shift", 5), None),
    )
    assert lines(Explanation(repairs=repairs))[2:] == [
        "Not enough alone, up to as much as this:",
        "  two more mixers",
        "Not found out in the time, whether enough:",
        "  close later",
    ]


def test_of_many_changes_that_are_not_known_only_the_number_is_told() -> None:
    repairs = tuple(Repair(f"change {number}", (), None) for number in range(7))
    assert lines(Explanation(repairs=repairs)) == [
        "Of 7 further changes it was not found out in the time whether they are enough."
    ]


def test_when_no_change_is_enough_more_may_be_in_the_way() -> None:
    repairs = tuple(Repair(f"two more machines of kind {number}", (), False) for number in range(4))
    head, *rest = lines(Explanation(repairs=repairs))
    assert head == "None of these alone is enough, up to as much as this; more may be in the way:"
    assert max(map(len, rest)) <= 80
    assert " ".join(line.strip() for line in rest) == "; ".join(repair.sentence for repair in repairs)


def test_the_plan_command_tells_all_of_it(run: Run, tmp_path: Path) -> None:
    folder = write(tmp_path, circle())
    file = folder / "scenario.yaml"
    result = run("plan", folder, "--effort", "20")
    assert (result.exit_code, result.stdout) == (3, "")
    assert result.stderr.splitlines()[2:] == [
        "All else left aside, these cannot all be kept; without any one, the others can:",
        f"  {file}:{line_of(circle(), 'name: fill')}: plum tart: fill at most 20 min after mix",
        f"  {file}:{line_of(circle(), 'wait: rest')}: plum tart: rest at least 30 min",
        f"  {file}:{line_of(circle(), '{product')}: 1 tray of plum tart is ordered",
        "This makes it possible; a plan was made and checked:",
        f"  {file}:{line_of(circle(), 'name: fill')}: plum tart: fill at most 40 min after mix, 20 min longer",
    ]


def test_an_interruption_before_anything_is_found_leaves_the_reasons(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(*_: object, **__: object) -> NoReturn:
        raise KeyboardInterrupt

    monkeypatch.setattr("stationplan.plan.explanation.demands_of", interrupted)
    result = run("plan", write(tmp_path, circle()))
    assert result.exit_code == 3
    assert "these waits contradict each other" in result.stderr.splitlines()[-1]


def test_the_check_command_only_gives_the_reasons(run: Run) -> None:
    assert len(run("check", SCENARIOS / "rented-hall").stderr.splitlines()) == 2


def test_a_terminal_shows_what_is_tried_and_an_interruption_ends_it_with_what_is_known() -> None:
    pty = pytest.importorskip("pty", reason="needs a pseudo-terminal")
    terminal, other_side = pty.openpty()
    folder = SCENARIOS / "rented-hall"
    with subprocess.Popen([*COMMAND, "plan", str(folder), "--workers", "1"], stderr=other_side) as process:
        os.close(other_side)
        read_until(terminal, b"looking into it: close")
        process.send_signal(signal.SIGINT)
        told = read_rest(terminal).decode("utf-8")
    os.close(terminal)
    assert process.returncode == 3
    assert "Traceback" not in told
    # The line is taken away before anything else is printed.
    assert f" \r{folder}: this cannot be done as it stands.\r\n" in told
    assert "one more hall oven\r\n" in told
