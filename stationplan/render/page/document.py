"""Putting the page together."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

from markupsafe import Markup

from stationplan.plan.cautions import cautions
from stationplan.plan.weighing import weighing_of_plan
from stationplan.render.cautions import HEADING
from stationplan.render.lettering import clean
from stationplan.render.page.details import chapters
from stationplan.render.page.quantities import made
from stationplan.render.page.views import svg, view
from stationplan.render.quantities import NONE_DECLARED, allergen_groups, cautioned, cracked, store_rows
from stationplan.render.rows import RowKind
from stationplan.render.sheets import sheets_of
from stationplan.render.sheets.html import as_sections
from stationplan.render.sheets.html import style as sheets_style
from stationplan.render.svg.key import HEIGHT, WIDTH, Entry, items, signs
from stationplan.render.svg.palette import DARK, LIGHT
from stationplan.render.svg.style import style
from stationplan.render.templating import templates
from stationplan.render.words import bound, hangs_on, headline, warnings

if TYPE_CHECKING:
    from stationplan.plan.document import Plan

_ONE_LINE = 100_000
"""More columns than a sentence has."""


def page(plan: Plan) -> str:
    """A plan as one HTML document.

    Args:
        plan: a plan that has passed the check.

    Returns:
        The document. It asks for nothing else, and forbids the browser to.
    """
    weighing = weighing_of_plan(plan)
    first, *more = headline(plan, _ONE_LINE, why=False).splitlines()
    return (
        templates()
        .get_template("page/page.html")
        .render(
            title=clean(plan.name, True),
            headline=first,
            told=more,
            warnings=[line.removeprefix("! ") for line in warnings(plan, _ONE_LINE).splitlines()],
            why=[
                *(clean(line, True) for line in bound(plan)),
                *filter(None, [hangs_on(plan, 1000).replace("\n ", "")]),
            ],
            light=LIGHT,
            dark=DARK,
            light_chart=Markup(style(LIGHT)),
            dark_chart=Markup(style(DARK)),
            views=[view(plan, kind) for kind in get_args(RowKind)],
            cautions=[f"{caution.sentence} ({caution.source})" for caution in cautions(plan)],
            hints=HEADING,
            signs=[_entry(entry) for entry in signs(plan)],
            items=[_entry(entry) for entry in items(plan)],
            chapters=chapters(plan),
            made=made(plan),
            store=store_rows(weighing),
            eggs="" if weighing.eggs is None else cracked(weighing.eggs),
            allergens=allergen_groups(weighing),
            caution=cautioned(weighing).removeprefix("! ") if weighing.items else NONE_DECLARED,
            sheets=as_sections(sheets_of(plan)),
            sheets_style=sheets_style(),
        )
    )


def _entry(entry: Entry) -> tuple[Markup, str]:
    return svg(entry.sample, WIDTH, HEIGHT), entry.meaning
