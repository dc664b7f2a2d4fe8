"""The colours of a drawing, for a white and for a dark page.

An item has a pair: ``ink`` for hands at work, outlines and lines, ``tint`` for what runs by itself. What a colour says
is said by hatching, by a letter or by a shape as well.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Pair:
    """The dark and the light colour of an item (on a dark page the other way round), as ``#rrggbb``."""

    ink: str
    tint: str


@dataclass(frozen=True)
class Theme:
    """All colours of a page, as ``#rrggbb``."""

    page: str
    stripe: str
    text: str
    quiet: str
    line: str
    heat: str
    wash: str
    away: str
    focus: str
    items: tuple[Pair, ...]


LIGHT = Theme(
    page="#ffffff",
    stripe="#f4f4f0",
    text="#1b1b1b",
    quiet="#565650",
    line="#cfcfc8",
    heat="#a63a00",
    wash="#2c6e8f",
    away="#767670",
    focus="#0047b3",
    items=(
        Pair("#1f5a96", "#dfeaf6"),
        Pair("#8f4700", "#fbead6"),
        Pair("#1e6b3a", "#dff1e4"),
        Pair("#6b3fa0", "#ece4f5"),
        Pair("#a3265c", "#f9e2eb"),
        Pair("#0f6670", "#d9eff1"),
        Pair("#635a00", "#f3f0d0"),
        Pair("#46505c", "#e6e9ed"),
    ),
)
DARK = Theme(
    page="#16181b",
    stripe="#1f2226",
    text="#f2f2ee",
    quiet="#b9b9b2",
    line="#3d4147",
    heat="#ff9d66",
    wash="#7cc4e6",
    away="#8b8b84",
    focus="#9cc4ff",
    items=(
        Pair("#8fc1f2", "#1b3650"),
        Pair("#f2b06a", "#452a0d"),
        Pair("#86d3a0", "#173a24"),
        Pair("#c7a8f0", "#352252"),
        Pair("#f29ac0", "#4d1a31"),
        Pair("#74ccd6", "#0f3a40"),
        Pair("#d9cd6a", "#3a3508"),
        Pair("#b8c3d0", "#2c333b"),
    ),
)


def pair_of(position: int) -> int:
    """The number of the colour pair of the item at this position of the legend."""
    return position % len(LIGHT.items)
