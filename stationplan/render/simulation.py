"""What many runs of a plan say, as tables of text and as JSON."""

from __future__ import annotations

import json
from dataclasses import asdict
from math import ceil
from typing import TYPE_CHECKING

from stationplan.plan.wording import ordered
from stationplan.render.lettering import clean, shorten, wrap
from stationplan.render.overview import table, titled
from stationplan.scenario.units import format_clock, format_duration

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stationplan.live.confident import Confident
    from stationplan.live.figures import BatchFigures, Estimate, Gain, OrderFigures, Simulated, TooLong
    from stationplan.plan.document import Plan

_MOST_ROWS = 10
_ALMOST = 1e-6


def page(found: Simulated, units: dict[str, str], *, width: int, unicode: bool = True) -> str:
    """Everything on one page.

    Args:
        found: what the runs say.
        units: what each product is counted in, such as piece.
        width: most columns of a line, at least 60.
        unicode: whether texts may hold more than ASCII.

    Returns:
        What was done, the finish, the orders, what lasts too long, and what the finish hangs on; with empty lines
        between, and a line end at the end.
    """
    parts = [_done(found), _finish(found, unicode)]
    texts = [[line for text in part for line in wrap(clean(text, unicode), width, "  ")] for part in parts]
    texts.append(_orders(found.orders, units, width, unicode))
    texts += [_too_long(found, width, unicode), _overtime(found.overtime, width, unicode)]
    texts.append(_hangs_on(found, width, unicode))
    texts.append(wrap(_note(found, unicode), width, "  "))
    return "\n\n".join("\n".join(shorten(line, width, unicode) for line in part) for part in texts if part) + "\n"


def to_json(found: Simulated) -> str:
    """The same as JSON, indented: minutes since midnight for moments, minutes for lengths, shares from 0 to 1.

    Args:
        found: what the runs say.
    """
    return json.dumps({"format": "stationplan simulation", "version": 1, **asdict(found)}, indent=2) + "\n"


def confidence(found: Confident, width: int, unicode: bool = True) -> str:
    """How likely a plan with slack has its orders in time, and what the slack costs.

    Args:
        found: what came of looking for slack.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.
    """
    wanted = f"{100 * found.wanted:g} %"
    plan, without = found.found.plan, found.without.plan
    lines = [] if found.found.shares else ["no order has a due time, so there is nothing to be confident about"]
    for (number, chance), slack in zip(found.found.shares, found.found.slack, strict=True):
        order = plan.orders[number]
        what = (
            f"{ordered(order.quantity, _unit(plan, order.product), order.product)}, due {format_clock(order.due or 0)}"
        )
        told = f"in time in {_share(chance, unicode)} of the runs, ready {format_clock(order.ready)} as planned"
        lines.append(
            f"{what}: {told}" + (f"; searched for as if due {format_duration(slack)} earlier" if slack else "")
        )
    if not any(found.found.slack):
        lines.append(f"{wanted} are reached without any slack" if found.reached else "no slack was found that helps")
    else:
        least = _hundredths(min(chance.value for _, chance in found.without.shares))
        before, after = (f"finished {format_clock(one.finish)}, {_late(one)}" for one in (without, plan))
        lines.append(f"without slack: the least sure order in time in {least}, {before}; with it: {after}")
    for wait in found.waits:
        now = wait.now
        lines.append(
            f"! with slack {now.item}: {now.name} ({' to '.join(now.where)}) lasts longer than its most of "
            f"{format_duration(int(now.allowed))} in {_share(now.share, unicode)} of the runs; without it in "
            f"{_share(wait.before, unicode)}"
        )
    if not found.reached:
        lines.append(f"! {wanted} were not reached; this is the plan that comes closest")
    return "\n".join(line for text in lines for line in wrap(clean(text, unicode), width, "  ")) + "\n"


def _unit(plan: Plan, product: str) -> str:
    return next((amount.unit for amount in plan.amounts if amount.item == product), "piece")


def _late(plan: Plan) -> str:
    late = sum(order.late for order in plan.orders)
    return f"{format_duration(late)} late in all" if late else "nothing late"


def _done(found: Simulated) -> list[str]:
    how = "each batch as soon as it can begin" if found.early else "no batch before its time"
    lines = [found.name]
    if found.now is not None:
        lines.append(f"the rest from {format_clock(found.now)} on: what was done by then is as it was recorded")
    lines.append(f"worked through {found.runs} times in the order of the plan, {how}")
    if found.varying:
        lines.append(
            f"the time of {found.varying} of {found.batches} batches varies, {found.shape} over its range; "
            f"seed {found.seed}"
        )
        if found.safe:
            lines.append(
                "this plan reckons with the long end of every range: as far as times go, "
                "nothing can be later than planned"
            )
    else:
        lines.append("no step has a range such as 11..13 min, so nothing varies: every run is the same")
    return lines


def _finish(found: Simulated, unicode: bool) -> list[str]:
    text = (
        f"finish: planned {format_clock(found.planned)}; half of the runs by {_clock(found.half)}, "
        f"9 in 10 by {_clock(found.most)}"
    )
    lines = [text]
    if found.in_time is not None and len(found.orders) > 1:
        lines.append(f"every order in time: {_share(found.in_time, unicode)} of the runs")
    if found.after_closing.value:
        lines.append(
            f"not done at closing, {format_clock(found.closes)}: {_share(found.after_closing, unicode)} of the runs"
        )
    return lines


def _orders(orders: Sequence[OrderFigures], units: dict[str, str], width: int, unicode: bool) -> list[str]:
    rows = [
        (
            ordered(order.quantity, units.get(order.product, "piece"), order.product),
            "" if order.due is None else format_clock(order.due),
            format_clock(order.planned),
            _clock(order.half),
            _clock(order.most),
            "" if order.in_time is None else _share(order.in_time, unicode),
        )
        for order in orders
    ]
    header = ("ready", "due", "planned", "half by", "9 in 10 by", "in time")
    return titled("the orders", header, rows, "lrrrrr", width, unicode)


def _too_long(found: Simulated, width: int, unicode: bool) -> list[str]:
    rows = [
        (
            f"{one.item}: {one.name}",
            " to ".join(one.where),
            _minutes(one.allowed),
            _share(one.share, unicode),
            _minutes(one.minutes),
        )
        for one in (*found.waits, *found.standing)
    ]
    header = ("wait, or time on a machine", "batch", "at most", "too long in", "by")
    return _cut(titled("what lasts too long", header, rows[:_MOST_ROWS], "llrrr", width, unicode), rows)


def _overtime(overtime: Sequence[TooLong], width: int, unicode: bool) -> list[str]:
    rows = [
        (one.name, format_clock(int(one.allowed)), _share(one.share, unicode), _minutes(one.minutes))
        for one in overtime
    ]
    header = ("person", "hours end", "stays longer in", "by")
    return _cut(titled("who stays longer", header, rows[:_MOST_ROWS], "lrrr", width, unicode), rows)


def _hangs_on(found: Simulated, width: int, unicode: bool) -> list[str]:
    if not found.varying:
        return []
    due = found.in_time is not None
    rows = [
        (
            f"{one.label} {one.step}",
            _hundredths(one.critical.value),
            *([_hundredths(one.delaying.value)] if due else []),
            _gain(one.sooner, due),
            _gain(one.steady, due),
        )
        for one in found.hangs_on
        if _counts(one)
    ]
    header = ("batch", "finish", *(["late order"] if due else []), "5 min less", "no variation")
    what = "the finish, or a late order," if due else "the finish"
    title = f"where a few minutes pay: how often {what} hangs on a batch, and what making it easier brings"
    return [*wrap(title, width), *table(header, rows, "l" + "r" * (len(header) - 1), width, unicode)] if rows else []


def _counts(one: BatchFigures) -> bool:
    return any(abs(value) > _ALMOST for gain in (one.sooner, one.steady) for value in (gain.finish, gain.in_time))


def _gain(gain: Gain, due: bool) -> str:
    """Minutes of the 9-in-10 finish, and hundredths of the chance to have everything in time."""
    text = f"{_signed(-gain.finish)} min"
    return f"{text}, {_signed(100 * gain.in_time)} %" if due else text


def _signed(value: float) -> str:
    rounded = round(value, 1)
    return f"{rounded:+.1f}" if rounded else "0"


def _cut(lines: list[str], rows: Sequence[object]) -> list[str]:
    return [*lines, f"and {len(rows) - _MOST_ROWS} more"] if len(rows) > _MOST_ROWS else lines


def _note(found: Simulated, unicode: bool) -> str:
    if not found.varying:
        return ""
    away = max(ceil(found.most.error - _ALMOST), 0)
    text = f"{_sign(unicode)} is how far {found.runs} runs may be off, 19 times in 20; "
    text += f"the 9-in-10 finish may be off by {away} min."
    if any(map(_counts, found.hangs_on)):
        text += (
            " The last two columns: by how much the 9-in-10 finish changes when a batch takes 5 min less each time, "
        )
        text += "or never varies"
        text += "; and the share with every order in time." if found.in_time is not None else "."
    return text


def _clock(moment: Estimate) -> str:
    """Rounded up: what is promised for 09:31 is not ready at half past."""
    return format_clock(ceil(moment.value - _ALMOST))


def _minutes(minutes: float) -> str:
    return format_duration(ceil(minutes - _ALMOST))


def _share(share: Estimate, unicode: bool) -> str:
    error = 100 * share.error
    rounded = ceil(error - _ALMOST) if error >= 1 else ceil(10 * error) / 10
    return f"{_hundredths(share.value)} ({_sign(unicode)} {rounded:g})"


def _sign(unicode: bool) -> str:
    return "±" if unicode else "+/-"


def _hundredths(share: float) -> str:
    """All or nothing only where it was all or nothing."""
    value = 100 * share
    exact = round(value) in (0, 100) and value not in (0.0, 100.0)
    return f"{value:.1f} %" if exact else f"{value:.0f} %"
