"""The page of cautions has every rule with its source and its number."""

from __future__ import annotations

import re

from stationplan.plan import cautions as rules

from .pages import DOCS, sections, tables

PAGE = DOCS / "cautions.md"


def rows() -> list[list[str]]:
    [table] = tables(sections(PAGE)["The rules"])
    return table[1:]


def test_every_source_of_a_caution_stands_in_the_table() -> None:
    sources = " ".join(row[2] for row in rows())
    for source in (rules.COOLING, rules.TIME_AS_CONTROL, rules.HOT_HOLDING, rules.DATE_MARKING, rules.ALLERGENS):
        cited = re.findall(r"FDA Food Code 3-[\d.]+\d|SI 2013/2996, Schedule 4|Codex CXC 80-2020", source)
        assert cited
        assert [name for name in cited if name not in sources] == []
    assert rules.TRADE in sources


def test_the_limits_of_the_table_are_those_of_the_program() -> None:
    limits = [row[1] for row in rows()]
    assert limits[:5] == [
        f"more than {rules.MOST_TO_21_CELSIUS // 60} h",
        f"more than {rules.MOST_TO_5_CELSIUS // 60} h",
        f"{rules.MOST_OUTSIDE_THE_COLD // 60} h",
        f"more than {rules.MOST_ON_THE_HEAT // 60} h",
        f"into an eighth day; more than {rules.MOST_CHILLED_DAYS} days",
    ]
    assert f"an oven of {rules.HOT_CELSIUS} C or more" in rows()[0][0]


def test_the_page_defers_to_local_code_and_calls_nothing_safe() -> None:
    text = PAGE.read_text(encoding="utf-8")
    assert "Your local code and your own HACCP plan" in " ".join(text.split())
    assert not re.search(r"\b(is|are) safe\b", text)
