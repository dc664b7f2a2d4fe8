"""Every example is planned, and the plan is as its page says."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING, cast

import pytest

from stationplan.network import build
from stationplan.plan.check import check_plan
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import load

from .facts import Facts, facts_of
from .pages import EXAMPLES, ROOT, Quoted, commands, examples, format_pages, quotations, title

if TYPE_CHECKING:
    from pathlib import Path

    from stationplan.network.times import Durations
    from stationplan.plan.document import Plan

QUOTATIONS = list(quotations())
FEW_TASKS = 12


@functools.cache
def planned(folder: str, durations: str = "longest") -> Plan:
    loaded = load(ROOT / folder)
    network = build(loaded.scenario, cast("Durations", durations))
    return produce(network, loaded.raw, Effort(effort=5, seed=0, workers=1))


@pytest.mark.parametrize("folder", examples(), ids=lambda folder: folder.name)
def test_an_example_has_a_proved_plan_that_passes_the_check(folder: Path) -> None:
    plan = planned(folder.relative_to(ROOT).as_posix())
    assert plan.status == "proved"
    assert check_plan(plan) == ()
    assert len(plan.batches) <= FEW_TASKS


@pytest.mark.parametrize("quoted", QUOTATIONS, ids=lambda quoted: f"{quoted.page}: {quoted.folder}")
def test_the_plan_of_an_example_is_as_its_page_says(quoted: Quoted) -> None:
    facts = facts_of(planned(quoted.folder, quoted.durations))
    wrong = [line for line in quoted.lines if not _holds(line, facts)]
    assert not wrong, "\n".join(["the plan says instead:", *(", ".join([fact, *of]) for fact, of in facts.items())])


def _holds(line: str, facts: Facts) -> bool:
    subject, *details = line.split(", ")
    return subject in facts and set(details) <= set(facts[subject])


@pytest.mark.parametrize("page", format_pages(), ids=title)
def test_every_command_of_a_page_is_followed_by_lines_of_its_plan(page: Path) -> None:
    quoted = [one for one in QUOTATIONS if one.page == title(page)]
    assert len(quoted) == commands(page)
    assert all(one.lines for one in quoted)


def test_every_example_is_explained_on_a_page() -> None:
    assert {quoted.folder for quoted in QUOTATIONS} == {
        f"docs/examples/{folder.name}" for folder in EXAMPLES.iterdir() if folder.is_dir()
    }


def test_a_line_that_the_plan_does_not_say_is_found() -> None:
    facts = facts_of(planned("docs/examples/repeat"))
    assert _holds("Ab1.2 fold 06:45-06:50, Ida works 06:45-06:50", facts)
    assert not _holds("Ab1.2 fold 06:45-06:51", facts)
    assert not _holds("Ab1.2 fold 06:45-06:50, Ida works 06:45-06:51", facts)
    assert not _holds("finishes 08:02", facts)
