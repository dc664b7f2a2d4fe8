"""The pages of the documentation, taken apart: code blocks, tables, links, and what they quote from plans."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
EXAMPLES = DOCS / "examples"

_BLOCK = re.compile(r"^( *)```(\w*)\n(.*?)^\1```$", re.MULTILINE | re.DOTALL)
_QUOTED = re.compile(
    r"`stationplan plan (?P<folder>docs/examples/\S+?)(?: --durations (?P<durations>\w+))?`\.\s+In\s+the\s+plan:\n\n"
    r"```text\n(?P<lines>.*?)```",
    re.DOTALL,
)
_LINK = re.compile(r"\]\(([^)\s]+)\)")


@dataclass(frozen=True, slots=True)
class Quoted:
    """What a page quotes from the plan of an example: the example's folder, the durations, and the lines."""

    page: str
    folder: str
    durations: str
    lines: tuple[str, ...]


def pages() -> list[Path]:
    """Every page of the documentation."""
    return sorted(DOCS.rglob("*.md"))


def format_pages() -> list[Path]:
    """The pages that explain the input."""
    return [DOCS / "format.md", *sorted((DOCS / "format").glob("*.md"))]


def examples() -> list[Path]:
    """The folders of the example scenarios."""
    return sorted(path.parent for path in EXAMPLES.glob("*/scenario.yaml"))


def title(page: Path) -> str:
    """The page as one would name it."""
    return page.relative_to(DOCS).as_posix()


def blocks(page: Path, language: str) -> list[str]:
    """The code blocks in a language, without their indentation."""
    found = []
    for indent, name, text in _BLOCK.findall(page.read_text(encoding="utf-8")):
        if name == language:
            found.append("".join(line.removeprefix(indent) for line in text.splitlines(keepends=True)))
    return found


def quotations() -> Iterator[Quoted]:
    """Everything that the pages quote from plans."""
    for page in format_pages():
        for match in _QUOTED.finditer(page.read_text(encoding="utf-8")):
            lines = tuple(match["lines"].splitlines())
            yield Quoted(title(page), match["folder"], match["durations"] or "longest", lines)


def commands(page: Path) -> int:
    """How many times a page tells to plan an example."""
    return page.read_text(encoding="utf-8").count("`stationplan plan docs/examples/")


def sections(page: Path) -> dict[str, str]:
    """The text below each heading, up to the next."""
    parts = re.split(r"^#+ (.*)$", page.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def tables(text: str) -> list[list[list[str]]]:
    """The tables in a text: rows of cells, the header first and without the line below it."""
    found: list[list[list[str]]] = []
    inside = False
    for line in text.splitlines():
        if line.startswith("|"):
            if not inside:
                found.append([])
            found[-1].append([cell.strip() for cell in line.strip().strip("|").split("|")])
        inside = line.startswith("|")
    return [[rows[0], *rows[2:]] for rows in found]


def key_tables(page: Path) -> list[dict[str, str]]:
    """The tables of keys in a page: what each says happens without the key."""
    every = tables(page.read_text(encoding="utf-8"))
    return [
        {key.strip("`"): row[-1] for row in rows[1:] for key in row[0].split(", ")}
        for rows in every
        if rows[0][0] == "key"
    ]


def links(page: Path) -> list[str]:
    """The links to other files, and to headings."""
    return [link for link in _LINK.findall(page.read_text(encoding="utf-8")) if "://" not in link]


def anchors(page: Path) -> set[str]:
    """The headings, as links name them."""
    return {
        re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-")
        for heading in re.findall(r"^#+ (.*)$", page.read_text(encoding="utf-8"), flags=re.MULTILINE)
    }
