"""What can be planned from but may not be meant is told with its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from stationplan.scenario import load

from .valid_text import VALID

SHIFT = '{opens: "05:00", closes: "17:30"}'


def warnings(folder: Path, *changes: tuple[str, str]) -> list[str]:
    text = VALID
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = folder / "scenario.yaml"
    path.write_text(text, encoding="utf-8")
    return [str(warning).removeprefix(f"{path}:") for warning in load(path).warnings]


def test_nothing_odd_is_nothing_to_warn_of(tmp_path: Path) -> None:
    assert warnings(tmp_path) == []


@pytest.mark.parametrize(
    ("shift", "due", "told"),
    [
        (
            SHIFT,
            '"3:00"',
            "85: due 03:00 is before the shift opens at 05:00, so this order is always late; "
            "write 15:00 if the afternoon is meant",
        ),
        (
            '{opens: "10:00", closes: "13:30"}',
            '"3:00"',
            "85: due 03:00 is before the shift opens at 10:00, so this order is always late",
        ),
        (
            SHIFT,
            '"18:00"',
            "85: due 18:00 is after the shift closes at 17:30, when everything must be ready in any case",
        ),
    ],
)
def test_a_due_time_outside_the_shift_is_warned_of(shift: str, due: str, told: str, tmp_path: Path) -> None:
    assert warnings(tmp_path, (SHIFT, shift), ('due: "17:30"', f"due: {due}")) == [told]


@pytest.mark.parametrize("due", ["05:00", "17:30"])
def test_a_due_time_when_the_shift_opens_or_closes_is_within_it(due: str, tmp_path: Path) -> None:
    assert warnings(tmp_path, ('due: "17:30"', f'due: "{due}"')) == []


@pytest.mark.parametrize(
    ("closes", "told"),
    [
        ("21:00", []),
        ("21:01", ["2: the shift lasts 16 h 1 min, from 05:00 to 21:01; write 09:01 if that is meant"]),
        ("4:00", ["2: the shift lasts 23 h, from 05:00 to day 2 04:00; write 16:00 if that is meant"]),
        ("day 1 24:00", []),
        ("day 3 17:30", []),
    ],
)
def test_a_shift_of_more_than_16_hours_is_warned_of_unless_the_day_is_written(
    closes: str, told: list[str], tmp_path: Path
) -> None:
    assert warnings(tmp_path, ('closes: "17:30"', f'closes: "{closes}"'), ('due: "17:30", ', "")) == told


def test_products_that_nobody_ordered_are_named(tmp_path: Path) -> None:
    more = "".join(f"  tart {number}:\n    steps: [{{name: bake, takes: 5 min}}]\n" for number in range(1, 13))
    assert warnings(
        tmp_path, ("orders:\n", f"  flat bun:\n    steps: [{{name: bake, takes: 5 min}}]\n{more}orders:\n")
    )[0].endswith("not ordered: flat bun, " + ", ".join(f"tart {number}" for number in range(1, 10)) + ", and 3 more")


def test_a_description_under_nearly_the_name_of_an_ingredient_is_warned_of(tmp_path: Path) -> None:
    assert warnings(tmp_path, ("  Almond flour: {", "  almond flours: {")) == [
        "4: no recipe has 'almond flours', but there is 'almond flour', of which nothing is said"
    ]


def test_a_description_of_what_no_recipe_has_is_nothing_to_warn_of(tmp_path: Path) -> None:
    assert warnings(tmp_path, ("  leaf gelatin: {", "  saffron: {contains: none}\n  leaf gelatin: {")) == []


@pytest.mark.parametrize(
    ("more", "warned"),
    [
        ("", True),
        (", hands_on: none", False),
        (", hands_on: all", False),
        (", hands_on: first 2 min", False),
        (", people: 1", False),
        (", load: 1 min", False),
    ],
)
def test_a_step_on_a_hob_with_nobody_at_it_is_warned_of_unless_that_is_written(
    more: str, warned: bool, tmp_path: Path
) -> None:
    hob = "    - {name: long bench, kind: bench}\n"
    cut = "      - {name: cut discs, takes: 4 min per tray, people: 1 pastry}\n"
    found = warnings(
        tmp_path,
        (hob, f"{hob}    - {{name: ring, kind: hob}}\n"),
        (cut, f"{cut}      - {{name: cook custard, takes: 9 min, equipment: ring{more}}}\n"),
    )
    sentence = "nobody's hands are needed for 'cook custard' on a hob; write hands_on: all if somebody stirs"
    assert [sentence in warning for warning in found] == [True] * warned


def test_a_few_steps_on_a_hob_are_enough_to_warn_of(tmp_path: Path) -> None:
    hob = "    - {name: long bench, kind: bench}\n"
    cut = "      - {name: cut discs, takes: 4 min per tray, people: 1 pastry}\n"
    stirred = "".join(f"      - {{name: stir {number}, takes: 9 min, equipment: hob}}\n" for number in range(9))
    assert len(warnings(tmp_path, (hob, f"{hob}    - {{name: hob, kind: hob}}\n"), (cut, cut + stirred))) == 5
