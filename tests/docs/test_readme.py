"""The README tells a newcomer the truth: its commands, its links, and the plan that it shows."""

from __future__ import annotations

import re

import pytest

from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.produce import Effort, produce
from stationplan.render.text import headline, legend
from stationplan.scenario import load

from .pages import ROOT, anchors, links, sections

README = ROOT / "README.md"
WIDTH = 100
_FENCE = re.compile(r"```\w*\n(.*?)```", re.DOTALL)
_LABEL = re.compile(r"\b[A-Z][a-z]\d+\b")


@pytest.fixture(scope="module")
def plan() -> Plan:
    loaded = load(ROOT / "scenarios" / "first-shift")
    # All that the test compares is proved, so that any search that gets there will do.
    return produce(build(loaded.scenario), loaded.raw, Effort(effort=10))


@pytest.fixture(scope="module")
def shown() -> str:
    page = _FENCE.search(README.read_text(encoding="utf-8"))
    assert page is not None
    return page[1]


@pytest.mark.parametrize(
    ("heading", "end"), [("Run it", "plan scenarios/first-shift"), ("Test it", "pytest -n auto --dist worksteal")]
)
def test_a_section_begins_with_one_block_of_one_command(heading: str, end: str) -> None:
    section = sections(README)[heading]
    block = _FENCE.match(section.lstrip("\n"))
    assert block is not None
    assert len(block[1].splitlines()) == 1
    assert block[1].startswith("python3 -m venv .venv && ")
    assert block[1].endswith(f" {end}\n")


def test_the_plan_shown_is_as_short_as_the_tool_says_today(plan: Plan, shown: str) -> None:
    assert plan.status == "proved"
    assert shown.startswith(headline(plan, WIDTH) + "\n")


def test_the_plan_shown_ends_with_what_its_letters_stand_for(plan: Plan, shown: str) -> None:
    assert shown.endswith(legend(plan, WIDTH) + "\n")


def test_the_chart_shown_has_every_batch_and_no_other(plan: Plan, shown: str) -> None:
    assert set(_LABEL.findall(shown)) == {batch.label for batch in plan.batches}


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_links_of_a_page_outside_the_documentation_lead_somewhere(name: str) -> None:
    for link in links(ROOT / name):
        file, _, heading = link.partition("#")
        target = ROOT / file if file else ROOT / name
        assert target.exists(), link
        if heading:
            assert heading in anchors(target), link
