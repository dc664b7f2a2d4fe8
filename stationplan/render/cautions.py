"""Cautions below a page, in a few lines."""

from __future__ import annotations

from stationplan.plan.cautions import cautions
from stationplan.plan.document import Plan
from stationplan.render.lettering import clean, wrap

HEADING = (
    "cautions, and no more than hints: a plan knows times and places, not how warm food is. "
    "Follow your local code and your own HACCP plan"
)


def cautions_below(plan: Plan, width: int = 80, unicode: bool = True) -> str:
    """What to look at in a plan, one entry a rule with its source.

    Args:
        plan: the plan.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.

    Returns:
        A heading and the entries, wrapped; empty when there are none.
    """
    entries = [f"- {caution.sentence} ({caution.source})" for caution in cautions(plan)]
    texts = [HEADING, *entries] if entries else []
    return "\n".join(line for text in texts for line in wrap(clean(text, unicode), width, "  "))
