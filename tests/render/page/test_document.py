"""The page, read back, holds what the plan holds, and nothing that reaches out of it."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise

import pytest

from stationplan.plan.cautions import cautions
from stationplan.plan.document import Plan
from stationplan.render.lettering import clean
from stationplan.render.page.document import page
from stationplan.render.phrases import clock_span

from .plans import NASTY, PLANS, nasty_plan, plan_of
from .reading import Node, read


@cache
def shown(name: str) -> Node:
    return read(page(plan_of(name)))


@pytest.fixture(params=PLANS)
def both(request: pytest.FixtureRequest) -> tuple[Plan, Node]:
    return plan_of(request.param), shown(request.param)


def test_every_batch_is_told_with_its_times_places_and_people(both: tuple[Plan, Node]) -> None:
    plan, tree = both
    told = {node.attributes["id"]: node.text for node in tree.of("detail")}
    assert told.keys() == {f"batch-{batch.label}" for batch in plan.batches}
    for batch in plan.batches:
        text = told[f"batch-{batch.label}"]
        spans = [(batch.start, batch.end), *((hand.start, hand.end) for hand in batch.hands)]
        names = [batch.step, *(seat.station for seat in batch.seats), *(hand.person for hand in batch.hands)]
        for part in (*(clock_span(*span) for span in spans), *(" ".join(clean(name, True).split()) for name in names)):
            assert part in text


def test_every_batch_is_drawn_in_each_chart_that_has_a_row_for_it(both: tuple[Plan, Node]) -> None:
    plan, tree = both
    views = {n.attributes["id"]: n for n in tree.of("view")}
    read = {name: {n.attributes["data-label"] for n in view.of("batch")} for name, view in views.items()}
    everything = {batch.label for batch in plan.batches}
    assert read["view-equipment"] == everything
    assert read["view-products"] == everything
    assert read["view-people"] == {batch.label for batch in plan.batches if batch.hands}


def test_every_link_leads_to_something_on_the_page(both: tuple[Plan, Node]) -> None:
    _, tree = both
    ids = [node.attributes["id"] for node in tree.every() if "id" in node.attributes]
    assert len(ids) == len(set(ids))
    links = [node.attributes["href"] for node in tree.every() if "href" in node.attributes]
    assert set(links) - {"data:,"} <= {f"#{name}" for name in ids}
    assert any(link.startswith("#batch-") for link in links)


def test_nothing_is_asked_of_anybody(both: tuple[Plan, Node]) -> None:
    _, tree = both
    nodes = tree.every()
    assert not [node.tag for node in nodes if "src" in node.attributes or "srcset" in node.attributes]
    assert not [node.tag for node in nodes if node.tag in ("img", "iframe", "object", "embed", "form", "base")]
    style = " ".join(piece for node in nodes if node.tag == "style" for piece in node.pieces)
    assert "@import" not in style
    assert "url(" not in style
    [policy] = [node.attributes["content"] for node in nodes if "http-equiv" in node.attributes]
    assert policy.startswith("default-src 'none';")


def test_people_stations_and_timers_have_their_sheets(both: tuple[Plan, Node]) -> None:
    plan, tree = both
    titles = {node.text for sheet in tree.of("sheet") for node in sheet.children if node.tag == "h2"}
    busy = {hand.person for batch in plan.batches for hand in batch.hands}
    assert {" ".join(clean(person, True).split()) for person in busy} <= titles


def test_what_is_made_and_what_it_takes_is_there() -> None:
    [section] = [node for node in shown("scenarios/first-shift").every() if node.attributes.get("id") == "quantities"]
    rows = [node.text for node in section.every() if node.tag == "tr"]
    # The recipes by hand: 90 tartlets take 4 trays of shells (24 a tray), and 12 g of whipped cream each.
    assert "tartlet shell 4 trays 4 trays 4" in rows
    assert "whipped cream 1.08 kg 1.08 kg 2.16" in rows
    assert any(row.startswith("butter ") for row in rows)


def test_the_signs_are_explained_and_the_finish_too() -> None:
    tree = shown("scenarios/first-shift")
    [key] = tree.of("signs")
    assert "A tartlet shell, 4 trays: a mix paste, b line rings" in key.text
    assert "the finish hangs on it" in key.text
    assert any(node.text.startswith("the finish hangs on: Aa1 mix paste") for node in tree.of("why"))


def test_cautions_are_told_with_their_sources_and_as_no_more_than_hints(both: tuple[Plan, Node]) -> None:
    plan, tree = both
    told = [node.text for node in tree.every() if node.attributes.get("id") == "cautions"]
    known = cautions(plan)
    assert len(told) == (1 if known else 0)
    for caution in known:
        assert caution.source in told[0]
        assert clean(caution.sentence, True) in told[0]
        assert "HACCP" in told[0]


def test_names_are_shown_as_they_are_and_change_nothing() -> None:
    source = page(nasty_plan())
    tree = read(source)
    assert len([node for node in tree.every() if node.tag == "script"]) == 1
    assert not [node for node in tree.every() if node.tag == "img"]
    assert not [name for node in tree.every() for name in node.attributes if name.startswith("on")]
    assert "49" not in " ".join(node.text for node in tree.of("detail"))
    for name in NASTY:
        assert name not in source
        assert name.replace("-", "") in tree.text.replace("-", "")


def test_the_same_plan_gives_the_same_page() -> None:
    plan = plan_of("scenarios/first-shift")
    assert page(plan) == page(plan.model_copy(deep=True))


def test_the_page_has_nothing_that_a_screen_reader_cannot_name() -> None:
    tree = shown("scenarios/first-shift")
    labels = {node.attributes["for"] for node in tree.every() if node.tag == "label"}
    inputs = {node.attributes["id"] for node in tree.every() if node.tag == "input"}
    assert inputs == labels
    assert [node.attributes for node in tree.every() if node.tag == "html"] == [{"lang": "en"}]
    regions = [node for node in tree.every() if node.attributes.get("role") == "region"]
    assert all(node.attributes["aria-label"] for node in regions)
    levels = [int(node.tag[1]) for node in tree.every() if re.fullmatch(r"h\d", node.tag)]
    assert levels[0] == 1
    assert all(later <= earlier + 1 for earlier, later in pairwise(levels))
