"""The YAML in the documentation is not made up: whole scenarios load, and pieces stand in an example as they are."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

import pytest
from ruamel.yaml import YAML

from stationplan.scenario import load

from .pages import EXAMPLES, ROOT, blocks, format_pages, pages, title

if TYPE_CHECKING:
    from pathlib import Path

WHOLE = {"name", "shift", "kitchen", "orders"}


def whole_scenarios() -> list[tuple[str, str]]:
    found = []
    for page in pages():
        for block in blocks(page, "yaml"):
            keys = YAML(typ="safe", pure=True).load(block)
            if isinstance(keys, dict) and keys.keys() >= WHOLE:
                found.append((title(page), block))
    return found


def test_there_are_whole_scenarios_to_try() -> None:
    assert whole_scenarios()


@pytest.mark.parametrize("text", [pytest.param(text, id=page) for page, text in whole_scenarios()])
def test_a_whole_scenario_on_a_page_loads(text: str, tmp_path: Path) -> None:
    scenarios = [*ROOT.glob("scenarios/*/scenario.yaml"), *EXAMPLES.glob("*/scenario.yaml")]
    named = [path for path in scenarios if path.read_text(encoding="utf-8") == text]
    if not named:
        tmp_path.joinpath("scenario.yaml").write_text(text, encoding="utf-8")
    # One that names other files is read where they are.
    assert load(named[0] if named else tmp_path).scenario.orders


@pytest.mark.parametrize("page", format_pages(), ids=title)
def test_every_piece_of_yaml_about_the_input_stands_in_an_example(page: Path) -> None:
    # An exam is no example of a plan: its pieces stand in the scenario that ships.
    files = [*EXAMPLES.rglob("*.yaml"), ROOT / "scenarios" / "practical-exam" / "scenario.yaml"]
    texts = [_lines(path.read_text(encoding="utf-8")) for path in files]
    for block in blocks(page, "yaml"):
        assert any(_contains(text, _lines(block)) for text in texts), f"in no example:\n{block}"


def test_a_table_of_orders_on_a_page_is_that_of_an_example() -> None:
    tables = [block for page in format_pages() for block in blocks(page, "csv")]
    assert tables
    assert set(tables) <= {path.read_text(encoding="utf-8") for path in EXAMPLES.rglob("*.csv")}


def _lines(text: str) -> list[str]:
    return [line.rstrip() for line in text.splitlines()]


def _contains(text: list[str], piece: list[str]) -> bool:
    """Whether the lines of a piece stand in a text one below the other, however far they are moved to the right."""
    wanted = textwrap.dedent("\n".join(piece))
    return any(
        textwrap.dedent("\n".join(text[start : start + len(piece)])) == wanted
        for start in range(len(text) - len(piece) + 1)
    )
