"""Steps and waits laid out: repeats, chains of waits, what follows what."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.network.errors import FlowError
from stationplan.network.flow import Flow, flow_of, stands_until_taken, total_most
from stationplan.scenario.models import Component

from .small import step

PATH = ("components", "dough")


def lay_out(*steps: dict[str, Any], **more: Any) -> Flow:
    return flow_of(Component.model_validate({"makes": "1 tray", "steps": list(steps), **more}), PATH)


def links(flow: Flow) -> list[tuple[str, str, list[tuple[str, int, int | None]]]]:
    def name(index: int) -> str:
        entry = flow.entries[index]
        return entry.name if entry.group is None else f"{entry.name}.{entry.round}"

    return [
        (name(link.before), name(link.after), [(stand.name, stand.least, stand.most) for stand in link.stands])
        for link in flow.links
    ]


def wait(name: str, at_least: str = "0 min", **more: Any) -> dict[str, Any]:
    return {"wait": name, "at_least": at_least, **more}


def test_each_step_follows_the_one_above_it() -> None:
    assert links(lay_out(step("mix"), step("roll"), step("bake"))) == [("mix", "roll", []), ("roll", "bake", [])]


def test_a_wait_stands_on_the_link_between_two_steps() -> None:
    flow = lay_out(step("bake"), wait("cool", "20 min", at_most="1 h"), step("cut"))
    assert links(flow) == [("bake", "cut", [("cool", 20, 60)])]


def test_waits_in_a_row_are_a_chain() -> None:
    flow = lay_out(step("bake"), wait("cool", "20 min"), wait("freeze", "2 h", at_most="3 days"), step("cut"))
    assert links(flow) == [("bake", "cut", [("cool", 20, None), ("freeze", 120, 4320)])]
    assert total_most(flow.links[0].stands) is None


def test_a_repeat_stands_for_its_entries_in_a_row() -> None:
    flow = lay_out(step("mix"), {"repeat": 3, "steps": [step("fold"), wait("rest", "30 min")]}, step("roll"))
    assert links(flow) == [
        ("mix", "fold.1", []),
        ("fold.1", "fold.2", [("rest", 30, None)]),
        ("fold.2", "fold.3", [("rest", 30, None)]),
        ("fold.3", "roll", [("rest", 30, None)]),
    ]


def test_a_name_inside_a_repeat_means_the_same_round_and_outside_it_the_last() -> None:
    turns = {"repeat": 2, "steps": [step("fold"), step("roll"), step("turn", after=["fold", "roll"])]}
    flow = lay_out(turns, step("cut", after="fold"), step("bake", after=["cut", "turn"]))
    assert [(before, after) for before, after, _ in links(flow)] == [
        ("fold.1", "roll.1"),
        ("fold.1", "turn.1"),
        ("roll.1", "turn.1"),
        ("turn.1", "fold.2"),
        ("fold.2", "roll.2"),
        ("fold.2", "turn.2"),
        ("roll.2", "turn.2"),
        ("fold.2", "cut"),
        ("cut", "bake"),
        ("turn.2", "bake"),
    ]


def test_after_joins_two_lines_with_limits_of_their_own() -> None:
    flow = lay_out(
        step("cook custard"),
        wait("cool", "20 min", at_most="40 min"),
        step("whip cream", after="none"),
        step("fold", after=["cool", {"step": "whip cream", "at_least": "1 min", "at_most": "5 min"}]),
    )
    assert links(flow) == [("cook custard", "fold", [("cool", 20, 40)]), ("whip cream", "fold", [("", 1, 5)])]


def test_the_trailing_waits_follow_the_outlet() -> None:
    flow = lay_out(step("bake"), wait("cool", "20 min"), wait("freeze", "2 h"))
    assert flow.entries[flow.outlet].name == "bake"
    assert [stand.name for stand in flow.trailing] == ["cool", "freeze"]


def test_seconds_are_rounded_to_the_safe_side() -> None:
    flow = lay_out(step("whip"), step("fold", after={"step": "whip", "at_least": "30 s", "at_most": "150 s"}))
    assert links(flow) == [("whip", "fold", [("", 1, 2)])]


def test_a_repeated_step_takes_up_what_it_uses_once() -> None:
    flow = lay_out(
        {"repeat": 3, "steps": [step("fold", uses={"butter": "100 g"})]}, step("roll"), uses={"flour mix": "1 kg"}
    )
    assert [(taking.entry, taking.component) for taking in flow.takings] == [(0, "flour mix"), (0, "butter")]
    assert flow.takings[1].path == (*PATH, "steps", 0, "steps", 0, "uses", "butter")


def test_a_use_that_asks_for_a_wait_comes_after_the_trailing_waits() -> None:
    component = lay_out(step("bake"), wait("freeze", "2 h"))
    asked = lay_out(step("fill"), uses={"disc": {"amount": "1 tray", "at_least": "4 h", "in": "chiller"}})
    stands = stands_until_taken(component, asked.takings[0])
    assert [(stand.name, stand.least, stand.place) for stand in stands] == [("freeze", 120, None), ("", 240, "chiller")]
    plain = lay_out(step("fill"), uses={"disc": "1 tray"})
    assert stands_until_taken(component, plain.takings[0]) == component.trailing


@pytest.mark.parametrize(
    ("steps", "message"),
    [
        ([step("mix"), step("bake", after="mox")], "no such step or wait"),
        ([step("a", after="b"), step("b", after="a"), step("c", after="none")], "in a circle"),
        ([step("mix"), step("glaze", after="none")], "nothing follows 'mix', nor 'glaze'"),
        ([wait("rest", "1 h"), step("bake")], "nothing comes before the wait 'rest'"),
        ([step("a"), step("b"), wait("rest", after=["a", "b"])], "follows more than one entry"),
        (
            [step("bake"), wait("cool", **{"in": "rack"}), step("cut"), step("trim", after=["cool", "cut"])],
            "more than one entry follows the wait 'cool'",
        ),
        (
            [step("bake"), wait("cool"), step("cut", after={"step": "cool", "at_most": "5 min"})],
            "put the at_least and at_most on the wait 'cool' itself",
        ),
        ([step("bake"), wait("cool", "1 h", at_most="30 min"), step("cut")], "at_most is below at_least"),
    ],
)  # fmt: skip
def test_steps_that_lead_nowhere_are_errors_with_a_place(steps: list[dict[str, Any]], message: str) -> None:
    with pytest.raises(FlowError, match=message) as caught:
        lay_out(*steps)
    assert caught.value.path[:2] == PATH
