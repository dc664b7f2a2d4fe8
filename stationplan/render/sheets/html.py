"""Sheets as a page to print: black on white, one sheet a page, no script, no request."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from stationplan.render.marks import UNICODE, Kind
from stationplan.render.sheets.model import Sheet
from stationplan.render.sheets.text import HANGS, NOTHING
from stationplan.render.templating import templates

if TYPE_CHECKING:
    from markupsafe import Markup

Paper = Literal["a4", "letter"]

GENERATOR = "stationplan sheets"
"""By this in its head a page of ours is known."""


def as_sections(sheets: Sequence[Sheet]) -> Markup:
    """The sheets as HTML sections, one each, to stand in a page whose style has :func:`style` in it.

    Args:
        sheets: what to write.

    Returns:
        ``section`` elements of the class ``sheet`` and the kind of the sheet; every name in them is escaped.
    """
    from markupsafe import Markup

    template = templates().get_template("sheets.html")
    mark = UNICODE.sign(Kind.WORK, critical=True).start
    return Markup(template.render(sheets=sheets, mark=mark, hangs=HANGS, nothing=NOTHING))


def style(paper: Paper = "a4") -> Markup:
    """The style of the sections, for the screen and for paper; its rules are about the class ``sheet`` alone.

    Args:
        paper: what it is printed on.
    """
    from markupsafe import Markup

    source = templates().get_template("sheets.css")
    return Markup(source.render(size={"a4": "A4", "letter": "letter"}[paper]))


def as_document(sheets: Sequence[Sheet], *, title: str, paper: Paper = "a4") -> str:
    """A page that holds the sheets and nothing else.

    Args:
        sheets: what to write.
        title: what the page is called.
        paper: what it is printed on.

    Returns:
        HTML that needs no other file.
    """
    template = templates().get_template("sheets_document.html")
    return template.render(title=title, generator=GENERATOR, style=style(paper), sections=as_sections(sheets))
