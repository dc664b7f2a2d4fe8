"""``stationplan plan``."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path
from typing import Any, NoReturn

import pytest

from stationplan.plan import produce, store
from stationplan.plan.document import Plan
from stationplan.plan.errors import NothingFoundError

from .conftest import FIRST_SHIFT, SCENARIOS, Program, Run
from .hard import write_hard_scenario
from .kitchens import circle, line_of, tart, write

EFFORT = ("--effort", "2")
GLAZE = "name: crème glaze, takes: 10 min"


def test_the_main_path_shows_the_page_and_nothing_on_stderr(run: Run) -> None:
    result = run("plan", FIRST_SHIFT, *EFFORT)
    assert (result.exit_code, result.stderr) == (0, "")
    for part in ("First shift: 90 Larkfield tartlet", "the finish hangs on: ", "A tartlet shell, 4 trays", "signs: "):
        assert part in result.stdout


def test_without_any_limit_the_search_ends_when_all_is_proved(run: Run, tmp_path: Path) -> None:
    result = run("plan", write(tmp_path, tart(GLAZE)), "--workers", "1")
    assert result.exit_code == 0
    assert "finished 06:10, 10 min after opening at 06:00: proved, no plan finishes earlier" in result.stdout


@pytest.mark.parametrize("gap", ["30", "30%", "30 %", "30.0"])
def test_it_ends_within_the_gap_and_says_so(run: Run, tmp_path: Path, gap: str) -> None:
    result = run("plan", write_hard_scenario(tmp_path), "--workers", "1", "--time-limit", "300", "--gap", gap)
    assert result.exit_code == 0
    assert "\nsearch ended: no more than 30 % to gain, as was asked for\n" in result.stdout


@pytest.mark.parametrize("gap", ["-1", "100", "nan", "much", "2 per cent"])
def test_a_gap_is_a_share(run: Run, gap: str) -> None:
    result = run("plan", FIRST_SHIFT, "--gap", gap)
    assert result.exit_code == 2
    assert f"{gap!r} is no share from 0 to less than 100 %; write a number such as 2." in result.stderr


def test_with_a_stall_alone_there_is_no_time_limit(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[produce.Effort] = []
    search = produce.search

    def noted(network: Any, limits: produce.Effort, line: Any, scenario: Any) -> Any:
        asked.append(limits)
        return search(network, limits, line, scenario)

    monkeypatch.setattr(produce, "search", noted)
    result = run("plan", write_hard_scenario(tmp_path), "--workers", "1", "--stall", "0.2")
    assert result.exit_code == 0
    assert "\nsearch ended: nothing better for 0.2 s\n" in result.stdout
    assert (asked[0].time_limit, asked[0].stall) == (None, 0.2)


def test_under_effort_alone_a_stall_is_counted_in_effort(run: Run, tmp_path: Path) -> None:
    result = run("plan", write_hard_scenario(tmp_path), "--effort", "20", "--stall", "0.02", "--json")
    stopped = Plan.model_validate_json(result.stdout).stopped
    assert stopped is not None
    assert (stopped.by, stopped.effort, stopped.seconds) == ("stall", 0.02, None)


def test_json_is_the_saved_plan(run: Run, plan_file: Path, tmp_path: Path) -> None:
    result = run("plan", FIRST_SHIFT, *EFFORT, "--json", "--out", tmp_path / "plan.json")
    assert result.exit_code == 0
    assert Plan.model_validate_json(result.stdout) == store.load(tmp_path / "plan.json")
    assert result.stdout_bytes == (tmp_path / "plan.json").read_bytes() == plan_file.read_bytes()


def test_where_the_plan_was_saved_is_told_beside_the_page(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "plan.json"
    result = run("plan", write(tmp_path, tart(GLAZE)), *EFFORT, "--out", out)
    assert result.stderr == f"Saved in {out}.\n"
    assert "Saved" not in result.stdout
    assert run("plan", tmp_path, *EFFORT, "--out", out, "--quiet").stderr == ""


def test_quiet_is_the_headline_alone(run: Run) -> None:
    page, headline = run("plan", FIRST_SHIFT, *EFFORT).stdout, run("plan", FIRST_SHIFT, *EFFORT, "--quiet").stdout
    assert page.startswith(headline)
    assert page[len(headline)] == "\n"
    assert headline.splitlines()[1].startswith("finished ")


@pytest.mark.parametrize("width", [60, 150])
def test_it_keeps_to_the_width(run: Run, width: int) -> None:
    for more in ((), ("--quiet",)):
        lines = run("plan", FIRST_SHIFT, *EFFORT, "--width", str(width), *more).stdout.splitlines()
        assert width - 40 < max(map(len, lines)) <= width


@pytest.mark.parametrize("more", [(), ("--quiet",), ("--color", "always"), ("--rows", "products")])
def test_ascii_is_ascii_whatever_the_names(run: Run, tmp_path: Path, more: tuple[str, ...]) -> None:
    text = tart(GLAZE).replace("name: Trial", "name: Trial of Zoë").replace("Odo", "Señor Łuk")
    result = run("plan", write(tmp_path, text), *EFFORT, "--ascii", *more)
    assert result.exit_code == 0
    assert result.stdout.isascii()
    assert "Trial of Zoe" in result.stdout


def test_colours_only_when_asked_for(run: Run) -> None:
    assert "\x1b[" in run("plan", FIRST_SHIFT, *EFFORT, "--color", "always", NO_COLOR="1").stdout
    for color in ("auto", "never"):
        assert "\x1b" not in run("plan", FIRST_SHIFT, *EFFORT, "--color", color).stdout


@pytest.mark.parametrize(("durations", "minutes"), [("longest", 30), ("typical", 25), ("shortest", 20)])
def test_which_end_of_a_range_counts_can_be_chosen(run: Run, tmp_path: Path, durations: str, minutes: int) -> None:
    scenario = write(tmp_path, tart("name: knead, takes: 20..30 min"))
    plan = json.loads(run("plan", scenario, *EFFORT, "--durations", durations, "--json").stdout)
    assert plan["durations"] == durations
    assert plan["batches"][0]["end"] - plan["batches"][0]["start"] == minutes


def test_the_seed_is_kept_with_the_plan(run: Run) -> None:
    assert json.loads(run("plan", FIRST_SHIFT, *EFFORT, "--seed", "7", "--json").stdout)["seed"] == 7


@pytest.mark.parametrize("options", [("--seed", "0"), ("--seed", "3", "--workers", "2")])
def test_the_same_effort_seed_and_workers_give_the_same_file(
    run: Run, program: Program, tmp_path: Path, options: tuple[str, ...]
) -> None:
    """Whatever the process, and whatever the order in which it would go through a set of names."""
    first, second = tmp_path / "first.json", tmp_path / "second.json"
    assert run("plan", FIRST_SHIFT, *EFFORT, *options, "--out", first).exit_code == 0
    done = program("plan", FIRST_SHIFT, *EFFORT, *options, "--out", second, "--quiet", PYTHONHASHSEED="5")
    assert done.returncode == 0
    assert first.read_bytes() == second.read_bytes()


@pytest.mark.parametrize("option", ["--time-limit", "--effort"])
@pytest.mark.parametrize("value", ["20s", "0", "-1", "inf", "nan", "a while"])
def test_a_limit_is_a_number_above_zero(run: Run, option: str, value: str) -> None:
    result = run("plan", FIRST_SHIFT, option, value)
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"'{value}' is not a number above zero; write a number alone, such as 20." in result.stderr


def test_a_late_order_is_told_once(run: Run, tmp_path: Path) -> None:
    scenario = write(tmp_path, tart("name: mix, takes: 30 min", order=', due: "06:10"'))
    result = run("plan", scenario, *EFFORT)
    assert result.exit_code == 0
    assert result.stdout.count("20 min late") == 1


def test_what_cannot_be_done_ends_with_3_and_its_reasons(run: Run, tmp_path: Path) -> None:
    scenario = write(tmp_path, circle())
    out = tmp_path / "plan.json"
    result = run("plan", scenario, "--out", out, "--json")
    assert (result.exit_code, result.stdout) == (3, "")
    line = line_of(circle(), "name: fill")
    assert result.stderr.startswith(
        f"{scenario}: this cannot be done as it stands.\n"
        f"{scenario / 'scenario.yaml'}:{line}: plum tart: these waits contradict each other: fill at most 20 min after "
        "mix; roll at least 30 min after mix; fill after roll\n"
    )
    assert not out.exists()


def test_the_hall_that_is_too_small_is_blamed_at_its_line_in_the_kitchen_file(run: Run) -> None:
    kitchen = SCENARIOS / "rented-hall" / "kitchen.yaml"
    line = line_of(kitchen.read_text(encoding="utf-8"), "name: hall oven")
    result = run("plan", SCENARIOS / "rented-hall", "--effort", "0.02")
    assert (result.exit_code, result.stdout) == (3, "")
    assert f"\n{kitchen}:{line}: too much for the hall oven between 08:00 and 15:00: 14 batches" in result.stderr


def test_no_plan_in_time_is_said_to_be_no_proof(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def search(*_: object) -> NoReturn:
        raise NothingFoundError(interrupted=False)

    monkeypatch.setattr(produce, "search", search)
    result = run("plan", FIRST_SHIFT)
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.startswith("No plan yet: the time ran out before any plan was found; there may be one")


def _never(*_: object) -> NoReturn:
    raise AssertionError("the search has begun")


class TestOut:
    """Where the plan cannot be saved, it is told before anybody waits for a search."""

    @pytest.fixture(autouse=True)
    def _no_search(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(produce, "search", _never)

    def refused(self, run: Run, out: Path, why: str) -> None:
        result = run("plan", FIRST_SHIFT, "--out", out)
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr == f"{out}: no plan can be saved there: {why}\n"

    def test_a_folder_that_is_missing(self, run: Run, tmp_path: Path) -> None:
        self.refused(run, tmp_path / "none" / "plan.json", f"there is no folder {tmp_path / 'none'}")

    def test_a_file_in_the_place_of_the_folder(self, run: Run, tmp_path: Path) -> None:
        (tmp_path / "file").touch()
        self.refused(run, tmp_path / "file" / "plan.json", f"there is no folder {tmp_path / 'file'}")

    def test_a_folder_in_the_place_of_the_file(self, run: Run, tmp_path: Path) -> None:
        self.refused(run, tmp_path, "it is a folder or a device, not a file")

    def test_the_scenario_itself(self, run: Run, tmp_path: Path) -> None:
        out = write(tmp_path, tart(GLAZE)) / "scenario.yaml"
        self.refused(run, out, "the file that is there is no plan, and it would be lost; choose another name")
        assert out.read_text(encoding="utf-8") == tart(GLAZE)

    def test_a_device(self, run: Run) -> None:
        self.refused(run, Path(os.devnull), "it is a folder or a device, not a file")

    def test_a_name_that_is_too_long(self, run: Run, tmp_path: Path) -> None:
        result = run("plan", FIRST_SHIFT, "--out", tmp_path / ("x" * 250))
        assert result.exit_code == 2
        assert "no plan can be saved there: " in result.stderr

    def test_a_file_that_is_protected(self, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        out = tmp_path / "plan.json"
        out.touch()
        monkeypatch.setattr(os, "access", lambda path, mode: (Path(path), mode) != (out, os.W_OK))
        self.refused(run, out, "the file that is there is protected against writing")

    def test_a_folder_without_permission(self, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        make = Path.open

        def deny(path: Path, mode: str = "r", **more: Any) -> Any:
            if mode == "x":
                raise PermissionError(errno.EACCES, "Permission denied", str(path))
            return make(path, mode, **more)

        monkeypatch.setattr(Path, "open", deny)
        self.refused(run, tmp_path / "plan.json", "permission denied")


def test_trying_out_a_file_leaves_no_trace(run: Run, tmp_path: Path) -> None:
    kitchen = write(tmp_path, circle())
    kept = tmp_path / "plan.json"
    yesterday = '{"format": "stationplan plan", "version": 0}'
    kept.write_text(yesterday, encoding="utf-8")
    assert run("plan", kitchen, "--out", kept).exit_code == 3
    assert kept.read_text(encoding="utf-8") == yesterday
    assert sorted(path.name for path in tmp_path.iterdir()) == ["plan.json", "scenario.yaml"]


def test_a_plan_that_cannot_be_saved_is_shown_all_the_same(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def save(plan: Plan, path: Path) -> NoReturn:
        raise OSError(errno.ENOSPC, "No space left on device", str(path))

    monkeypatch.setattr(store, "save", save)
    result = run("plan", FIRST_SHIFT, *EFFORT, "--out", tmp_path / "plan.json")
    assert result.exit_code == 2
    assert "First shift: 90 Larkfield tartlet" in result.stdout
    assert result.stderr == f"{tmp_path / 'plan.json'}: the plan could not be saved: no space left on device\n"
