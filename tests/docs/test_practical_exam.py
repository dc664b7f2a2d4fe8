"""The page of the practical exam says what the tool says today."""

from __future__ import annotations

import pytest

from stationplan.plan.document import Plan
from stationplan.plan.exam.hold import hold
from stationplan.plan.produce import Effort
from stationplan.render.exam import card, headline, told
from stationplan.scenario import load

from .pages import DOCS, ROOT, blocks

PAGE = DOCS / "scenarios" / "practical-exam.md"


@pytest.fixture(scope="module", name="plan")
def the_shipped_exam() -> Plan:
    loaded = load(ROOT / "scenarios" / "practical-exam")
    return hold(loaded.scenario, loaded.raw, Effort(effort=6, workers=1))


def test_sixteen_candidates_at_four_ovens_have_proved_starts_and_one_timeline(plan: Plan) -> None:
    assert plan.exam is not None
    assert len(plan.exam.candidates) == 16
    assert plan.exam.every.value == plan.exam.every.bound
    assert plan.exam.differ.value == 0
    # What more equipment would bring is left out here: it takes as long again.
    shown = blocks(PAGE, "text")[0]
    assert shown.startswith(headline(told(plan), 100) + "\n")


def test_the_two_cards_of_the_page_differ_by_the_start_and_the_ovens_alone(plan: Plan) -> None:
    exam = told(plan)
    cards = [card(exam, exam.part.candidates[number], 100) + "\n" for number in (0, 8)]
    shown = blocks(PAGE, "text")[1:3]
    assert [len(text.splitlines()) for text in shown] == [len(text.splitlines()) for text in cards]
    one, other = ([line[15:].split(" at ")[-1] for line in text.splitlines()[1:]] for text in shown)
    assert one == other
    moments = [[line[2:13].strip() for line in text.splitlines() if ":" in line[:6]] for text in (*shown, *cards)]
    starts = [[moment for moment in of if len(moment) == 5] for of in moments]
    assert starts[0] == starts[2]
    assert starts[1] == starts[3]
