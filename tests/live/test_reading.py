"""What somebody types, read as an event."""

from __future__ import annotations

import pytest

from stationplan.live.errors import EventError
from stationplan.live.events import Event
from stationplan.live.naming import Names, names_of
from stationplan.live.reading import read
from stationplan.live.said import WORDS
from stationplan.live.state import fold
from stationplan.live.wording import told
from stationplan.plan.document import Plan
from stationplan.scenario import from_plain
from stationplan.scenario.units import parse_clock


def typed(plan: Plan, *words: str, now: str = "08:00") -> Event:
    return read(words, fold(plan, ()), names(plan), now=int(parse_clock(now)), who="Ida")


def names(plan: Plan) -> Names:
    return names_of(plan, from_plain(plan.scenario))


@pytest.mark.parametrize(
    ("words", "understood"),
    [
        ("started ac1", "started Ac1 at 08:00"),
        ("STARTED AC1 at 7:40", "started Ac1 at 07:40"),
        ("started Ac1 by odo on Deck Oven", "started Ac1 on deck oven by Odo at 08:00"),
        ("finished Ac1 at 0740", "finished Ac1 at 07:40"),
        ("finished Ac1 at 7", "finished Ac1 at 07:00"),
        ("finished Ac1 at 7.56", "finished Ac1 at 07:56"),
        ("finished ac1 at 756 by odo", "finished Ac1 by Odo at 07:56"),
        ("done ac1 at 7h56", "finished Ac1 at 07:56"),
        ("Begun ac1", "started Ac1 at 08:00"),
        ("failed Ac1", "failed Ac1 at 08:00"),
        ("overrunning Ac1 +10", "overrunning Ac1 until 08:10 at 08:00"),
        ("overrunning Ac1 +10min at 07:55", "overrunning Ac1 until 08:05 at 07:55"),
        ("overrunning Ac1 until 8:20", "overrunning Ac1 until 08:20 at 08:00"),
        ("overrunning Ac1 820", "overrunning Ac1 until 08:20 at 08:00"),
        ("out Deck Oven", "out deck oven at 08:00"),
        ("out ring 2 until 11:00", "out ring 2 until 11:00 at 08:00"),
        ("out deck oven until +45", "out deck oven until 08:45 at 08:00"),
        ("back deck oven", "back deck oven at 08:00"),
        ("slower deck oven 20%", "slower deck oven 20% at 08:00"),
        ("slower deck oven 20 %", "slower deck oven 20% at 08:00"),
        ("away odo", "away Odo at 08:00"),
        ("away odo until 1:30", "away Odo until day 2 01:30 at 08:00"),
        ("late odo until 9:30", "away Odo until 09:30 at 08:00"),
        ("late whole egg until 10:30", "late whole egg until 10:30 at 08:00"),
        ("late cocoa butter until 10:30", "late cocoa butter until 10:30 at 08:00"),
        ("in odo", "in Odo at 08:00"),
        ("in whole egg at 7:55", "in whole egg at 07:55"),
        ("order add 24 larkfield tartlet due 11", "order add 24 Larkfield tartlet due 11:00 at 08:00"),
        ("order change larkfield tartlet 120", "order change 1 Larkfield tartlet 120 at 08:00"),
        ("order change 1 120 due 10:30", "order change 1 Larkfield tartlet 120 due 10:30 at 08:00"),
        ("order change 1 due 10:30", "order change 1 Larkfield tartlet due 10:30 at 08:00"),
        ("order change 1 larkfield tartlet 120", "order change 1 Larkfield tartlet 120 at 08:00"),
        ("order cancel larkfield tartlet", "order cancel 1 Larkfield tartlet at 08:00"),
        ("stock 1.5 kg lemon cream", "stock 1.5 kg lemon cream at 08:00"),
        ("stock 2 trays of tartlet shell until 12:00", "stock 2 trays tartlet shell until 12:00 at 08:00"),
        ("stock 1kg lemon cream", "stock 1kg lemon cream at 08:00"),
        ("note the oven hums at 180 C", "note the oven hums at 180 C at 08:00"),
        ("undo 12", "undo 12 at 08:00"),
    ],
)
def test_what_is_typed_is_understood(plan: Plan, words: str, understood: str) -> None:
    assert told(typed(plan, words)) == understood
    assert told(typed(plan, *words.split())) == understood


def test_a_name_may_be_one_word_of_the_shell(plan: Plan) -> None:
    assert told(typed(plan, "out", "deck oven", "until", "11:00")) == "out deck oven until 11:00 at 08:00"


def test_what_is_told_of_an_event_records_it_again(plan: Plan) -> None:
    for words in (
        "started Ac1 by Odo",
        "started Ac1 on deck oven",
        "out ring 2 until 11:00",
        "order change 1 120 due 10:30",
        "order cancel 1",
        "finished Ac1 by Odo",
        "late whole egg until 9:00",
    ):
        event = typed(plan, words, now="07:30")
        assert typed(plan, told(event), now="08:00") == event


@pytest.mark.parametrize(
    ("clock", "now", "meant"),
    [
        ("23:50", "day 2 00:10", "23:50"),
        ("00:05", "23:58", "day 2 00:05"),
        ("11:00", "08:00", "11:00"),
        ("day 2 05:00", "08:00", "day 2 05:00"),
    ],
)
def test_a_time_without_a_day_is_the_nearest(plan: Plan, clock: str, now: str, meant: str) -> None:
    assert typed(plan, f"finished Ac1 at {clock}", now=now).at == parse_clock(meant)


@pytest.mark.parametrize(
    "words",
    [
        "overrunning Ac1 until {}",
        "out deck oven until {}",
        "away Odo until {}",
        "late Odo until {}",
        "late butter until {}",
        "stock 1 kg lemon cream until {}",
        "order add 24 Larkfield tartlet due {}",
        "order change 1 due {}",
    ],
)
def test_a_time_to_come_that_has_just_passed_is_a_slip(plan: Plan, words: str) -> None:
    word = "due" if "due" in words else "until"
    for over in ("7:55", "755", "2:01"):
        clock = "02:01" if over == "2:01" else "07:55"
        with pytest.raises(EventError) as error:
            typed(plan, words.format(over))
        assert str(error.value) == f"{word} {clock} is not after 08:00; if a day later is meant, write day 2 {clock}"
    assert f"{word} day 2 07:55" in told(typed(plan, words.format("day 2 7:55")))
    assert f"{word} day 2 00:10" in told(typed(plan, words.format("0:10"), now="23:50"))


@pytest.mark.parametrize(
    ("words", "write"),
    [
        ("overrunning Ac1 10", "'10' alone may be minutes: write +10 for 10 min more, or 10:00 for the time"),
        ("overrunning Ac1 5", "'5' alone may be minutes: write +5 for 5 min more, or 05:00 for the time"),
        ("overrunning Ac1 45", "'45' alone may be minutes: write +45 for 45 min more"),
        ("overrunning Ac1 120", "'120' alone may be minutes: write +120 for 2 h more, or 01:20 for the time"),
        ("out deck oven until 45", "'45' alone may be minutes: write +45 for 45 min more"),
    ],
)
def test_a_number_that_may_be_minutes_or_a_time_is_asked_about(plan: Plan, words: str, write: str) -> None:
    with pytest.raises(EventError) as error:
        typed(plan, words)
    assert str(error.value) == write


def test_a_batch_says_where_and_by_whom_it_was_planned_unless_told_otherwise(plan: Plan) -> None:
    planned = next(batch for batch in plan.batches if batch.label == "Aa1")
    [hand] = planned.hands
    other = "Odo" if hand.person == "Tamsin" else "Tamsin"
    as_planned, by_another = typed(plan, "started Aa1"), typed(plan, f"started aa1 by {other} on mixer")
    assert (as_planned.kind, by_another.kind) == ("started", "started")
    assert as_planned.model_dump()["people"] == (hand.person,)
    assert by_another.model_dump()["people"] == (other,)
    assert by_another.model_dump()["stations"] == ("mixer",)


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        ("finishd Ac1", "(did you mean 'finished'?); begin with one of: started, finished"),
        ("started", "the label of the batch is missing; write started Ac3"),
        ("started Ac9", "there is no batch 'Ac9' in the plan (did you mean 'Ac"),
        ("started Ac1 at noon", "'noon' is not a time of day; write started Ac3"),
        ("started Ac1 at 25:00", "'25:00' is not a time of day: they go from 00:00 to 24:00; write started"),
        ("started Ac1 at", "write started Ac3"),
        ("started Ac1 on deck ovn", "there is no station 'deck ovn' (did you mean 'deck oven'?); there are: "),
        ("started Ac1 on mixer", "Ac1 needs no mixer; write started"),
        ("started Ac1 by Ida", "there is no person 'Ida'"),
        ("overrunning Ac1", "say how much longer Ac1 takes; write overrunning Ac3 +10"),
        ("overrunning Ac1 soon", "'soon' is not a time of day; write overrunning Ac3 +10"),
        ("out", "say which equipment: deck oven, mixer, ring, rack, fridge"),
        ("out deck oven 2", "there is one deck oven, and it is in use or out of use as a whole; write deck oven"),
        ("out ring 3", "there is no ring 3: there are 2"),
        ("slower deck oven", "say by how much it is slower, 100 % at most; write slower EQUIPMENT 20%"),
        ("slower deck oven 101%", "say by how much it is slower"),
        ("slower deck oven 30", "30 alone may be a chamber: write 30% if it takes so much longer; write slower"),
        ("away Odoh", "there is no person 'Odoh' (did you mean 'Odo'?); there are: Tamsin, Odo"),
        ("late Odo", "say until when; write late PERSON until 07:30"),
        ("late saffron until 9", "there is no person or ingredient 'saffron'"),
        ("order", "say whether it is to add, to change or to cancel"),
        ("order add Larkfield tartlet", "say how many of what; write order add 24 PRODUCT"),
        ("order add 0 Larkfield tartlet", "say how many of what"),
        ("order change 1", "say what is new about the order"),
        ("order change 1 96 tartlets", "write the number alone: 96, without tartlets; write order add"),
        ("order change Larkfield tartlet 4 trays", "write the number alone: 4, without trays"),
        ("order change 1 96 tartlets due 11:00", "write the number alone: 96, without tartlets"),
        ("order change 7 20", "there is no order 7; the orders are: order 1 (90 Larkfield tartlet, due 10:00)"),
        ("order cancel plum tart", "there is no product 'plum tart'"),
        ("stock lemon cream", "'lemon cream' is no amount of something that is made here"),
        ("stock 24 tartlet shell", "'24' has no unit; tartlet shell is counted in "),
        ("finished Ac1 by Ida", "there is no person 'Ida'"),
        ("order change 1 lemon tart 120", "there is no product 'lemon tart'"),
        ("stock some trays tartlet shell", "'some trays' does not start with a number; write stock"),
        ("note", "there is nothing to note"),
        ("undo", "there is nothing to undo"),
        ("undo that", "'that' is no number of an event; write undo, or: undo 12"),
        ("  ", "say what happened, beginning with one of: started"),
    ],
)
def test_what_is_not_understood_is_told_with_what_would_be(plan: Plan, words: str, complaint: str) -> None:
    with pytest.raises(EventError) as error:
        typed(plan, words)
    assert complaint in str(error.value)


def test_every_word_that_begins_an_event_is_explained(plan: Plan) -> None:
    for word, example in WORDS.items():
        assert example.startswith(word)
