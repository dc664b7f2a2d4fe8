"""The list of all checks."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.sentences import Finding

CHECKS: tuple[Callable[[Draft], Iterator[Finding]], ...] = ()


def check(draft: Draft) -> Iterator[Finding]:
    """Everything that is wrong with a draft, as (path, sentence)."""
    for one in CHECKS:
        yield from one(draft)
