"""What DEVELOPERS.md says about the layout and the layers is so."""

from __future__ import annotations

import ast
import re

import pytest

from .pages import ROOT, sections, tables

DEVELOPERS = ROOT / "DEVELOPERS.md"
PACKAGE = ROOT / "stationplan"
LAYERS = {
    "scenario": set(),
    "engine": set(),
    "network": {"scenario", "engine"},
    "plan": {"scenario", "engine", "network"},
    "live": {"scenario", "engine", "network", "plan"},
    "render": {"scenario", "plan", "live"},
    "board": {"scenario", "plan", "live", "render"},
    "cli": {"scenario", "engine", "network", "plan", "live", "render", "board"},
}


def imported(layer: str) -> set[str]:
    """The layers that the modules of a layer import, itself left out."""
    found = set()
    for path in (PACKAGE / layer).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom):
                assert not node.level, f"{path} imports relatively"
                names.append(node.module or "")
            found |= {name.split(".")[1] for name in names if name.startswith("stationplan.")}
    return found - {layer}


def test_the_layers_are_the_packages() -> None:
    assert {path.parent.name for path in PACKAGE.glob("*/__init__.py")} == LAYERS.keys()


@pytest.mark.parametrize("layer", LAYERS)
def test_a_layer_imports_only_what_it_may(layer: str) -> None:
    assert imported(layer) <= LAYERS[layer]


def test_the_page_says_the_same() -> None:
    [rows] = tables(sections(DEVELOPERS)["Who may import whom"])
    said = {row[0].strip("`"): set(re.findall(r"`(\w+)`", row[1])) for row in rows[1:]}
    assert said.pop("plan/check") == {"scenario"}
    assert said.pop("cli") == set()
    assert said == {layer: allowed for layer, allowed in LAYERS.items() if layer != "cli"}


def test_every_folder_and_module_that_the_page_names_is_there() -> None:
    [rows] = tables(sections(DEVELOPERS)["Layout"])
    for folder, _, start in rows[1:]:
        path = ROOT / folder.strip("`")
        assert path.is_dir()
        assert [name for name in re.findall(r"`([^`]+)`", start) if not (path / name).is_file()] == []


def test_no_module_is_longer_than_the_page_allows() -> None:
    allowed = re.search(r"none\s+over\s+(\d+)\s+lines", DEVELOPERS.read_text(encoding="utf-8"))
    assert allowed is not None
    lengths = {path.name: len(path.read_text(encoding="utf-8").splitlines()) for path in PACKAGE.rglob("*.py")}
    assert [name for name, length in lengths.items() if length > int(allowed[1])] == []
