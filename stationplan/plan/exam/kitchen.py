"""An exam as one kitchen: every candidate is a person, with dishes and equipment of their own name.

What comes out is an ordinary scenario, so that everything that works on plans works on
that of an exam.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor
from typing import TYPE_CHECKING, Any, TypeVar

from stationplan.scenario.models import Equipment, Item, Kitchen, Order, Person, Repeat, Scenario, Shift, Step, Wait
from stationplan.scenario.units import Clock, ClockSpan, PeopleNeed
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from stationplan.scenario.exam import Exam
    from stationplan.scenario.models import EquipmentNeed

_AnyItem = TypeVar("_AnyItem", bound=Item)


@dataclass(frozen=True, slots=True)
class Place:
    """A candidate and when they may begin to cook, minutes since midnight of the first day."""

    candidate: str
    cooks_from: int


def named_for(name: str, candidate: str) -> str:
    """What a dish, a component or a piece of equipment is called when it is one candidate's own."""
    return f"{name} of {candidate}"


def minutes_of(exam: Exam) -> tuple[int, int, int]:
    """Set-up, time allowed and clean-down in whole minutes."""
    return ceil(exam.set_up), floor(exam.time_allowed), ceil(exam.clean_down)


def one_kitchen(scenario: Scenario, places: Sequence[Place], closes: int, spare: int = 0) -> Scenario:
    """The exam as an ordinary scenario.

    Args:
        scenario: a valid scenario with an exam.
        places: the candidates who take part, and when.
        closes: when all must be over, minutes since midnight of the first day.
        spare: minutes after the time allowed in which late dishes may still be finished.

    Returns:
        A scenario without an exam, in which candidates are people who are in for their time of cooking only.
    """
    exam = scenario.exam
    assert exam is not None
    kitchen = scenario.kitchen
    own = {name.casefold() for name in exam.own}
    allowed = minutes_of(exam)[1]
    last_day = (closes - 1 - scenario.shift.opens) // MINUTES_PER_DAY
    people = [_on_each_day(person, scenario.shift, last_day) for person in kitchen.people]
    equipment = [entry for entry in kitchen.equipment if entry.name.casefold() not in own]
    components, products, orders = {}, {}, []
    for number, place in enumerate(places, 1):
        skill = f"candidate {number}"
        hours = ClockSpan(place.cooks_from, place.cooks_from + allowed + spare)
        people.append(Person(name=place.candidate, skills=(skill,), hours=(hours,), breaks=()))
        writer = _Writer(scenario, own, place.candidate, skill)
        equipment += writer.equipment()
        components.update({writer.call(name): writer.item(name, item) for name, item in scenario.components.items()})
        products.update({writer.call(name): writer.item(name, item) for name, item in scenario.products.items()})
        for dish in exam.menu:
            due = None if dish.hand_in is None else Clock(place.cooks_from + floor(dish.hand_in.most) + _free(exam))
            orders.append(
                Order(product=writer.call(dish.product), quantity=dish.quantity, due=due, weight=exam.late.points)
            )
    return Scenario(
        name=scenario.name,
        shift=Shift(opens=scenario.shift.opens, closes=Clock(closes)),
        kitchen=Kitchen(people=tuple(people), equipment=tuple(equipment)),
        components=components,
        products=products,
        orders=tuple(orders),
        stock=(),
        goods=(),
        exam=None,
    )


def _on_each_day(helper: Person, shift: Shift, last_day: int) -> Person:
    """A helper with the same hours and breaks on all days."""
    if not last_day:
        return helper

    def daily(spans: tuple[ClockSpan, ...]) -> tuple[ClockSpan, ...]:
        moves = [day * MINUTES_PER_DAY for day in range(last_day + 1)]
        return tuple(ClockSpan(span.start + move, span.end + move) for move in moves for span in spans)

    hours = helper.hours or (ClockSpan(shift.opens, shift.closes),)
    return helper.model_copy(update={"hours": daily(hours), "breaks": daily(helper.breaks)})


def as_plain(scenario: Scenario) -> dict[str, Any]:
    """A scenario as plain data, as a file would hold it."""
    return scenario.model_dump(mode="json", by_alias=True, exclude_defaults=True)


def _free(exam: Exam) -> int:
    """Minutes after a window that cost nothing."""
    return floor(exam.late.tolerance)


class _Writer:
    """Writes the recipes once more for one candidate."""

    def __init__(self, scenario: Scenario, own: set[str], candidate: str, skill: str) -> None:
        self._entries = scenario.kitchen.equipment
        self._helped = {skill for person in scenario.kitchen.people for skill in person.skills}
        self._own = own
        self._candidate = candidate
        self._skill = skill

    def call(self, name: str) -> str:
        """The candidate's name for something."""
        return named_for(name, self._candidate)

    def equipment(self) -> Iterator[Equipment]:
        """The candidate's own."""
        for entry in self._entries:
            if entry.name.casefold() in self._own:
                yield entry.model_copy(update={"name": self.call(entry.name)})

    def item(self, name: str, item: _AnyItem) -> _AnyItem:
        """An item, on the candidate's equipment and by their hands."""
        return item.model_copy(
            update={
                "uses": self._uses(item),
                "steps": tuple(self._entry(name, entry) for entry in item.steps),
            }
        )

    def _uses(self, user: Item | Step) -> dict[str, Any]:
        return {
            self.call(component): use.model_copy(update={"place": self._place(use.place)})
            for component, use in user.uses.items()
        }

    def _entry(self, item: str, entry: Any) -> Any:
        if isinstance(entry, Repeat):
            return entry.model_copy(update={"steps": tuple(self._entry(item, inner) for inner in entry.steps)})
        if isinstance(entry, Wait):
            return entry.model_copy(update={"place": self._place(entry.place)})
        assert isinstance(entry, Step)
        hands = entry.hands()
        needed = hands.all or hands.first or hands.last or entry.load or entry.unload
        return entry.model_copy(
            update={
                "people": self._people(entry) if needed else entry.people,
                # Who is named as doing it would make all of it hands-on by default.
                "hands_on": hands,
                "holding": self._content(item, entry),
                "equipment": tuple(way for need in entry.equipment for way in self._ways(need)),
                "also": {self._place(word): amount for word, amount in entry.also.items()},
                "uses": self._uses(entry),
            }
        )

    def _content(self, item: str, step: Step) -> str | None:
        """What is in a bowl goes by the recipe's name: the same dough of another candidate is no other content."""
        in_bowl = any(entry.kind == "mixer" for need in step.equipment for entry in self._meant(need.use))
        return item if in_bowl and step.holding is None else step.holding

    def _people(self, step: Step) -> tuple[PeopleNeed, ...]:
        mine = PeopleNeed(1, self._skill)
        return tuple(need if need.skill in self._helped else mine for need in step.people) or (mine,)

    def _meant(self, word: str) -> list[Equipment]:
        exact = [entry for entry in self._entries if entry.name.casefold() == word.casefold()]
        return exact or [entry for entry in self._entries if entry.kind == word.casefold()]

    def _ways(self, need: EquipmentNeed) -> Iterator[EquipmentNeed]:
        """A kind that is partly the candidate's own is written out: the kind would mean everybody's."""
        meant = self._meant(need.use)
        if not any(entry.name.casefold() in self._own for entry in meant):
            yield need
            return
        for entry in meant:
            name = self.call(entry.name) if entry.name.casefold() in self._own else entry.name
            yield need.model_copy(update={"use": name.casefold()})

    def _place(self, word: str | None) -> str | None:
        if word is None:
            return None
        meant = self._meant(word)
        if len(meant) == 1 and meant[0].name.casefold() in self._own:
            return self.call(meant[0].name).casefold()
        return word
