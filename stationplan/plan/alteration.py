"""A kind of change to a scenario that can be made in several sizes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from stationplan.network.errors import Path


@dataclass(frozen=True, slots=True)
class Alteration:
    """A kind of change to a scenario, of sizes from 1 to ``most``.

    Attributes:
        apply: makes the change of a size in the scenario's plain data.
        tell: the change of a size in the kitchen's words.
        path: where to make it.
        start: the first size to try.
        most: the largest size to try.
        steady: whether a larger change is never worse than a smaller one.
    """

    apply: Callable[[dict[str, Any], int], None]
    tell: Callable[[int], str]
    path: Path
    start: int
    most: int
    steady: bool = True


def mapping_at(raw: dict[str, Any], path: Path) -> dict[str, Any]:
    """The mapping at a path; one that stands alone may stand for a list of one."""
    node: Any = raw
    for part in path:
        if not (isinstance(node, dict) and part == 0):
            node = node[part]
    found: dict[str, Any] = node
    return found
