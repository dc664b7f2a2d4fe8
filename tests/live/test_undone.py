"""What is true once an event has been undone."""

from __future__ import annotations

import pytest

from stationplan.live.recording import understood
from stationplan.live.state import fold
from stationplan.live.undone import now_true
from stationplan.plan.document import Plan

from .working import log_of

BEFORE = ["started Aa1 at 06:01", "finished Aa1 at 06:10", "started Ab1 at 07:00", "order add 10 Larkfield tartlet"]


@pytest.mark.parametrize(
    ("before", "undone", "true"),
    [
        ([], "started Ba1", "Ba1 has not begun"),
        ([], "finished Ab1", "Ab1 runs since 07:00, until 07:09 as expected"),
        ([], "overrunning Ab1 +10", "Ab1 runs since 07:00, until 07:09 as expected"),
        ([], "failed Aa1", "Aa1 began at 06:01 and ended well at 06:10"),
        (["failed Ab1 at 07:05"], "failed Aa1", "Aa1 began at 06:01 and ended well at 06:10"),
        ([], "out deck oven until 11:00", "deck oven is in use"),
        (["out ring at 07:30"], "back ring", "ring is out of use since 07:30"),
        (["out ring 2 until 09:00 at 07:30"], "back ring 2", "ring 2 is out of use since 07:30 until 09:00"),
        (["slower mixer 20% at 07:30"], "slower mixer 40%", "mixer is 20 % slower"),
        ([], "slower mixer 40%", "mixer is as fast as it should be"),
        ([], "away Odo", "Odo is there"),
        (["away Odo until 9:00 at 07:30"], "in Odo", "Odo is away since 07:30 until 09:00"),
        ([], "order add 24 Larkfield tartlet", "24 Larkfield tartlet are not ordered"),
        ([], "order change 1 120 due 10:30", "order 1 is 90 Larkfield tartlet due 10:00"),
        ([], "order cancel 2", "order 2 is 10 Larkfield tartlet"),
        ([], "stock 2 trays tartlet shell", "2 trays tartlet shell are not in stock"),
        ([], "late whole egg until 10:30", "whole egg is not late"),
        (["late whole egg until 9:30"], "late whole egg until 10:30", "whole egg comes at 09:30"),
        (["late whole egg until 9:30"], "in whole egg", "whole egg comes at 09:30"),
        ([], "note it hums", "everything else is as it was"),
    ],
)
def test_it_is_what_was_true_without_it(plan: Plan, before: list[str], undone: str, true: str) -> None:
    log = log_of(plan, [])
    for words in [*BEFORE, *before]:
        log = log_of(plan, [*(entry.event for entry in log.events), understood(log, [words], now=480, who="Ida")])
    event = understood(log, [undone], now=480, who="Ida")
    state = fold(plan, log.events, scenario=plan.scenario)
    assert now_true(state, event) == true


def test_an_undo_tells_what_it_undoes(plan: Plan) -> None:
    log = log_of(plan, [understood(log_of(plan, []), ["started Aa1 by Odo"], now=361, who="Ida")])
    undo = understood(log, ["undo"], now=362, who="Ida")
    assert undo.model_dump() == {
        "kind": "undo",
        "at": 362,
        "who": "Ida",
        "number": 1,
        "undone": "started Aa1 by Odo at 06:01",
    }
