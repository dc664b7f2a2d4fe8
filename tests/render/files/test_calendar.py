"""Calendars, read back with the library that writes them and held against RFC 5545."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest

from stationplan.plan.document import Plan
from stationplan.render.errors import RenderError
from stationplan.render.files.calendar import write
from stationplan.render.files.wishes import Wishes

from .conftest import AWKWARD, plan_of

DAY = date(2026, 3, 14)
WISHES = Wishes(date=DAY, revised=datetime(2026, 3, 1, 9, 30, tzinfo=UTC))
LISBON = ZoneInfo("Europe/Lisbon")


def events(plan: Plan, wishes: Wishes = WISHES) -> list[icalendar.Event]:
    return list(icalendar.Calendar.from_ical(write(plan, wishes)).walk("VEVENT"))


def at(minute: int, day: date = DAY) -> datetime:
    return datetime(day.year, day.month, day.day) + timedelta(minutes=minute)


def for_person(name: str) -> Wishes:
    return Wishes(date=DAY, person=name)


def test_lines_end_with_cr_and_lf_and_have_at_most_75_octets(plan: Plan) -> None:
    # RFC 5545 section 3.1.
    content = write(plan, WISHES)
    lines = content.split(b"\r\n")
    assert lines.pop() == b""
    assert b"\n" not in b"".join(lines)
    assert b"\r" not in b"".join(lines)
    assert max(map(len, lines)) <= 75
    assert all(line.decode("utf-8") for line in lines)  # no character is torn apart


def test_a_calendar_says_its_version_and_what_has_made_it(plan: Plan) -> None:
    # RFC 5545 sections 3.4, 3.6, 3.7.3 and 3.7.4: first BEGIN, and each of the two exactly once.
    lines = write(plan, WISHES).decode().split("\r\n")
    assert (lines[0], lines[-2]) == ("BEGIN:VCALENDAR", "END:VCALENDAR")
    assert lines.count("VERSION:2.0") == 1
    assert len([line for line in lines if line.startswith("PRODID:-//stationplan//")]) == 1


def test_every_event_has_what_it_must_have_and_an_end_after_its_start_or_none(plan: Plan) -> None:
    # RFC 5545 section 3.6.1: UID, DTSTAMP and DTSTART once, never both DTEND and DURATION; section 3.8.2.2: later;
    # section 3.8.7.2: DTSTAMP in UTC.
    found = events(plan)
    for event in found:
        for name in ("UID", "DTSTAMP", "DTSTART"):
            assert not isinstance(event[name], list)
        assert "DURATION" not in event
        assert "DTEND" not in event or event.decoded("DTEND") > event.decoded("DTSTART")
        assert event.decoded("DTSTAMP") == WISHES.revised
    assert len({str(event["UID"]) for event in found}) == len(found)


def test_the_kitchen_has_every_batch_in_its_time_and_place(plan: Plan) -> None:
    shown = [
        (str(event["SUMMARY"]), event.decoded("DTSTART"), event.decoded("DTEND", None), str(event.get("LOCATION", "")))
        for event in events(plan)
    ]
    for batch in plan.batches:
        [found] = [entry for entry in shown if entry[0].startswith(f"{batch.label} {batch.step}: {batch.item}, ")]
        assert found[1:] == (at(batch.start), at(batch.end), ", ".join(seat.station for seat in batch.seats))


def test_the_kitchen_has_nothing_but_batches_changes_and_orders(plan: Plan) -> None:
    found = events(plan)
    assert len(found) == len(plan.batches) + len(plan.changes) + len(plan.orders)
    starts = [event.decoded("DTSTART") for event in found]
    assert starts == sorted(starts)
    ready = [event for event in found if "DTEND" not in event]
    assert [event.decoded("DTSTART") for event in ready] == sorted(at(order.ready) for order in plan.orders)


def test_a_person_has_just_the_own_work_and_breaks(plan: Plan) -> None:
    breaks = 0
    for person in plan.people:
        found = events(plan, for_person(person))
        work = sorted(
            (event.decoded("DTSTART"), event.decoded("DTEND")) for event in found if event["SUMMARY"] != "break"
        )
        own = [hand for batch in plan.batches for hand in batch.hands if hand.person == person]
        assert work == sorted((at(hand.start), at(hand.end)) for hand in own)
        breaks += len(found) - len(work)
    assert breaks == sum(
        len([person.get("breaks")]) for person in plan.scenario["kitchen"]["people"] if "breaks" in person
    )


def test_what_to_do_is_said_first() -> None:
    plan = plan_of("scenarios/first-shift")
    summaries = [str(event["SUMMARY"]) for name in plan.people for event in events(plan, for_person(name))]
    assert "put in Ac1 bake shells: tartlet shell, 2 trays" in summaries
    assert "take out Ac1 bake shells: tartlet shell, 2 trays" in summaries
    assert "Aa1 mix paste: tartlet shell, 4 trays" in summaries


def test_what_goes_in_and_where_from_and_where_to_is_said() -> None:
    plan = plan_of("scenarios/first-shift")
    details = {str(event["SUMMARY"])[:3]: str(event.get("DESCRIPTION", "")) for event in events(plan)}
    assert "560 g butter" in details["Aa1"]
    assert "276 g whipped cream (Ca1)" in details["Db1"]
    assert "on deck oven at 170 C, takes 2 trays" in details["Ac1"]
    assert "take Ab1-2 from fridge" in details["Ac1"]
    assert "then to rack, cool shells at least 20 min, for Ad1 " in details["Ac1"]


def test_whoever_only_takes_out_is_not_told_what_to_put_in() -> None:
    plan = plan_of("scenarios/first-shift")
    details = {
        str(event["SUMMARY"]).split(":")[0]: str(event.get("DESCRIPTION", ""))
        for name in plan.people
        for event in events(plan, for_person(name))
    }
    assert "take Ab1-2 from fridge" in details["put in Ac1 bake shells"]
    assert "then to rack" not in details["put in Ac1 bake shells"]
    assert "take Ab1-2 from fridge" not in details["take out Ac1 bake shells"]
    assert "then to rack" in details["take out Ac1 bake shells"]


def test_names_come_back_whatever_is_in_them(awkward_plan: Plan) -> None:
    # RFC 5545 section 3.3.11: commas, semicolons, backslashes and line feeds are escaped.
    product, person, station, step = AWKWARD
    found = events(awkward_plan)
    assert f"Ba1 {step}: {product}, 2 trays" in [str(event["SUMMARY"]) for event in found]
    assert station in [str(event.get("LOCATION", "")) for event in found]
    assert f"{person} works 22:30-22:40" in str(found[1]["DESCRIPTION"]).split("\n")
    content = write(awkward_plan, for_person(person)).decode().replace("\r\n ", "")
    # RFC 7986 section 5.1: NAME is text as well.
    assert 'NAME:@Zoé\\, 李\\; \\\\Ωmega: a\\,b\\;"c" ' in content


def test_characters_that_a_calendar_may_not_hold_are_blanks() -> None:
    # RFC 5545 section 3.1: no control characters in text but HTAB; an end of line is written \n (section 3.3.11).
    plan = plan_of("docs/examples/shift-overnight").model_copy(update={"warnings": ("hot\x1b[31m\x00 oil\r\nmind",)})
    calendar = icalendar.Calendar.from_ical(write(plan, WISHES))
    assert str(calendar["DESCRIPTION"]).endswith("\nhot [31m  oil\nmind")


def test_work_after_midnight_is_on_the_next_date() -> None:
    found = events(plan_of("docs/examples/shift-overnight"))
    assert [(event.decoded("DTSTART"), str(event["SUMMARY"])[:3]) for event in found[:2]] == [
        (datetime(2026, 3, 14, 22, 0), "Aa1"),
        (datetime(2026, 3, 15, 0, 15), "Ab1"),
    ]


def test_work_of_the_third_day_is_two_dates_later_also_over_the_end_of_a_month() -> None:
    found = events(plan_of("days"), Wishes(date=date(2028, 2, 28), person="Ida"))
    # 2028 is a leap year: 28 and 29 February, 1 March.
    assert [event.decoded("DTSTART").date() for event in found] == [
        date(2028, 2, 28),
        date(2028, 3, 1),
        date(2028, 3, 1),
    ]


def test_without_a_time_zone_times_are_the_same_everywhere(plan: Plan) -> None:
    # RFC 5545 section 3.3.5, form 1: neither Z nor TZID.
    content = write(plan, WISHES).decode()
    assert "TZID" not in content
    assert [
        line for line in content.split("\r\n") if line.startswith(("DTSTART", "DTEND")) and line.endswith("Z")
    ] == []


def test_with_a_time_zone_times_are_instants_and_the_zone_is_explained(plan: Plan) -> None:
    # RFC 5545 section 3.3.5, form 3, and section 3.2.19: a VTIMEZONE for every TZID.
    wishes = Wishes(date=date(2026, 7, 1), timezone=LISBON)
    calendar = icalendar.Calendar.from_ical(write(plan, wishes))
    assert [str(zone["TZID"]) for zone in calendar.walk("VTIMEZONE")] == ["Europe/Lisbon"]
    batch = min(plan.batches, key=lambda batch: batch.start)
    first = min(event.decoded("DTSTART") for event in calendar.walk("VEVENT"))
    # Summer time in Lisbon is an hour ahead of UTC (IANA time zone database).
    assert first.astimezone(UTC).replace(tzinfo=None) == at(batch.start, date(2026, 7, 1)) - timedelta(hours=1)


def test_a_zone_without_offset_is_written_as_utc() -> None:
    # RFC 5545 section 3.3.5, form 2.
    content = write(plan_of("docs/examples/shift-overnight"), Wishes(date=DAY, timezone=ZoneInfo("UTC"))).decode()
    assert "\r\nDTSTART:20260314T220000Z\r\n" in content


@pytest.mark.parametrize(("day", "changes"), [(date(2026, 3, 27), False), (date(2026, 3, 28), True)])
def test_a_plan_during_which_the_clocks_change_is_refused_in_a_time_zone(day: date, changes: bool) -> None:
    # The clocks of Helsinki go forward on 29 March 2026 at 03:00 (IANA time zone database). The plan ends at 00:25.
    plan = plan_of("docs/examples/shift-overnight")
    late = plan.model_copy(update={"batches": tuple(b.model_copy(update={"end": b.end + 240}) for b in plan.batches)})
    wishes = Wishes(date=day, timezone=ZoneInfo("Europe/Helsinki"))
    assert write(plan, wishes)
    if changes:
        with pytest.raises(RenderError, match="the clocks change in Europe/Helsinki between 2026-03-28 22:00 and"):
            write(late, wishes)
        assert write(late, Wishes(date=day))
    else:
        assert write(late, wishes)


def test_without_a_date_there_is_no_calendar(plan: Plan) -> None:
    with pytest.raises(RenderError, match=r"needs the date .* --date 2026-03-14"):
        write(plan, Wishes())


def test_the_same_plan_gives_the_same_bytes(plan: Plan) -> None:
    assert write(plan, WISHES) == write(plan, WISHES)
    assert write(plan, for_person(plan.people[0])) == write(plan, for_person(plan.people[0]))


def test_an_event_keeps_its_uid_when_the_plan_is_made_anew_at_other_times(plan: Plan) -> None:
    # RFC 5545 section 3.8.4.7: the UID is how a program knows an event again.
    def uids(of: Plan, wishes: Wishes = WISHES) -> set[str]:
        return {str(event["UID"]) for event in events(of, wishes)}

    moved = [batch.model_copy(update={"start": batch.start + 5, "end": batch.end + 5}) for batch in plan.batches]
    assert uids(plan.model_copy(update={"batches": tuple(moved)})) == uids(plan)
    assert uids(plan, Wishes(date=date(2026, 3, 15))).isdisjoint(uids(plan))
    another = plan.model_copy(update={"scenario": {**plan.scenario, "name": "another"}})
    assert uids(another).isdisjoint(uids(plan))
    assert uids(plan, for_person(plan.people[0])).isdisjoint(uids(plan))


def test_an_alarm_shows_a_text_at_its_moment(awkward_plan: Plan) -> None:
    # RFC 5545 section 3.6.6: DISPLAY needs DESCRIPTION and TRIGGER; section 3.8.6.3: a trigger counts from the start.
    found = {}
    for event in events(awkward_plan, for_person(AWKWARD[1])):
        for alarm in event.walk("VALARM"):
            assert alarm["ACTION"] == "DISPLAY"
            assert "RELATED" not in alarm["TRIGGER"].params
            found[str(alarm["DESCRIPTION"])] = event.decoded("DTSTART") + alarm.decoded("TRIGGER")
    assert found["Aa1 boil ends"] == datetime(2026, 3, 14, 22, 30)
    assert found["take out Bb1 bake"] == datetime(2026, 3, 15, 0, 31)
    assert found[f"Ba1 {AWKWARD[3]}: begin by 22:40 at the latest: -cream from Aa1 must not wait longer"] == datetime(
        2026, 3, 14, 22, 30
    )
