"""From a schedule to the plan document."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from stationplan.engine.result import TierName
from stationplan.network.network import HandUse, SeatUse, StationGroup, StockTask
from stationplan.plan.chain import critical_chain
from stationplan.plan.changes import changes_of
from stationplan.plan.document import (
    Amount,
    Batch,
    Delivered,
    Hand,
    Legend,
    Plan,
    Seat,
    Station,
    Stay,
    Stocked,
    Stopped,
    Tier,
)
from stationplan.plan.errors import NothingFoundError
from stationplan.plan.naming import Names, name_units, span_names
from stationplan.plan.notes import notes_on
from stationplan.plan.past import past_of
from stationplan.plan.reasons import reasons_of
from stationplan.plan.timeline import Timeline

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.engine.result import Result
    from stationplan.network import Network
    from stationplan.network.network import BatchTask
    from stationplan.network.times import Durations


def make(network: Network, result: Result, raw: dict[str, Any], *, durations: Durations, seed: int) -> Plan:
    """Write a schedule down as a plan.

    Args:
        network: the scenario's scheduling problem and the meaning of its parts.
        result: the outcome of solving it.
        raw: the scenario as plain data, carried in the plan.
        durations: which end of time ranges the network was built with.
        seed: the seed it was solved with.

    Returns:
        The plan, not yet checked.

    Raises:
        NothingFoundError: when the result has no schedule.
    """
    if result.schedule is None:
        raise NothingFoundError(interrupted=result.interrupted)
    timeline = Timeline(network, result.schedule)
    names = name_units(timeline)
    batches = tuple(_batch(timeline, names, task, meaning) for task, meaning in timeline.batches())
    orders = _orders(timeline)
    return Plan(
        name=network.name,
        opens=network.opens,
        closes=network.closes,
        durations=durations,
        status="proved" if _proved(result) else "feasible",
        stations=stations_of(network),
        people=network.people,
        amounts=_amounts(network),
        batches=batches,
        stock=_stock(network),
        stays=tuple(_stays(timeline)),
        changes=changes_of(timeline),
        orders=orders,
        tiers=tuple(
            Tier(name=tier.name.value, value=tier.value, bound=tier.bound, proved=tier.proved) for tier in result.tiers
        ),
        stopped=_stopped(result),
        reasons=reasons_of(network, result.bounds),
        chain=critical_chain(timeline, names),
        legend=tuple(Legend(letters=entry.letters, item=entry.item, steps=entry.steps) for entry in network.legend),
        warnings=notes_on(network, batches),
        seed=seed,
        scenario=raw,
        past=past_of(timeline),
    )


def _proved(result: Result) -> bool:
    """Whether no plan is less late or shorter; how tidy it is comes after that."""
    return all(tier.proved for tier in result.tiers if tier.name is not TierName.TIDINESS)


def _stopped(result: Result) -> Stopped | None:
    stopped = result.stopped
    if stopped is None:
        return None
    return Stopped(by=stopped.by.value, seconds=stopped.seconds, effort=stopped.effort, gap=stopped.gap)


def stations_of(network: Network) -> tuple[Station, ...]:
    """The stations of a kitchen, as a plan lists them.

    Args:
        network: the scheduling problem of the scenario.
    """
    return tuple(
        Station(name=name, equipment=group.equipment_name, kind=group.kind, capacity=group.capacity, unit=group.unit)
        for group in network.resources
        if isinstance(group, StationGroup)
        for name in group.names
    )


def _amounts(network: Network) -> tuple[Amount, ...]:
    return tuple(
        Amount(
            item=amount.item,
            quantity=str(amount.made),
            unit=amount.unit,
            needed=str(amount.least),
            recipes=str(amount.recipes),
        )
        for amount in network.amounts
    )


def _stock(network: Network) -> tuple[Stocked, ...]:
    return tuple(
        Stocked(
            label=meaning.label,
            item=meaning.item,
            quantity=str(meaning.last - meaning.first),
            unit=meaning.unit,
            start=network.opens + (task.fixed_start or 0),
            use_by=None if meaning.use_by is None else network.opens + meaning.use_by,
        )
        for task, meaning in zip(network.problem.tasks, network.tasks, strict=True)
        if isinstance(meaning, StockTask)
    )


def _batch(timeline: Timeline, names: Names, task: int, meaning: BatchTask) -> Batch:
    opens, run = timeline.network.opens, meaning.begun
    seats: list[Seat] = []
    hands = [Hand(person=hand.person, start=hand.start, end=hand.end, doing=hand.doing) for hand in meaning.hands]
    for use, span in zip(timeline.uses(task), timeline.spans_of(task), strict=True):
        start, end = opens + span.start, opens + span.end
        found = span_names(timeline, span, names)
        if isinstance(use, HandUse) and use.person is None:
            hands.extend(Hand(person=name, start=start, end=end, doing=use.doing) for name in found)
        elif isinstance(use, SeatUse) and run is None:
            seats.append(_seat(use, found[0], start, end))
    if run is not None:
        seats = [_seat(use, station, run.start, run.end) for station, use in run.seats]
    return Batch(
        label=meaning.label,
        item=meaning.item,
        step=meaning.step,
        round=meaning.round,
        number=meaning.number,
        of=meaning.of,
        first=str(meaning.first),
        last=str(meaning.last),
        unit=meaning.unit,
        lost=run is not None and run.lost,
        start=opens + timeline.start(task),
        end=opens + timeline.end(task),
        seats=tuple(seats),
        hands=tuple(hands),
    )


def _seat(use: SeatUse, station: str, start: int, end: int) -> Seat:
    setting = use.setting
    return Seat(
        station=station,
        start=start,
        end=end,
        amount=use.amount,
        celsius=None if setting is None else float(setting.celsius),
        setting="" if setting is None else setting.mode,
        holding=use.holding,
    )


def _stays(timeline: Timeline) -> Iterator[Stay]:
    network = timeline.network
    for number, lot in enumerate(network.lots):
        if len(lot.stands) == 1 and not lot.stands[0].name and lot.stands[0].place is None:
            # A least or most between two steps is no wait that anybody sees.
            continue
        after = None if lot.after is None else network.tasks[lot.after].label
        if lot.after is not None and timeline.begun(lot.after) and not timeline.begun(lot.before):
            # It was taken up before it is made: from something else, then.
            continue
        for position, stand in enumerate(lot.stands):
            station, amount = (None, 0) if stand.place is None else _place(timeline, number, position)
            yield Stay(
                name=stand.name,
                item=lot.item,
                before=network.tasks[lot.before].label,
                after=after,
                position=position,
                start=network.opens + timeline.end(lot.tasks[position]),
                end=network.opens + timeline.start(lot.tasks[position + 1]),
                least=stand.least,
                most=stand.most,
                station=station,
                amount=amount,
            )


def _place(timeline: Timeline, number: int, position: int) -> tuple[str | None, int]:
    """Where a lot stands and the room it keeps; one that keeps none shares the tray of the next lot of its batch."""
    network = timeline.network
    lot = network.lots[number]
    own = lot.holds[position]
    if own is None and network.so_far is not None and timeline.begun(lot.before) is not None:
        after = None if lot.after is None else network.tasks[lot.after].label
        stood = network.so_far.stood_at(network.tasks[lot.before].label, after, position)
        if stood is not None and network.problem.tasks[lot.tasks[position + 1]].fixed_start is not None:
            return stood.station, stood.amount
    hold = next(
        (
            other.holds[position]
            for other in network.lots[number:]
            if other.before == lot.before
            and other.stands[position : position + 1] == lot.stands[position : position + 1]
            and other.holds[position] is not None
        ),
        None,
    )
    if hold is None:
        return None, 0
    span = timeline.hold_span(hold)
    return network.resources[span.resource].names[0], 0 if own is None else span.amount


def _orders(timeline: Timeline) -> tuple[Delivered, ...]:
    network = timeline.network
    found = []
    for order in network.orders:
        ready = network.opens + max((timeline.end(task) for task in order.ready), default=0)
        found.append(
            Delivered(
                product=order.product,
                quantity=order.quantity,
                due=order.due,
                weight=order.weight,
                ready=ready,
                late=0 if order.due is None else max(0, ready - order.due),
                batches=tuple(network.tasks[task].label for task in order.batches),
            )
        )
    return tuple(found)
