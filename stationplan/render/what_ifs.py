"""What changes to a kitchen would gain, as tables of text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.plan.comparing import Ending
from stationplan.render.lettering import clean, wrap
from stationplan.render.overview import titled
from stationplan.scenario.units import format_clock, format_duration

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from stationplan.plan.bottlenecks import Bottlenecks
    from stationplan.plan.comparing import Answer, Comparison, Gain
    from stationplan.plan.trials import Known

MOST_INTERRUPTED = 4
"""Longer lists of what nothing is known of help nobody."""


def what_if_tables(known: Bottlenecks, width: int, unicode: bool) -> list[list[str]]:
    """What each change gains, most first, beside the plan as it is; or which changes make one possible.

    Args:
        known: what holds the kitchen up, with what changes would gain.
        width: most columns of a line.
        unicode: whether texts may hold more than ASCII.

    Returns:
        Blocks of lines.
    """
    comparison = known.comparison
    if comparison is None or not comparison.answers:
        return []
    parts = _made_possible(known, comparison, width, unicode)
    if comparison.best is not None:
        parts = _gains(known, comparison, comparison.best, width, unicode)
    return [*parts, _others(comparison, width, unicode)]


def _gains(known: Bottlenecks, comparison: Comparison, best: Known, width: int, unicode: bool) -> list[list[str]]:
    planned = [answer for answer in comparison.answers if answer.late is not None and answer.length is not None]
    lines = _conclusion(comparison, best, planned)
    parts = [[line for text in lines for line in wrap(clean(text, unicode), width, "  ")]]
    if best.late or any(answer.known and answer.known.late for answer in planned):
        unit = "minutes late, weighted" if known.weighted else "minutes late in all"
        parts.append(
            _table(
                f"what if: {unit} ({best.late} as it is)",
                "late",
                [
                    (answer, f"{answer.known.late} min", answer.late)
                    for answer in planned
                    if answer.known and answer.late
                ],
                width,
                unicode,
                told_all=best.late > 0,
            )
        )
    now = format_clock(known.opens + best.length)
    finishes = [
        (answer, format_clock(known.opens + answer.known.length), answer.length)
        for answer in planned
        if answer.known and answer.length
    ]
    parts.append(_table(f"what if: the finish ({now} as it is)", "finished", finishes, width, unicode))
    if any(gain.least is not None and not gain.proved for answer in planned for gain in _gains_of(answer)):
        note = "between: so much the best plans of the two kitchens can differ; a longer search narrows it"
        parts[-1] += wrap(note, width, "  ")
    return parts


def _gains_of(answer: Answer) -> Iterable[Gain]:
    return (gain for gain in (answer.late, answer.length) if gain is not None)


def _table(
    title: str,
    column: str,
    rows: Sequence[tuple[Answer, str, Gain]],
    width: int,
    unicode: bool,
    *,
    told_all: bool = True,
) -> list[str]:
    """Changes that gain or cost something, or may; those that are proved to do neither are named below."""
    in_order = sorted(rows, key=lambda row: -row[2].found)
    telling = [row for row in in_order if row[2].found or not row[2].proved]
    texts = [(answer.sentence, value, _saved(answer, gain), _between(answer, gain)) for answer, value, gain in telling]
    lines = titled(title, ("", column, "", ""), texts, "lrrr", width, unicode) or [title]
    without = [answer.sentence for answer, _, gain in in_order if gain.proved and not gain.found]
    if without and told_all:
        lines += wrap(clean(f"no difference, proved: {'; '.join(without)}", unicode), width, "  ")
    return lines


def _saved(answer: Answer, gain: Gain) -> str:
    if not gain.found:
        return "no gain found" if answer.choice.adds else "no loss found"
    return f"{'saves' if gain.found > 0 else 'costs'} {format_duration(abs(gain.found))}"


def _between(answer: Answer, gain: Gain) -> str:
    """What is certain about it, counted in the direction in which it goes."""
    if gain.proved:
        return "proved"
    if gain.least is None or gain.most is None:
        return "not comparable"
    costs = gain.found < 0 or (not gain.found and not answer.choice.adds)
    ends = (-gain.most, -gain.least) if costs else (gain.least, gain.most)
    return f"between {ends[0]} and {ends[1]} min"


def _conclusion(comparison: Comparison, best: Known, planned: Sequence[Answer]) -> list[str]:
    """The one change that gains most, in a sentence, and a better plan that the trials have found by the way."""
    lines = []
    additions = [answer for answer in planned if answer.choice.adds]
    if best.late:
        lines += _most(additions, lambda answer: answer.late, "late")
    if not lines:
        lines += _most(additions, lambda answer: answer.length, "time")
    if additions and not lines:
        lines.append("Of these changes none alone was found to save anything.")
    if comparison.base is not None and best.cost < comparison.base.cost:
        gained = comparison.base.length - best.length
        found = f"ends {format_duration(gained)} sooner" if comparison.base.late == best.late else "is less late"
        lines.append(
            f"On the way, a plan for less than this kitchen was found that {found} than the one above: "
            "search longer for it (--time-limit). The figures below reckon with it."
        )
    return lines


def _most(answers: Sequence[Answer], gain_of: Callable[[Answer], Gain | None], what: str) -> list[str]:
    ranked = sorted(answers, key=lambda answer: -_found(gain_of(answer)))
    if not ranked or _found(gain_of(ranked[0])) <= 0:
        return []
    gain = gain_of(ranked[0])
    assert gain is not None
    amount = f"{gain.found} late minutes" if what == "late" else format_duration(gain.found)
    doubt = ", proved" if gain.proved else _doubt(gain)
    ties = [answer.sentence for answer in ranked if _found(gain_of(answer)) == gain.found]
    return [f"Most is saved by {' or '.join(ties)}: {amount}{doubt}."]


def _doubt(gain: Gain) -> str:
    """What is left open of something saved, in brackets."""
    if gain.least is None or gain.most is None:
        return ""
    parts = [f"at least {gain.least}"] if gain.least < gain.found else []
    parts += [f"at most {gain.most}"] if gain.most > gain.found else []
    return f" ({', '.join(parts)})"


def _found(gain: Gain | None) -> int:
    return 0 if gain is None else gain.found


def _made_possible(known: Bottlenecks, comparison: Comparison, width: int, unicode: bool) -> list[list[str]]:
    """Where there is no plan as it is: the changes that make one possible, the most punctual and earliest first."""
    planned = [(answer, answer.known) for answer in comparison.answers if answer.known is not None]
    planned.sort(key=lambda pair: pair[1].cost)
    late = any(found.late for _, found in planned)
    rows = []
    for answer, found in planned:
        finish = format_clock(known.opens + found.length)
        bound = format_clock(known.opens + found.least_length)
        proof = "proved" if found.length == found.least_length else f"not before {bound}"
        rows.append((answer.sentence, *([_late(found)] if late else []), finish, proof))
    header = ("", *(["late in all"] if late else []), "finished", "")
    title = "each of these alone makes it possible; a plan was made and checked for each"
    if not rows:
        return [["None of these changes alone was found to make it possible."]]
    return [titled(title, header, rows, "l" + "r" * (len(header) - 1), width, unicode)]


def _late(found: Known) -> str:
    doubt = "" if found.late == found.least_late else f", not below {found.least_late}"
    return f"{found.late} min{doubt}"


def _others(comparison: Comparison, width: int, unicode: bool) -> list[str]:
    """Changes without a plan."""
    words = {
        Ending.IMPOSSIBLE: "cannot be done" if comparison.base else "still cannot be done",
        Ending.NOT_FOUND: "no plan found in the time, though there may be one",
        Ending.INTERRUPTED: "interrupted before it was known",
    }
    lines = []
    for ending, said in words.items():
        sentences = [answer.sentence for answer in comparison.answers if answer.ending is ending]
        if ending is Ending.INTERRUPTED and len(sentences) > MOST_INTERRUPTED:
            sentences = [f"{len(sentences)} of {len(comparison.answers)} changes"]
        if sentences:
            lines += wrap(clean(f"{said}: {'; '.join(sentences)}", unicode), width, "  ")
    return lines
