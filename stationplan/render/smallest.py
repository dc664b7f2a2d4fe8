"""The smallest kitchen that is still in time, as a table of text."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING

from stationplan.plan.comparing import Ending
from stationplan.render.lettering import clean, shorten, wrap
from stationplan.render.overview import titled
from stationplan.scenario.units import plural

if TYPE_CHECKING:
    from stationplan.plan.smallest import Needed, Smallest

_FEWER = {
    Ending.IMPOSSIBLE: "not in time, proved",
    Ending.NOT_FOUND: "not found out",
    Ending.INTERRUPTED: "interrupted",
    Ending.PLANNED: "interrupted",
}


def page(found: Smallest, *, width: int, unicode: bool = True) -> str:
    """What is needed of each kind, and how it is known that it takes so many.

    Args:
        found: the smallest kitchen.
        width: most columns of a line, at least 60.
        unicode: whether texts may hold more than ASCII.

    Returns:
        A title, a table and what it means; a line end at the end.
    """
    rows = [
        (each.name, str(each.before), str(each.after), _FEWER[each.fewer] if each.fewer else "")
        for each in found.needed
    ]
    lines = titled(
        f"{clean(found.name, unicode)}: what is enough to have every order in time",
        ("", "there", "enough", "with one fewer"),
        rows,
        "lrrr",
        width,
        unicode,
    )
    lines += ["", *wrap(clean(_verdict(found), unicode), width, "  ")]
    return "\n".join(shorten(line, width, unicode) for line in lines) + "\n"


def to_json(found: Smallest) -> str:
    """The same as JSON, indented, with the scenario of the smallest kitchen.

    Args:
        found: the smallest kitchen.
    """
    return json.dumps({"format": "stationplan smallest", "version": 1, **asdict(found)}, indent=2) + "\n"


def _verdict(found: Smallest) -> str:
    kept = [each.fewer for each in found.needed if each.after]
    spared = [_spared(each) for each in found.needed if each.after < each.before]
    begin = f"Not needed: {', '.join(spared)}" if spared else "Nothing can be left out"
    if found.interrupted and not spared:
        return (
            "Interrupted before anything was found that can be left out. A plan for the whole kitchen was made and "
            "checked."
        )
    if found.interrupted:
        return f"{begin}; perhaps more, for this was interrupted. A plan for what is left was made and checked."
    doubt = kept.count(Ending.NOT_FOUND)
    if doubt:
        begin = begin if spared else "Nothing was found that can be left out"
        return (
            f"{begin}; a plan for what is left was made and checked. For {doubt} of the {len(kept)} kinds that are "
            "left it was not found out in the time whether there could be one fewer (--time-limit)."
        )
    return f"{begin}; a plan for what is left was made and checked, and no single thing more can be left out: proved."


def _spared(kind: Needed) -> str:
    """``2 rings of 4``, ``the mixer``, ``one of Dorrit and Anselm``, ``Odo``."""
    fewer = kind.before - kind.after
    number = str(fewer) if fewer > 1 else "one"
    if kind.people:
        return f"{number} of {kind.name}" if kind.after else kind.name
    if not kind.after:
        return f"the {plural(kind.name, fewer)}"
    return f"{number} {plural(kind.name, fewer)} of {kind.before}"
