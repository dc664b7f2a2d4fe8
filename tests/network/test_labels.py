"""Letters and labels."""

from __future__ import annotations

import pytest

from stationplan.network.labels import batch_label, letters

from .small import network, step


@pytest.mark.parametrize(
    ("position", "expected"),
    [(0, "a"), (25, "z"), (26, "aa"), (27, "ab"), (51, "az"), (52, "ba"), (701, "zz"), (702, "aaa")],
)
def test_letters_go_on_after_z_with_two(position: int, expected: str) -> None:
    assert letters(position) == expected


def test_only_a_repeated_step_has_its_round_in_the_label() -> None:
    assert batch_label("Ac", 3, None) == "Ac3"
    assert batch_label("Bb", 1, 2) == "Bb1.2"


def test_components_come_before_products_and_what_nobody_needs_gets_no_letter() -> None:
    found = network(
        components={
            "unused": {"makes": "1 kg", "steps": [step("boil")]},
            "cream": {"makes": "1 kg", "steps": [step("whip")]},
        },
        product={"uses": {"cream": "40 g"}},
    )
    assert [(entry.letters, entry.item) for entry in found.legend] == [("A", "cream"), ("B", "tart")]


def test_waits_get_no_letter_and_rounds_share_theirs() -> None:
    turns = {"repeat": 2, "steps": [step("fold"), {"wait": "rest", "at_least": "30 min"}]}
    found = network(steps=[step("mix"), turns, step("roll")])
    assert found.legend[0].steps == (("a", "mix"), ("b", "fold"), ("c", "roll"))
    assert [task.label for task in found.tasks] == ["Aa1", "Ab1.1", "Ab1.2", "Ac1"]
