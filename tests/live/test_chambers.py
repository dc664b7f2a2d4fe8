"""One chamber of an oven, out of use or slower: recorded, told, planned around and drawn."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.live.effective import effective
from stationplan.live.errors import EventError
from stationplan.live.expecting import expect
from stationplan.live.known import with_known
from stationplan.live.moment import moment_of
from stationplan.live.naming import names_of
from stationplan.live.record import Log
from stationplan.live.recording import understood
from stationplan.live.replanning import proposal
from stationplan.live.standing import as_it_stands
from stationplan.live.state import minutes_of
from stationplan.live.wording import told
from stationplan.network import build
from stationplan.plan.check import check_plan
from stationplan.plan.document import Plan
from stationplan.plan.passing import passings_of
from stationplan.plan.produce import Effort, produce
from stationplan.render.presence import times_out_of_use
from stationplan.scenario import from_plain

from .working import log_of

EQUIPMENT: list[dict[str, Any]] = [
    {"name": "hearth oven", "kind": "oven", "chambers": 2, "holds": "1 tray", "heats": "10 C/min"},
    {"name": "tower", "kind": "oven", "count": 2, "chambers": 2, "holds": "1 tray"},
    {"name": "mixer", "kind": "mixer", "count": 2, "holds": "10 l"},
    {"name": "bench", "kind": "bench", "count": 2},
]


def raw_of(**more: Any) -> dict[str, Any]:
    """Four trays for the two chambers of one oven."""
    equipment = [{**EQUIPMENT[0], **more}, *EQUIPMENT[1:]]
    baked = {"name": "bake", "takes": "20 min", "equipment": "hearth oven at 220 C", "hands_on": "none"}
    return {
        "name": "flat breads",
        "shift": {"opens": "06:00", "closes": "12:00"},
        "kitchen": {"people": [{"name": "Ada"}], "equipment": equipment},
        "products": {"bread": {"makes": "1 tray", "steps": [baked]}},
        "orders": [{"product": "bread", "quantity": 4}],
    }


def plan_of(raw: dict[str, Any]) -> Plan:
    return produce(build(from_plain(raw)), raw, Effort(effort=1, workers=1))


@pytest.fixture(scope="module")
def baking() -> Plan:
    """Both chambers are hot at 06:20; two loads each, until 07:00."""
    return plan_of(raw_of())


def after(plan: Plan, *words: str, now: int = 370) -> Log:
    log = log_of(plan, [])
    for said in words:
        log = log_of(plan, [*(entry.event for entry in log.events), understood(log, [said], now=now, who="Ada")])
    return log


@pytest.mark.parametrize(
    ("words", "heard"),
    [
        ("out hearth oven 2", "out hearth oven 2 at 06:10"),
        ("out Hearth Oven 2 until 6:30", "out hearth oven 2 until 06:30 at 06:10"),
        ("slower hearth oven 1 20 %", "slower hearth oven 1 20% at 06:10"),
        ("slower tower 2.1 20%", "slower tower 2.1 20% at 06:10"),
        ("out tower 2.1", "out tower 2.1 at 06:10"),
        ("out tower 2", "out tower 2 at 06:10"),
        ("slower mixer 2 20%", "slower mixer 2 20% at 06:10"),
    ],
)
def test_a_chamber_is_called_as_on_the_chart(baking: Plan, words: str, heard: str) -> None:
    [entry] = after(baking, words).events
    assert told(entry.event) == heard


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        ("out hearth oven 3", "there is no hearth oven 3: there are 2"),
        ("out hearth oven 1.1", "there is no hearth oven 1.1: there are 2"),
        ("out tower 3", "there is no tower 3: there are 2, with 2 chambers each, such as tower 2.2"),
        ("out tower 1.0", "there is no tower 1.0: there are 2, with 2 chambers each, such as tower 2.2"),
        ("out mixer 1.1", "there is no mixer 1.1: there are 2"),
        ("back hearth oven 1", "hearth oven 1 is not recorded as out of use"),
        ("slower bench 2 20%", "'bench' is slower as a whole"),
    ],
)
def test_what_is_no_chamber_is_refused(baking: Plan, words: str, complaint: str) -> None:
    with pytest.raises(EventError) as refused:
        after(baking, words)
    assert complaint in str(refused.value)


def test_a_chamber_that_is_out_comes_back_with_its_oven_or_alone(baking: Plan) -> None:
    def out(*words: str) -> list[str]:
        state = after(baking, *words).state
        return [
            name for name in ("hearth oven 1", "hearth oven 2", "tower 2.1", "tower 2.2") if any(state.outages_of(name))
        ]

    assert out("out hearth oven 2") == ["hearth oven 2"]
    assert out("out tower 2") == ["tower 2.1", "tower 2.2"]
    assert out("out tower 2.2") == ["tower 2.2"]
    assert out("out tower 2.2", "back tower 2.2") == []
    assert out("out tower 2.2", "out hearth oven 1", "back tower") == ["hearth oven 1"]
    with pytest.raises(EventError, match=r"tower 2.1 is not recorded as out of use; all of it is: back tower 2$"):
        out("out tower 2", "back tower 2.1")
    with pytest.raises(EventError, match="tower is recorded as out of use since 06:10"):
        out("out tower", "out tower 2.1")


def test_what_is_said_last_of_a_chamber_counts(baking: Plan) -> None:
    """By hand: 20 minutes, and a fifth more are 24."""

    def minutes(*words: str) -> dict[str, int]:
        state = after(baking, *words).state
        return {b.seats[0].station: minutes_of(state, b, 380) for b in baking.batches}

    assert minutes("slower hearth oven 2 20%") == {"hearth oven 1": 20, "hearth oven 2": 24}
    assert minutes("slower hearth oven 20%") == {"hearth oven 1": 24, "hearth oven 2": 24}
    assert minutes("slower hearth oven 20%", "slower hearth oven 2 0%") == {"hearth oven 1": 24, "hearth oven 2": 20}
    assert minutes("slower hearth oven 2 50%", "slower hearth oven 20%") == {"hearth oven 1": 24, "hearth oven 2": 24}


def test_the_scenario_says_it_in_words_of_the_format(baking: Plan) -> None:
    log = after(baking, "out hearth oven 2 until 7:30", "slower tower 2.1 20%", "slower tower 50%", "slower tower 1 0%")
    oven, tower, *_ = effective(baking.scenario, log.state)["kitchen"]["equipment"]
    assert oven["out_of_use"] == [{"between": "06:10-07:30", "chamber": 2}]
    assert tower["slower"] == [
        {"by": "20 %", "unit": 2, "chamber": 1},
        {"by": "50 %"},
        {"by": "0 %", "unit": 1},
    ]
    [machine] = [
        m
        for m in from_plain(
            {**raw_of(), "kitchen": {"people": [{"name": "Ada"}], "equipment": [oven, tower]}}
        ).kitchen.equipment
        if m.name == "tower"
    ]
    assert [str(machine.slower_by(unit, chamber)) for unit in (1, 2) for chamber in (1, 2)] == ["0", "0", "1/2", "1/2"]


def test_the_other_chamber_is_expected_to_go_on(baking: Plan) -> None:
    """By hand: hot again 20 minutes after 07:30, at 10 degrees a minute from 20 C to 220 C."""
    moment = moment_of(after(baking, "out hearth oven 2 until 7:30"), 370)
    outlooks = moment.forecast.outlooks.values()
    starts = {
        name: sorted(o.start for o in outlooks if o.batch.seats[0].station == name)
        for name in ("hearth oven 1", "hearth oven 2")
    }
    assert starts == {"hearth oven 1": [380, 400], "hearth oven 2": [470, 490]}
    drawn = as_it_stands(moment)
    assert times_out_of_use(drawn) == {"hearth oven 2": ((370, 450),)}


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        # By hand: one chamber is left, hot at 06:20, for four loads of 20 minutes.
        ({"out_of_use": [{"between": "06:00-12:00", "chamber": 2}]}, {"hearth oven 1": [380, 400, 420, 440]}),
        # Hot at 06:20; three loads of 20 minutes beside one of 40.
        ({"slower": [{"by": "100 %", "chamber": 2}]}, {"hearth oven 1": [380, 400, 420], "hearth oven 2": [380]}),
    ],
)
def test_plans_keep_to_it_and_the_check_holds_them_to_it(said: dict[str, Any], expected: dict[str, list[int]]) -> None:
    plan = plan_of(raw_of(**said))
    found: dict[str, list[int]] = {}
    for one in plan.batches:
        found.setdefault(one.seats[0].station, []).append(one.start)
    if "out_of_use" in said:
        assert {name: sorted(starts) for name, starts in found.items()} == expected
    assert plan.finish == max(starts[-1] for starts in expected.values()) + 20
    usual = plan_of(raw_of())
    assert check_plan(usual) == ()
    told_otherwise = usual.model_copy(update={"scenario": raw_of(**said)})
    kinds = {fault.kind.name for fault in check_plan(told_otherwise)}
    assert ("OUT_OF_USE" if "out_of_use" in said else "DURATION_WRONG") in kinds


def test_what_the_scenario_says_of_chambers_is_known_of_each(baking: Plan) -> None:
    raw = raw_of()
    raw["kitchen"]["equipment"][1] = {**EQUIPMENT[1], "out_of_use": [{"between": "06:00-07:00", "chamber": 2}]}
    scenario = from_plain(raw)
    state = with_known(log_of(baking, []).state, scenario)
    assert [(o.unit, o.chamber) for o in state.outages] == [(1, 2), (2, 2)]
    assert names_of(baking, scenario).chambers["tower"] == 2
    assert expect(state, scenario, passings_of(baking), 360).finish == baking.finish


def test_a_chamber_found_cold_is_cold_for_the_status_and_for_the_plan(baking: Plan) -> None:
    """Out and back in one minute: what to record of an oven that somebody has turned off."""
    baked = ("started Aa1 at 06:20", "started Aa2 at 06:20", "finished Aa1 at 06:40", "finished Aa2 at 06:40")
    log = after(baking, *baked, "out hearth oven 1 at 06:40", "back hearth oven 1 at 06:40", now=401)
    seats = {batch.label: batch.seats[0].station for batch in baking.batches}
    [cold] = [label for label in ("Aa3", "Aa4") if seats[label] == "hearth oven 1"]
    outlook = moment_of(log, 401).forecast.outlooks[cold]
    assert (outlook.start, outlook.because) == (420, "hearth oven 1 heats up")
    plan = proposal(log, 401, Effort(effort=0, workers=1)).replanned.plan
    assert plan.past is not None
    assert {oven.station: oven.celsius for oven in plan.past.ovens}["hearth oven 1"] == "30"
    assert [batch.start for batch in plan.batches if batch.label == cold] == [420]


@pytest.mark.parametrize("out", ["hearth oven 1", "hearth oven 1 until 7:30", "hearth oven"])
def test_what_is_in_a_chamber_that_goes_out_of_use_is_the_first_thing_to_see_to(baking: Plan, out: str) -> None:
    [inside] = [b for b in baking.batches if b.start == 380 and b.seats[0].station == "hearth oven 1"]
    log = after(baking, f"started {inside.label} at 6:20", f"out {out}", now=390)
    says = (
        f"{inside.label} is in {out.split(' until')[0]}, which is out of use since 06:30: "
        f"record what became of it, finished {inside.label} or failed {inside.label}"
    )
    for now in (390, 410):
        first, *others = moment_of(log, now).alarms
        assert (first.sentence, first.breaks) == (says, True)
        assert not [alarm for alarm in others if f"{inside.label} " in alarm.sentence]
        with pytest.raises(EventError) as refused:
            proposal(log, now, Effort(effort=1))
        assert str(refused.value) == says
    log = log_of(baking, [*(e.event for e in log.events), understood(log, [f"failed {inside.label}"], now=395, who="")])
    assert not [alarm for alarm in moment_of(log, 395).alarms if "record what became of it" in alarm.sentence]
