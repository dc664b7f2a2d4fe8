"""Blanks: ``???`` in place of a value that somebody still has to fill in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from stationplan.scenario.nodes import Path
    from stationplan.scenario.sentences import Finding

BLANK = "???"


def blanks(raw: Any, path: Path = ()) -> Iterator[Finding]:
    """Every blank in plain data, as (path, sentence)."""
    if isinstance(raw, str):
        if raw.strip() == BLANK:
            what = f"behind '{path[-1]}'" if path and isinstance(path[-1], str) else "here"
            yield (
                path,
                f"there is still a blank ({BLANK}) {what}; fill it in, or remove the line where it may be left out",
            )
        return
    parts = raw.items() if isinstance(raw, dict) else enumerate(raw) if isinstance(raw, list) else ()
    for key, part in parts:
        yield from blanks(part, (*path, key))


def about_others(found: Iterable[Finding]) -> Iterator[Finding]:
    """Those findings that are no consequence of a blank: each of these quotes it."""
    return (finding for finding in found if BLANK not in finding[1])
