"""The scenario as the events have made it."""

from __future__ import annotations

import copy
from collections.abc import Callable

import pytest

from stationplan.live.effective import effective, expressed
from stationplan.live.events import Event, GoodsIn, GoodsLate, Out, Recorded, Slower, StockFound
from stationplan.live.known import with_known
from stationplan.live.record import Log
from stationplan.live.state import fold
from stationplan.plan.document import Plan
from stationplan.scenario import from_plain
from stationplan.scenario.units import ClockSpan

from .conftest import MOMENT, Tell

SEVEN = 7 * 60


def test_without_events_the_scenario_is_as_it_was(plan: Plan) -> None:
    assert effective(plan.scenario, fold(plan, ())) == plan.scenario


def test_the_scenario_given_is_left_as_it_is(tell: Tell, log: Callable[[], Log], plan: Plan) -> None:
    before = copy.deepcopy(plan.scenario)
    tell("away Odo", now=SEVEN)
    tell("order add 24 Larkfield tartlet due 11:00", now=SEVEN)
    assert effective(plan.scenario, log().state) != before
    assert plan.scenario == before


def test_an_absence_is_a_break(tell: Tell, log: Callable[[], Log], plan: Plan) -> None:
    tell("away Odo until 07:20", now=SEVEN)
    tell("away Tamsin", now=SEVEN + 30)
    tell("in Tamsin", now=SEVEN + 40)
    tell("away Tamsin", now=SEVEN + 50)
    tamsin, odo = expressed(plan.scenario, log().state).kitchen.people
    assert odo.breaks == (ClockSpan(450, 480), ClockSpan(420, 440))
    assert tamsin.breaks == (ClockSpan(510, 540), ClockSpan(450, 460), ClockSpan(470, 12 * 60))


def test_orders_are_changed_added_and_cancelled(tell: Tell, log: Callable[[], Log], plan: Plan) -> None:
    tell("order change 1 60", now=SEVEN)
    tell("order add 24 Larkfield tartlet due 11:00", now=SEVEN)
    tell("order change 2 due 11:30", now=SEVEN)
    tell("order add 5 Larkfield tartlet", now=SEVEN)
    tell("order cancel 3", now=SEVEN)
    assert effective(plan.scenario, log().state)["orders"] == [
        {**plan.scenario["orders"][0], "quantity": 60},
        {"product": "Larkfield tartlet", "quantity": 24, "due": "11:30"},
    ]
    orders = expressed(plan.scenario, log().state).orders
    assert [(order.quantity, order.due) for order in orders] == [(60, 600), (24, 690)]


def test_what_is_undone_is_not_in_it(tell: Tell, log: Callable[[], Log], plan: Plan) -> None:
    tell("away Odo", now=SEVEN)
    tell("undo", now=SEVEN)
    assert effective(plan.scenario, log().state) == plan.scenario


@pytest.mark.parametrize(
    ("event", "where", "written"),
    [
        (Out(at=420, who="Ida", equipment="deck oven", until=450), "deck oven", [{"between": "07:00-07:30"}]),
        (Out(at=420, who="Ida", equipment="ring", unit=2), "ring", [{"between": "07:00-12:00", "unit": 2}]),
        (Slower(at=420, who="Ida", equipment="deck oven", percent=20), "deck oven", "20 %"),
    ],
)
def test_equipment_is_written_in_words_of_the_format(plan: Plan, event: Event, where: str, written: object) -> None:
    key = "slower" if isinstance(event, Slower) else "out_of_use"
    raw = effective(plan.scenario, fold(plan, [Recorded(1, MOMENT, event)]))
    [machine] = [machine for machine in raw["kitchen"]["equipment"] if machine["name"] == where]
    assert machine[key] == written


def test_stock_and_late_goods_are_written_in_words_of_the_format(plan: Plan) -> None:
    found = StockFound(at=420, who="Ida", item="lemon cream", quantity="1 kg", until=600)
    late = GoodsLate(at=420, who="Ida", ingredient="butter", until=480)
    raw = effective(plan.scenario, fold(plan, [Recorded(1, MOMENT, found), Recorded(2, MOMENT, late)]))
    assert raw["stock"] == [{"item": "lemon cream", "quantity": "1 kg", "from": "07:00", "use_by": "10:00"}]
    assert raw["goods"] == [{"ingredient": "butter", "from": "08:00"}]


def test_goods_that_were_known_to_come_late_come_when_it_was_told_last(plan: Plan) -> None:
    raw = {**plan.scenario, "goods": [{"ingredient": "Butter", "from": "07:30"}]}
    later = Recorded(1, MOMENT, GoodsLate(at=420, who="Ida", ingredient="butter", until=480))
    come = Recorded(2, MOMENT, GoodsIn(at=430, who="Ida", ingredient="butter"))
    assert expressed(raw, fold(plan, [later])).goods[0].since == 480
    assert expressed(raw, fold(plan, [later, come])).goods[0].since == 430
    assert [late.until for late in with_known(fold(plan, [later, come]), from_plain(raw)).goods] == [430]


@pytest.mark.parametrize(
    "words",
    [
        "out deck oven until 07:30",
        "out ring 2",
        "slower deck oven 20%",
        "late butter until 08:00",
        "stock 500 g lemon cream until 10:00",
    ],
)
def test_every_event_that_plans_must_heed_changes_the_scenario(
    tell: Tell, log: Callable[[], Log], plan: Plan, words: str
) -> None:
    tell(words, now=SEVEN)
    assert expressed(plan.scenario, log().state) != from_plain(plan.scenario)
