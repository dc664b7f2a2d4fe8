"""From typed words to an event that can be recorded, or a sentence why it cannot."""

from __future__ import annotations

from collections.abc import Sequence

from stationplan.live.effective import expressed
from stationplan.live.errors import EventError
from stationplan.live.events import Event, GoodsIn, Recorded, Undo
from stationplan.live.known import with_known
from stationplan.live.naming import names_of
from stationplan.live.reading import read
from stationplan.live.record import Log
from stationplan.live.rules import complaint, complaint_about_undo
from stationplan.live.state import fold
from stationplan.live.wording import told
from stationplan.scenario import from_plain


def understood(log: Log, words: Sequence[str], *, now: int, who: str) -> Event:
    """Read an event and hold it against what is recorded.

    Args:
        log: the record.
        words: as typed.
        now: minutes since midnight of the first day.
        who: who records it.

    Returns:
        The event, which can be recorded.

    Raises:
        EventError: when it cannot be understood, contradicts what is recorded, or is nothing that a plan can reckon
            with.
    """
    if now < 0:
        raise EventError(f"the shift begins on {log.day.isoformat()}, which is still to come; to try it out, use --now")
    first = from_plain(log.first.scenario)
    event = read(words, log.state, names_of(log.plan, first), now=now, who=who)
    if isinstance(event, Undo):
        why = complaint_about_undo(fold(log.plan, (), scenario=log.first.scenario), log.events, event.number)
    else:
        # What comes late may have been known before the shift began.
        state = with_known(log.state, first) if isinstance(event, GoodsIn) else log.state
        why = complaint(state, event, now)
    if why is not None:
        raise EventError(why)
    if isinstance(event, Undo):
        undone = next(entry.event for entry in log.events if entry.number == event.number)
        event = event.model_copy(update={"undone": told(undone)})
    after = [*log.events, Recorded(log.last + 1, "", event)]
    expressed(log.first.scenario, fold(log.plan, after, scenario=log.first.scenario, known=log.known))
    return event
