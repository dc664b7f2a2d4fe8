"""The text view of a plan: headline, chart, critical chain, legend and warnings, together or apart."""

from __future__ import annotations

from stationplan.plan.document import Plan
from stationplan.render.cautions import cautions_below
from stationplan.render.chart import LEAST_WIDTH, chart
from stationplan.render.key import key
from stationplan.render.rows import RowKind
from stationplan.render.words import hangs_on, headline, legend, warnings

__all__ = ["LEAST_WIDTH", "chart", "hangs_on", "headline", "key", "legend", "page", "warnings"]


def page(
    plan: Plan,
    *,
    width: int,
    unicode: bool = True,
    color: bool = False,
    rows: RowKind = "equipment",
    span: tuple[int, int] | None = None,
) -> str:
    """Everything about a plan on one page, to read on screen and to print.

    Args:
        plan: the plan to show.
        width: most columns of a line, at least 60.
        unicode: draw with block and box characters; else plain ASCII throughout.
        color: add terminal colours; nothing is said by colour alone.
        rows: ``equipment`` for stations and people, ``people`` for them alone, ``products`` for a row each item.
        span: draw only from the first to the second, minutes since midnight of the first day.

    Returns:
        Headline, warnings, chart, critical chain, legend, key and cautions, with empty lines between, and a line end at
        the end.

    Raises:
        RenderError: when the width is too small, or the span is empty.
    """
    drawn = chart(plan, width=width, unicode=unicode, color=color, rows=rows, span=span)
    parts = (
        headline(plan, width, unicode),
        warnings(plan, width, unicode),
        drawn,
        hangs_on(plan, width, unicode),
        legend(plan, width, unicode),
        key(plan, width, unicode=unicode, rows=rows),
        cautions_below(plan, width, unicode),
    )
    return "\n\n".join(part for part in parts if part) + "\n"
