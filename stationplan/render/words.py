"""A plan in sentences: what is made, when it is finished, what the finish hangs on, what the letters mean."""

from __future__ import annotations

from fractions import Fraction

from stationplan.plan.document import Batch, ChainLink, Delivered, Plan, Tier
from stationplan.plan.wording import listed, ordered
from stationplan.render.early import standing
from stationplan.render.lettering import clean, columns, pad, wrap
from stationplan.render.presence import times_away, times_out_of_use
from stationplan.scenario.units import format_clock, format_duration, format_quantity

_LINES_OF_THE_CHAIN = 4
_MOST_LATE = 8
_MOST_EARLY = 3
_LATE_START = 15
"""Minutes after opening from which on it is told when the first work begins."""


def headline(plan: Plan, width: int = 80, unicode: bool = True, *, why: bool = True) -> str:
    """What is made, when it is finished, and how far from the shortest possible that is.

    Args:
        plan: the plan.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.
        why: whether to say where the bound comes from.

    Returns:
        A few lines: the name and the orders, the finish, what is late, what is early and has to stand, what may begin
        too early, and where the bound comes from.
    """
    lines = [f"{plan.name}: {listed(_ordered(plan))}" if plan.orders else plan.name]
    lines.append(_finish(plan))
    lines += _lateness(plan)
    lines += _early(plan)
    lines += _stopped(plan)
    lines += _untidy(plan)
    if plan.durations != "longest":
        lines.append(f"step times: the {plan.durations} of each range")
    if why:
        lines += bound(plan)
    return "\n".join(line for text in lines for line in wrap(clean(text, unicode), width, "  "))


def bound(plan: Plan) -> list[str]:
    """Where the bound comes from: the strongest reason, and the one after it."""
    strongest = sorted(plan.reasons, key=lambda reason: -reason.minutes)[:2]
    words = ("why not sooner", "next to that")
    return [f"{word}: {reason.because.rstrip('. ')}" for word, reason in zip(words, strongest, strict=False)]


def _ordered(plan: Plan) -> list[str]:
    made: dict[str, int] = {}
    for order in plan.orders:
        made[order.product] = made.get(order.product, 0) + order.quantity
    return [_quantity(plan, quantity, product) for product, quantity in made.items()]


def _quantity(plan: Plan, quantity: int, product: str) -> str:
    unit = next((amount.unit for amount in plan.amounts if amount.item == product), "piece")
    return ordered(quantity, unit, product)


def _tier(plan: Plan, name: str) -> Tier | None:
    return next((tier for tier in plan.tiers if tier.name == name), None)


def _finish(plan: Plan) -> str:
    length = plan.finish - plan.opens
    opening = format_clock(plan.opens)
    text = f"finished {format_clock(plan.finish)}, {format_duration(length)} after opening at {opening}"
    first = min((batch.start for batch in plan.batches), default=plan.opens)
    if first - plan.opens >= _LATE_START:
        text += f" (first work {format_clock(first)})"
    if plan.finish > plan.closes:
        text += f" and {format_duration(plan.finish - plan.closes)} after closing"
    tier = _tier(plan, "makespan")
    if tier is None:
        return text
    anyhow = max((reason.minutes for reason in plan.reasons if not reason.punctual), default=0)
    best = "no plan" if anyhow >= tier.bound else "no plan as punctual"
    if tier.proved:
        return f"{text}: proved, {best} finishes earlier"
    gain = tier.value - tier.bound
    bound = format_clock(plan.opens + tier.bound)
    return (
        f"{text}; {best} can finish before {bound}: at most {format_duration(gain)} ({_percent(gain, length)}) to gain"
    )


def _percent(part: int, whole: int) -> str:
    """Never nothing when there is something."""
    share = Fraction(100 * part, max(whole, 1))
    return f"{round(share)} %" if share >= 1 or not part else "under 1 %"


def _lateness(plan: Plan) -> list[str]:
    late = [order for order in plan.orders if order.late]
    due = [order for order in plan.orders if order.due is not None]
    if not due:
        return []
    if not late:
        closest = min(due, key=lambda order: ((order.due or 0) - order.ready, order.product))
        spare = (closest.due or 0) - closest.ready
        margin = f"{format_duration(spare)} to spare" if spare else "nothing to spare"
        tightest = "; the tightest:" if len(due) > 1 else ":"
        return [f"every order is in time{tightest} {_delivery(plan, closest)}: {margin}"]
    lines = [f"late: {_delivery(plan, order)}: {format_duration(order.late)} late" for order in late[:_MOST_LATE]]
    if len(late) > _MOST_LATE:
        worst = format_duration(max(order.late for order in late[_MOST_LATE:]))
        lines.append(f"late: {_more(len(late) - _MOST_LATE)}, up to {worst} late")
    in_time = len(due) - len(late)
    if in_time:
        lines.append(f"in time: {in_time} of {len(due)} orders with a due time")
    tier = _tier(plan, "lateness")
    if tier is not None:
        unit = "minutes late, weighted" if any(order.weight != 1 for order in plan.orders) else "minutes late in all"
        better = "proved, no plan is less late" if tier.proved else f"no plan can have fewer than {tier.bound}"
        lines.append(f"{tier.value} {unit}: {better}")
    return lines


def _early(plan: Plan) -> list[str]:
    """What has to stand for long until it is due, the longest first."""
    told = [(order, text) for order in plan.orders if (text := standing(plan, order))]
    told.sort(key=lambda pair: pair[0].ready - (pair[0].due or 0))
    lines = [f"early: {_delivery(plan, order, due=False)}, {text}" for order, text in told[:_MOST_EARLY]]
    if len(told) > _MOST_EARLY:
        lines.append(f"early: {_more(len(told) - _MOST_EARLY)}")
    return lines


def _more(number: int) -> str:
    return f"{number} more order{'' if number == 1 else 's'}"


def _untidy(plan: Plan) -> list[str]:
    """That waits have not been proved to be as short as they go."""
    tier = _tier(plan, "tidiness")
    if tier is None or tier.proved:
        return []
    return ["not proved: that all waits are as short as they go; some work may begin earlier than it must"]


def _stopped(plan: Plan) -> list[str]:
    """Why the search went no further, where it has left something open."""
    stopped = plan.stopped
    if stopped is None or plan.status == "proved":
        return []
    if stopped.by == "interruption":
        return ["search ended: it was interrupted"]
    if stopped.gap is not None:
        return [f"search ended: no more than {100 * stopped.gap:g} % to gain, as was asked for"]
    much = f"{stopped.effort:g} units of effort" if stopped.seconds is None else f"{stopped.seconds:g} s"
    return [f"search ended: {'nothing better for' if stopped.by == 'stall' else 'after'} {much}"]


def _delivery(plan: Plan, order: Delivered, *, due: bool = True) -> str:
    until = f", due {format_clock(order.due)}" if due and order.due is not None else ""
    return f"{_quantity(plan, order.quantity, order.product)} ready {format_clock(order.ready)}{until}"


def warnings(plan: Plan, width: int = 80, unicode: bool = True) -> str:
    """The cautions that the plan carries, each with a hanging indent; empty when there are none."""
    return "\n".join(line for text in plan.warnings for line in wrap(clean(f"! {text}", unicode), width, "  "))


def hangs_on(plan: Plan, width: int = 80, unicode: bool = True) -> str:
    """What the finish hangs on, from opening to the last batch.

    Args:
        plan: the plan.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.

    Returns:
        One sentence, batches of the same kind drawn together, its middle left out when it is long; wrapped. Empty when
        the plan names no critical chain.
    """
    batches = {batch.label: batch for batch in plan.batches}
    links = [link for link in plan.chain if link.label in batches]
    if not links:
        return ""
    runs = _runs(links, batches)
    parts = [_part(plan, run, batches, before) for before, run in zip([None, *runs], runs, strict=False)]
    parts.append(f"finish {format_clock(plan.finish)}")
    shown = parts
    keep = len(parts)
    while True:
        lines = wrap(clean("the finish hangs on: " + " > ".join(shown), unicode), width, "  ")
        if len(lines) <= _LINES_OF_THE_CHAIN or keep <= 3:
            return "\n".join(lines)
        keep -= 1
        head = keep // 2
        shown = [*parts[:head], f"... {len(parts) - keep} more ...", *parts[len(parts) - (keep - head) :]]


def _runs(links: list[ChainLink], batches: dict[str, Batch]) -> list[list[ChainLink]]:
    """Batches that follow each other on one station, or by one person, are told together.

    Two batches of different steps are told apart: they are not worth a count.
    """
    runs: list[list[ChainLink]] = []
    for link in links:
        last = runs[-1] if runs else []
        if link.why in ("station", "person") and (len(last) == 1 or (last and last[-1].on == link.on)):
            last.append(link)
        else:
            runs.append([link])
    told: list[list[ChainLink]] = []
    for run in runs:
        apart = len(run) == 2 and len(_steps(run, batches)) == 2
        told += [[link] for link in run] if apart else [run]
    return told


def _steps(run: list[ChainLink], batches: dict[str, Batch]) -> set[tuple[str, str]]:
    return {(batches[link.label].item, batches[link.label].step) for link in run}


def _part(plan: Plan, run: list[ChainLink], batches: dict[str, Batch], before: list[ChainLink] | None) -> str:
    head, tail = batches[run[0].label], batches[run[-1].label]
    labels = head.label if len(run) == 1 else f"{head.label} to {tail.label}"
    items = dict.fromkeys(batches[link.label].item for link in run)
    what = head.step if len(_steps(run, batches)) == 1 else f"({len(run)} batches{_of_several(list(items))})"
    text = f"{labels} {what} {format_clock(head.start)}"
    why = _why(plan, run[0], head, None if before is None else batches[before[-1].label])
    if len(run) > 1:
        why = ", ".join(part for part in (why, f"one after another {_busy(run[-1])}") if part)
    return f"{text} ({why})" if why else text


def _of_several(items: list[str]) -> str:
    return f" of {listed(items)}" if len(items) > 1 else ""


def _why(plan: Plan, link: ChainLink, batch: Batch, before: Batch | None) -> str:
    if link.why == "opening":
        return "from opening" if before is None and batch.start == plan.opens else ""
    if link.why == "waits":
        return f"after {link.on}" if link.on else ""
    if link.why in ("station", "person"):
        # What is made of something else altogether is on the chain for nothing but this.
        other = "" if before is None or before.item == batch.item else f" with {before.item}"
        return f"{link.on} busy{other} until then"
    if link.why == "release":
        return _release(plan, batch, before is None)
    if link.why == "goods":
        return f"{link.on} comes then"
    if link.why == "stock":
        return f"no earlier with the {link.on} from stock"
    return ""


def _release(plan: Plan, batch: Batch, first: bool) -> str:
    """Whose break or hours, or which station out of use, a batch begins after; what did not fit before a break."""
    away = times_away(plan)
    for hand in batch.hands:
        for absence in away.get(hand.person, ()):
            if absence.end == hand.start and not absence.rests:
                return f"{hand.person} comes then"
            if absence.end == hand.start:
                until = f"{hand.person}'s break until then"
                if first or hand.doing != "hands-on":
                    return until
                length = format_duration(hand.end - hand.start)
                return f"{until}; {length} would not fit before {format_clock(absence.start)}"
    out = times_out_of_use(plan)
    for seat in batch.seats:
        back = max((end for _, end in out.get(seat.station, ()) if end <= seat.start), default=None)
        if back is not None:
            return f"{seat.station} out of use until {format_clock(back)}"
    return f"not before {format_clock(batch.start)}"


def _busy(link: ChainLink) -> str:
    return f"by {link.on}" if link.why == "person" else f"on {link.on}"


def legend(plan: Plan, width: int = 80, unicode: bool = True) -> str:
    """What the letters of the labels stand for, in columns where the width allows it.

    Args:
        plan: the plan.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.

    Returns:
        One entry an item, with how much of it is made and its steps.
    """
    amounts = {amount.item: amount for amount in plan.amounts}
    entries = []
    for entry in plan.legend:
        steps = ", ".join(f"{letter} {name}" for letter, name in entry.steps)
        made = amounts.get(entry.item)
        quantity = f", {format_quantity(Fraction(made.quantity), made.unit)}" if made is not None else ""
        for stock in (stock for stock in plan.stock if stock.item == entry.item):
            quantity += f" besides {stock.label}, {format_quantity(Fraction(stock.quantity), stock.unit)} from stock"
        entries.append(clean(f"{entry.letters} {entry.item}{quantity}: {steps}", unicode))
    return "\n".join(in_columns(entries, width))


def in_columns(entries: list[str], width: int) -> list[str]:
    """Set entries side by side, read downwards, in as many columns as the longest entry allows; else wrap them."""
    if not entries:
        return []
    longest = max(columns(entry) for entry in entries)
    number = max(1, (width + 3) // (longest + 3))
    if number == 1:
        return [line for entry in entries for line in wrap(entry, width, "   ")]
    height = -(-len(entries) // number)
    lines = []
    for row in range(height):
        line = "   ".join(pad(entry, longest) for entry in entries[row::height])
        lines.append(line.rstrip())
    return lines
