"""Where the output goes, and what that place can show."""

from __future__ import annotations

import io
import json
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from stationplan.cli import output

from .conftest import FIRST_SHIFT, PROGRAM, Program, Run


class Terminal(io.StringIO):
    """A stream that says it is a terminal of some encoding."""

    def __init__(self, encoding: str | None = "utf-8") -> None:
        super().__init__()
        self._encoding = encoding

    @property
    def encoding(self) -> str | None:  # type: ignore[override]
        return self._encoding

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("arguments", [("check",), ("plan", "--effort", "1"), ("plan", "--effort", "1", "--json")])
def test_a_reader_that_has_gone_is_no_error(arguments: tuple[str, ...]) -> None:
    command = [*PROGRAM, *arguments, str(FIRST_SHIFT)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()  # long before anything is printed
        told = process.stderr.read()
    assert (process.returncode, told) == (0, b"")


def test_a_reader_that_has_had_enough_loses_no_plan(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "plan.json"
    command = [*PROGRAM, "plan", "--effort", "1", "--out", str(out), str(FIRST_SHIFT)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        told = process.stderr.read().decode("utf-8")
    assert (process.returncode, told) == (0, f"Saved in {out}.\n")
    assert run("verify", out).exit_code == 0


def test_a_plan_that_could_not_be_saved_is_told_even_when_nobody_reads_the_page(tmp_path: Path) -> None:
    out = tmp_path / "plan.json"
    unsaving = f"import stationplan.plan.store as s; s.save = lambda *_: open({str(tmp_path / 'no' / 'way')!r}, 'x')"
    program = [sys.executable, "-c", f"{unsaving}; {PROGRAM[2]}"]
    command = [*program, "plan", "--effort", "1", "--out", str(out), str(FIRST_SHIFT)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        told = process.stderr.read().decode("utf-8")
    assert (process.returncode, told) == (2, f"{out}: the plan could not be saved: no such file or directory\n")


@pytest.mark.skipif(os.name != "posix", reason="needs a POSIX shell")
@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&-", "2>&- | head -1"])
def test_streams_that_the_caller_has_closed_lose_no_plan(run: Run, tmp_path: Path, closed: str) -> None:
    out = tmp_path / "plan.json"
    command = shlex.join([*PROGRAM, "plan", "--effort", "1", "--out", str(out), str(FIRST_SHIFT)])
    done = subprocess.run(["sh", "-c", f"{command} {closed}"], capture_output=True, check=False)
    assert done.returncode == 0
    assert b"Traceback" not in done.stderr
    assert run("verify", out).exit_code == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
def test_a_full_disk_behind_the_output_is_told() -> None:
    with open("/dev/full", "wb") as full:
        command = [*PROGRAM, "check", str(FIRST_SHIFT)]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, check=False)
    assert done.returncode == 2
    assert done.stderr.startswith(b"the output: ")
    assert done.stderr.count(b"\n") == 1


def test_an_output_that_knows_no_unicode_gets_ascii_but_json_is_always_utf_8(program: Program, tmp_path: Path) -> None:
    text = (FIRST_SHIFT / "scenario.yaml").read_text(encoding="utf-8").replace("Tamsin", "Tamsín")
    (tmp_path / "scenario.yaml").write_text(text, encoding="utf-8")
    shown = program("plan", tmp_path, "--effort", "2", PYTHONIOENCODING="latin-1", PYTHONUTF8="0")
    assert (shown.returncode, shown.stderr) == (0, b"")
    assert shown.stdout.isascii()
    told = program("plan", tmp_path, "--effort", "2", "--json", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert json.loads(told.stdout.decode("utf-8"))["people"] == ["Tamsín", "Odo"]


def test_a_terminal_has_its_own_width_within_limits(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", Terminal())
    for there, drawn in {"132": 132, "20": output.NARROWEST, "9999": output.WIDEST}.items():
        monkeypatch.setenv("COLUMNS", there)
        assert output.columns(None) == drawn
        assert output.columns(77) == 77


def test_a_file_gets_a_hundred_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", io.StringIO())
    monkeypatch.setenv("COLUMNS", "132")
    assert output.columns(None) == output.WIDTH_WITHOUT_TERMINAL == 100


@pytest.mark.parametrize(
    ("encoding", "works"),
    [("utf-8", True), ("UTF8", True), ("utf-16", True), ("latin-1", False), ("cp437", False), ("ascii", False),
     (None, False), ("no such encoding", False)],
)  # fmt: skip
def test_unicode_works_where_all_of_it_can_be_encoded(
    monkeypatch: pytest.MonkeyPatch, encoding: str | None, works: bool
) -> None:
    monkeypatch.setattr(sys, "stdout", Terminal(encoding))
    assert output.unicode_works() is works
    assert output.unicode_works(ascii_only=True) is False


def test_a_terminal_is_coloured_unless_no_color_is_set_and_not_empty(monkeypatch: pytest.MonkeyPatch) -> None:
    """As no-color.org has it."""
    monkeypatch.setattr(sys, "stdout", Terminal())
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert output.colors_wanted("auto")
    monkeypatch.setenv("NO_COLOR", "")
    assert output.colors_wanted("auto")
    monkeypatch.setenv("NO_COLOR", "0")
    assert not output.colors_wanted("auto")
    assert output.colors_wanted("always")
    assert not output.colors_wanted("never")
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setattr(sys, "stdout", io.StringIO())
    assert not output.colors_wanted("auto")


def test_a_line_that_is_shown_is_flushed(monkeypatch: pytest.MonkeyPatch) -> None:
    read, write = os.pipe()
    with os.fdopen(write, "w", encoding="utf-8") as stream, os.fdopen(read, "rb", buffering=0) as reader:
        monkeypatch.setattr(sys, "stdout", stream)
        output.show("ready\n")
        assert reader.read(100) == b"ready\n"
