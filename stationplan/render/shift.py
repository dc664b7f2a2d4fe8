"""A shift that runs, in words: how it stands, what to see to, what comes next; and what was recorded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from stationplan.live.events import Recorded, Undo
from stationplan.live.expecting import Delivery, Outlook
from stationplan.live.moment import Moment, may_help, turns_of
from stationplan.live.standing import as_it_stands
from stationplan.live.turns import Turn
from stationplan.live.wording import told
from stationplan.plan.wording import ordered
from stationplan.render.chart import chart
from stationplan.render.key import key
from stationplan.render.lettering import clean, wrap
from stationplan.render.phrases import clock_span, size
from stationplan.render.rows import RowKind
from stationplan.render.words import legend
from stationplan.scenario.units import format_clock, format_duration

AHEAD = 30
"""Minutes ahead for which everybody's work is listed."""


def status_page(moment: Moment, *, width: int, unicode: bool = True) -> str:
    """How a shift stands, on one page.

    Args:
        moment: the shift at a moment.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.

    Returns:
        Where it stands, what to see to, what is running and what everybody does in the next half hour, with empty lines
        between and a line end at the end.
    """
    parts = [list(_headline(moment)), list(_alarms(moment)), list(_running(moment)), list(_people(moment))]
    texts = []
    for part in parts:
        lines = [line for text in part for line in _wrapped(text, width, unicode)]
        texts.append("\n".join(lines))
    return "\n\n".join(text for text in texts if text) + "\n"


def _wrapped(text: str, width: int, unicode: bool) -> list[str]:
    """Lines of a text whose blanks at the beginning are meant."""
    indent = " " * (len(text) - len(text.lstrip()))
    return [f"{indent}{line}" for line in wrap(clean(text.lstrip(), unicode), width - len(indent), "  ")]


def _headline(moment: Moment) -> Iterator[str]:
    forecast, plan = moment.forecast, moment.state.plan
    standings = [outlook.standing for outlook in forecast.outlooks.values()]
    yield f"{plan.name}, begun {moment.day.isoformat()}: it is {format_clock(moment.now)}"
    lost = f", {standings.count('lost')} failed" if "lost" in standings else ""
    come = sum(not outlook.begun for outlook in forecast.outlooks.values())
    done, running = standings.count("done"), standings.count("running")
    yield f"{len(standings)} batches: {done} done{lost}, {running} running, {come} to come"
    yield finish_told(moment)
    yield from (delivery_told(moment, delivery) for delivery in forecast.deliveries)
    if moment.unheeded:
        events = ", ".join(f"{entry.number} {told(entry.event)}" for entry in moment.unheeded)
        yield f"! not in this plan yet: {events}; to plan the rest anew: stationplan shift replan"


def finish_told(moment: Moment) -> str:
    """When everything is expected to be ready, beside the plan in force; once it is, beside the first plan."""
    forecast, planned = moment.forecast, moment.state.plan.finish
    expected = forecast.finish
    over = all(one.standing in ("done", "lost") for one in forecast.outlooks.values())
    if over and expected <= moment.now and not forecast.blocked:
        return f"finished {_beside(expected, moment.first_finish)}"
    if not forecast.blocked:
        return f"finish expected {_beside(expected, planned)}"
    at = f"{format_clock(expected)} at best, something failed or is blocked"
    # Being no later than planned counts for nothing as long as something cannot be done at all.
    return f"finish expected {_beside(expected, planned, at) if expected > planned else at}"


def _beside(minute: int, planned: int, at: str = "") -> str:
    at = at or format_clock(minute)
    if minute == planned:
        return f"{at}, as planned"
    word = "later" if minute > planned else "earlier"
    return f"{at}, {format_duration(abs(minute - planned))} {word} than planned ({format_clock(planned)})"


def delivery_told(moment: Moment, delivery: Delivery) -> str:
    """What is expected of an order."""
    order = delivery.order
    unit = next((amount.unit for amount in moment.state.plan.amounts if amount.item == order.product), "piece")
    text = f"{ordered(order.quantity, unit, order.product)} expected {format_clock(delivery.ready)}"
    if delivery.blocked:
        text += " at best, something for it failed or is blocked"
    if order.due is None:
        return text
    text += f", due {format_clock(order.due)}"
    if delivery.late:
        return f"{text}: {format_duration(delivery.late)} late"
    return text if delivery.blocked else f"{text}: {format_duration(order.due - delivery.ready)} to spare"


def idle_told(moment: Moment, person: str) -> str:
    """What is told of somebody who has no work left in the plan in force."""
    hint = f" in this plan, but a new one may use {person}" if may_help(moment, person) else ""
    return f"nothing more to do{hint}"


def _alarms(moment: Moment) -> Iterator[str]:
    if moment.alarms:
        yield "see to:"
    yield from (f"! {alarm.sentence}" for alarm in moment.alarms)


def _running(moment: Moment) -> Iterator[str]:
    running = [outlook for outlook in moment.forecast.outlooks.values() if outlook.standing == "running"]
    if running:
        yield "running:"
    for outlook in sorted(running, key=lambda outlook: outlook.end):
        run = moment.state.runs[outlook.batch.label]
        where = "".join(f", {word}" for word in dict.fromkeys((*run.stations, *run.people)))
        until = f"{format_duration(outlook.overdue)} over" if outlook.overdue else f"until {format_clock(outlook.end)}"
        batch = outlook.batch
        yield f"  {batch.label} {batch.step}, {size(batch)}, since {format_clock(run.start)}{where}, {until}"


def _people(moment: Moment) -> Iterator[str]:
    yield f"until {format_clock(moment.now + AHEAD)}:"
    turns = turns_of(moment)
    for person in moment.state.plan.people:
        own = [turn for turn in turns if turn.person == person]
        soon = [turn for turn in own if turn.start <= moment.now + AHEAD]
        away = moment.state.away(person, moment.now)
        if away is not None:
            until = "" if away.end is None else f" until {format_clock(away.end)}"
            yield f"  {person}: away{until}"
        elif not soon:
            yield f"  {person}: {f'nothing, then {_turn(own[0])}' if own else idle_told(moment, person)}"
        else:
            yield f"  {person}:"
        yield from (f"    {_turn(turn)}{change_told(turn.outlook, turn)}" for turn in soon)


def _turn(turn: Turn) -> str:
    doing = {"hands-on": "", "load": "load ", "unload": "unload "}[turn.doing]
    batch = turn.outlook.batch
    where = ", ".join(dict.fromkeys(turn.outlook.stations))
    place = f", {where}" if where else ""
    return f"{clock_span(turn.start, turn.end)} {doing}{batch.label} {batch.step}, {size(batch)}{place}"


def change_told(outlook: Outlook, turn: Turn | None = None) -> str:
    """What became of the plan for a batch, in brackets, where that is not as planned.

    Args:
        outlook: how it stands.
        turn: the work on it that this is said of; without one, its beginning.
    """
    if outlook.standing == "blocked":
        return f" (blocked: {outlook.because})"
    if turn is not None and turn.doing == "unload":
        return "" if turn.start == turn.planned else f" (planned {format_clock(turn.planned)})"
    if outlook.begun or outlook.start == outlook.batch.start:
        return ""
    because = f"; {outlook.because}" if outlook.because else ""
    return f" (planned {format_clock(outlook.batch.start)}{because})"


def chart_page(
    moment: Moment,
    *,
    width: int,
    unicode: bool = True,
    color: bool = False,
    rows: RowKind = "equipment",
    span: tuple[int, int] | None = None,
) -> str:
    """A shift drawn over time: left of now as it was, right of it as it is expected, and what the plan had said.

    Args:
        moment: the shift at a moment.
        width: most columns of a line, at least 60.
        unicode: draw with block and box characters; else plain ASCII throughout.
        color: add terminal colours; nothing is said by colour alone.
        rows: what the chart has a row for.
        span: draw only from the first to the second, minutes since midnight of the first day.

    Returns:
        How the shift stands, the chart, planned against actual, legend and key, with empty lines between and a line end
        at the end.

    Raises:
        RenderError: when the width is too small, or the span is empty.
    """
    plan = as_it_stands(moment)
    headline = [line for text in _headline(moment) for line in _wrapped(text, width, unicode)]
    drift = [line for text in _drift(moment) for line in _wrapped(text, width, unicode)]
    parts = (
        "\n".join(headline),
        chart(plan, width=width, unicode=unicode, color=color, rows=rows, span=span),
        "\n".join(drift),
        legend(plan, width, unicode),
        key(plan, width, unicode=unicode, rows=rows),
    )
    return "\n\n".join(part for part in parts if part) + "\n"


def _drift(moment: Moment) -> Iterator[str]:
    """Planned against actual, for every batch that has begun and did not go as planned."""
    begun = [outlook for outlook in moment.forecast.outlooks.values() if outlook.begun]
    other = [o for o in begun if o.drift or o.start != o.batch.start or o.standing == "lost"]
    past = moment.state.plan.past
    title = "planned against actual" + (f", by the plan of {format_clock(past.now)}" if past is not None else "")
    if begun and not other:
        yield f"{title}: all as planned"
    elif other:
        yield f"{title}:"
    for outlook in sorted(other, key=lambda outlook: outlook.start):
        batch = outlook.batch
        word = {"running": "runs", "lost": "failed"}.get(outlook.standing, "was")
        late = "later" if outlook.drift > 0 else "earlier"
        drift = f": {format_duration(abs(outlook.drift))} {late}" if outlook.drift else ""
        yield (
            f"  {batch.label} {batch.step} planned {clock_span(batch.start, batch.end)}, {word} "
            f"{clock_span(outlook.start, outlook.end)}{drift}"
        )


def log_page(events: Sequence[Recorded], *, width: int, unicode: bool = True) -> str:
    """Everything that was recorded, one event a line.

    Args:
        events: by number.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.

    Returns:
        Lines of text with a line end at the end.
    """
    undone = {entry.event.number: entry.number for entry in events if isinstance(entry.event, Undo)}
    lines = []
    for entry in events:
        gone = f" (undone by {undone[entry.number]})" if entry.number in undone else ""
        text = f"{entry.number}: {told(entry.event)}, {entry.event.who}{gone}"
        lines += wrap(clean(text, unicode), width, "    ")
    return "\n".join(lines or ["nothing is recorded yet"]) + "\n"
