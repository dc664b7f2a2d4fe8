"""Reading what somebody types with floury hands: ``started ac3``, ``overrunning Ac3 +10``, ``out deck oven until 11``.

A time behind ``at``, ``until`` or ``due`` is a time of day, or ``+10`` for ten minutes more. Without ``day 2`` in front
it is the nearest such time for ``at``, and the next one for the others.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from stationplan.live.errors import EventError
from stationplan.live.events import (
    Away,
    Back,
    Event,
    Failed,
    Finished,
    GoodsIn,
    GoodsLate,
    In,
    Note,
    OrderAdded,
    OrderCancelled,
    OrderChanged,
    Out,
    Overrunning,
    Slower,
    Started,
    StockFound,
    Undo,
)
from stationplan.live.naming import Names
from stationplan.live.state import OrderLine, ShiftState
from stationplan.plan.document import Batch
from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import format_clock, parse_clock, parse_quantity
from stationplan.scenario.units.numbers import suggestion

DAY = 24 * 60
_MORE = re.compile(r"\+(\d{1,4})(?:m|min)?", re.ASCII)
_SHORT_CLOCK = re.compile(r"(\d{1,2})(?::?(\d{2}))?", re.ASCII)
_PERCENT = re.compile(r"(\d{1,3})\s*%?", re.ASCII)
_MOST_DIGITS = 8
_MOST_SLOWER = 100
_JUST_OVER = 6 * 60
"""Minutes for which a time of day is over, and not one of tomorrow, when a batch is to end."""

WORDS = {
    "started": "started Ac3 [on STATION] [by PERSON] [at 09:40]",
    "finished": "finished Ac3 [at 09:40]",
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


def read(words: Sequence[str], state: ShiftState, names: Names, *, now: int, who: str) -> Event:
    """Read one event.

    Args:
        words: as typed; a name of several words may be one of them or several.
        state: what is recorded so far.
        names: what there is in the kitchen.
        now: minutes since midnight of the first day.
        who: who records it.

    Returns:
        The event. It may still contradict what is recorded.

    Raises:
        EventError: when it cannot be understood; says what would be right.
    """
    typed = words[0].split() if len(words) == 1 else [word.strip() for word in words if word.strip()]
    if not typed:
        raise EventError(f"say what happened, beginning with one of: {', '.join(WORDS)}")
    word = typed[0].lower()
    if word not in WORDS:
        raise EventError(
            f"'{typed[0]}' is nothing that can be recorded{suggestion(word, WORDS)}; begin with one of: "
            f"{', '.join(WORDS)}"
        )
    body, clauses = _clauses(typed[1:], _CLAUSES[word])
    return _READERS[word](Said(word, body, clauses, now, who), state, names)


_CLAUSES = {
    "started": ("at", "on", "by"),
    "finished": ("at",),
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


def _at(said: Said) -> int:
    """When it happened: now, or the nearest such time of day."""
    written = said.clauses.get("at")
    if written is None:
        return said.now
    minutes, has_day = _clock(said, written)
    if has_day:
        return minutes
    around = (minutes + day * DAY for day in range(said.now // DAY - 1, said.now // DAY + 2))
    return min((at for at in around if at >= 0), key=lambda at: (abs(at - said.now), at))


def _then(said: Said, written: tuple[str, ...], base: int) -> int:
    """A time to come: so many minutes after another, or the next such time of day from it on."""
    more = _MORE.fullmatch(" ".join(written).replace(" ", ""))
    if more is not None:
        return base + int(more[1])
    minutes, has_day = _clock(said, written)
    if has_day:
        return minutes
    return minutes % DAY + (base - minutes % DAY + DAY - 1) // DAY * DAY


def _clock(said: Said, written: tuple[str, ...]) -> tuple[int, bool]:
    """A time of day, and whether it says which day; `1140` and `11` will do for 11:40 and 11:00."""
    text = " ".join(written)
    short = _SHORT_CLOCK.fullmatch(text)
    if short is not None:
        text = f"{short[1]}:{short[2] or '00'}"
    try:
        return int(parse_clock(text)), text.lower().startswith("day")
    except UnitError as error:
        raise said.fail(str(error).partition("; write")[0]) from error


def _until(said: Said, at: int) -> int | None:
    written = said.clauses.get("until")
    return None if written is None else _then(said, written, at)


def _batch(said: Said, state: ShiftState, written: str) -> Batch:
    by_label = {batch.label.lower(): batch for batch in state.plan.batches}
    if not written:
        raise said.fail("the label of the batch is missing")
    batch = by_label.get(written.lower())
    if batch is None:
        near = suggestion(written, (batch.label for batch in state.plan.batches))
        raise said.fail(f"there is no batch '{written}' in the plan{near}")
    return batch


def _started(said: Said, state: ShiftState, names: Names) -> Event:
    batch = _batch(said, state, said.text)
    stations = tuple(seat.station for seat in batch.seats)
    people = tuple(hand.person for hand in batch.hands)
    on = by = None
    if "on" in said.clauses:
        on = names.find("station", said.clauses["on"])
        stations = _elsewhere(said, batch, on, names)
    if "by" in said.clauses:
        if not people:
            raise said.fail(f"{batch.label} needs nobody's hands")
        by = names.find("person", said.clauses["by"])
        people = tuple(by for _ in people)
    return Started(at=_at(said), who=said.who, label=batch.label, stations=stations, people=people, on=on, by=by)


def _elsewhere(said: Said, batch: Batch, station: str, names: Names) -> tuple[str, ...]:
    """The stations of a batch, with another one of the same kind in the place of that of the plan."""
    kind = names.kinds[station]
    places = [position for position, seat in enumerate(batch.seats) if names.kinds[seat.station] == kind]
    if not places:
        raise said.fail(f"{batch.label} needs no {kind}")
    return tuple(station if at == places[0] else seat.station for at, seat in enumerate(batch.seats))


def _finished(said: Said, state: ShiftState, names: Names) -> Event:
    return Finished(at=_at(said), who=said.who, label=_batch(said, state, said.text).label)


def _failed(said: Said, state: ShiftState, names: Names) -> Event:
    return Failed(at=_at(said), who=said.who, label=_batch(said, state, said.text).label)


def _overrunning(said: Said, state: ShiftState, names: Names) -> Event:
    label = _batch(said, state, said.body[0] if said.body else "").label
    written = said.clauses.get("until") or said.body[1:]
    if not written:
        raise said.fail(f"say how much longer {label} takes")
    at = _at(said)
    run = state.runs.get(label)
    more = _MORE.fullmatch("".join(written)) is not None
    base = max(at, run.expected_end) if more and run is not None else at
    until = _then(said, written, base)
    if until > base + DAY - _JUST_OVER:
        over, since = format_clock(until - DAY), format_clock(base)
        raise EventError(f"until {over} is not after {since}; if a day later is meant, write {format_clock(until)}")
    return Overrunning(at=at, who=said.who, label=label, until=until)


def _out(said: Said, state: ShiftState, names: Names) -> Event:
    equipment, unit, chamber = names.unit(said.body)
    at = _at(said)
    return Out(at=at, who=said.who, equipment=equipment, unit=unit, chamber=chamber, until=_until(said, at))


def _back(said: Said, state: ShiftState, names: Names) -> Event:
    equipment, unit, chamber = names.unit(said.body)
    return Back(at=_at(said), who=said.who, equipment=equipment, unit=unit, chamber=chamber)


def _slower(said: Said, state: ShiftState, names: Names) -> Event:
    body = said.text.removesuffix("%").split()
    if len(body) < 2 or not _PERCENT.fullmatch(body[-1]) or int(body[-1]) > _MOST_SLOWER:
        raise said.fail(f"say by how much it is slower, {_MOST_SLOWER} % at most")
    equipment, unit, chamber = names.unit(tuple(body[:-1]))
    percent = int(body[-1])
    return Slower(at=_at(said), who=said.who, equipment=equipment, unit=unit, chamber=chamber, percent=percent)


def _away(said: Said, state: ShiftState, names: Names) -> Event:
    at = _at(said)
    return Away(at=at, who=said.who, person=names.find("person", said.body), until=_until(said, at))


def _in(said: Said, state: ShiftState, names: Names) -> Event:
    what, name = names.find_either("person", "ingredient", said.body)
    if what == "person":
        return In(at=_at(said), who=said.who, person=name)
    return GoodsIn(at=_at(said), who=said.who, ingredient=name)


def _late(said: Said, state: ShiftState, names: Names) -> Event:
    at = _at(said)
    until = _until(said, at)
    if until is None:
        raise said.fail("say until when")
    what, name = names.find_either("person", "ingredient", said.body)
    if what == "person":
        return Away(at=at, who=said.who, person=name, until=until)
    return GoodsLate(at=at, who=said.who, ingredient=name, until=until)


def _order(said: Said, state: ShiftState, names: Names) -> Event:
    doing, *rest = said.body or ("",)
    at = _at(said)
    due = None if "due" not in said.clauses else _then(said, said.clauses["due"], at)
    if doing.lower() == "add":
        if len(rest) < 2 or not _is_count(rest[0]):
            raise said.fail("say how many of what")
        product = names.find("product", tuple(rest[1:]))
        return OrderAdded(at=at, who=said.who, product=product, quantity=int(rest[0]), due=due)
    if doing.lower() == "cancel":
        return OrderCancelled(at=at, who=said.who, order=_order_line(said, state, names, rest).number)
    if doing.lower() != "change":
        raise said.fail("say whether it is to add, to change or to cancel")
    quantity = None
    if len(rest) > 1 and _is_count(rest[-1]):
        quantity = int(rest.pop())
    if quantity is None and due is None:
        raise said.fail("say what is new about the order")
    number = _order_line(said, state, names, rest).number
    return OrderChanged(at=at, who=said.who, order=number, quantity=quantity, due=due)


def _is_count(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= _MOST_DIGITS and int(text) > 0


def _order_line(said: Said, state: ShiftState, names: Names, written: Sequence[str]) -> OrderLine:
    """The order that is meant: by its number, or by its product when there is one order of it."""
    standing = [line for line in state.orders if not line.cancelled]
    if len(written) == 1 and _is_count(written[0]):
        line = next((line for line in state.orders if line.number == int(written[0])), None)
        if line is None:
            raise said.fail(f"there is no order {written[0]}; the orders are: {_orders_told(standing)}")
        return line
    product = names.find("product", tuple(written))
    own = [line for line in standing if line.product == product]
    if len(own) == 1:
        return own[0]
    if not own:
        raise said.fail(f"nobody has ordered {product}; the orders are: {_orders_told(standing)}")
    raise said.fail(f"there are several orders of {product}, say its number: {_orders_told(own)}")


def _orders_told(lines: Iterable[OrderLine]) -> str:
    return ", ".join(
        f"order {line.number} ({line.quantity} {line.product}"
        f"{'' if line.due is None else f', due {format_clock(line.due)}'})"
        for line in lines
    )


def _stock(said: Said, state: ShiftState, names: Names) -> Event:
    """The amount is as short as it can be for the rest to be an item."""
    at = _at(said)
    for length in (1, 2, 3):
        amount, rest = " ".join(said.body[:length]), said.body[length:]
        rest = rest[1:] if rest[:1] == ("of",) else rest
        item = names.is_there("item", rest)
        if item is not None:
            try:
                parse_quantity(amount)
            except UnitError as error:
                raise said.fail(str(error).partition("; ")[0]) from error
            return StockFound(at=at, who=said.who, item=item, quantity=amount, until=_until(said, at))
    raise said.fail(f"'{said.text}' is no amount of something that is made here{names.near('item', said.body[2:])}")


def _note(said: Said, state: ShiftState, names: Names) -> Event:
    if not said.body:
        raise said.fail("there is nothing to note")
    return Note(at=said.now, who=said.who, text=said.text)


def _undo(said: Said, state: ShiftState, names: Names) -> Event:
    if not said.body:
        if not state.last_standing:
            raise EventError("there is nothing to undo")
        return Undo(at=said.now, who=said.who, number=state.last_standing)
    if len(said.body) != 1 or not _is_count(said.body[0]):
        raise said.fail(f"'{said.text}' is no number of an event")
    return Undo(at=said.now, who=said.who, number=int(said.body[0]))


_READERS: dict[str, Callable[[Said, ShiftState, Names], Event]] = {
    "started": _started,
    "finished": _finished,
    "overrunning": _overrunning,
    "failed": _failed,
    "out": _out,
    "back": _back,
    "slower": _slower,
    "away": _away,
    "in": _in,
    "late": _late,
    "order": _order,
    "stock": _stock,
    "note": _note,
    "undo": _undo,
}
