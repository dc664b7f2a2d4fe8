"""The difference between two plans, proved or not."""

from __future__ import annotations

import pytest

from stationplan.engine.feasibility import Verdict
from stationplan.plan.comparing import Comparison, Ending, Gain, compare
from stationplan.plan.trials import Known, Outcome
from stationplan.plan.what_ifs import Choice, WhatIf


def change(choice: Choice) -> WhatIf:
    return WhatIf(choice, choice.value, (), {})


MORE, FEWER, LARGER = map(change, (Choice.MORE_EQUIPMENT, Choice.FEWER_EQUIPMENT, Choice.LARGER_OVEN))


def planned(known: Known, *, alike: bool = True, base_holds: bool = False) -> Outcome:
    return Outcome(Verdict.POSSIBLE, known, alike, base_holds)


def compared(base: Known, one: WhatIf, outcome: Outcome) -> tuple[Gain | None, Gain | None]:
    [answer] = compare(base, [one], [outcome]).answers
    return answer.late, answer.length


def test_two_proved_plans_differ_by_exactly_so_much() -> None:
    late, length = compared(Known(0, 100, 0, 100), MORE, planned(Known(0, 78, 0, 78), base_holds=True))
    assert late == Gain(0, 0, 0)
    assert length == Gain(22, 22, 22)
    assert length.proved


def test_two_plans_that_are_not_proved_differ_by_something_between_their_bounds() -> None:
    # As it is the best is in 96..100, with the change in 70..78.
    _, length = compared(Known(0, 100, 0, 96), LARGER, planned(Known(0, 78, 0, 70), alike=False))
    assert length == Gain(22, 18, 30)
    _, length = compared(Known(0, 100, 0, 70), LARGER, planned(Known(0, 99, 0, 60), alike=False))
    assert length == Gain(1, -29, 40)


def test_more_never_costs_and_less_never_saves_where_the_batches_are_the_same() -> None:
    _, more = compared(Known(0, 100, 0, 70), MORE, planned(Known(0, 99, 0, 60), base_holds=True))
    assert more == Gain(1, 0, 40)
    _, fewer = compared(Known(0, 100, 0, 70), FEWER, planned(Known(0, 130, 0, 60)))
    # The bound of the whole kitchen holds for what is left of it, too.
    assert fewer == Gain(-30, -60, 0)


def test_a_better_plan_for_less_is_one_for_the_whole_kitchen_and_for_more() -> None:
    found = compare(
        Known(0, 100, 0, 80),
        [MORE, FEWER],
        [planned(Known(0, 98, 0, 80), base_holds=True), planned(Known(0, 95, 0, 80))],
    )
    assert found.base == Known(0, 100, 0, 80)
    assert found.best == Known(0, 95, 0, 80)
    assert [answer.known for answer in found.answers] == [Known(0, 95, 0, 80)] * 2
    assert [answer.length for answer in found.answers] == [Gain(0, 0, 15), Gain(0, -15, 0)]


def test_a_bound_for_more_is_one_for_the_whole_kitchen_and_for_less() -> None:
    found = compare(
        Known(0, 100, 0, 80),
        [MORE, FEWER],
        [planned(Known(0, 96, 0, 96), base_holds=True), planned(Known(0, 110, 0, 0))],
    )
    assert found.best == Known(0, 100, 0, 96)
    assert [answer.length for answer in found.answers] == [Gain(4, 0, 4), Gain(-10, -14, 0)]


@pytest.mark.parametrize("alike", [True, False])
def test_with_other_batches_nothing_is_taken_over(alike: bool) -> None:
    outcome = planned(Known(0, 90, 0, 0), alike=alike)
    assert compare(Known(0, 100, 0, 80), [FEWER], [outcome]).best == Known(0, 90 if alike else 100, 0, 80)


def test_a_bound_on_the_finish_of_punctual_plans_says_nothing_of_later_ones() -> None:
    late, length = compared(Known(10, 100, 0, 100), MORE, planned(Known(0, 120, 0, 115), base_holds=True))
    # To be punctual takes longer here. Whether the best plan as it is, is late at all, is open.
    assert late == Gain(10, 0, 10)
    assert length == Gain(-20)
    assert not length.proved


def test_where_all_lateness_is_proved_the_finish_may_be_compared() -> None:
    late, length = compared(Known(10, 100, 10, 100), MORE, planned(Known(0, 120, 0, 115), base_holds=True))
    assert (late, length) == (Gain(10, 10, 10), Gain(-20, -20, -15))


def test_a_bound_that_holds_for_earlier_lateness_only_is_not_taken_over() -> None:
    # The larger kitchen's bound of 115 is for punctual plans; as it is, plans are 10 minutes late.
    found = compare(Known(10, 100, 0, 90), [MORE], [planned(Known(0, 120, 0, 115), base_holds=True)])
    assert found.best == Known(10, 100, 0, 90)


def test_every_ending_is_told() -> None:
    outcomes = [planned(Known(0, 9)), Outcome(Verdict.IMPOSSIBLE), Outcome(Verdict.UNDECIDED), None]
    found = compare(None, [MORE] * 4, outcomes)
    assert [answer.ending for answer in found.answers] == list(Ending)
    assert found == Comparison(None, None, found.answers)
    assert [answer.late for answer in found.answers] == [None] * 4
