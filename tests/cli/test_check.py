"""``stationplan check``."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stationplan.plan.store import load

from .conftest import FIRST_SHIFT, SCENARIOS, Run
from .kitchens import circle, write


def flat(text: str) -> str:
    return " ".join(text.split())


def test_the_tables_show_what_there_is_to_do(run: Run) -> None:
    result = run("check", FIRST_SHIFT)
    assert (result.exit_code, result.stderr) == (0, "")
    text = flat(result.stdout)
    # 90 tartlets, one shell in twenty broken, 24 shells a tray: 3.95 trays.
    assert "tartlet shell 4 trays 4 trays 1 to 4" in text
    # 90 tartlets of 30 g, 3 % left in the pan: 2.784 kg.
    assert "lemon cream 2.784 kg 2.784 kg 1" in text
    # A litre a tray, in a bowl of 10 litres of which 60 % may be filled.
    assert "mixer tartlet shell: mix paste 1 4 l of 6 l" in text
    assert "deck oven tartlet shell: bake shells 2 2 of 2 trays" in text


def test_the_bound_is_no_later_than_the_finish_of_a_plan(run: Run, plan_file: Path) -> None:
    clock = re.search(r"no plan can finish before (\d\d):(\d\d)", run("check", FIRST_SHIFT).stdout)
    assert clock is not None
    assert 60 * int(clock[1]) + int(clock[2]) <= load(plan_file).finish


@pytest.mark.parametrize("width", [60, 100])
def test_it_keeps_to_the_width_and_wraps_its_sentences(run: Run, width: int) -> None:
    result = run("check", FIRST_SHIFT, "--width", str(width))
    assert max(map(len, result.stdout.splitlines())) <= width
    assert re.search(r"because of .*: cannot end before \d\d:\d\d$", flat(result.stdout))


def test_ascii_is_ascii(run: Run) -> None:
    assert run("check", FIRST_SHIFT, "--ascii").stdout.isascii()
    assert not run("check", FIRST_SHIFT).stdout.isascii()


def test_shorter_times_of_ranges_can_be_asked_for(run: Run) -> None:
    """Baking takes 16 to 18 minutes a load and there are two; loading and unloading take 4 minutes in all."""
    assert "the deck oven 40 min" in flat(run("check", FIRST_SHIFT).stdout)
    assert "the deck oven 36 min" in flat(run("check", FIRST_SHIFT, "--durations", "shortest").stdout)


def test_what_cannot_be_done_shows_its_tables_and_ends_with_3(run: Run) -> None:
    folder = SCENARIOS / "rented-hall"
    result = run("check", folder)
    assert result.exit_code == 3
    assert "! that is 2 h 8 min after closing at 15:00" in result.stdout
    summary, reason = result.stderr.splitlines()
    assert summary == f"{folder}: this cannot be done as it stands."
    assert re.match(rf"{re.escape(str(folder / 'kitchen.yaml'))}:\d+: too much for the hall oven between 08:00", reason)


def test_a_contradiction_leaves_no_bound_to_print(run: Run, tmp_path: Path) -> None:
    result = run("check", write(tmp_path, circle()))
    assert result.exit_code == 3
    assert "no plan can finish before" not in result.stdout
    assert "these waits contradict each other" in result.stderr
