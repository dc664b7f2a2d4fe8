"""Stock in a shift that runs: counted on as long as it can be used, and no longer."""

from __future__ import annotations

from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from stationplan.live.events import Overrunning, Started
from stationplan.live.moment import moment_of
from stationplan.live.record import add_event, add_plan, create, read
from stationplan.live.recording import understood
from stationplan.live.replanning import Proposal, proposal
from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.produce import Effort, produce
from stationplan.plan.so_far import so_far_of
from stationplan.render.replan import replan_page
from stationplan.scenario import from_plain

from .conftest import DAY, MOMENT
from .shifts import LITTLE, SHIFT, as_planned, batches, planned, total, went_on
from .working import log_of

NO_SEARCH = Effort(effort=0)


def with_stock(**entry: Any) -> dict[str, Any]:
    raw = deepcopy(SHIFT)
    raw["stock"] = [{"item": "shell", "quantity": "2 trays", **entry}]
    return raw


def clock(minutes: int) -> str:
    return f"{minutes // 60:02}:{minutes % 60:02}"


class Shift:
    """A record that is written by hand."""

    def __init__(self, path: Path, plan: Plan) -> None:
        self.path = path
        create(path, plan, DAY, MOMENT)

    def tell(self, words: str, now: int) -> None:
        add_event(self.path, lambda log: understood(log, [words], now=now, who="Ida"), MOMENT)

    def replan(self, now: int) -> Proposal:
        return proposal(read(self.path), now, NO_SEARCH)

    def accept(self, now: int) -> Plan:
        log = read(self.path)
        plan = self.replan(now).replanned.plan
        add_plan(self.path, plan, accepted=True, after=log.last, moment=MOMENT)
        return plan

    def alarms(self, now: int) -> str:
        return "\n".join(alarm.sentence for alarm in moment_of(read(self.path), now).alarms)


@pytest.fixture
def shift(tmp_path: Path) -> Shift:
    return Shift(tmp_path / "tarts.shift", planned())


def test_stock_that_is_past_its_use_by_is_made_anew() -> None:
    plan = went_on(planned(), {}, 360, with_stock(use_by="07:30"))
    assert (total(plan, "shell", "bake"), [stock.quantity for stock in plan.stock]) == (4, ["2"])

    later = went_on(plan, {}, 451)
    assert (total(later, "shell", "bake"), later.stock) == (6, ())


def test_what_was_taken_up_in_time_is_not_made_anew() -> None:
    plan = went_on(planned(), {}, 360, with_stock(use_by="07:30"))
    first = min((batch for batch in plan.batches if batch.step == "fill"), key=lambda batch: batch.start)
    assert first.start <= 450
    runs = as_planned(plan, 451)
    assert first.label in runs

    later = went_on(plan, runs, 451)
    assert (total(later, "shell", "bake"), [stock.quantity for stock in later.stock]) == (4, ["2"])


def test_what_began_before_stock_was_there_took_something_else() -> None:
    """Two trays are filled with baked shells; what is found after that is left for the next two."""
    plan = planned()
    fills = sorted((batch for batch in plan.batches if batch.step == "fill"), key=lambda batch: batch.start)
    now = fills[0].start + 1
    runs = as_planned(plan, now)
    again = went_on(plan, runs, now, with_stock(**{"from": clock(now)}))

    taking = {stay.after for stay in again.stays if stay.before == again.stock[0].label}
    assert taking
    assert fills[0].label not in taking


def test_stock_that_cannot_be_used_in_time_is_left_over_and_told(shift: Shift) -> None:
    shift.tell("stock 2 trays shell until 06:10", 362)
    plan = shift.replan(365).replanned.plan

    assert plan.past is not None
    assert [(left.stock, left.counted) for left in plan.past.left_over] == [(1, "0")]
    assert (total(plan, "shell", "bake"), plan.stock) == (6, ())


def test_what_others_can_take_up_in_time_of_it_is_used(shift: Shift) -> None:
    """Four trays by ten past six: cream for two of them is whipped at eight minutes past."""
    shift.tell("stock 4 trays shell until 06:10", 360)
    plan = shift.replan(360).replanned.plan

    assert plan.past is not None
    assert [left.counted for left in plan.past.left_over] == ["2"]
    assert [stock.quantity for stock in plan.stock] == ["2"]
    assert total(plan, "shell", "bake") == 4


def test_what_is_left_over_stays_so_in_the_next_plan(shift: Shift) -> None:
    shift.tell("stock 2 trays shell until 06:10", 362)
    first = shift.accept(365)
    shift.tell("note it rains", 366)
    again = shift.replan(366).replanned.plan

    assert again.past is not None
    assert first.past is not None
    assert again.past.left_over == first.past.left_over
    assert batches(again).keys() == batches(first).keys()


def test_status_warns_before_and_after_the_use_by(shift: Shift) -> None:
    shift.tell("stock 2 trays shell until 07:30", 360)
    shift.accept(360)
    assert "shell in stock" not in shift.alarms(420)
    assert "shell in stock must be taken up by 07:30 at the latest, by Ca1" in shift.alarms(440)
    assert "shell in stock is past its use-by of 07:30: Ca1 fill" in shift.alarms(451)
    page = replan_page(shift.replan(451), width=120)
    assert "! 2 trays shell in stock, to be used by 07:30, are not taken up in time: so much is made anew." in page


def test_stock_that_nobody_has_to_use_by_a_time_is_never_an_alarm(shift: Shift) -> None:
    shift.tell("stock 2 trays shell", 360)
    shift.accept(360)
    assert "in stock" not in shift.alarms(700)


def test_stock_stands_elsewhere_where_its_place_is_out_of_use_before_it_can_be_taken_up(tmp_path: Path) -> None:
    raw = with_stock(**{"in": "rack"})
    shift = Shift(tmp_path / "rack.shift", produce(build(from_plain(raw)), raw, LITTLE))
    shift.tell("out rack until +5", 362)
    found = shift.replan(362)

    assert found.replanned.plan.past is not None
    assert {(rule.before, rule.rule) for rule in found.replanned.plan.past.lifted} == {("A0", "place")}
    page = replan_page(found, width=150)
    assert (
        "! shell in stock has no room where it should stand until Ca1: find it another place, or use it in time" in page
    )


def test_an_order_partly_from_stock_is_ready_when_the_last_of_its_parts_is() -> None:
    cooled = [{"name": "fill", "takes": "20 min", "batch": "1 tray"}, {"wait": "cool", "at_least": "10 min"}]
    raw = {
        "name": "tarts",
        "shift": {"opens": "06:00", "closes": "14:00"},
        "kitchen": {"people": [{"name": "Ines"}], "equipment": []},
        "products": {"tart": {"makes": "1 tray", "steps": cooled}},
        "stock": [{"item": "tart", "quantity": "1 tray", "from": "08:00"}],
        "orders": [{"product": "tart", "quantity": 2, "due": "08:00"}],
    }
    plan = produce(build(from_plain(raw)), raw, Effort(effort=1, workers=1))
    [made] = plan.batches
    assert (made.end, plan.orders[0].ready) == (380, 480)

    def expected(until: int) -> int:
        begun = Started(at=360, who="Ida", label=made.label)
        longer = Overrunning(at=361, who="Ida", label=made.label, until=until)
        return moment_of(log_of(plan, [begun, longer]), 362).forecast.deliveries[0].ready

    assert [expected(until) for until in (390, 470, 475)] == [480, 480, 485]


def test_two_entries_of_stock_that_are_alike_are_told_apart(shift: Shift) -> None:
    for _ in range(2):
        shift.tell("stock 1 trays shell until 06:10", 362)
    plan = shift.accept(365)
    assert plan.past is not None
    assert [left.stock for left in plan.past.left_over] == [1, 2]
    assert so_far_of(plan, (), 366).counted == {0: 0, 1: 0}
    one = from_plain(plan.scenario | {"stock": plan.scenario["stock"][:1]})
    assert so_far_of(plan, (), 366, one).counted == {0: 0}
