"""The exam of a scenario: what may be written, and what is told of mistakes in it."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from stationplan.scenario import InvalidScenario, load
from stationplan.scenario.errors import UnitError
from stationplan.scenario.exam import Exam, Starts, Tolerance, parse_candidates, parse_starts

EXAM = (Path(__file__).parents[2] / "scenarios" / "practical-exam" / "scenario.yaml").read_text(encoding="utf-8")


def test_candidates_are_counted_or_named() -> None:
    assert parse_candidates(2) == ("candidate 1", "candidate 2")
    assert parse_candidates(["Ada", " Odo "]) == ("Ada", "Odo")


@pytest.mark.parametrize("wrong", [0, 501, "many", [], -3, "1.5"])
def test_no_candidates_or_too_many_are_refused(wrong: object) -> None:
    with pytest.raises(UnitError):
        parse_candidates(wrong)


@pytest.mark.parametrize(
    ("written", "every"),
    [("together", 0), ("every 10 min", 10), ("Every 1 h", 60), ("as close  as possible", None), ("every 90 s", 2)],
)
def test_starts_are_read(written: str, every: int | None) -> None:
    assert parse_starts(written) == Starts(None if every is None else Fraction(every))
    assert parse_starts(str(parse_starts(written))) == parse_starts(written)


def test_other_starts_are_refused_with_what_would_be_right() -> None:
    with pytest.raises(UnitError, match="write together, every 10 min, or as close as possible"):
        parse_starts("10 min")


def test_what_is_not_written_is_fair_and_without_limits() -> None:
    exam = Exam.model_validate(
        {"candidates": 3, "menu": [{"product": "tart", "quantity": 1}], "time_allowed": "2 h", "own": "hob"}
    )
    assert (exam.own, exam.starts, exam.at_a_time, exam.may_differ) == (("hob",), Starts(None), 1, 0)
    assert (exam.waves, exam.workplaces, exam.days, exam.late) == ((), None, 1, Tolerance())


def test_the_menu_of_one_candidate_is_what_is_ordered(tmp_path: Path) -> None:
    tmp_path.joinpath("scenario.yaml").write_text(EXAM, encoding="utf-8")
    loaded = load(tmp_path)
    assert [(order.product, order.quantity) for order in loaded.scenario.orders] == [
        ("oat finger", 12),
        ("tarn puff", 8),
    ]
    assert loaded.warnings == ()
    assert "orders" not in loaded.raw


MISTAKES = {
    "a hand-in after the time allowed": ("140..150 min,", "145..155 min,", "145..155", "let the window end sooner"),
    "no whole minute": ("100..110 min}", "100.2..100.8 min}", "100.2", "no whole minute lies in"),
    "an unknown dish": ("product: oat finger", "product: oat figner", "figner", "did you mean 'oat finger'?"),
    "a component on the menu": ("product: oat finger", "product: oat dough", "product: oat dough", "is a component"),
    "a dish twice": ("product: tarn puff", "product: oat finger", "quantity: 8", "stands twice on the menu"),
    "another unit": ("quantity: 8", "quantity: 8 trays", "8 trays", "is counted in pieces"),
    "no time to stand until": ("hand_in: 140..150 min, ", "", "stands: 20", "write 'hand_in' too"),
    "unknown equipment": ("own: [hob,", "own: [hbo,", "own: [hbo", "did you mean 'hob'?"),
    "equipment twice": ("own: [hob,", "own: [hob, hob,", "own: [hob", "stands twice here"),
    "candidates of one name": ("candidates: 16", "candidates: [Ada, ada]", "[Ada", "stands twice among candidates"),
    "a name with a word of plans": ("candidates: 16", "candidates: [Ada of Brack]", "[Ada", "leave the word 'of' out"),
    "no candidates": ("candidates: 16", "candidates: 0", "candidates: 0", "is not a whole number from 1 to 500"),
    "an unknown key": ("set_up:", "setup:", "setup:", "did you mean 'set_up'?"),
    "no menu": ("candidates: 16", "candidates: 16\n  waves: []\n  menus: 2", "menus", "did you mean 'menu'?"),
    "starts of another kind": ("starts: as close as possible", "starts: soon", "starts: soon", "every 10 min"),
    "more time than there is": ("time_allowed: 150 min", "time_allowed: 10 h", "time_allowed", "the shift lasts 10 h"),
    "fails before it costs": ("points: 1,", "points: 1, tolerance: 20 min,", "tolerance: 20", "are tolerated"),
    "too large a group": ("at_a_time: 2", "at_a_time: 2\n  workplaces: 1", "at_a_time", "write at most 1"),
    "waves out of order": ("at_a_time: 2", 'at_a_time: 2\n  waves: ["12:00", "09:00"]', "waves:", "in order"),
    "a wave before opening": ("at_a_time: 2", 'at_a_time: 2\n  waves: "07:00"', "waves:", "outside the shift"),
    "too few waves": ("at_a_time: 2", 'at_a_time: 2\n  workplaces: 4\n  waves: "08:00"', "waves:", "room for 4"),
    "two people": ("name: roll and cut,", "name: roll and cut, people: 2,", "people: 2", "a candidate works alone"),
    "orders besides": ("\nkitchen:", "\norders: []\nkitchen:", "orders:", "leave 'orders' out"),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "at", "gist"), MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_is_told_at_its_line(
    old: str, new: str, at: str, gist: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert old in EXAM
    text = EXAM.replace(old, new, 1)
    line = text.count("\n", 0, text.index(at)) + 1
    tmp_path.joinpath("scenario.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InvalidScenario) as caught:
        load(Path("scenario.yaml"))
    told = [problem.sentence for problem in caught.value.problems if problem.where == f"scenario.yaml:{line}"]
    assert any(gist in sentence for sentence in told), str(caught.value)


HELPED = EXAM.replace("people: []", "people: [{name: Bram, skills: oven}, {name: Otis, skills: oven}]").replace(
    "equipment: deck oven at 165 C,", "equipment: deck oven at 165 C, people: 1 oven,"
)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("people: 1 oven", "people: 1 ovne", "nobody has the skill 'ovne' (did you mean 'oven'?); leave 'people' out"),
        ("people: 1 oven", "people: 1 bram", "Bram is a person"),
        ("Otis, skills: oven", "Otis, skills: ovens", "helper Otis has nothing to do: no step needs a skill that Otis"),
    ],
)
def test_a_misspelt_skill_of_an_exam_is_told(old: str, new: str, said: str, tmp_path: Path) -> None:
    assert old in HELPED
    tmp_path.joinpath("scenario.yaml").write_text(HELPED, encoding="utf-8")
    load(tmp_path)
    tmp_path.joinpath("scenario.yaml").write_text(HELPED.replace(old, new), encoding="utf-8")
    with pytest.raises(InvalidScenario) as caught:
        load(tmp_path)
    assert said in str(caught.value)


def test_a_skill_unlike_any_of_the_helpers_is_the_candidates(tmp_path: Path) -> None:
    text = HELPED.replace("name: roll and cut,", "name: roll and cut, people: 1 shaping,")
    assert text != HELPED
    tmp_path.joinpath("scenario.yaml").write_text(text, encoding="utf-8")
    assert load(tmp_path).scenario.exam is not None


def test_a_place_that_may_be_the_own_or_a_shared_one_is_named(tmp_path: Path) -> None:
    more = "    - {name: tall rack, kind: rack, holds: 6 trays}\n    - {name: rack"
    text = EXAM.replace("    - {name: rack", more, 1).replace("{name: rack, kind", "{name: low rack, kind")
    tmp_path.joinpath("scenario.yaml").write_text(text.replace("bench, rack]", "bench, low rack]"), encoding="utf-8")
    with pytest.raises(
        InvalidScenario, match="'rack' may be 'tall rack' or 'low rack', and not all of them are shared"
    ):
        load(tmp_path)


def test_without_an_exam_orders_must_be_there(tmp_path: Path) -> None:
    begin, end = EXAM.index("exam:\n"), EXAM.index("kitchen:\n")
    tmp_path.joinpath("scenario.yaml").write_text(EXAM[:begin] + EXAM[end:], encoding="utf-8")
    with pytest.raises(InvalidScenario, match="has no 'orders'"):
        load(tmp_path)
