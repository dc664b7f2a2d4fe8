"""The pages kept as golden text.

Run as ``python -m render.golden_pages`` in tests/ to write them anew; then read them, as a chef would.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from stationplan.render.bottlenecks import page as bottlenecks
from stationplan.render.exam import sheets
from stationplan.render.overview import overview
from stationplan.render.quantities import weighing_page
from stationplan.render.sheets import sheets_of
from stationplan.render.sheets.text import as_text
from stationplan.render.shift_report import report_page
from stationplan.render.smallest import page as smallest
from stationplan.render.text import page

from .invented_bottlenecks import BOTTLENECKS, IMPOSSIBLE, PLAN, SMALLEST
from .invented_exam import make_exam
from .invented_overview import OVERVIEW
from .invented_plans import make
from .invented_report import ONE, THREE
from .invented_weighing import BEFORE, PLANNED
from .real_plans import morning
from .running_shift import page as running_shift

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
    "exam-80": partial(sheets, make_exam(), ("timetable", "cards", "events"), width=80),
    "exam-60-ascii": partial(sheets, make_exam(differ=20), ("timetable", "events"), width=60, unicode=False),
    "overview-100": partial(overview, OVERVIEW, width=100),
    "overview-60-ascii": partial(overview, OVERVIEW, width=60, unicode=False),
    "sheets-80": lambda: as_text(sheets_of(morning())),
    "sheets-60-ascii": lambda: as_text(sheets_of(morning()), width=60, unicode=False),
    "quantities-80": partial(weighing_page, PLANNED, width=80),
    "quantities-120": partial(weighing_page, PLANNED, width=120),
    "quantities-60-ascii": partial(weighing_page, BEFORE, width=60, unicode=False),
    "bottlenecks-80": partial(bottlenecks, BOTTLENECKS, PLAN, width=80),
    "bottlenecks-120-ascii": partial(bottlenecks, BOTTLENECKS, PLAN, width=120, unicode=False),
    "bottlenecks-impossible-80": partial(bottlenecks, IMPOSSIBLE, None, width=80),
    "report-80": partial(report_page, ONE, width=80),
    "report-60-ascii": partial(report_page, THREE, width=60, unicode=False),
    "shift-80": partial(running_shift, 80),
    "shift-120-ascii": partial(running_shift, 120, unicode=False),
    "shift-120-people": partial(running_shift, 120, rows="people"),
    "smallest-80": partial(smallest, SMALLEST, width=80),
}


def main() -> None:
    """Write every page."""
    FOLDER.mkdir(exist_ok=True)
    for name, draw in PAGES.items():
        (FOLDER / f"{name}.txt").write_text(draw(), encoding="utf-8")


if __name__ == "__main__":
    main()
