"""A drawing, read back, holds what the plan holds."""

from __future__ import annotations

from collections import defaultdict
from typing import get_args
from xml.etree.ElementTree import Element

import pytest
from hypothesis import HealthCheck, given, settings

from stationplan.plan.document import Plan
from stationplan.render.lettering import clean
from stationplan.render.phrases import clock_span
from stationplan.render.rows import RowKind
from stationplan.render.svg import standalone

from ..invented_plans import make
from ..random_plans import plans
from .reading import NAMESPACE, groups, parsed

PLANS = pytest.mark.parametrize("plan", [make(), make(2, 2), make(10)], ids=["day", "late", "week"])


def drawn(plan: Plan, rows: RowKind = "equipment") -> Element:
    return parsed(standalone(plan, rows=rows))


@PLANS
def test_every_batch_is_in_its_places_at_its_times(plan: Plan) -> None:
    found = [data for data, _ in groups(drawn(plan), "batch") if "station" in data]
    seats = [(batch.label, seat.station, seat.start, seat.end) for batch in plan.batches for seat in batch.seats]
    assert sorted((d["label"], d["station"], int(d["start"]), int(d["end"])) for d in found) == sorted(seats)


@PLANS
@pytest.mark.parametrize("rows", ["equipment", "people"])
def test_everybody_does_what_the_plan_says(plan: Plan, rows: RowKind) -> None:
    found = [data for data, _ in groups(drawn(plan, rows), "batch") if "person" in data]
    hands = [(b.label, h.person, h.doing, h.start, h.end) for b in plan.batches for h in b.hands]
    read = [(d["label"], d["person"], d["doing"], int(d["start"]), int(d["end"])) for d in found]
    assert sorted(read) == sorted(hands)


@PLANS
def test_the_rows_of_products_hold_every_batch_once(plan: Plan) -> None:
    found = [data for data, _ in groups(drawn(plan, "products"), "batch")]
    read = [(d["label"], d["item"], d["step"], int(d["start"]), int(d["end"])) for d in found]
    assert sorted(read) == sorted((b.label, b.item, b.step, b.start, b.end) for b in plan.batches)


@PLANS
def test_everything_that_waits_stands_where_the_plan_says_and_as_long(plan: Plan) -> None:
    wanted: dict[tuple[str, str, int], int] = defaultdict(int)
    for stay in plan.stays:
        if stay.station is not None and stay.end > stay.start:
            key = (stay.before, stay.station, stay.start)
            wanted[key] = max(wanted[key], stay.end)
    read = {
        (label, data["station"], int(data["start"])): int(data["end"])
        for data, _ in groups(drawn(plan), "stay")
        if "station" in data
        for label in data["labels"].split()
    }
    assert read == wanted


@PLANS
def test_an_oven_has_the_temperature_that_its_loads_need(plan: Plan) -> None:
    root = drawn(plan)
    for strip in (e for e in root.iter() if e.get("class") == "temperatures"):
        name = strip.get("data-station")
        steps = [data for data, _ in groups(strip, "temperature")]
        for seat in (seat for batch in plan.batches for seat in batch.seats if seat.station == name):
            around = [s for s in steps if int(s["held"]) <= seat.start and seat.end <= int(s["end"])]
            assert [float(step["celsius"]) for step in around] == [seat.celsius]


@PLANS
def test_a_pointer_is_told_label_step_and_times(plan: Plan) -> None:
    titles = {data["label"]: title for data, title in groups(drawn(plan), "batch")}
    for batch in plan.batches:
        for part in (batch.label, batch.step, clock_span(batch.start, batch.end)):
            assert part in titles[batch.label]


@PLANS
def test_what_the_finish_hangs_on_is_marked_by_a_sign_and_not_by_colour_alone(plan: Plan) -> None:
    critical = {link.label for link in plan.chain}
    bars = [e for e in drawn(plan, "products").iter() if "work" in e.get("class", "").split()]
    read = [(bar, data["label"]) for bar in bars for data, _ in groups(bar, "batch")]
    assert {label for _, label in read} == {batch.label for batch in plan.batches}
    for bar, label in read:
        signs = [(text.text or "").startswith("◆") for text in bar.iter(f"{NAMESPACE}text")]
        assert ("critical" in bar.get("class", "").split()) is (label in critical)
        assert signs == [label in critical]


def test_title_description_and_size_are_there() -> None:
    root = drawn(make())
    assert root.findtext(f"{NAMESPACE}title") == "Saturday order"
    assert "finished" in (root.findtext(f"{NAMESPACE}desc") or "")
    assert root.get("viewBox") == f"0 0 {root.get('width')} {root.get('height')}"


def test_nothing_is_drawn_outside_of_the_picture() -> None:
    root = drawn(make(2, 2))
    width = float(root.get("width", "0"))
    for bars in (e for e in root if e.get("class") == "chart bars"):
        left = float(bars.get("transform", "").split("(")[1].split()[0])
        for box in bars.iter(f"{NAMESPACE}rect"):
            assert float(box.get("x", "0")) + left >= 0
            assert float(box.get("x", "0")) + float(box.get("width", "0")) + left <= width


def test_the_same_plan_gives_the_same_drawing() -> None:
    assert standalone(make(2)) == standalone(make(2).model_copy(deep=True))


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(plans())
def test_whatever_a_plan_holds_is_drawn_as_sound_xml(plan: Plan) -> None:
    for rows in get_args(RowKind):
        read = {data["label"] for data, _ in groups(drawn(plan, rows), "batch")}
        if rows == "products":
            assert read == {clean(batch.label, True) for batch in plan.batches}


def test_names_cannot_break_out() -> None:
    evil = "</title><script>alert(1)</script>]]>&\"'"
    plan = make()
    batches = [b.model_copy(update={"step": evil}) for b in plan.batches]
    root = drawn(plan.model_copy(update={"name": evil, "batches": tuple(batches)}))
    assert not [element for element in root.iter() if element.tag.endswith("script")]
    assert root.findtext(f"{NAMESPACE}title") == evil
    assert {data["step"] for data, _ in groups(root, "batch")} == {evil}
