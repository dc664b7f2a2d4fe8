"""The plan as it has gone and is expected to go on, as a plan document to draw: no plan, and never checked as one."""

from __future__ import annotations

from collections.abc import Mapping

from stationplan.live.drawn import Drawn
from stationplan.live.expecting import Outlook
from stationplan.live.heating import Heating
from stationplan.live.moment import Moment
from stationplan.live.state import Run
from stationplan.plan.document import Batch, Change, Plan, Stay


def as_it_stands(moment: Moment) -> Drawn:
    """The plan in force with everything where it was or is expected: batches, what waits, what gets ready, orders.

    Args:
        moment: the shift at a moment.

    Returns:
        A plan without bounds, reasons and critical chain, which belong to the plan as it was made.
    """
    plan, outlooks = moment.state.plan, moment.forecast.outlooks
    deliveries = moment.forecast.deliveries
    batches = tuple(_batch(outlooks[batch.label], moment.state.runs.get(batch.label)) for batch in plan.batches)
    changes = [_change(plan, change, outlooks) for change in plan.changes]
    again = _heated_again(moment, batches)
    begun = [outlook for outlook in outlooks.values() if outlook.begun]
    return Drawn.model_construct(
        **{
            **dict(plan),
            "status": "feasible",
            "batches": batches,
            "stays": tuple(_stay(stay, outlooks) for stay in plan.stays if not _lost(stay, outlooks)),
            "changes": (*(change for change in changes if not _gone(change, again)), *again),
            "orders": tuple(
                delivery.order.model_copy(update={"ready": delivery.ready, "late": delivery.late})
                for delivery in deliveries
            ),
            "tiers": (),
            "reasons": (),
            "chain": (),
            "stopped": None,
            "scenario": moment.scenario,
            "now": moment.now,
            "standings": {label: outlook.standing for label, outlook in outlooks.items()},
            "planned": {outlook.batch.label: outlook.batch.start for outlook in begun},
            "absences": _absences(moment),
        }
    )


def _absences(moment: Moment) -> dict[str, tuple[tuple[int, int], ...]]:
    found: dict[str, tuple[tuple[int, int], ...]] = {}
    for absence in moment.state.absences:
        end = moment.state.plan.closes if absence.end is None else absence.end
        found[absence.person] = (*found.get(absence.person, ()), (absence.start, end))
    return found


def _batch(outlook: Outlook, run: Run | None) -> Batch:
    batch = outlook.batch
    later, drift = outlook.start - batch.start, outlook.drift

    def times(start: int, end: int, *, unloads: bool = False) -> dict[str, int]:
        # What goes on to the end of a batch, and taking out, moves with its end.
        until = end + (drift if end == batch.end else later)
        begin = until - (end - start) if unloads else start + later
        return {"start": min(begin, until), "end": until}

    seats = tuple(
        seat.model_copy(
            update={
                "station": _instead(run.stations if run else (), n, seat.station),
                **times(seat.start, seat.end),
            }
        )
        for n, seat in enumerate(batch.seats)
    )
    hands = tuple(
        hand.model_copy(
            update={
                "person": _instead(run.people if run else (), n, hand.person),
                **times(hand.start, hand.end, unloads=hand.doing == "unload"),
            }
        )
        for n, hand in enumerate(batch.hands)
    )
    return batch.model_copy(update={"start": outlook.start, "end": outlook.end, "seats": seats, "hands": hands})


def _heated_again(moment: Moment, batches: tuple[Batch, ...]) -> dict[Change, int]:
    """What ovens that were out of use do before the first load after that, and since when they were out."""
    heating = Heating(moment.state.plan, moment.scenario_now)
    found: dict[Change, int] = {}
    for station in moment.state.plan.stations:
        seats = [seat for batch in batches for seat in batch.seats if seat.station == station.name]
        for outage in moment.state.all_outages_of(station.name):
            later = [seat for seat in seats if outage.end is not None and seat.start >= outage.end]
            seat = min(later, key=lambda seat: seat.start, default=None)
            if seat is not None and heating.minutes(seat):
                found[heating.change(seat)] = outage.start
    return found


def _gone(change: Change, again: Mapping[Change, int]) -> bool:
    """Whether an oven was to be heated while it was out of use, or is heated anew for the same load."""
    return any(
        change.station == other.station and since < change.end and change.start < other.end
        for other, since in again.items()
    )


def _lost(stay: Stay, outlooks: Mapping[str, Outlook]) -> bool:
    return stay.before in outlooks and outlooks[stay.before].standing == "lost"


def _instead(names: tuple[str, ...], number: int, planned: str) -> str:
    return names[number] if number < len(names) else planned


def _stay(stay: Stay, outlooks: Mapping[str, Outlook]) -> Stay:
    # Stock, which comes from no batch, stands where it stood.
    drift = outlooks[stay.before].drift if stay.before in outlooks else 0
    start = stay.start + drift
    if stay.after is None:
        end = stay.end + drift
    else:
        taker = outlooks[stay.after]
        end = stay.end + taker.start - taker.batch.start
    return stay.model_copy(update={"start": start, "end": max(start, end)})


def _change(plan: Plan, change: Change, outlooks: Mapping[str, Outlook]) -> Change:
    """A station gets ready as much later as the batch that it gets ready for."""
    after = [
        (seat.start, batch.label)
        for batch in plan.batches
        for seat in batch.seats
        if seat.station == change.station and seat.start >= change.end
    ]
    if not after:
        return change
    outlook = outlooks[min(after)[1]]
    later = outlook.start - outlook.batch.start
    return change.model_copy(update={"start": change.start + later, "end": change.end + later})
