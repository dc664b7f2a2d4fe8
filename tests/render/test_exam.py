"""The sheets of an exam."""

from __future__ import annotations

import pytest

from stationplan.plan.document import Delivered, Hand, Least, Stopped
from stationplan.render.exam import Sheet, card, sheets, told
from stationplan.render.lettering import columns

from .invented_exam import make_exam

ALL: tuple[Sheet, ...] = ("timetable", "cards", "events")


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_asked_for(width: int) -> None:
    assert max(columns(line) for line in sheets(make_exam(), ALL, width=width).splitlines()) <= width


def test_without_unicode_everything_is_ascii() -> None:
    assert sheets(make_exam(), ALL, width=80, unicode=False).isascii()


def test_only_the_sheets_that_are_wanted_are_there() -> None:
    assert "timetable" not in sheets(make_exam(), ("events",), width=80)
    assert "\n\n" not in sheets(make_exam(), (), width=80)


def test_two_cards_of_one_timeline_differ_by_the_start_alone() -> None:
    exam = told(make_exam())
    one, other = (card(exam, examinee, 80).splitlines()[1:] for examinee in exam.part.candidates[:2])
    words = [[line[15:] for line in lines] for lines in (one, other)]
    assert words[0] == words[1]
    assert one != other


def test_a_difference_is_told_with_what_is_proved_of_it() -> None:
    text = " ".join(sheets(make_exam(differ=20), (), width=120).split())
    assert "differ by more than 20 min (40 min allowed); checked; below 10 min is impossible" in text
    exam = make_exam(differ=20)
    assert exam.exam is not None
    proved = exam.model_copy(update={"exam": exam.exam.model_copy(update={"differ": Least(value=20, bound=20)})})
    assert "proved, no smaller difference is possible" in " ".join(sheets(proved, (), width=120).split())


@pytest.mark.parametrize(
    ("stopped", "said"),
    [
        (Stopped(by="interruption"), "! search interrupted"),
        (Stopped(by="time", seconds=3), "search ended after 3 s, before all was looked into"),
    ],
)
def test_a_search_that_was_cut_short_is_told_of(stopped: Stopped, said: str) -> None:
    exam = make_exam()
    assert exam.exam is not None
    cut = exam.model_copy(update={"exam": exam.exam.model_copy(update={"stopped": stopped})})
    assert said in " ".join(sheets(cut, (), width=120).split())


@pytest.mark.parametrize(
    ("unproved", "said"),
    [
        ("helpers", "helpers come, go or pause during the hours"),
        ("late", "dishes are late by plan"),
        ("stands", "the last batch is ready last"),
        ("waves", "not all moments to begin them"),
    ],
)
def test_why_nothing_is_proved_is_told(unproved: str, said: str) -> None:
    plan = make_exam()
    assert plan.exam is not None
    cut = plan.model_copy(update={"exam": plan.exam.model_copy(update={"unproved": unproved})})
    line = next(line for line in sheets(cut, (), width=200).splitlines() if line.startswith("why that is not proved: "))
    assert said in line
    assert "why that" not in sheets(plan, (), width=200)


def test_dishes_that_are_late_by_plan_are_told_of() -> None:
    assert "late by plan" not in sheets(make_exam(), (), width=120)
    assert "! late by plan: the menu cannot be done in time; 6 points in all (proved" in sheets(
        make_exam(late=6), (), width=120
    )


@pytest.mark.parametrize(("bound", "said"), [(0, "whether fewer are possible is not known"), (4, "at least 4")])
def test_late_dishes_are_only_called_unavoidable_where_that_is_proved(bound: int, said: str) -> None:
    plan = make_exam(late=6)
    assert plan.exam is not None
    part = plan.exam.model_copy(update={"points": Least(value=6, bound=bound)})
    text = " ".join(sheets(plan.model_copy(update={"exam": part}), (), width=200).split())
    assert said in text
    assert ("cannot be done" in text) == bool(bound)


def test_a_dish_planned_after_its_window_is_told_of_on_every_sheet() -> None:
    plan = make_exam()
    order = Delivered(product="heron tart of Una", quantity=1, due=None, weight=1, ready=2026, late=0, batches=())
    text = sheets(plan.model_copy(update={"orders": (order,)}), ALL, width=120)
    assert "! late by plan (heron tart by 11 min): no plan in time was found" in " ".join(text.split())
    assert "heron tart, late by plan: hand in when it is ready, 11 min after its window" in text
    assert "handed in late by plan: heron tart: Una" in text


def test_waves_left_out_are_told_of_with_what_is_known_of_them() -> None:
    plan = make_exam()
    assert plan.exam is not None
    given = {"waves": ["08:00", "10:20", "10:25", "12:00"], "days": 2, "break": "10 min"}
    scenario = {"exam": {**plan.exam.scenario["exam"], **given}}
    part = plan.exam.model_copy(update={"scenario": scenario})
    lines = sheets(plan.model_copy(update={"exam": part}), (), width=200).splitlines()
    assert [line for line in lines if "left out" in line] == [
        "10:20 left out: too soon after the wave before, which is over at 10:15 and the break is 10 min",
        "10:25 left out: the other waves have room for everybody",
        "12:00 left out: the other waves have room for everybody",
        "day 2 10:20 left out: too soon after the wave before, which is over at day 2 10:15 and the break is 10 min",
        "day 2 10:25 left out: the other waves have room for everybody",
        "day 2 12:00 left out: the other waves have room for everybody",
    ]


def test_what_helpers_do_is_on_the_cards_and_on_the_list_and_who_does_nothing_in_the_headline() -> None:
    plan = make_exam()
    bake, plate, *others = plan.batches
    oven = bake.seats[0]
    hands = (
        Hand(person="Bram", start=oven.start, end=oven.start + 1, doing="load"),
        Hand(person="Otis", start=oven.end - 1, end=oven.end, doing="unload"),
    )
    carried = Hand(person="Otis", start=plate.start, end=plate.end, doing="hands-on")
    batches = (
        bake.model_copy(update={"hands": hands}),
        plate.model_copy(update={"hands": (*plate.hands, carried)}),
        *others,
    )
    people = ("Bram", "Otis", "Wim", *plan.people)
    text = sheets(plan.model_copy(update={"batches": batches, "people": people}), ALL, width=120)
    assert "deck oven at 180 C fan: bake, 1 tray of heron tart; Bram loads; Otis unloads" in text
    assert "Otis works on it: plate, 1 tray of heron tart" in text
    assert "deck oven at 180 C fan, in by Bram: bake: Ida Brook" in text
    assert "deck oven, out by Otis: bake: Ida Brook" in text
    assert "Otis works on it: plate: Ida Brook" in text
    assert "helper Wim has nothing to do in this plan" in text
    assert "helper Otis has" not in text
