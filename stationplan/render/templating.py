"""Templates of pages: every value put in is escaped, and one that is missing is an error.

The filter ``shown`` takes signs out of a name that steer a terminal or turn the text around.
"""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from stationplan.render.lettering import clean

if TYPE_CHECKING:
    from jinja2 import Environment

_RANGE = re.compile(r"(?<=\d)-(?=\d)")


@cache
def templates() -> Environment:
    """The templates of this package, in ``stationplan/render/templates``."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("stationplan.render", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["shown"] = _shown
    return environment


def _shown(text: str) -> str:
    """A text as it may be shown: without signs that steer, and no line ending inside ``Ac1-2`` or ``07:28-07:48``."""
    return _RANGE.sub("\N{NON-BREAKING HYPHEN}", clean(text, unicode=True))
