"""The page of commands names every option and every sign, and shows what the commands print."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import click
import pytest
from click.testing import CliRunner

from stationplan.cli import main
from stationplan.render.marks import ASCII, UNICODE, Kind, Marks
from stationplan.scenario.template import TEMPLATE

from .pages import DOCS, ROOT, blocks, sections, tables

if TYPE_CHECKING:
    from pathlib import Path

PAGE = DOCS / "commands.md"
_OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]*")


def options_of(command: click.Command) -> set[str]:
    return {name for option in command.params if isinstance(option, click.Option) for name in option.opts}


def every_command() -> dict[str, click.Command]:
    """The commands by name; those of a group with its name in front: 'shift start'."""
    found: dict[str, click.Command] = {}
    for name, command in main.commands.items():
        found[name] = command
        if isinstance(command, click.Group):
            found |= {f"{name} {inner}": part for inner, part in command.commands.items()}
    return found


def test_every_command_has_a_section() -> None:
    assert every_command().keys() <= sections(PAGE).keys()


@pytest.mark.parametrize("name", every_command())
def test_a_section_names_every_option_of_its_command(name: str) -> None:
    listed = {option for rows in tables(sections(PAGE)[name]) for row in rows[1:] for option in _OPTION.findall(row[0])}
    assert listed == options_of(every_command()[name])


@pytest.mark.parametrize(
    "path",
    [PAGE, DOCS / "shift.md", ROOT / "README.md", DOCS / "concepts.md", DOCS / "how-it-works.md"],
    ids=lambda path: path.name,
)
def test_a_page_names_no_option_that_does_not_exist(path: Path) -> None:
    known = {"--help", "--version"}.union(*(options_of(command) for command in every_command().values()))
    ours = re.sub(r"-m pytest .*", "", path.read_text(encoding="utf-8"))
    assert set(_OPTION.findall(ours)) <= known


@pytest.mark.parametrize(("column", "marks"), [(0, UNICODE), (1, ASCII)], ids=["unicode", "ascii"])
def test_every_sign_of_a_chart_is_explained(column: int, marks: Marks) -> None:
    section = sections(PAGE)["How to read the chart"].replace(r"\|", "¦")
    explained = "".join(row[column] for table in tables(section) for row in table[1:]).replace("¦", "|")
    signs = [marks.sign(kind, critical) for kind in Kind for critical in (False, True)]
    needed = {part for sign in signs for part in sign.start + sign.fill}
    assert needed | {marks.taken, marks.held, marks.before, marks.after, marks.hour, marks.now} <= set(explained)


def steps() -> list[tuple[str, str]]:
    """Every command of the page, in order, with what the page shows for it."""
    found: list[tuple[str, str]] = []
    for line in "".join(blocks(PAGE, "console")).splitlines(keepends=True):
        if line.startswith("$ stationplan "):
            found.append((line.removeprefix("$ stationplan ").partition(" > ")[0].strip(), ""))
        else:
            found[-1] = (found[-1][0], found[-1][1] + line)
    return found


def write_variant(folder: Path, old: str, new: str) -> None:
    """What `new` writes, with one thing changed."""
    assert old in TEMPLATE
    folder.mkdir()
    (folder / "scenario.yaml").write_text(TEMPLATE.replace(old, new, 1), encoding="utf-8")


def test_the_commands_print_what_the_page_shows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "scenarios").symlink_to(ROOT / "scenarios")
    write_variant(tmp_path / "misspelt", "{wait: rest, at_least", "{wait: rest, at_leest")
    write_variant(tmp_path / "larger", "quantity: 144", "quantity: 150")
    for command, shown in steps():
        # By effort, which the load of the machine does not change.
        limits = ["--effort", "2"] if command.startswith("plan ") else []
        result = CliRunner().invoke(main, [*command.split(), *limits])
        # A line of three dots stands for any number of lines.
        pattern = "(?:.*\n)*".join(re.escape(part) for part in shown.split("...\n"))
        assert re.fullmatch(pattern or "(?s:.*)", result.output), f"{command} prints instead:\n{result.output}"
        assert shown or not result.exit_code
