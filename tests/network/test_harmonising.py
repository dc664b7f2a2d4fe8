"""Numbers of batches of steps that are joined by a short most wait."""

from __future__ import annotations

from typing import Any

import pytest

from .small import network, sizes, step


def folded_within(at_most: str, **more: Any) -> dict[str, Any]:
    return step("fold", "5 min", batch="1 tray", after={"step": "whip", "at_most": at_most}, **more)


def numbers(*steps: dict[str, Any], quantity: int = 4) -> list[int]:
    found = network(product={"makes": "1 tray", "steps": list(steps)}, quantity=quantity)
    return [len(sizes(found, entry["name"])) for entry in steps if "name" in entry]


@pytest.mark.parametrize(
    ("at_most", "expected"),
    [
        # One whipping for four foldings of 5 min: the last is begun after 15 min. 4 x 5 <= 15 + 5.
        ("15 min", [1, 4]),
        ("14 min", [4, 4]),
    ],
)
def test_a_coarse_batch_stays_if_one_machine_works_it_off_in_time(at_most: str, expected: list[int]) -> None:
    assert numbers(step("whip", batch="4 trays"), folded_within(at_most)) == expected


def test_without_a_most_nothing_is_joined() -> None:
    assert numbers(step("whip", batch="4 trays"), step("fold", batch="1 tray")) == [1, 4]


def test_a_finer_step_before_a_coarse_one_makes_that_finer() -> None:
    # Four whippings of 10 min for one folding: the first stands for 30 min, 4 x 10 > 20 + 10.
    steps = step("whip", batch="1 tray"), step("fold", batch="4 trays", after={"step": "whip", "at_most": "20 min"})
    assert numbers(*steps) == [4, 4]


def test_joining_goes_on_from_step_to_step() -> None:
    # fold takes over the four batches of pipe, then whip those of fold; nothing hurries weigh.
    steps = (
        step("weigh"),
        step("whip", batch="4 trays"),
        step("fold", batch="4 trays", after={"step": "whip", "at_most": "2 min"}),
        step("pipe", batch="1 tray", after={"step": "fold", "at_most": "5 min"}),
    )
    assert numbers(*steps) == [1, 4, 4, 4]


def test_waits_in_a_row_join_when_all_have_a_most() -> None:
    rest = {"wait": "rest", "at_most": "5 min"}
    cool = {"wait": "cool", "at_most": "5 min"}
    assert numbers(step("whip", batch="4 trays"), rest, cool, step("pipe", batch="1 tray")) == [4, 4]
    open_end = {"wait": "cool"}
    assert numbers(step("whip", batch="4 trays"), rest, open_end, step("pipe", batch="1 tray")) == [1, 4]


def cream_for(*uses: str, quantity: int = 4, batch: str = "1 kg") -> dict[str, int]:
    """Batches of a cream that must be used within 5 min by several products of 250 g each."""
    names = [f"cup {number}" for number in range(len(uses))]
    found = network(
        components={"cream": {"makes": "1 kg", "steps": [step("whip", batch=batch)]}},
        products={
            name: {
                "uses": {"cream": {"amount": "250 g", "at_most": most}},
                "steps": [step(f"pipe {name}", batch="1 piece")],
            }
            for name, most in zip(names, uses, strict=True)
        },
        orders=[{"product": name, "quantity": quantity} for name in names],
    )  # fmt: skip
    return {entry: len(sizes(found, entry)) for entry in ("whip", *(f"pipe {name}" for name in names))}


def test_a_component_is_made_as_often_as_it_is_used_up_soon() -> None:
    assert cream_for("5 min") == {"whip": 4, "pipe cup 0": 4}
    assert cream_for("1 h") == {"whip": 1, "pipe cup 0": 4}


def test_users_together_set_the_number_of_a_shared_component() -> None:
    assert cream_for("5 min", "5 min") == {"whip": 8, "pipe cup 0": 4, "pipe cup 1": 4}


def test_a_component_made_in_finer_batches_makes_its_user_finer() -> None:
    found = network(
        components={"cream": {"makes": "1 kg", "steps": [step("whip", batch="250 g")]}},
        product={"uses": {"cream": {"amount": "250 g", "at_most": "5 min"}}, "steps": [step("pipe", batch="4 pieces")]},
        quantity=4,
    )
    assert (len(sizes(found, "whip")), len(sizes(found, "pipe"))) == (4, 4)
