"""Other hours and other breaks for people, as changes to a scenario."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from stationplan.network.network import Crew
from stationplan.plan.alteration import Alteration, mapping_at
from stationplan.plan.wording import listed
from stationplan.scenario.units import ClockSpan, format_clock, format_duration

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.plan.demands import Demand
    from stationplan.scenario.models import Person, Scenario

FIRST_MINUTES = 15
MOST_MINUTES = 3 * 60
"""By how much a break may move; a break at the other end of the day is none."""


def other_hours(network: Network, scenario: Scenario, demand: Demand) -> Iterator[Alteration]:
    """Coming earlier, staying longer, and each break earlier or later, for people of the same hours together.

    Args:
        network: the scheduling problem of the scenario.
        scenario: the scenario.
        demand: that these people are away at times.
    """
    [index] = demand.requirement.closures
    crew = network.resources[index]
    assert isinstance(crew, Crew)
    people = [position for position, person in enumerate(scenario.kitchen.people) if person.name in crew.names]
    person, names = scenario.kitchen.people[people[0]], listed(crew.names)
    for number in range(len(person.breaks)):
        yield from _moved_break(network, people, person, names, number)
    if person.hours:
        yield from _longer_hours(network, people, person, names)


def _moved_break(
    network: Network, people: Sequence[int], person: Person, names: str, number: int
) -> Iterator[Alteration]:
    away = person.breaks[number]
    for sign, word, room in (
        (1, "later", network.closes - away.end),
        (-1, "earlier", away.start - network.opens),
    ):

        def moved(minutes: int, sign: int = sign) -> ClockSpan:
            return ClockSpan(away.start + sign * minutes, away.end + sign * minutes)

        def tell(minutes: int, sign: int = sign, word: str = word) -> str:
            return f"the break of {names} {format_duration(minutes)} {word}, {moved(minutes, sign)}"

        def apply(raw: dict[str, Any], minutes: int, sign: int = sign) -> None:
            spans = [*person.breaks[:number], moved(minutes, sign), *person.breaks[number + 1 :]]
            _set(raw, people, "breaks", spans)

        most = min(MOST_MINUTES, room)
        if most > 0:
            path = ("kitchen", "people", people[0], "breaks")
            yield Alteration(apply, tell, path, min(FIRST_MINUTES, most), most, steady=False)


def _longer_hours(network: Network, people: Sequence[int], person: Person, names: str) -> Iterator[Alteration]:
    hours = person.hours
    path = ("kitchen", "people", people[0], "hours")
    first, last = hours[0], hours[-1]
    verb = "" if len(people) > 1 else "s"

    def come(raw: dict[str, Any], minutes: int) -> None:
        _set(raw, people, "hours", [ClockSpan(first.start - minutes, first.end), *hours[1:]])

    def tell_coming(minutes: int) -> str:
        return f"{names} come{verb} {format_duration(minutes)} earlier, at {format_clock(first.start - minutes)}"

    def stay(raw: dict[str, Any], minutes: int) -> None:
        _set(raw, people, "hours", [*hours[:-1], ClockSpan(last.start, last.end + minutes)])

    def tell_staying(minutes: int) -> str:
        return f"{names} stay{verb} {format_duration(minutes)} longer, until {format_clock(last.end + minutes)}"

    before, after = first.start - network.opens, network.closes - last.end
    if before > 0:
        yield Alteration(come, tell_coming, path, min(FIRST_MINUTES, before), before)
    if after > 0:
        yield Alteration(stay, tell_staying, path, min(FIRST_MINUTES, after), after)


def _set(raw: dict[str, Any], people: Sequence[int], key: str, spans: Sequence[ClockSpan]) -> None:
    for position in people:
        mapping_at(raw, ("kitchen", "people", position))[key] = [str(span) for span in spans]
