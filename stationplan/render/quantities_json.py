"""What to weigh, as JSON: exact amounts as whole numbers or fractions, and as a scale shows them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from stationplan.plan.scale import drawn, on_scale

if TYPE_CHECKING:
    from stationplan.plan.allergens import Handover
    from stationplan.plan.ingredients import BatchContents, Converted, Portion, Total
    from stationplan.plan.weighing import Weighing
    from stationplan.scenario.units import Quantity

FORMAT, VERSION = "stationplan quantities", 1


def weighing_json(known: Weighing) -> str:
    """Everything about what to weigh: the same input gives the same text.

    Args:
        known: what to weigh.

    Returns:
        JSON, indented. Amounts are in g, ml or counts, as exact text such as ``7/2``; times are minutes since midnight
        of the first day. ``weigh`` and ``draw`` are rounded for a scale; they stand beside amounts in g and ml only.
    """
    document = {
        "format": FORMAT,
        "version": VERSION,
        "name": known.name,
        "batches": [_batch(batch, known) for batch in known.batches],
        "store": [_total(total, known) for total in known.store],
        "allergens": [
            {"item": name, "declared": declared.named, "nothing_declared_of": declared.unsaid}
            for name, declared in known.items
        ],
        "equipment": [_handover(handover) for handover in known.handovers],
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def _quantity(quantity: Quantity) -> dict[str, Any]:
    return {"amount": str(quantity.amount), "unit": quantity.unit}


def _batch(batch: BatchContents, known: Weighing) -> dict[str, Any]:
    return {
        "label": batch.label,
        "item": batch.item,
        "step": batch.step,
        "start": known.starts.get(batch.label),
        "begun": known.begun.get(batch.label),
        "size": _quantity(batch.size),
        "recipes": str(batch.recipes),
        "ingredients": [_portion(portion) for portion in batch.ingredients],
        "components": [
            {"component": taken.component, **_quantity(taken.quantity), "out_of": taken.out_of}
            for taken in batch.components
        ],
    }


def _portion(portion: Portion) -> dict[str, Any]:
    found = {"ingredient": portion.name, **_quantity(portion.quantity)}
    if portion.quantity.unit in ("g", "ml"):
        found["weigh"] = str(on_scale(portion.quantity.amount))
    return found | _otherwise(portion)


def _total(total: Total, known: Weighing) -> dict[str, Any]:
    whole = total.whole
    found = {"ingredient": whole.name, **_quantity(whole.quantity)}
    if whole.quantity.unit in ("g", "ml"):
        found["draw"] = str(drawn([portion.quantity.amount for portion in total.portions]))
    return found | _otherwise(whole) | {"declared": known.contains.get(whole.name.casefold())}


def _otherwise(portion: Portion) -> dict[str, Any]:
    return {
        "grams": None if portion.grams is None else str(portion.grams),
        "pieces": portion.pieces and _quantity(portion.pieces),
        "instead_of": portion.instead_of and _converted(portion.instead_of),
    }


def _converted(converted: Converted) -> dict[str, Any]:
    return {**_quantity(converted.asked), "bloom": converted.bloom, "used": converted.used}


def _handover(handover: Handover) -> dict[str, Any]:
    return {
        "station": handover.station,
        "allergens": handover.allergens,
        "before": handover.before.label,
        "until": handover.until,
        "after": handover.after.label,
        "start": handover.start,
        "washed": handover.washed,
        "nothing_declared_of": handover.silent,
    }
