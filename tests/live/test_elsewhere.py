"""A batch that went into another oven or bowl than the recipe says: the rest reckons with what that is left at."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from stationplan.cli import main as stationplan
from stationplan.live.by_recipe import not_by_recipe
from stationplan.live.moment import moment_of
from stationplan.live.record import Log, create
from stationplan.live.replanning import proposal
from stationplan.network import build
from stationplan.plan.document import Batch, Plan
from stationplan.plan.produce import Effort, produce
from stationplan.render.phrases import clock_span
from stationplan.render.shift import status_page
from stationplan.scenario import from_plain

from .conftest import DAY, MOMENT
from .shifts import batches
from .test_chambers import after

LITTLE = Effort(effort=1, workers=1)


def kitchen(**steps: dict[str, Any]) -> Plan:
    """A tray of each: rusk belongs on the left, wafer on the right."""
    raw = {
        "name": "two sides",
        "shift": {"opens": "06:00", "closes": "12:00"},
        "kitchen": {
            "people": [{"name": "Ada"}],
            "equipment": [
                {"name": "left oven", "kind": "oven", "holds": "1 tray", "starts_at": "200 C", "cools": "4 C/min"},
                {"name": "right oven", "kind": "oven", "holds": "1 tray", "starts_at": "160 C", "cools": "4 C/min"},
                {"name": "left mixer", "kind": "mixer", "holds": "10 l", "wash": "7 min"},
                {"name": "right mixer", "kind": "mixer", "holds": "10 l", "wash": "7 min"},
            ],
        },
        "products": {name: {"makes": "1 tray", "steps": [step]} for name, step in steps.items()},
        "orders": [{"product": name, "quantity": 1} for name in steps],
    }
    return produce(build(from_plain(raw)), raw, LITTLE)


def step(name: str, takes: str, equipment: str | list[str], **more: Any) -> dict[str, Any]:
    return {"name": name, "takes": takes, "equipment": equipment, "hands_on": "none", **more}


def replanned(log: Log, now: int) -> dict[str, Batch]:
    return batches(proposal(log, now, LITTLE).replanned.plan)


BAKED = {
    "rusk": step("bake", "20 min", "left oven at 200 C"),
    "wafer": step("dry", "20 min", "right oven at 160 C", load="1 min", unload="1 min"),
}
WRONG_OVEN = "not as the recipe has it (left oven at 200 C): right oven is taken to be at 200 C"
WHISKED = {
    "rusk": step("beat", "20 min", "left mixer", fills="3 l per tray"),
    "wafer": step("whisk", "20 min", "right mixer", fills="3 l per tray"),
}


def test_an_oven_with_a_batch_of_another_one_has_to_come_to_its_own_temperature_again() -> None:
    plan = kitchen(**BAKED)
    log = after(plan, "started Aa1 on right oven", now=360)
    # 200 C until 06:20, and 40 degrees down at 4 a minute.
    assert replanned(log, 361)["Ba1"].start == 380 + 10


def test_whoever_bakes_elsewhere_leaves_that_oven_at_what_it_was_baked_at() -> None:
    plan = kitchen(**BAKED)
    said = [alarm.sentence for alarm in moment_of(after(plan, "started Aa1 on right oven", now=360), 375).alarms]
    # 200 C until 06:20, and 40 degrees down at 4 a minute.
    assert "turn down right oven to 160 C at 06:20, for Ba1 at 06:30" in said
    alike = kitchen(**BAKED | {"rusk": step("bake", "20 min", ["left oven at 200 C", "right oven at 160 C"])})
    found = moment_of(after(alike, "started Aa1 on right oven", now=360), 375).alarms
    assert not any("right oven" in alarm.sentence for alarm in found)


def test_an_oven_that_something_was_put_into_after_it_was_out_is_hot_for_the_next() -> None:
    hot = {name: step(f"bake {name}", "2 min", "right oven at 200 C") for name in ("rusk", "wafer")}
    log = after(kitchen(**hot), "out right oven at 06:05", "back right oven at 06:10", "started Aa1 at 06:11", now=372)
    found = replanned(log, 372)
    # Cold, it would be at 200 C not before 06:14.
    assert found["Ba1"].start == found["Aa1"].end == 373


def test_a_way_that_the_recipe_has_for_an_oven_is_how_it_is_done_there() -> None:
    ways = ["left oven at 200 C", {"use": "right oven at 180 C", "takes": "30 min"}]
    plan = kitchen(**BAKED | {"rusk": {**BAKED["rusk"], "equipment": ways}})
    log = after(plan, "started Aa1 on right oven", now=360)
    assert log.state.runs["Aa1"].expected_end == 390
    assert moment_of(log, 361).forecast.outlooks["Ba1"].start == 390 + 5
    # 180 C, and 20 degrees down at 4 a minute.
    found = replanned(log, 361)
    assert found["Aa1"].end == 390
    assert [seat.celsius for seat in found["Aa1"].seats] == [180]
    assert found["Ba1"].start == found["Aa1"].end + 5


def test_what_is_slower_there_counts_where_a_batch_is() -> None:
    ways = ["left oven at 200 C", {"use": "right oven at 180 C", "takes": "30 min"}]
    plan = kitchen(**BAKED | {"rusk": {**BAKED["rusk"], "equipment": ways}})
    for slower, end in (("slower right oven 20%", 396), ("slower left oven 20%", 390)):
        assert after(plan, slower, "started Aa1 on right oven", now=360).state.runs["Aa1"].expected_end == end


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("started Aa1", None),
        ("started Aa1 on left oven", None),
        ("started Ba1 on right oven", None),
        (
            "started Aa1 on right oven",
            WRONG_OVEN,
        ),
        ("note as always", None),
    ],
)
def test_what_is_not_as_the_recipe_has_it_is_told(words: str, told: str | None) -> None:
    plan = kitchen(**BAKED)
    [entry] = after(plan, words, now=360).events
    assert not_by_recipe(entry.event, plan, from_plain(plan.scenario)) == told


def test_whoever_records_it_is_told(tmp_path: Path) -> None:
    path = tmp_path / "two-sides.shift"
    create(path, kitchen(**BAKED), DAY, MOMENT)
    words = ["shift", "record", str(path), *["started", "Aa1", "on", "right", "oven"], "--now", "06:00"]
    result = CliRunner().invoke(stationplan, words)
    assert (result.exit_code, result.output) == (0, f"1: started Aa1 on right oven at 06:00\n{WRONG_OVEN}\n")


def test_of_a_bowl_no_temperature_is_told() -> None:
    plan = kitchen(**WHISKED)
    [entry] = after(plan, "started Aa1 on right mixer", now=360).events
    assert not_by_recipe(entry.event, plan, from_plain(plan.scenario)) == "not as the recipe has it (left mixer)"


def test_a_bowl_with_a_batch_of_another_one_has_to_be_washed() -> None:
    plan = kitchen(**WHISKED)
    log = after(plan, "started Aa1 on right mixer", now=360)
    assert replanned(log, 361)["Ba1"].start == 380 + 7


def test_the_forecast_waits_for_an_oven_that_is_at_the_temperature_of_another_one() -> None:
    moment = moment_of(after(kitchen(**BAKED), "started Aa1 on right oven", now=360), 361)
    assert moment.forecast.outlooks["Ba1"].start == 380 + 10


def test_a_batch_is_taken_out_of_the_oven_that_it_went_into() -> None:
    plan = kitchen(**BAKED)
    moment = moment_of(after(plan, "started Ba1 on left oven", now=360), 361)
    [unload] = (line for line in status_page(moment, width=100).splitlines() if "unload" in line)
    assert unload == f"    {clock_span(380 + 1, 380 + 2)} unload Ba1 dry, 1 tray, left oven"


def test_nobody_begins_what_reaches_into_taking_out_what_runs() -> None:
    plan = kitchen(**BAKED, cream=step("stir", "12 min", "left mixer", hands_on="all", fills="1 l per tray"))
    before, unload = batches(plan)["Ca1"], batches(plan)["Ba1"].hands[-1]
    assert before.end <= unload.start
    # Ten minutes before the wafer has to come out.
    now = unload.start - 10
    outlook = moment_of(after(plan, "started Ba1", now=batches(plan)["Ba1"].start), now).forecast.outlooks["Ca1"]
    assert (outlook.start, outlook.because) == (unload.end, "Ada is busy")
