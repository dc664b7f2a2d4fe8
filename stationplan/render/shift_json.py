"""How a shift stands, and what was recorded, as JSON for other programs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Literal

from pydantic import BaseModel, ConfigDict, SerializeAsAny

from stationplan.live.drawn import Standing
from stationplan.live.events import Happening, Recorded, Undo
from stationplan.live.expecting import Outlook
from stationplan.live.moment import Moment
from stationplan.live.wording import told


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True)


class BatchNow(_Part):
    """A batch: planned, and as it was or is expected.

    Attributes:
        label: its label.
        item: what is made.
        step: the step.
        amount: how much of the item, exact, in ``unit``.
        unit: the item's base unit.
        standing: what has become of it.
        planned_start: minutes since midnight of the first day, as all times here.
        planned_end: as the plan in force has it.
        start: when it began, or is expected to.
        end: when it ended, or is expected to.
        stations: where, one for each of its seats.
        people: who, one for each pair of hands.
        because: what keeps it, or blocks it; empty for nothing but the plan.
        overdue: minutes past its expected end.
    """

    label: str
    item: str
    step: str
    amount: str
    unit: str
    standing: Standing
    planned_start: int
    planned_end: int
    start: int
    end: int
    stations: tuple[str, ...]
    people: tuple[str, ...]
    because: str
    overdue: int


class OrderNow(_Part):
    """An order: when it is due and expected; ``blocked`` when something for it is lost or cannot begin."""

    product: str
    quantity: int
    due: int | None
    ready: int
    late: int
    blocked: bool


class AlarmNow(_Part):
    """Something to see to at, or since, a minute."""

    minute: int
    sentence: str


class EventNow(_Part):
    """An event: its number, when it was written down, in words, whether and by what it is undone, and what it says."""

    number: int
    recorded: str
    told: str
    undone_by: int | None
    event: SerializeAsAny[Happening]


class Status(_Part):
    """How a shift stands at a moment; ``unheeded`` are the numbers of events that only a new plan can reckon with."""

    format: Literal["stationplan shift status"] = "stationplan shift status"
    version: Literal[1] = 1
    name: str
    day: date
    now: int
    planned_finish: int
    finish: int
    orders: tuple[OrderNow, ...]
    alarms: tuple[AlarmNow, ...]
    batches: tuple[BatchNow, ...]
    unheeded: tuple[int, ...]


class Events(_Part):
    """Everything that was recorded."""

    format: Literal["stationplan shift log"] = "stationplan shift log"
    version: Literal[1] = 1
    day: date
    events: tuple[EventNow, ...]


def status_json(moment: Moment) -> str:
    """How a shift stands, as indented JSON; times are minutes since midnight of its first day.

    Args:
        moment: the shift at a moment.
    """
    plan, forecast = moment.state.plan, moment.forecast
    return _text(
        Status(
            name=plan.name,
            day=moment.day,
            now=moment.now,
            planned_finish=plan.finish,
            finish=forecast.finish,
            orders=tuple(
                OrderNow(
                    product=one.order.product,
                    quantity=one.order.quantity,
                    due=one.order.due,
                    ready=one.ready,
                    late=one.late,
                    blocked=one.blocked,
                )
                for one in forecast.deliveries
            ),
            alarms=tuple(AlarmNow(minute=alarm.minute, sentence=alarm.sentence) for alarm in moment.alarms),
            batches=tuple(_batch(moment, outlook) for outlook in forecast.outlooks.values()),
            unheeded=tuple(entry.number for entry in moment.unheeded),
        )
    )


def log_json(day: date, events: Sequence[Recorded]) -> str:
    """Everything that was recorded, as indented JSON; times are minutes since midnight of the first day.

    Args:
        day: the first day.
        events: by number.
    """
    undone = {entry.event.number: entry.number for entry in events if isinstance(entry.event, Undo)}
    return _text(
        Events(
            day=day,
            events=tuple(
                EventNow(
                    number=entry.number,
                    recorded=entry.moment,
                    told=told(entry.event),
                    undone_by=undone.get(entry.number),
                    event=entry.event,
                )
                for entry in events
            ),
        )
    )


def _batch(moment: Moment, outlook: Outlook) -> BatchNow:
    batch, run = outlook.batch, moment.state.runs.get(outlook.batch.label)
    return BatchNow(
        label=batch.label,
        item=batch.item,
        step=batch.step,
        amount=str(batch.size),
        unit=batch.unit,
        standing=outlook.standing,
        planned_start=batch.start,
        planned_end=batch.end,
        start=outlook.start,
        end=outlook.end,
        stations=(run and run.stations) or tuple(seat.station for seat in batch.seats),
        people=(run and run.people) or tuple(hand.person for hand in batch.hands),
        because=outlook.because,
        overdue=outlook.overdue,
    )


def _text(document: BaseModel) -> str:
    return f"{document.model_dump_json(indent=2)}\n"
