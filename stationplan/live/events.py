"""The events of a shift: what somebody saw and wrote down, each with when it was and who says so.

Times are minutes since midnight of the shift's first day, as in the plan.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter


class Happening(BaseModel):
    """Base of all events: when it happened, and who recorded it."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    at: int
    who: str


class Started(Happening):
    """A batch has begun, at these stations, by these people: those of the plan but for what was told, on and by."""

    kind: Literal["started"] = "started"
    label: str
    stations: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    on: str | None = None
    by: str | None = None


class Finished(Happening):
    """A batch has ended well; ``by`` is who saw to it, which changes nothing."""

    kind: Literal["finished"] = "finished"
    label: str
    by: str | None = None


class Overrunning(Happening):
    """A running batch is now expected to end at another time."""

    kind: Literal["overrunning"] = "overrunning"
    label: str
    until: int


class Failed(Happening):
    """What a batch gave, or would have given, is lost."""

    kind: Literal["failed"] = "failed"
    label: str


class Out(Happening):
    """Equipment is out of use, all of it, one unit, or one chamber; back at ``until`` if that is known."""

    kind: Literal["out"] = "out"
    equipment: str
    unit: int | None = None
    chamber: int | None = None
    until: int | None = None


class Back(Happening):
    """Equipment that was out can be used again."""

    kind: Literal["back"] = "back"
    equipment: str
    unit: int | None = None
    chamber: int | None = None


class Slower(Happening):
    """Machine time on this equipment is longer from now on, by so many percent; 0: as it should be again."""

    kind: Literal["slower"] = "slower"
    equipment: str
    unit: int | None = None
    chamber: int | None = None
    percent: int = Field(ge=0, le=100)


class Away(Happening):
    """Somebody is not there, or comes late; there again at ``until`` if that is known."""

    kind: Literal["away"] = "away"
    person: str
    until: int | None = None


class In(Happening):
    """Somebody who was away is there again."""

    kind: Literal["in"] = "in"
    person: str


class OrderAdded(Happening):
    """One more order."""

    kind: Literal["order added"] = "order added"
    product: str
    quantity: int = Field(ge=1)
    due: int | None = None


class OrderChanged(Happening):
    """Another quantity or another time for an order; None: as it was. Orders are counted from 1 as in the scenario."""

    kind: Literal["order changed"] = "order changed"
    order: int
    product: str = ""
    quantity: int | None = Field(None, ge=1)
    due: int | None = None


class OrderCancelled(Happening):
    """An order that nobody wants any more."""

    kind: Literal["order cancelled"] = "order cancelled"
    order: int
    product: str = ""


class StockFound(Happening):
    """Something made ahead that was not reckoned with; to be used before ``until`` if that is known."""

    kind: Literal["stock"] = "stock"
    item: str
    quantity: str
    until: int | None = None


class GoodsLate(Happening):
    """An ingredient comes only at ``until``."""

    kind: Literal["goods late"] = "goods late"
    ingredient: str
    until: int


class GoodsIn(Happening):
    """An ingredient that was to come late has come."""

    kind: Literal["goods in"] = "goods in"
    ingredient: str


class Note(Happening):
    """Something to remember that changes nothing."""

    kind: Literal["note"] = "note"
    text: str


class Accepted(Happening):
    """The plan that was proposed as an entry is in force from now on."""

    kind: Literal["accept"] = "accept"
    plan: int


class Left(Happening):
    """The plan that was proposed as an entry is not wanted: the one in force stays."""

    kind: Literal["leave"] = "leave"
    plan: int


class Undo(Happening):
    """An event that was recorded by mistake counts no longer; ``undone`` tells it in words."""

    kind: Literal["undo"] = "undo"
    number: int
    undone: str = ""


Event = Annotated[
    Started
    | Finished
    | Overrunning
    | Failed
    | Out
    | Back
    | Slower
    | Away
    | In
    | OrderAdded
    | OrderChanged
    | OrderCancelled
    | StockFound
    | GoodsLate
    | GoodsIn
    | Note
    | Accepted
    | Left
    | Undo,
    Field(discriminator="kind"),
]

EVENT: TypeAdapter[Event] = TypeAdapter(Event)
"""Reads an event from JSON."""


@dataclass(frozen=True, slots=True)
class Recorded:
    """An event in the record: its number, from 1, and when it was written down on the wall clock (ISO 8601)."""

    number: int
    moment: str
    event: Event
