"""What a plan says of what had happened when it was made."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.plan.document import Began, LeftOver, Lifted, OvenAt, Past

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.network.so_far import Run
    from stationplan.plan.timeline import Timeline


def past_of(timeline: Timeline) -> Past | None:
    """The part of the plan about what had happened.

    Args:
        timeline: the network and a feasible schedule.

    Returns:
        None where nothing had been told of it.
    """
    so_far = timeline.network.so_far
    if so_far is None:
        return None
    runs = [run for task, _ in timeline.batches() if (run := timeline.begun(task)) is not None]
    ovens = sorted(so_far.ovens.items())
    return Past(
        now=so_far.now,
        began=tuple(_began(run, so_far.now) for run in runs),
        ovens=tuple(OvenAt(station=name, celsius=str(at.celsius), setting=at.mode) for name, at in ovens),
        lifted=tuple(rule for rule, _, _ in given_up(timeline)),
        left_over=tuple(
            LeftOver(stock=place + 1, counted=str(counted)) for place, counted in sorted(so_far.counted.items())
        ),
    )


def _began(run: Run, now: int) -> Began:
    return Began(
        label=run.label,
        size=str(run.size),
        start=run.start,
        end=run.end,
        outcome=run.outcome,
        stations=tuple(station for station, _ in run.seats),
        people=tuple(dict.fromkeys(hand.person for hand in run.hands if hand.begun(run.start, now))),
    )


def given_up(timeline: Timeline) -> Iterator[tuple[Lifted, int | None, int]]:
    """The rules that were given up and that a schedule does not keep even so.

    Args:
        timeline: the network and a schedule.

    Yields:
        Each, with the most minutes that the wait should have taken, None where it is a place that is missing, and when
        it began, minutes after opening.
    """
    network = timeline.network
    for lifted in network.lifted:
        lot = network.lots[lifted.lot]
        first, last = (lifted.position, lifted.position + 1) if lifted.rule == "most" else (0, -1)
        waits = timeline.start(lot.tasks[last]) - timeline.end(lot.tasks[first])
        if lifted.most is None or waits > lifted.most:
            after = None if lot.after is None else network.tasks[lot.after].label
            before = network.tasks[lot.before].label
            rule = Lifted(before=before, after=after, position=lifted.position, rule=lifted.rule)
            yield rule, lifted.most, timeline.end(lot.tasks[first])
