"""Checks of what follows what: unknown names, circles, loose ends, waits without a step."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, floor
from typing import TYPE_CHECKING

from stationplan.scenario.checks.entries import (
    MOST_ENTRIES,
    Entry,
    all_steps,
    all_waits,
    entry_count,
    written,
    written_out,
)
from stationplan.scenario.models import Wait
from stationplan.scenario.units import format_duration
from stationplan.scenario.units.numbers import suggestion

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.models import After
    from stationplan.scenario.nodes import Path
    from stationplan.scenario.sentences import Finding


def afters(draft: Draft) -> Iterator[Finding]:
    """An ``after`` that names nothing of the item, itself, something twice, or has limits that belong to a wait."""
    for path, name, item in draft.items():
        entries = list(written(item, path))
        by_name = {entry.name: entry for entry in entries}
        for entry in entries:
            named = [after.step for after in entry.part.after or ()]
            if isinstance(entry.part, Wait) and len(named) > 1:
                yield (*entry.path, "after"), f"the wait '{entry.name}' can come after one step only; name just one"
            for position, after in enumerate(entry.part.after or ()):
                where = (*entry.path, "after", position)
                if after.step == entry.name:
                    yield where, f"'{entry.name}' comes after itself; name another step"
                elif after.step not in by_name:
                    hint = suggestion(after.step, by_name) or f"; there are {_listed(by_name)}"
                    yield where, f"'{name}' has no step or wait '{after.step}'{hint}"
                elif after.step in named[:position]:
                    yield where, f"'{after.step}' is named twice; keep one of them"
                else:
                    yield from _limits_on_waits(where, after, entry, by_name[after.step])


def _limits_on_waits(where: Path, after: After, entry: Entry, before: Entry) -> Iterator[Finding]:
    wait = next((one.name for one in (before, entry) if isinstance(one.part, Wait)), None)
    if wait is not None and (after.at_least or after.at_most is not None):
        yield where, f"put 'at_least' and 'at_most' on the wait '{wait}' itself, not behind 'after'"


def least_above_most(draft: Draft) -> Iterator[Finding]:
    """A most below its least, or with no whole minute between the two."""
    for _, _, wait, path in all_waits(draft):
        yield from _least_above_most(wait.at_least, wait.at_most, path)
    for _, _, step, path in all_steps(draft):
        for position, after in enumerate(step.after or ()):
            yield from _least_above_most(after.at_least, after.at_most, (*path, "after", position))
        for component, use in step.uses.items():
            yield from _least_above_most(use.at_least, use.at_most, (*path, "uses", component))
    for path, _, item in draft.items():
        for component, use in item.uses.items():
            yield from _least_above_most(use.at_least, use.at_most, (*path, "uses", component))


def _least_above_most(least: Fraction, most: Fraction | None, path: Path) -> Iterator[Finding]:
    if most is None:
        return
    if most < least:
        sentence = f"at most {format_duration(most)} is less than at least {format_duration(least)}; change one of them"
        yield (*path, "at_most"), sentence
    elif floor(most) < ceil(least):
        yield (*path, "at_most"), "plans go by the minute, and no full minute lies between 'at_least' and 'at_most'"


def too_many_entries(draft: Draft) -> Iterator[Finding]:
    """More steps in one item, repeats written out, than anybody would make it with."""
    for path, name, item in draft.items():
        count = entry_count(item)
        if count > MOST_ENTRIES:
            sentence = (
                f"'{name}' has {count} steps and waits, rounds written out; at most {MOST_ENTRIES} can be planned"
            )
            yield (*path, "steps"), sentence


def sequence(draft: Draft) -> Iterator[Finding]:
    """Steps in a circle, waits with nothing before or too much behind them, and more than one last entry."""
    for path, _, item in draft.items():
        if entry_count(item) > MOST_ENTRIES:
            continue
        entries = written_out(item, path)
        before = _before(entries)
        yield from dict.fromkeys(_wait_troubles(entries, before))
        circle = _circle(before)
        if circle:
            names = ", then ".join(f"'{entries[index].name}'" for index in circle)
            # The link that leads back up the list is the one that was written as `after`.
            back = next(after for before, after in pairwise([*circle, circle[0]]) if after < before)
            yield (*entries[back].path, "after"), f"these come after each other in a circle: {names}"
        elif _all_known(entries):
            # A name that is unknown leaves a loose end somewhere, which is no second mistake.
            yield from dict.fromkeys(_loose_ends(entries, before))


def _all_known(entries: list[Entry]) -> bool:
    names = {entry.name for entry in entries}
    return all(after.step in names for entry in entries for after in entry.part.after or ())


def _before(entries: list[Entry]) -> list[list[int]]:
    """For every entry the positions of those it comes after; unknown names are left out."""
    positions: dict[str, list[int]] = {}
    for index, entry in enumerate(entries):
        positions.setdefault(entry.name, []).append(index)
    before: list[list[int]] = []
    for index, entry in enumerate(entries):
        if entry.part.after is None:
            before.append([index - 1] if index else [])
            continue
        named = []
        for after in entry.part.after:
            same = positions.get(after.step, [])
            if entry.group is not None:
                same = [one for one in same if _round_of(entries[one]) == _round_of(entry)] or same
            named.extend(same[-1:])
        before.append(named)
    return before


def _round_of(entry: Entry) -> tuple[int | None, int]:
    return entry.group, entry.round


def _circle(before: list[list[int]]) -> list[int]:
    """The positions of a circle in the order in which they follow each other, empty when there is none."""
    import networkx as nx

    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_edges_from((one, index) for index, ones in enumerate(before) for one in ones if one != index)
    try:
        return [edge[0] for edge in nx.find_cycle(graph)]
    except nx.NetworkXNoCycle:
        return []


def _wait_troubles(entries: list[Entry], before: list[list[int]]) -> Iterator[Finding]:
    followers = [0] * len(entries)
    for ones in before:
        for one in ones:
            followers[one] += 1
    for index, entry in enumerate(entries):
        if not isinstance(entry.part, Wait):
            continue
        if not before[index] and not entry.part.after:
            yield entry.path, f"nothing comes before the wait '{entry.name}'; a wait needs a step that it follows"
        if entry.part.place is not None and followers[index] > 1:
            sentence = f"more than one entry follows the wait '{entry.name}'; only one can take it out of its place"
            yield entry.path, sentence


def _loose_ends(entries: list[Entry], before: list[list[int]]) -> Iterator[Finding]:
    followed = {one for ones in before for one in ones}
    loose = [index for index in range(len(entries)) if index not in followed]
    for index in loose[:-1]:
        name, last = entries[index].name, entries[loose[-1]].name
        if entries[index].path != entries[loose[-1]].path:
            sentence = f"nothing follows '{name}', nor '{last}'; only one can be the last, so let another come after it"
        else:
            sentence = f"nothing follows '{name}' in its earlier rounds; let the next round come after it"
        yield entries[index].path, sentence


def _listed(names: dict[str, Entry]) -> str:
    return ", ".join(f"'{name}'" for name in names)
