"""What stands on the sheets of a small plan, worked out by hand."""

from __future__ import annotations

from copy import deepcopy

import pytest

from stationplan.render.errors import RenderError
from stationplan.render.sheets import sheets_of
from stationplan.render.sheets.model import Row

from ..real_plans import MORNING, morning, plan_of, planned, renamed


def rows_on(name: str) -> tuple[Row, ...]:
    [sheet] = sheets_of(morning(), names=[name])
    return sheet.rows


def told(row: Row) -> list[str]:
    return [note.text for note in row.notes]


def test_there_is_a_sheet_for_each_person_and_each_station_and_the_timers() -> None:
    names = [sheet.name for sheet in sheets_of(morning())]
    assert names == ["Ada", "Ben", "mixer", "deck oven", "fridge", "rack", "timers"]


def test_a_person_weighs_in_takes_up_and_knows_who_waits() -> None:
    mix, rest, whip, again, cut = rows_on("Ada")
    assert (mix.time, mix.labels, mix.what, mix.cells) == ("06:00-06:06", "Aa1", "mix paste", ("2 trays", "mixer"))
    assert told(mix) == [
        # Two trays are ordered, and a recipe of 200 g and 100 g gives one.
        "weigh in 400 g rye flour, 200 g butter",
        "then to fridge, rest paste at least 20 min, for Ab1 06:26 (Ben), by 09:06 at the latest",
    ]
    assert (rest.time, rest.labels, rest.what) == ("06:28-06:36", "", "break")
    assert told(whip)[-1] == "then by itself until 06:47, then Ada: go on"
    # The weighing is told once, and where it goes then only when it is done.
    assert told(again) == ["then for Ca1 06:48 (Ada), by 07:03 at the latest"]
    assert told(cut) == [
        "take 2 trays of rye paste (Ab1) from rack; 1 kg plum cream (Ba1)",
        "for the order of 2 trays of quay slice, due 08:00",
    ]


def test_loading_and_unloading_are_told_apart() -> None:
    put_in, take_out = rows_on("Ben")
    assert (put_in.time, put_in.what, put_in.cells[1]) == ("06:26-06:27", "bake paste: put in", "deck oven 170 C")
    assert told(put_in) == ["take Aa1 from fridge", "then by itself until 06:37, then Ben: take out"]
    assert (take_out.time, take_out.what) == ("06:37-06:38", "bake paste: take out")


def test_an_oven_is_hot_before_a_tray_goes_in() -> None:
    heats, bakes = rows_on("deck oven")
    # From 20 C to 170 C at 10 C a minute.
    assert (heats.end - heats.start, heats.what) == (15, "heats up from 20 C to 170 C")
    assert heats.end == bakes.start
    assert told(bakes)[0] == "Ben loads 06:26-06:27; Ben unloads 06:37-06:38"


def test_a_cold_place_says_when_each_thing_goes_in_and_out_and_until_when_it_keeps() -> None:
    [sheet] = sheets_of(morning(), names=["fridge"])
    assert sheet.headings == ("in - out", "what", "how much", "not before", "at the latest")
    [row] = sheet.rows
    assert (row.time, row.cells) == ("06:06-06:26", ("2 trays", "06:26", "09:06"))
    assert told(row) == ["out for Ab1 06:26 (Ben)"]


def test_a_timer_rings_when_hands_are_wanted_and_when_a_wait_has_been_long_enough() -> None:
    assert [(row.time, row.labels, row.what, *row.cells) for row in rows_on("timers")] == [
        ("06:11", "", "set deck oven to 170 C", "", "", ""),
        ("06:26", "Aa1", "rest paste: long enough, for Ab1", "Ben", "06:06", "20 min"),
        ("06:37", "Ab1", "bake paste: take out", "Ben", "06:27", "10 min"),
        ("06:47", "Ba1", "whip plum cream: go on", "Ada", "06:42", "5 min"),
        ("06:48", "Ab1", "cool paste: long enough, for Ca1", "Ada", "06:38", "10 min"),
    ]


def test_one_timer_is_enough_for_what_has_waited_long_enough_at_once() -> None:
    [timers] = sheets_of(planned("scenarios/first-shift"), names=["timers"])
    assert [row.what for row in timers.rows if row.labels == "Aa1"] == ["rest paste: long enough, for Ab1-4"]


def test_what_needs_nobody_rings_when_it_begins_and_when_it_is_done() -> None:
    plan = planned("docs/examples/oven-prover-together")
    alone = [batch for batch in plan.batches if not batch.hands]
    assert alone
    rings = {(row.labels, row.start, row.what) for row in sheets_of(plan, names=["timers"])[0].rows}
    for batch in alone:
        assert (batch.label, batch.start, f"{batch.step}: begins by itself") in rings
        assert (batch.label, batch.end, f"{batch.step}: done") in rings


def test_whoever_comes_late_to_a_batch_is_told_when_it_began() -> None:
    scenario = deepcopy(MORNING)
    scenario["components"]["plum cream"]["steps"][0]["hands_on"] = "last 2 min"
    ada, timers = sheets_of(plan_of(scenario), names=["Ada", "timers"])
    [whip] = [row for row in ada.rows if row.labels == "Ba1"]
    assert (whip.time, told(whip)[0]) == ("06:46-06:48", "begins by itself 06:40")
    rings = [(row.time, row.what, row.cells) for row in timers.rows if row.labels == "Ba1"]
    assert rings == [
        ("06:40", "whip plum cream: begins by itself", ("", "", "")),
        ("06:46", "whip plum cream: go on", ("Ada", "06:40", "6 min")),
    ]


def test_letters_are_explained_where_they_stand() -> None:
    assert {sheet.name: sheet.letters for sheet in sheets_of(morning())} == {
        "Ada": ("A rye paste", "B plum cream", "C quay slice"),
        "Ben": ("A rye paste", "C quay slice"),
        "mixer": ("A rye paste", "B plum cream", "C quay slice"),
        "deck oven": ("A rye paste", "C quay slice"),
        "fridge": ("A rye paste",),
        "rack": ("A rye paste", "C quay slice"),
        "timers": ("A rye paste", "B plum cream", "C quay slice"),
    }


def test_a_caution_stands_at_the_batch_it_is_about() -> None:
    sheets = sheets_of(morning(), cautions={"Ab1": ["the tray is hot"]})
    found = {
        (sheet.name, row.labels)
        for sheet in sheets
        for row in sheet.rows
        for note in row.notes
        if (note.kind, note.text) == ("caution", "the tray is hot")
    }
    assert found == {("Ben", "Ab1"), ("deck oven", "Ab1")}


def test_whoever_uses_what_held_an_undeclared_allergen_is_cautioned() -> None:
    scenario = renamed(MORNING, {"rye flour": "hazelnut meal"})
    scenario["ingredients"] = {"hazelnut meal": {"contains": "hazelnuts"}, "plums": {"contains": "none"}}
    sheets = sheets_of(plan_of(scenario))
    cautions = {
        (sheet.name, row.labels): note.text
        for sheet in sheets
        for row in sheet.rows
        for note in row.notes
        if note.kind == "caution"
    }
    assert set(cautions) == {("Ada", "Ba1"), ("mixer", "Ba1")}
    assert cautions["Ada", "Ba1"].startswith("mixer held tree nuts (hazelnut) until 06:06 (Aa1), as declared; ")


def test_sheets_can_be_chosen_by_person_station_equipment_and_kind() -> None:
    def names(*wanted: str) -> list[str]:
        return [sheet.name for sheet in sheets_of(planned("docs/examples/oven-chambers"), names=wanted)]

    stations = [station.name for station in planned("docs/examples/oven-chambers").stations if station.kind == "oven"]
    assert len(stations) > 1
    assert names("oven") == stations
    assert names(stations[1]) == stations[1:2]
    assert names("timers", stations[0]) == [stations[0], "timers"]


def test_a_name_that_is_nobodys_is_told_with_those_that_are() -> None:
    with pytest.raises(
        RenderError,
        match="no sheet for 'Adda'; there are sheets for Ada, Ben, without anybody, timers, mixer, deck oven",
    ):
        sheets_of(morning(), names=["Adda"])


def test_a_span_leaves_what_happens_in_it() -> None:
    # 06:30 to 06:45: Ada's break and the first minutes of whipping; Ben takes out.
    found = {sheet.name: [row.what for row in sheet.rows] for sheet in sheets_of(morning(), span=(390, 405))}
    assert found == {
        "Ada": ["break", "whip plum cream"],
        "Ben": ["bake paste: take out"],
        "mixer": ["whip plum cream"],
        "deck oven": ["bake paste"],
        "rack": ["cool paste"],
        "timers": ["bake paste: take out"],
    }


def test_who_has_nothing_to_do_in_a_span_gets_an_empty_sheet_only_when_asked_for() -> None:
    [sheet, timers] = sheets_of(morning(), names=["Ben", "timers"], span=(360, 375))
    assert (sheet.name, sheet.rows) == ("Ben", ())
    assert [row.what for row in timers.rows] == ["set deck oven to 170 C"]
    with pytest.raises(RenderError, match="nothing to write on a sheet from 12:00 to 13:00"):
        sheets_of(morning(), span=(720, 780))


def test_two_people_at_one_batch_are_told_of_each_other() -> None:
    plan = planned("docs/examples/people-two")
    together = next(batch for batch in plan.batches if len({hand.person for hand in batch.hands}) == 2)
    first, second = (hand.person for hand in together.hands)
    [sheet] = sheets_of(plan, names=[first])
    assert f"with {second}" in [note.text for row in sheet.rows if row.labels == together.label for note in row.notes]


def test_names_change_nothing_but_names() -> None:
    other = plan_of(renamed(MORNING, {"Ada": "Zoe", "fridge": "cold room"}))
    names = [sheet.name for sheet in sheets_of(other)]
    assert names == ["Zoe", "Ben", "mixer", "deck oven", "cold room", "rack", "timers"]


def test_what_is_done_is_marked_and_what_failed_is_left_out() -> None:
    plan = planned("scenarios/first-shift")
    done, lost, *_ = [batch.label for batch in plan.batches if batch.step == "bake shells"]
    timers = [row.what for row in sheets_of(plan, names=["timers"])[0].rows if row.labels == done]
    assert [what for what in timers if what.startswith("bake shells")]
    sheets = sheets_of(plan, outcomes={done: "done", lost: "lost"})
    rows = [row for sheet in sheets for row in sheet.rows]
    of_done = [row for sheet in sheets if sheet.kind == "person" for row in sheet.rows if row.labels == done]
    assert of_done
    assert all(row.what.endswith(", done") for row in of_done)
    assert not [row for row in rows if row.labels == lost]
    assert not [row for row in rows if row.labels != done and ", done" in row.what]
    [last] = [sheet for sheet in sheets if sheet.kind == "timers"]
    assert not [row for row in last.rows if row.labels == done and row.what.startswith("bake shells")]
