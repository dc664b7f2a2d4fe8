"""Files that are no scenario, through the commands: a sentence at its file and line, and no traceback."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from scenario.test_malformed import MISTAKES
from scenario.valid_text import VALID

from .conftest import Run
from .kitchens import tart, write

SAMPLE = dict(list(MISTAKES.items())[:: max(1, len(MISTAKES) // 12)])


@pytest.mark.parametrize("command", ["check", "plan"])
@pytest.mark.parametrize("name", SAMPLE)
def test_a_mistake_ends_with_2_and_its_line(run: Run, tmp_path: Path, command: str, name: str) -> None:
    mistake = SAMPLE[name]
    text = VALID.replace(mistake.old, mistake.new, 1)
    line = text.count("\n", 0, text.index(mistake.at)) + 1
    result = run(command, write(tmp_path, text))
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"{tmp_path / 'scenario.yaml'}:{line}: " in result.stderr
    place = re.escape(str(tmp_path / "scenario.yaml"))
    assert all(re.match(rf"{place}:\d+: \S", told) for told in result.stderr.splitlines())


@pytest.mark.parametrize("command", ["check", "plan"])
def test_a_folder_without_a_scenario_and_a_file_that_is_missing_are_named(
    run: Run, tmp_path: Path, command: str
) -> None:
    for path, named in [(tmp_path, tmp_path / "scenario.yaml"), (tmp_path / "none.yaml", tmp_path / "none.yaml")]:
        result = run(command, path)
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr == f"{named}: there is no such file\n"


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\x00\x01\x02",
        b"\x89PNG\r\n\x1a\n\xff\xfe",
        b"%PDF-1.7\n\xe2\xe3",
        b"- a list\n",
        b"just words",
        b"{" * 5000,
    ],
    ids=["empty", "NUL", "picture", "PDF", "list", "words", "brackets"],
)
def test_a_file_that_is_something_else_is_told_so(run: Run, tmp_path: Path, content: bytes) -> None:
    (tmp_path / "scenario.yaml").write_bytes(content)
    result = run("plan", tmp_path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith(f"{tmp_path / 'scenario.yaml'}:")


@pytest.mark.parametrize(
    ("named", "why"), [("none.yaml", "there is no such file"), ("folder", "folder"), ("scenario.yaml", "itself")]
)
def test_a_kitchen_file_that_cannot_be_read_is_told_where_it_is_named(
    run: Run, tmp_path: Path, named: str, why: str
) -> None:
    (tmp_path / "folder").mkdir()
    text = tart("name: mix, takes: 1 min")
    start, end = text.index("kitchen:"), text.index("products:")
    text = f"{text[:start]}kitchen: {named}\n{text[end:]}"
    result = run("check", write(tmp_path, text))
    assert result.exit_code == 2
    assert result.stderr.startswith(f"{tmp_path / 'scenario.yaml'}:3: ")
    assert why in result.stderr


def test_what_a_kitchen_has_not_people_enough_for_is_told_at_its_step(run: Run, tmp_path: Path) -> None:
    text = tart("name: mix, takes: 5 min", "name: lift, takes: 5 min, people: 3")
    result = run("plan", write(tmp_path, text))
    assert (result.exit_code, result.stdout) == (2, "")
    assert re.match(rf"{re.escape(str(tmp_path / 'scenario.yaml'))}:14: .*3 people", result.stderr)


def test_no_name_in_a_file_can_steer_the_terminal(run: Run, tmp_path: Path) -> None:
    text = tart("name: mix, takes: 5 min, equipment: oven at 180 C").replace(
        "  plum tart:", '  "plum \\e]0;oven\\atart":'
    )
    told = run("check", write(tmp_path, text))
    assert told.exit_code == 2
    assert "\x1b" not in told.stderr + told.stdout
    good = text.replace("product: plum tart", 'product: "plum \\e]0;oven\\atart"')
    for command in (("check",), ("plan", "--effort", "1"), ("plan", "--quiet", "--effort", "1")):
        shown = run(*command, write(tmp_path, good))
        assert shown.exit_code in (0, 2)
        assert "\x1b" not in shown.stderr + shown.stdout
