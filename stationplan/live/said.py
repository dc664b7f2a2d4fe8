"""What somebody types, taken apart: the word that an event begins with, what it is about, and times of day.

A time behind ``at``, ``until`` or ``due`` is a time of day, or ``+10`` for ten minutes more. Without ``day 2`` in front
it is the nearest such time for ``at``, and the next one for the others, unless it has only just passed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass

from stationplan.live.errors import EventError
from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import format_clock, format_duration, parse_clock
from stationplan.scenario.units.clock import in_our_fashion
from stationplan.scenario.units.numbers import suggestion

DAY = 24 * 60
_MORE = re.compile(r"\+(\d{1,4})(?:m|min)?", re.ASCII)
_SHORT_CLOCK = re.compile(r"(\d{1,2})(?::?(\d{2}))?", re.ASCII)
_BARE = re.compile(r"\d{1,4}", re.ASCII)
_JUST_OVER = 6 * 60
"""Minutes for which a time of day is over, and not one of tomorrow."""

WORDS = {
    "started": "started Ac3 [on STATION] [by PERSON] [at 09:40]",
    "finished": "finished Ac3 [by PERSON] [at 09:40]",
    "overrunning": "overrunning Ac3 +10, or: overrunning Ac3 until 09:50",
    "failed": "failed Ac3 [at 09:40]",
    "out": "out EQUIPMENT [until 11:00]",
    "back": "back EQUIPMENT",
    "slower": "slower EQUIPMENT 20%",
    "away": "away PERSON [until 10:30]",
    "in": "in PERSON, or: in INGREDIENT",
    "late": "late PERSON until 07:30, or: late INGREDIENT until 10:30",
    "order": "order add 24 PRODUCT [due 15:00], order change 2 36 [due 16:00], or: order cancel 2",
    "stock": "stock 40 discs ITEM [until 14:00]",
    "note": "note and then anything",
    "undo": "undo, or: undo 12",
}
"""The word that an event begins with, and how it goes on."""


_OTHER_WORDS = {"begun": "started", "done": "finished"}
"""What else people say for them."""

_CLAUSES = {
    "started": ("at", "on", "by"),
    "finished": ("at", "by"),
    "failed": ("at",),
    "overrunning": ("at", "until"),
    "out": ("at", "until"),
    "back": ("at",),
    "slower": ("at",),
    "away": ("at", "until"),
    "late": ("at", "until"),
    "in": ("at",),
    "order": ("at", "due"),
    "stock": ("at", "until"),
    "note": (),
    "undo": (),
}


@dataclass(frozen=True)
class Said:
    """What was typed, taken apart: the words before the first clause, and each clause by its word."""

    word: str
    body: tuple[str, ...]
    clauses: dict[str, tuple[str, ...]]
    now: int
    who: str

    @property
    def text(self) -> str:
        """The body as one text."""
        return " ".join(self.body)

    def fail(self, why: str) -> EventError:
        """An error that says how this event is written."""
        return EventError(f"{why}; write {WORDS[self.word]}")

    def at(self) -> int:
        """When it happened: now, or the nearest such time of day.

        Raises:
            EventError: when it is no time of day.
        """
        written = self.clauses.get("at")
        if written is None:
            return self.now
        minutes, has_day = self._clock(written)
        if has_day:
            return minutes
        around = (minutes + day * DAY for day in range(self.now // DAY - 1, self.now // DAY + 2))
        return min((at for at in around if at >= 0), key=lambda at: (abs(at - self.now), at))

    def until(self, at: int) -> int | None:
        """The time behind ``until``, of something that happened at a minute; None where none is told."""
        written = self.clauses.get("until")
        return None if written is None else self.then("until", written, at)

    def due(self, at: int) -> int | None:
        """The time behind ``due``, as :meth:`until`."""
        written = self.clauses.get("due")
        return None if written is None else self.then("due", written, at)

    def then(self, word: str, written: Sequence[str], base: int) -> int:
        """A time to come: so many minutes after another, or the next such time of day from it on.

        Args:
            word: what stands before it.
            written: as typed.
            base: minutes since midnight of the first day.

        Raises:
            EventError: when it is no time of day, or one that has just passed.
        """
        more = more_of(written)
        if more is not None:
            return base + more
        if _BARE.fullmatch(" ".join(written)) and self._of_day(written) is None:
            raise self._perhaps_minutes(written)
        minutes, has_day = self._clock(written)
        if has_day:
            return minutes
        then = minutes % DAY + (base - minutes % DAY + DAY - 1) // DAY * DAY
        if then > base + DAY - _JUST_OVER:
            over, since = format_clock(then - DAY), format_clock(base)
            raise EventError(f"{word} {over} is not after {since}; if a day later is meant, write {format_clock(then)}")
        return then

    def longer(self, written: Sequence[str], base: int) -> int:
        """How long something takes that takes longer, as :meth:`then`; a number alone may be minutes or a time."""
        text = " ".join(written)
        if _BARE.fullmatch(text):
            minutes = self._of_day(written)
            if len(text) < 3 or minutes is None or (minutes - base) % DAY > _JUST_OVER:
                raise self._perhaps_minutes(written)
        return self.then("until", written, base)

    def _of_day(self, written: Sequence[str]) -> int | None:
        """The time of day that a number may be, if any."""
        with suppress(EventError):
            return self._clock(written)[0]
        return None

    def _perhaps_minutes(self, written: Sequence[str]) -> EventError:
        more, minutes = int(" ".join(written)), self._of_day(written)
        time = "" if minutes is None else f", or {format_clock(minutes % DAY)} for the time"
        return EventError(f"'{more}' alone may be minutes: write +{more} for {format_duration(more)} more{time}")

    def _clock(self, written: Sequence[str]) -> tuple[int, bool]:
        """A time of day, and whether it says which day; `1140`, `11.40` and `11` will do for 11:40 and 11:00."""
        text = " ".join(written)
        short = _SHORT_CLOCK.fullmatch(text)
        text = f"{short[1]}:{short[2] or '00'}" if short is not None else in_our_fashion(text) or text
        try:
            return int(parse_clock(text)), text.lower().startswith("day")
        except UnitError as error:
            raise self.fail(str(error).partition("; write")[0]) from error


def more_of(written: Sequence[str]) -> int | None:
    """The minutes more that are written, such as ``+10``; None when it is a time of day."""
    more = _MORE.fullmatch(" ".join(written).replace(" ", ""))
    return None if more is None else int(more[1])


def take_apart(words: Sequence[str], *, now: int, who: str) -> Said:
    """Take apart what was typed.

    Args:
        words: as typed; a name of several words may be one of them or several.
        now: minutes since midnight of the first day.
        who: who records it.

    Raises:
        EventError: when it begins with no word of an event.
    """
    typed = words[0].split() if len(words) == 1 else [word.strip() for word in words if word.strip()]
    if not typed:
        raise EventError(f"say what happened, beginning with one of: {', '.join(WORDS)}")
    word = _OTHER_WORDS.get(typed[0].lower(), typed[0].lower())
    if word not in WORDS:
        raise EventError(
            f"'{typed[0]}' is nothing that can be recorded{suggestion(word, WORDS)}; begin with one of: "
            f"{', '.join(WORDS)}"
        )
    body, clauses = _clauses(typed[1:], _CLAUSES[word])
    return Said(word, body, clauses, now, who)


def _clauses(typed: Sequence[str], words: Iterable[str]) -> tuple[tuple[str, ...], dict[str, tuple[str, ...]]]:
    found: dict[str, list[str]] = {"": []}
    current = ""
    for part in typed:
        if part.lower() in words and part.lower() not in found:
            current = part.lower()
            found[current] = []
        else:
            found[current].append(part)
    body = tuple(found.pop(""))
    return body, {word: tuple(parts) for word, parts in found.items()}
