"""Words that a plan, and what is known before there is one, have in common."""

from __future__ import annotations

from collections.abc import Sequence

from stationplan.scenario.units import format_quantity


def ordered(quantity: int, unit: str, product: str) -> str:
    """What is ordered: ``90 tartlet`` where pieces are counted, else ``80 portions of cake``.

    Args:
        quantity: in ``unit``.
        unit: what the product is counted in, such as 'piece' or 'portion'.
        product: its name.
    """
    return f"{quantity} {product}" if unit == "piece" else f"{format_quantity(quantity, unit)} of {product}"


def listed(words: Sequence[str]) -> str:
    """Words in a row: ``Ines``, ``Ines and Odo``, ``Ines, Odo and Ada``.

    Args:
        words: any number of them.
    """
    return " and ".join(part for part in (", ".join(words[:-1]), *words[-1:]) if part)
