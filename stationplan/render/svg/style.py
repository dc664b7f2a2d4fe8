"""The style sheet of a drawing."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stationplan.render.svg.palette import Theme

FONT = 12
"""Pixels."""

_SHAPES = f"""
.chart text {{ font: {FONT}px "Liberation Sans", Arial, Helvetica, sans-serif; }}
.chart .name {{ font-size: 13px; font-weight: 600; }}
.chart .hour {{ font-weight: 600; }}
.chart .bar text {{ pointer-events: none; }}
.chart path {{ fill: none; }}
.chart .outline {{ fill: none; stroke-width: 1; }}
.chart .critical .outline {{ stroke-width: 2.5; }}
.chart .is-late .outline, .chart .is-blocked .outline {{ stroke-dasharray: 4 3; }}
.chart .is-lost .outline {{ stroke-width: 2; }}
.chart .slip .wait {{ stroke-dasharray: 1 4; }}
.chart .wait {{ stroke-width: 2; stroke-dasharray: 4 3; }}
.chart .critical .wait {{ stroke-width: 4; stroke-dasharray: none; }}
.chart .level {{ stroke-width: 2; }}
.chart .grid {{ stroke-width: 1; }}
.chart .minor {{ stroke-dasharray: 1 3; }}
.chart .outside {{ paint-order: stroke; stroke-width: 3; stroke-linejoin: round; }}
.chart .on-ink {{ stroke-width: 0.7; }}
.chart .absent {{ stroke-width: 0.7; }}
.chart .target {{ fill: transparent; stroke: none; }}
"""


def style(theme: Theme) -> str:
    """Rules for every part of a drawing in these colours, without variables, which few drawing programs know."""
    rules = [
        f".chart .page {{ fill: {theme.page}; }}",
        f".chart text {{ fill: {theme.text}; }}",
        f".chart .quiet {{ fill: {theme.quiet}; }}",
        f".chart .stripe {{ fill: {theme.stripe}; }}",
        f".chart .grid {{ stroke: {theme.line}; }}",
        f".chart .major, .chart .day {{ stroke: {theme.away}; }}",
        f".chart .level, .chart .ramp {{ stroke: {theme.heat}; }}",
        f".chart .washing {{ stroke: {theme.wash}; }}",
        f".chart .absent {{ stroke: {theme.away}; }}",
        f".chart .mark {{ fill: {theme.text}; stroke: {theme.text}; }}",
        f".chart .open {{ fill: {theme.page}; }}",
    ]
    for number, pair in enumerate(theme.items):
        item = f".chart .pair-{number}"
        rules += [
            f"{item} .ink, {item} .taken {{ fill: {pair.ink}; }}",
            f"{item} .tint, {item} .plaque {{ fill: {pair.tint}; }}",
            f"{item} .outline, {item} .wait, {item} .on-tint {{ stroke: {pair.ink}; }}",
            f"{item} .on-ink {{ stroke: {pair.tint}; }}",
        ]
    rules += [
        f".chart .critical .outline {{ stroke: {theme.text}; }}",
        f".chart .outside {{ stroke: {theme.page}; }}",
    ]
    return _SHAPES + "\n".join(rules) + "\n"
