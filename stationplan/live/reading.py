"""Reading what somebody types with floury hands: ``started ac3``, ``overrunning Ac3 +10``, ``out oven until 11``."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence

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
from stationplan.live.said import Said, more_of, take_apart
from stationplan.live.state import OrderLine, ShiftState
from stationplan.plan.document import Batch
from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import format_clock, parse_quantity
from stationplan.scenario.units.numbers import suggestion

_PERCENT = re.compile(r"(\d{1,3})\s*%?", re.ASCII)
_MOST_DIGITS = 8
_MOST_SLOWER = 100


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
    said = take_apart(words, now=now, who=who)
    return _READERS[said.word](said, state, names)


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
    return Started(at=said.at(), who=said.who, label=batch.label, stations=stations, people=people, on=on, by=by)


def _elsewhere(said: Said, batch: Batch, station: str, names: Names) -> tuple[str, ...]:
    """The stations of a batch, with another one of the same kind in the place of that of the plan."""
    kind = names.kinds[station]
    places = [position for position, seat in enumerate(batch.seats) if names.kinds[seat.station] == kind]
    if not places:
        raise said.fail(f"{batch.label} needs no {kind}")
    return tuple(station if at == places[0] else seat.station for at, seat in enumerate(batch.seats))


def _finished(said: Said, state: ShiftState, names: Names) -> Event:
    label = _batch(said, state, said.text).label
    by = names.find("person", said.clauses["by"]) if "by" in said.clauses else None
    return Finished(at=said.at(), who=said.who, label=label, by=by)


def _failed(said: Said, state: ShiftState, names: Names) -> Event:
    return Failed(at=said.at(), who=said.who, label=_batch(said, state, said.text).label)


def _overrunning(said: Said, state: ShiftState, names: Names) -> Event:
    label = _batch(said, state, said.body[0] if said.body else "").label
    written = said.clauses.get("until") or said.body[1:]
    if not written:
        raise said.fail(f"say how much longer {label} takes")
    at = said.at()
    run = state.runs.get(label)
    if more_of(written) is not None:
        until = said.then("until", written, at if run is None else max(at, run.expected_end))
    else:
        until = said.then("until", written, at) if "until" in said.clauses else said.longer(written, at)
    return Overrunning(at=at, who=said.who, label=label, until=until)


def _out(said: Said, state: ShiftState, names: Names) -> Event:
    equipment, unit, chamber = names.unit(said.body)
    at = said.at()
    return Out(at=at, who=said.who, equipment=equipment, unit=unit, chamber=chamber, until=said.until(at))


def _back(said: Said, state: ShiftState, names: Names) -> Event:
    equipment, unit, chamber = names.unit(said.body)
    return Back(at=said.at(), who=said.who, equipment=equipment, unit=unit, chamber=chamber)


def _slower(said: Said, state: ShiftState, names: Names) -> Event:
    body = said.text.removesuffix("%").split()
    if len(body) < 2 or not _PERCENT.fullmatch(body[-1]) or int(body[-1]) > _MOST_SLOWER:
        raise said.fail(f"say by how much it is slower, {_MOST_SLOWER} % at most")
    if not said.text.endswith("%"):
        raise said.fail(f"{body[-1]} alone may be a chamber: write {body[-1]}% if it takes so much longer")
    equipment, unit, chamber = names.unit(tuple(body[:-1]))
    percent = int(body[-1])
    return Slower(at=said.at(), who=said.who, equipment=equipment, unit=unit, chamber=chamber, percent=percent)


def _away(said: Said, state: ShiftState, names: Names) -> Event:
    at = said.at()
    return Away(at=at, who=said.who, person=names.find("person", said.body), until=said.until(at))


def _in(said: Said, state: ShiftState, names: Names) -> Event:
    what, name = names.find_either("person", "ingredient", said.body)
    if what == "person":
        return In(at=said.at(), who=said.who, person=name)
    return GoodsIn(at=said.at(), who=said.who, ingredient=name)


def _late(said: Said, state: ShiftState, names: Names) -> Event:
    at = said.at()
    until = said.until(at)
    if until is None:
        raise said.fail("say until when")
    what, name = names.find_either("person", "ingredient", said.body)
    if what == "person":
        return Away(at=at, who=said.who, person=name, until=until)
    return GoodsLate(at=at, who=said.who, ingredient=name, until=until)


def _order(said: Said, state: ShiftState, names: Names) -> Event:
    doing, *rest = said.body or ("",)
    at = said.at()
    due = said.due(at)
    if doing.lower() == "add":
        if len(rest) < 2 or not _is_count(rest[0]):
            raise said.fail("say how many of what")
        product = names.find("product", tuple(rest[1:]))
        return OrderAdded(at=at, who=said.who, product=product, quantity=int(rest[0]), due=due)
    if doing.lower() == "cancel":
        line = _order_line(said, state, names, rest)
        return OrderCancelled(at=at, who=said.who, order=line.number, product=line.product)
    if doing.lower() != "change":
        raise said.fail("say whether it is to add, to change or to cancel")
    quantity = None
    if len(rest) > 1 and _is_count(rest[-1]):
        quantity = int(rest.pop())
    one_product = any(names.is_there("product", rest[begin:]) is not None for begin in (0, 1))
    if quantity is None and len(rest) > 2 and _is_count(rest[-2]) and not one_product:
        raise said.fail(f"write the number alone: {rest[-2]}, without {rest[-1]}")
    if quantity is None and due is None:
        raise said.fail("say what is new about the order")
    line = _order_line(said, state, names, rest)
    return OrderChanged(at=at, who=said.who, order=line.number, product=line.product, quantity=quantity, due=due)


def _is_count(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= _MOST_DIGITS and int(text) > 0


def _order_line(said: Said, state: ShiftState, names: Names, written: Sequence[str]) -> OrderLine:
    """The order that is meant: by its number, with its product or without, or by a product that one order is of."""
    standing = [line for line in state.orders if not line.cancelled]
    if written and _is_count(written[0]) and names.is_there("product", written) is None:
        line = next((line for line in state.orders if line.number == int(written[0])), None)
        if line is None:
            raise said.fail(f"there is no order {written[0]}; the orders are: {_orders_told(standing)}")
        if written[1:] and names.find("product", written[1:]) != line.product:
            raise said.fail(f"{_orders_told([line])} is of another product")
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
    at = said.at()
    for length in (1, 2, 3):
        amount, rest = " ".join(said.body[:length]), said.body[length:]
        rest = rest[1:] if rest[:1] == ("of",) else rest
        item = names.is_there("item", rest)
        if item is not None:
            try:
                parse_quantity(amount)
            except UnitError as error:
                alone = f"; {item} is counted in {names.units[item]}" if _is_count(amount) else ""
                raise said.fail(str(error).partition("; ")[0] + alone) from error
            return StockFound(at=at, who=said.who, item=item, quantity=amount, until=said.until(at))
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
