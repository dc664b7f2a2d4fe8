"""Why there is no plan: scenarios that are impossible in one way each, and what the cook is told."""

from __future__ import annotations

from typing import Any

import pytest
from planned import raw, step, wait

from stationplan.engine import Conflict, solve
from stationplan.network import Network, build
from stationplan.plan.why import Against, in_turn, reasons_against
from stationplan.scenario.models import Scenario

INES: list[dict[str, Any]] = [{"name": "Ines", "skills": ["pastry"]}]


def network_of(scenario: dict[str, Any], closes: str = "20:00") -> Network:
    scenario["shift"]["closes"] = closes
    return build(Scenario.model_validate(scenario))


def reason(kind: str, scenario: dict[str, Any], closes: str = "20:00") -> Against:
    """The only reason that the engine finds, which must be of this kind."""
    network = network_of(scenario, closes)
    (conflict,) = solve(network.problem, effort=20, workers=1).conflicts
    assert conflict.kind == kind
    (against,) = reasons_against(network, (conflict,))
    return against


class TestCircle:
    """Least and most waits that contradict each other."""

    def test_each_demand_is_told_with_its_minutes_at_the_line_of_the_most(self) -> None:
        late = step("fill", after=["roll", {"step": "mix", "at_most": "20 min"}])
        assert reason("cycle", raw(step("mix"), wait("rest", "30 min"), step("roll"), late)) == Against(
            "tart: these waits contradict each other: fill at most 20 min after mix; roll at least 30 min after mix; "
            "fill after roll",
            ("products", "tart", "steps", 3),
        )

    def test_places_that_it_waits_in_are_named(self) -> None:
        late = step("fill", after=["chill", {"step": "mix", "at_most": "20 min"}])
        waits = [wait("cool", "15 min", **{"in": "rack"}), wait("chill", "15 min", **{"in": "freezer"})]
        sentence = reason("cycle", raw(step("mix"), *waits, late)).sentence
        assert sentence == (
            "tart: these waits contradict each other: fill at most 20 min after mix; the end of cool at least 15 min "
            "after mix; fill at least 15 min after the end of cool"
        )

    def test_across_items_each_step_is_told_with_its_item(self) -> None:
        fill = step("fill", uses={"cream": {"amount": "1 kg", "at_most": "20 min"}})
        network = network_of(raw(fill, components={"cream": {"makes": "1 kg", "steps": [step("whip")]}}))
        (against,) = reasons_against(network, (Conflict("cycle", tasks=(0, 1)),))
        assert against.sentence == (
            "these waits contradict each other: tart: fill after cream: whip; tart: fill at most 20 min after "
            "cream: whip"
        )


class TestNoMoment:
    """Steps that have no moment even if nothing else is done."""

    def test_a_step_longer_than_the_shift(self) -> None:
        assert reason("task", raw(step("mix"), step("dry", "9 h")), "12:00") == Against(
            "tart: dry cannot be done between 06:00 and 12:00: it takes 9 h", ("products", "tart", "steps", 1)
        )

    def test_an_oven_that_is_hot_too_late(self) -> None:
        """From 20 to 200 C at 10 degrees a minute, which is what an oven without `heats` does: 18 minutes."""
        assert reason("task", raw(step("bake", "30 min", equipment="oven at 200 C")), "06:40").sentence == (
            "tart: bake cannot be done between 06:00 and 06:40: it takes 30 min, and its oven is not hot before 06:18"
        )

    def test_people_who_are_never_there_long_enough(self) -> None:
        breaks = ["08:00-08:30", "10:00-10:30", "12:00-12:30", "14:00-14:30", "16:00-16:30", "18:00-18:30"]
        people = [INES[0] | {"breaks": breaks}]
        assert reason("task", raw(step("mix", "3 h", people="1 pastry"), people=people)).sentence == (
            "tart: mix cannot be done between 06:00 and 20:00: the people and the equipment that it needs are never "
            "there together for 3 h at a stretch"
        )

    def test_steps_and_waits_too_long_one_after_the_other(self) -> None:
        against = reason("task", raw(step("mix", "2 h"), wait("rest", "2 h"), step("roll", "1 h")), "10:00")
        assert against == Against(
            "these cannot follow each other between 06:00 and 10:00, even with every station free: "
            "tart: mix, 2 h > rest, at least 2 h > roll, 1 h; together 5 h",
            ("products", "tart", "steps", 2),
        )

    def test_a_last_wait_that_does_not_end_in_time_is_told_at_its_line(self) -> None:
        against = reason("task", raw(step("mix", "2 h"), wait("set", "3 h", **{"in": "freezer"})), "10:00")
        assert against == Against(
            "these cannot follow each other between 06:00 and 10:00, even with every station free: "
            "tart: mix, 2 h > set, at least 3 h; together 5 h",
            ("products", "tart", "steps", 1),
        )

    def test_people_who_go_home_between_two_steps(self) -> None:
        people = [INES[0] | {"hours": "06:00-10:00"}, {"name": "Ada"}]
        steps = [step("mix", "2 h", people="1 pastry"), wait("rest", "2 h"), step("roll", "1 h", people="1 pastry")]
        sentence = reason("task", raw(*steps, people=people)).sentence
        assert "tart: mix, 2 h > rest, at least 2 h > roll, 1 h; an oven that must get hot first, the hours" in sentence


class TestTooMuch:
    """More work than stations or people can do."""

    def test_ovens_with_too_many_loads(self) -> None:
        """14 loads of 50 minutes, 7 an oven: 350 minutes after 16 of heating, in a shift of 300."""
        bake = step("bake", "50 min", equipment="oven at 180 C", batch="2 trays")
        assert reason("resource", raw(bake, quantity=28), "11:00") == Against(
            "too much for the 2 ovens between 06:00 and 11:00: 14 batches, which with what must follow take at least "
            "1 h 6 min longer than there is time",
            ("kitchen", "equipment", 0),
        )

    def test_people_with_too_many_batches(self) -> None:
        """11 batches of 50 minutes for two of three: one of them has 6."""
        pipe = step("pipe", "50 min", people="1 pastry", batch="1 tray")
        against = reason("resource", raw(pipe, quantity=11), "10:00")
        assert against.sentence.startswith("too much for Ines and Odo between 06:00 and 10:00: 11 batches, which with")
        assert against.path == ("kitchen", "people", 0)

    def test_a_batch_that_is_alone(self) -> None:
        network = network_of(raw(step("pipe", people="1")))
        (against,) = reasons_against(network, (Conflict("resource", tasks=(0,), resources=(0,), minutes=5),))
        assert ": 1 batch, which with" in against.sentence


class TestAllTogether:
    """What only the search has proved."""

    def test_people_who_never_meet(self) -> None:
        people = [INES[0] | {"hours": "06:00-10:00"}, {"name": "Odo", "skills": ["pastry"], "hours": "10:00-14:00"}]
        assert reason("search", raw(step("fold", "30 min", people="2 pastry"), people=people)) == Against(
            "not everything can be done between 06:00 and 20:00: the search has ruled out any plan"
        )


@pytest.mark.parametrize(("steps", "shown"), [(5, 5), (12, 9)])
def test_a_long_chain_is_told_by_its_end(steps: int, shown: int) -> None:
    network = network_of(raw(*[step(f"turn {number}") for number in range(1, steps + 1)]))
    parts = in_turn(network, tuple(range(steps))).split(" > ")
    assert parts[-1] == f"turn {steps}, 10 min"
    assert (len(parts), parts[0] == "...") == ((shown, False) if steps == shown else (shown + 1, True))


def test_batches_and_rounds_are_numbered_where_there_are_several() -> None:
    fold = {"repeat": 2, "steps": [step("fold", batch="1 tray"), wait("rest", "5 min")]}
    network = network_of(raw(fold, step("box"), quantity=2))
    names = in_turn(network, tuple(range(len(network.tasks))))
    assert "fold (batch 2), 10 min" in names
    assert "fold, round 2 (batch 1), 10 min" in names
