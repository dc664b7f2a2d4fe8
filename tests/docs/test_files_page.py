"""The page about exported files names what is in them."""

from __future__ import annotations

import re
from pathlib import Path

from stationplan.network import build
from stationplan.plan.produce import Effort, produce
from stationplan.render.files.events import NOTICE, TIGHT
from stationplan.render.files.formats import FORMATS
from stationplan.render.files.tables import TABLES, table
from stationplan.scenario import load

from .pages import DOCS, EXAMPLES, sections, tables

PAGE = DOCS / "files.md"
TIMES = ["start day", "start", "end day", "end", "minutes"]


def test_the_page_names_every_table_with_its_columns_in_order() -> None:
    loaded = load(EXAMPLES / "shift-overnight")
    plan = produce(build(loaded.scenario), loaded.raw, Effort(effort=1))
    [rows] = tables(sections(PAGE)["Tables"])
    said = {}
    for name, _, columns in rows[1:]:
        words = re.findall(r"`([^`]+)`|\b(times)\b", columns)
        said[name.strip("`")] = [word for code, times in words for word in (TIMES if times else [code])]
    assert said == {name: list(table(plan, name).columns) for name in TABLES}


def test_the_page_knows_when_alarms_come() -> None:
    [rows] = tables(sections(PAGE)["Calendars"])
    told = " ".join(" ".join(row) for row in rows)
    assert f"no more than {TIGHT} minutes longer" in told
    assert f"{NOTICE} minutes before it is too late" in told


def test_the_section_of_the_command_names_every_format_and_what_it_needs() -> None:
    formats, _ = tables(sections(Path(DOCS / "commands.md"))["export"])
    said = {row[0].strip("`"): row[2] for row in formats[1:]}
    assert said == {
        format.name: f"`pip install 'stationplan[{format.extra}]'`" if format.extra else "" for format in FORMATS
    }
