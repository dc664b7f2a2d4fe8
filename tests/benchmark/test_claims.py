"""A claim that cannot be true is found, and the tables count what was found."""

from __future__ import annotations

import pytest

from .answers import Answer, Outcome, Plan
from .claims import Known, Row, find_contradictions
from .report import as_text, comparison_table, family_table

PLAN = Plan((0,), (0,))
PUBLISHED = Known(lower=18, upper=20)


def row(
    outcome: Outcome = Outcome.FEASIBLE,
    value: int | None = 20,
    bound: int | None = 18,
    known: Known = PUBLISHED,
    solver: str = "stationplan",
    instance: str = "one",
    said: int | None = None,
    faults: tuple[str, ...] = (),
) -> Row:
    plan = PLAN if value is not None or faults else None
    answer = Answer(outcome, plan, said or value, bound, first_plan=0.5, seconds=2.0)
    return Row("family", instance, solver, known, answer, faults, value, 100)


@pytest.mark.parametrize(
    "rows",
    [
        pytest.param([row()], id="a plan as long as the best known"),
        pytest.param([row(value=19, bound=19, outcome=Outcome.OPTIMAL)], id="a shorter plan than the best known"),
        pytest.param([row(Outcome.INFEASIBLE, None, 30, Known(infeasible=True))], id="infeasible as published"),
        pytest.param([row(Outcome.UNKNOWN, None, 20)], id="a bound that reaches the best known"),
        pytest.param([row(Outcome.FAILED, None, None)], id="a failure claims nothing"),
    ],
)
def test_what_may_be_true_is_no_contradiction(rows: list[Row]) -> None:
    assert find_contradictions(rows) == ()


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([row(value=None, faults=("too full",))], "its plan is wrong: too full"),
        ([row(value=None)], "it says that it has a plan and shows none"),
        ([row(said=19)], "it says that its plan takes 19, but it takes 20"),
        (
            [row(known=Known(infeasible=True))],
            "it has a plan without fault, but the instance is published as infeasible",
        ),
        ([row(value=17, bound=1)], "its plan without fault takes 17, less than the published bound of 18"),
        ([row(Outcome.INFEASIBLE, None, None)], "it says that there is no plan, but there is one of 20"),
        ([row(value=22, bound=21)], "it says that no plan takes less than 21, but there is one of 20"),
        ([row(Outcome.OPTIMAL, bound=19)], "it says that 20 is proved, with a bound of 19"),
        (
            [row(known=Known(), value=30, bound=26), row(known=Known(), value=25, solver="textbook")],
            "it says that no plan takes less than 26, but there is one of 25",
        ),
    ],
)
def test_what_cannot_be_true_is_said(rows: list[Row], sentence: str) -> None:
    assert find_contradictions(rows) == (f"stationplan on family one: {sentence}",)


def test_the_family_table_counts_plans_proofs_and_gaps() -> None:
    rows = [
        row(Outcome.OPTIMAL, 20, 20),
        row(value=25, bound=20, instance="two"),
        row(Outcome.UNKNOWN, None, instance="three"),
        row(Outcome.INFEASIBLE, None, None, Known(infeasible=True), instance="four"),
    ]
    [line] = family_table(rows)
    assert [line[column] for column in ("instances", "solved", "proved", "infeasible proved", "no plan")] == [
        4,
        2,
        1,
        1,
        1,
    ]
    assert (line["gap to best %, mean"], line["gap to best %, worst"]) == (12.5, 25)
    assert (line["own gap %, mean"], line["own gap %, worst"]) == (10, 20)
    assert (line["first plan s, median"], line["peak MiB"]) == (0.5, 100)


def test_a_plan_with_a_fault_counts_as_none() -> None:
    [line] = family_table([row(Outcome.OPTIMAL, None, 20, faults=("too full",))])
    assert (line["solved"], line["proved"], line["no plan"]) == (0, 0, 1)


def test_the_comparison_takes_the_instances_that_neither_proves() -> None:
    rows = [
        row(Outcome.OPTIMAL, 20, 20),
        row(value=22, solver="textbook"),
        row(value=21, instance="two"),
        row(value=24, solver="textbook", instance="two"),
    ]
    [line] = comparison_table(rows)
    assert (line["proved by stationplan"], line["by the peer"], line["neither proves"]) == (1, 0, 1)
    assert (line["then gap % of stationplan"], line["then of the peer"]) == (5, 20)


def test_a_table_is_printed_as_markdown() -> None:
    assert as_text([{"a": 1, "bc": None}, {"a": 2.5, "d": "x"}]).splitlines() == [
        "| a    | bc | d |",
        "| ---- | -- | - |",
        "| 1    |    |   |",
        "| 2.50 |    | x |",
    ]
