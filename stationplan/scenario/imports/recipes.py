"""Reads a file with recipes of schema.org and writes them down in our format."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.imports.recipe import read_recipes
from stationplan.scenario.imports.skeleton import skeleton
from stationplan.scenario.loader import refusal
from stationplan.scenario.nodes import Place
from stationplan.scenario.reading import UnreadableFile, read_text

if TYPE_CHECKING:
    from pathlib import Path

LARGEST_PAGE = 10_000_000
"""Bytes of a web page that was saved with everything in it."""


def recipes_from(path: Path) -> str:
    """Write the recipes of a file down as components with blanks.

    Args:
        path: JSON-LD, or a web page that carries it.

    Returns:
        A recipe file in YAML.

    Raises:
        InvalidScenario: when there is no recipe in it.
    """
    try:
        return skeleton(read_recipes(read_text(path, LARGEST_PAGE)), path.name)
    except UnreadableFile as error:
        raise refusal([(Place(0, error.line or 0, str(path)), error.sentence)]) from error
