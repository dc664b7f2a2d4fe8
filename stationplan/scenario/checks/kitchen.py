"""Checks of the equipment by itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.checks.entries import all_steps
from stationplan.scenario.models import ANYTHING
from stationplan.scenario.units.numbers import suggestion

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.models import Equipment
    from stationplan.scenario.sentences import Finding

CHAMBERED = ("oven", "prover")
_ONLY_CHAMBERED = ("chambers", "range", "heats", "cools", "starts_at", "settings")
_ONLY_MIXERS = ("usable", "least_fill", "wash", "changeovers")


def kind_in_words(entry: Equipment) -> str:
    """``an oven``, ``a mixer``."""
    return f"{'an' if entry.kind == 'oven' else 'a'} {entry.kind}"


def keys_of_another_kind(draft: Draft) -> Iterator[Finding]:
    """A temperature on a mixer, a wash on an oven."""
    for index, entry in draft.equipment.items():
        path = ("kitchen", "equipment", index)
        for key in sorted(entry.model_fields_set):
            if key in _ONLY_CHAMBERED and entry.kind not in CHAMBERED:
                yield (*path, key), f"'{key}' is for ovens and provers, and '{entry.name}' is {kind_in_words(entry)}"
            if key in _ONLY_MIXERS and entry.kind != "mixer":
                yield (*path, key), f"'{key}' is for mixers, and '{entry.name}' is {kind_in_words(entry)}"


def fillings(draft: Draft) -> Iterator[Finding]:
    """Room of nothing, or a least fill above what may be filled."""
    for index, entry in draft.equipment.items():
        path = ("kitchen", "equipment", index)
        if entry.holds is not None and entry.holds.amount <= 0:
            yield (*path, "holds"), f"'{entry.name}' holds nothing; write how much fits into it"
        if entry.usable <= 0:
            yield (*path, "usable"), f"nothing of '{entry.name}' may be filled; write a share above 0 %"
        elif entry.least_fill > entry.usable:
            sentence = f"the least fill of '{entry.name}' is more than the share of it that may be filled"
            yield (*path, "least_fill"), sentence
        if entry.least_fill > 0 and entry.holds is None:
            yield (*path, "least_fill"), f"a least fill needs 'holds': write how much '{entry.name}' holds"


def changeovers(draft: Draft) -> Iterator[Finding]:
    """Two washing times for the same pair, or one for a content that no step leaves in a bowl."""
    contents = {step.holding or name for name, _, step, _ in all_steps(draft)}
    contents |= draft.component_names | draft.product_names
    known = contents | {ANYTHING}
    for index, entry in draft.equipment.items():
        pairs = set()
        for position, change in enumerate(entry.changeovers):
            path = ("kitchen", "equipment", index, "changeovers", position)
            pair = (change.before.lower(), change.after.lower())
            if pair in pairs:
                yield path, f"the change from '{change.before}' to '{change.after}' stands twice; keep one of them"
            pairs.add(pair)
            for key, content in (("before", change.before), ("after", change.after)):
                if draft.items_complete and content not in known:
                    hint = suggestion(content, known)
                    sentence = f"no step has '{content}' in a bowl{hint}; use the 'holding' of a step or an item's name"
                    yield (*path, key), sentence
