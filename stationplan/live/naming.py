"""The names that there are in a shift's kitchen, found in whatever case they are typed."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from stationplan.live.errors import EventError
from stationplan.plan.document import Plan
from stationplan.scenario.checks.measures import in_words, units_of
from stationplan.scenario.models import Scenario
from stationplan.scenario.units.numbers import suggestion

_NUMBER = re.compile(r"(\d{1,4})(?:\.(\d{1,4}))?", re.ASCII)
What = Literal["equipment", "station", "person", "product", "item", "ingredient"]


@dataclass(frozen=True)
class Names:
    """Names by what they are names of.

    ``kinds`` are the kinds of the stations, ``counts`` the units of equipment, ``chambers`` those of each of them, and
    ``units`` what items are counted in, as one says it.
    """

    known: Mapping[What, tuple[str, ...]]
    kinds: Mapping[str, str]
    counts: Mapping[str, int]
    chambers: Mapping[str, int]
    units: Mapping[str, str]

    def is_there(self, what: What, written: Sequence[str]) -> str | None:
        """The name as the scenario writes it, None when there is none such."""
        text = " ".join(written).lower()
        return next((name for name in self.known[what] if name.lower() == text), None)

    def near(self, what: What, written: Sequence[str]) -> str:
        """A suggestion for a name that is not there, in brackets, or nothing."""
        return suggestion(" ".join(written), self.known[what])

    def find(self, what: What, written: Sequence[str]) -> str:
        """The name as the scenario writes it.

        Args:
            what: what it is to be the name of.
            written: its words, as typed.

        Raises:
            EventError: when there is none such.
        """
        name = self.is_there(what, written)
        if name is None:
            raise EventError(self._nothing((what,), written))
        return name

    def find_either(self, first: What, second: What, written: Sequence[str]) -> tuple[What, str]:
        """The first of two things of this name, and its name; as :meth:`find`."""
        for what in (first, second):
            name = self.is_there(what, written)
            if name is not None:
                return what, name
        raise EventError(self._nothing((first, second), written))

    def unit(self, written: Sequence[str]) -> tuple[str, int | None, int | None]:
        """Equipment, one unit of it, or one chamber, as on the chart: ``deck oven 2``, ``deck oven 2.1``.

        Args:
            written: its words, as typed.

        Returns:
            The name of the entry, the unit and its chamber, both from 1; None for all of them.

        Raises:
            EventError: when there is none such.
        """
        name = self.is_there("equipment", written)
        if name is not None:
            return name, None, None
        name = self.is_there("equipment", written[:-1])
        number = _NUMBER.fullmatch(written[-1]) if written else None
        if name is None or number is None:
            raise EventError(self._nothing(("equipment",), written))
        count, chambers = self.counts[name], self.chambers[name]
        if count == chambers == 1:
            raise EventError(f"there is one {name}, and it is in use or out of use as a whole; write {name}")
        first, second = int(number[1]), None if number[2] is None else int(number[2])
        # The chambers of a single oven are numbered through; those of a unit stand behind its point.
        unit, chamber = (None, first) if count == 1 else (first, second)
        none_such = second is not None and (1 in (count, chambers) or not 1 <= second <= chambers)
        if none_such or not 1 <= first <= (chambers if count == 1 else count):
            raise EventError(f"there is no {name} {written[-1]}: there are {_units(name, count, chambers)}")
        return name, unit, chamber

    def _nothing(self, whats: Sequence[What], written: Sequence[str]) -> str:
        text = " ".join(written)
        known = [name for what in whats for name in self.known[what]]
        listed = ", ".join(known) if len(known) <= 12 else f"{', '.join(known[:12])} and {len(known) - 12} more"
        if not text:
            return f"say which {' or '.join(whats)}: {listed}"
        return f"there is no {' or '.join(whats)} '{text}'{suggestion(text, known)}; there are: {listed}"


def names_of(plan: Plan, scenario: Scenario) -> Names:
    """The names of a shift.

    Args:
        plan: the plan in force.
        scenario: the scenario that the shift began with.
    """
    items = scenario.items
    mixes = (mix for item in items.values() for mix in (item.ingredients, *(s.ingredients for s in item.all_steps)))
    ingredients = dict.fromkeys(name for mix in mixes for name in mix)
    return Names(
        known={
            "equipment": tuple(machine.name for machine in scenario.kitchen.equipment),
            "station": tuple(station.name for station in plan.stations),
            "person": tuple(person.name for person in scenario.kitchen.people),
            "product": tuple(scenario.products),
            "item": tuple(items),
            "ingredient": tuple(ingredients),
        },
        kinds={station.name: station.kind for station in plan.stations},
        counts={machine.name: machine.count for machine in scenario.kitchen.equipment},
        chambers={machine.name: machine.chambers for machine in scenario.kitchen.equipment},
        units={name: in_words(*units_of(item)) for name, item in items.items()},
    )


def _units(name: str, count: int, chambers: int) -> str:
    """How many units or chambers there are."""
    if chambers == 1:
        return str(count)
    return str(chambers) if count == 1 else f"{count}, with {chambers} chambers each, such as {name} {count}.{chambers}"
