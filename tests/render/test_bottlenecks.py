"""The pages that tell what holds a kitchen up and what would help."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from stationplan.plan.bottlenecks import Bottlenecks
from stationplan.plan.comparing import Answer, Comparison, Ending, Gain
from stationplan.plan.document import Plan
from stationplan.plan.trials import Known
from stationplan.plan.what_ifs import Choice
from stationplan.render.bottlenecks import page, to_json
from stationplan.render.lettering import columns
from stationplan.render.smallest import page as smallest_page
from stationplan.render.smallest import to_json as smallest_json

from .invented_bottlenecks import ANSWERS, BOTTLENECKS, IMPOSSIBLE, PLAN, SMALLEST


def with_answers(*answers: Answer, base: Known | None = None, best: Known | None = None) -> Bottlenecks:
    base = base or Known(0, 565, 0, 540)
    return replace(BOTTLENECKS, comparison=Comparison(base, best or base, answers))


def lines(known: Bottlenecks, plan: Plan | None = PLAN, width: int = 120) -> list[str]:
    return page(known, plan, width=width).splitlines()


@pytest.mark.parametrize("width", [60, 80, 120, 200])
@pytest.mark.parametrize("unicode", [True, False])
def test_no_line_is_wider_than_asked_for(width: int, unicode: bool) -> None:
    pages = (
        page(BOTTLENECKS, PLAN, width=width, unicode=unicode),
        page(IMPOSSIBLE, None, width=width, unicode=unicode),
        smallest_page(SMALLEST, width=width, unicode=unicode),
    )
    for text in pages:
        assert all(columns(line) <= width for line in text.splitlines())
        assert unicode or text.isascii()


def test_in_a_narrow_place_hours_are_told_instead_of_half_hours() -> None:
    assert "how much of its room or time is taken, % of each half hour" in lines(BOTTLENECKS, width=80)
    narrow = lines(BOTTLENECKS, width=60)
    at = narrow.index("how much of its room or time is taken, % of each 1 h")
    assert narrow[at + 1].split() == ["05:00", "07:00", "09:00", "in", "all"]
    # 57 of 30 minutes of the first half hour, and 30 of the second.
    mixer = next(line for line in narrow if line.startswith("planetary mixer 1"))
    assert mixer.split()[3] == "43"


@pytest.mark.parametrize(
    ("gain", "told"),
    [
        (Gain(22, 22, 22), "saves 22 min proved"),
        (Gain(22, 18, 30), "saves 22 min between 18 and 30 min"),
        (Gain(-22, -30, -18), "costs 22 min between 18 and 30 min"),
        (Gain(-22), "costs 22 min not comparable"),
        (Gain(0, 0, 9), "no gain found between 0 and 9 min"),
        (Gain(-75, -75, -75), "costs 1 h 15 min proved"),
    ],
)
def test_a_gain_is_told_with_its_proof_or_with_what_is_open(gain: Gain, told: str) -> None:
    answer = Answer(Choice.MORE_EQUIPMENT, "one more oven", (), Ending.PLANNED, Known(0, 540), Gain(0, 0, 0), gain)
    [row] = [line for line in lines(with_answers(answer)) if line.startswith("one more oven")]
    assert " ".join(row.split()) == f"one more oven 14:00 {told}"


def test_the_change_that_saves_most_is_named_first_with_what_is_certain() -> None:
    assert "Most is saved by one more person like Zoé: 1 h 2 min, proved." in lines(BOTTLENECKS)
    assert "Most is saved by one more deck oven: 22 min (at least 18, at most 30)." in lines(with_answers(*ANSWERS[:2]))
    surely = replace(ANSWERS[0], length=Gain(22, 22, 30))
    assert "Most is saved by one more deck oven: 22 min (at most 30)." in lines(with_answers(surely))
    assert "Of these changes none alone was found to save anything." in lines(with_answers(ANSWERS[1]))


def test_changes_that_save_as_much_are_named_together() -> None:
    twice = (ANSWERS[2], replace(ANSWERS[2], sentence="one more hob"))
    assert "Most is saved by one more person like Zoé or one more hob: 1 h 2 min, proved." in lines(
        with_answers(*twice)
    )


def test_where_something_is_late_the_lateness_comes_first() -> None:
    late = Known(40, 565, 40, 540)
    answer = Answer(
        Choice.MORE_EQUIPMENT, "one more oven", (), Ending.PLANNED, Known(10, 570, 10, 570), Gain(30, 30, 30), Gain(-5)
    )
    told = lines(with_answers(answer, base=late))
    assert "Most is saved by one more oven: 30 late minutes, proved." in told
    assert told.index("what if: minutes late in all (40 as it is)") < told.index("what if: the finish (14:25 as it is)")
    weighted = replace(with_answers(answer, base=late), weighted=True)
    assert "what if: minutes late, weighted (40 as it is)" in lines(weighted)


def test_a_better_plan_found_on_the_way_is_told() -> None:
    [told] = [line for line in lines(BOTTLENECKS, width=400) if line.startswith("On the way, a plan")]
    assert "for less than this kitchen was found that ends 3 min sooner than the one above" in told
    assert not any(line.startswith("On the way") for line in lines(with_answers(*ANSWERS)))


def test_of_a_long_interruption_only_the_number_is_told() -> None:
    ended = Answer(Choice.MORE_EQUIPMENT, "one more oven", (), Ending.INTERRUPTED)
    assert "interrupted before it was known: 5 of 5 changes" in lines(with_answers(*[ended] * 5))


def test_what_makes_it_possible_is_told_the_most_punctual_first() -> None:
    told = lines(IMPOSSIBLE, None)
    at = told.index("each of these alone makes it possible; a plan was made and checked for each")
    assert [line.split("  ")[0] for line in told[at + 3 : at + 5]] == ["one more deck oven", "open as long as it takes"]
    assert "90 min, not below 20" in told[at + 4]
    assert "still cannot be done: one more rack" in told
    nothing = replace(
        IMPOSSIBLE, comparison=Comparison(None, None, (Answer(Choice.LATER_CLOSE, "open", (), Ending.IMPOSSIBLE),))
    )
    assert "None of these changes alone was found to make it possible." in lines(nothing, None)


def test_without_what_ifs_there_is_no_word_of_them() -> None:
    assert not any("what if" in line for line in lines(replace(BOTTLENECKS, comparison=None)))


def test_all_of_it_is_there_as_json() -> None:
    told = json.loads(to_json(BOTTLENECKS))
    assert (told["format"], told["version"]) == ("stationplan bottlenecks", 1)
    assert told["comparison"]["answers"][0]["length"] == {"found": 22, "least": 18, "most": 30}
    assert told["utilisation"][0]["slots"][1] == {"work": 68, "possible": 120}
    assert sum(share["minutes"] for share in told["chain"]) == PLAN.finish - PLAN.opens
    small = json.loads(smallest_json(SMALLEST))
    assert small["needed"][0] == {
        "name": "Ines and Marc", "people": True, "before": 2, "after": 1, "fewer": "impossible",
    }  # fmt: skip


def test_what_is_not_known_of_a_smallest_kitchen_is_told() -> None:
    text = " ".join(smallest_page(SMALLEST, width=80).split())
    assert "For 1 of the 3 kinds that are left it was not found out in the time" in text
    proved = replace(SMALLEST, needed=tuple(each for each in SMALLEST.needed if each.fewer is not Ending.NOT_FOUND))
    assert "and no single thing more can be left out: proved." in " ".join(smallest_page(proved, width=80).split())
    stopped = replace(SMALLEST, interrupted=True)
    assert "perhaps more, for this was interrupted" in " ".join(smallest_page(stopped, width=80).split())
    nothing = replace(SMALLEST, needed=(SMALLEST.needed[4],))
    assert "Nothing can be left out;" in smallest_page(nothing, width=80)
    doubtful = replace(nothing, needed=(replace(SMALLEST.needed[4], fewer=Ending.NOT_FOUND),))
    assert "Nothing was found that can be left out;" in smallest_page(doubtful, width=80)
    early = smallest_page(replace(nothing, interrupted=True), width=80)
    assert "Interrupted before anything was found that can be left out." in early
    assert "Nothing can be left out" not in early
