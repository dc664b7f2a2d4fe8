"""Who or what comes after whom on a station: planned room is handed on from one user to the next.

This makes a partial order out of a schedule: whoever keeps to it never takes more room than there is, however long
everything takes (Policella, Cesta, Oddi and Smith, From precedence constraint posting to partial order schedules,
AI Communications 20, 2007; Artigues, Michelon and Reusser, Insertion techniques for static and dynamic
resource-constrained project scheduling, EJOR 149, 2003: the resource flow).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Taking:
    """So much ``amount`` is taken from one planned minute to another: from one moment of the course to another."""

    start: int
    end: int
    amount: int
    taken: int
    given_back: int


def handed_on(takings: Sequence[Taking], capacity: int) -> Iterator[tuple[int, int]]:
    """Who waits for whom: pairs of the moment that gives room back and the one that takes it.

    What has been free for the longest is taken first, so that a delay is passed on as seldom as may be.

    Args:
        takings: everything that takes room, in any order; what takes none, or for no time, may be left out.
        capacity: all the room there is.
    """
    # Free room: since when, by which moment (None: from the beginning), and how much.
    free: list[tuple[int, int | None, int]] = [(-1, None, capacity)]
    for taking in sorted(takings, key=lambda taking: (taking.start, taking.end, taking.taken)):
        needed = taking.amount
        free.sort(key=lambda part: part[0])
        while needed and free:
            since, moment, room = free.pop(0)
            if moment is not None:
                yield moment, taking.taken
            if room > needed:
                free.append((since, moment, room - needed))
            needed -= min(room, needed)
        # What was begun although there was no room for it gives back what there was.
        free.append((taking.end, taking.given_back, taking.amount - needed))
