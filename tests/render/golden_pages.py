"""The pages kept as golden text.

Run as ``python -m render.golden_pages`` in tests/ to write them anew; then read them, as a chef would.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from stationplan.render.overview import overview
from stationplan.render.text import page

from .invented_overview import OVERVIEW
from .invented_plans import make

FOLDER = Path(__file__).parent / "golden"

PAGES: dict[str, Callable[[], str]] = {
    "day-80": partial(page, make(), width=80),
    "day-120": partial(page, make(), width=120),
    "day-200": partial(page, make(), width=200),
    "day-80-ascii": partial(page, make(), width=80, unicode=False),
    "day-120-colour": partial(page, make(status="proved"), width=120, color=True),
    "day-120-people": partial(page, make(), width=120, rows="people"),
    "day-120-products": partial(page, make(), width=120, rows="products"),
    "late-120-ascii": partial(page, make(2, 2), width=120, unicode=False),
    "late-80-morning": partial(page, make(2, 2), width=80, span=(420, 600)),
    "week-160": partial(page, make(10), width=160),
    "overview-100": partial(overview, OVERVIEW, width=100),
    "overview-60-ascii": partial(overview, OVERVIEW, width=60, unicode=False),
}


def main() -> None:
    """Write every page."""
    FOLDER.mkdir(exist_ok=True)
    for name, draw in PAGES.items():
        (FOLDER / f"{name}.txt").write_text(draw(), encoding="utf-8")


if __name__ == "__main__":
    main()
