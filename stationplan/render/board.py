"""A shift on a board for the wall: what to see to, what everybody does next, and buttons to record it with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from stationplan.live.events import Accepted, Recorded, Undo
from stationplan.live.expecting import Outlook
from stationplan.live.moment import Moment, turns_of
from stationplan.live.proposed import Proposed
from stationplan.live.said import WORDS
from stationplan.live.turns import Turn
from stationplan.live.wording import told
from stationplan.plan.document import Plan
from stationplan.render.board_plan import plan_part
from stationplan.render.page.views import view
from stationplan.render.phrases import NO_ONE, clock_span, size
from stationplan.render.shift import AHEAD, change_told, delivery_told, finish_told, idle_told
from stationplan.render.svg.palette import DARK, LIGHT
from stationplan.render.svg.style import style
from stationplan.render.templating import templates
from stationplan.scenario.units import format_clock, format_duration

RECENT = 5
"""How many of the last events are shown."""
NOBODY = "board"
"""Who records what nobody has put their name to."""


@dataclass(frozen=True)
class Card:
    """A batch that somebody works on or that runs by itself, in words.

    ``ends`` is said of unloading what somebody has to load first: it is started on the card of that.
    """

    label: str
    standing: str
    what: str
    when: str
    note: str
    ends: bool


@dataclass(frozen=True)
class Column:
    """The next half hour of somebody: ``rest`` says what comes when there are no cards."""

    title: str
    rest: str
    cards: tuple[Card, ...]


@dataclass(frozen=True)
class Recent:
    """An event in words, and its number if it can be undone."""

    text: str
    undo: int | None


def board_page(plan: Plan, identity: str) -> str:
    """The page without what changes.

    Args:
        plan: the plan in force.
        identity: of the shift, so that a page never sends to another one what was meant for this.
    """
    return _rendered(
        "page.html", name=plan.name, shift=identity, people=plan.people, nobody=NOBODY, words=WORDS.values()
    )


def board_style() -> str:
    """The style sheet of the page."""
    chart = {"light_chart": Markup(style(LIGHT)), "dark_chart": Markup(style(DARK))}
    return _rendered("board.css", light=LIGHT, dark=DARK, **chart)


def board_script() -> str:
    """The script of the page."""
    return _rendered("board.js")


def board_chart(stands: Plan) -> str:
    """The chart for the page: its stations, then its people.

    Args:
        stands: the plan as it has gone and is expected to go on.
    """
    return _rendered("chart.html", view=view(stands, "equipment"))


def glance(
    moment: Moment,
    events: Sequence[Recorded],
    proposed: Proposed | None = None,
    since: int | None = None,
    why: str = "",
) -> str:
    """What changes: where the shift stands, whether the plan holds, what to see to, the next half hour of everybody.

    Args:
        moment: the shift at a moment.
        events: everything recorded.
        proposed: the plan that is proposed.
        since: since when the rest is being planned anew, minutes since midnight of the first day.
        why: why the last planning has found nothing.

    Returns:
        A part of the page.
    """
    forecast = moment.forecast
    standings = [outlook.standing for outlook in forecast.outlooks.values()]
    return _rendered(
        "glance.html",
        done=standings.count("done"),
        lost=standings.count("lost"),
        running=standings.count("running"),
        all=len(standings),
        finish=finish_told(moment),
        deliveries=[delivery_told(moment, delivery) for delivery in forecast.deliveries],
        plan=plan_part(moment, proposed, since, why),
        alarms=[alarm.sentence for alarm in moment.alarms if not alarm.breaks],
        until=format_clock(moment.now + AHEAD),
        columns=tuple(_columns(moment)),
        recent=_recent(events),
    )


def _rendered(template: str, **values: object) -> str:
    return templates().get_template(f"board/{template}").render(values)


def _columns(moment: Moment) -> Iterator[Column]:
    turns = turns_of(moment)
    soon = [turn for turn in turns if turn.start <= moment.now + AHEAD]
    for person in moment.state.plan.people:
        own = tuple(_card(moment, turn.outlook, turn) for turn in soon if turn.person == person)
        away = moment.state.away(person, moment.now)
        later = next((turn for turn in turns if turn.person == person and turn not in soon), None)
        told_away = away is not None and ("away" if away.end is None else f"away until {format_clock(away.end)}")
        free = "" if own or told_away else idle_told(moment, person) if later is None else "nothing to do"
        parts = [told_away or free, "" if own or later is None else f"at {format_clock(later.start)}: {_what(later)}"]
        yield Column(person, "; ".join(filter(None, parts)), own)
    shown = {turn.outlook.batch.label for turn in soon}
    others = [
        outlook
        for label, outlook in moment.forecast.outlooks.items()
        if label not in shown and outlook.standing not in ("done", "lost") and outlook.start <= moment.now + AHEAD
    ]
    if others:
        by_start = sorted(others, key=lambda outlook: (outlook.start, outlook.end))
        yield Column(NO_ONE, "", tuple(_card(moment, outlook) for outlook in by_start))


def _card(moment: Moment, outlook: Outlook, turn: Turn | None = None) -> Card:
    start, end = (outlook.start, outlook.end) if turn is None else (turn.start, turn.end)
    batch = outlook.batch
    ends = turn is not None and turn.doing == "unload" and any(hand.start == batch.start for hand in batch.hands)
    note = change_told(outlook, turn).strip(" ()")
    if outlook.overdue:
        note = f"{format_duration(outlook.overdue)} over"
    return Card(
        label=outlook.batch.label,
        # That it should have begun is said where it is begun.
        standing="waiting" if ends and outlook.standing == "late" else outlook.standing,
        what=outlook.batch.step if turn is None else _what(turn).removeprefix(f"{outlook.batch.label} "),
        when=", ".join(dict.fromkeys([clock_span(start, end), *outlook.stations, size(outlook.batch)])),
        note=note,
        ends=ends,
    )


def _what(turn: Turn) -> str:
    doing = {"hands-on": "", "load": ": load", "unload": ": unload"}[turn.doing]
    return f"{turn.outlook.batch.label} {turn.outlook.batch.step}{doing}"


def _recent(events: Sequence[Recorded]) -> list[Recent]:
    """The last events, the last one first."""
    undone: Mapping[int, int] = {entry.event.number: entry.number for entry in events if isinstance(entry.event, Undo)}
    found = []
    for entry in reversed(events[-RECENT:]):
        gone = entry.number in undone
        text = f"{entry.number}: {told(entry.event)}, {entry.event.who}"
        over = gone or isinstance(entry.event, Undo | Accepted)
        found.append(Recent(f"{text} (undone)" if gone else text, None if over else entry.number))
    return found
