"""Short labels of batches, by item letters, step letters, batch number and round, and of stock."""

from __future__ import annotations

from itertools import count
from string import ascii_lowercase
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stationplan.network.so_far import SoFar


def letters(position: int) -> str:
    """Letters for a position counted from 0: a, b, .. z, aa, ab ..."""
    name = ""
    position += 1
    while position:
        position, digit = divmod(position - 1, 26)
        name = ascii_lowercase[digit] + name
    return name


def batch_label(step: str, number: int, round: int | None) -> str:
    """The label of a batch, such as ``Ac3`` or, in round 2 of a repeated step, ``Ac3.2``."""
    return f"{step}{number}" + ("" if round is None else f".{round}")


def stock_label(item: str, number: int) -> str:
    """The label of the stock of an item: ``A0``, and ``A0.2`` for what is taken second."""
    return f"{item}0" + ("" if number == 1 else f".{number}")


def item_letters(items: Iterable[str], so_far: SoFar | None) -> dict[str, str]:
    """Letters of each item: those that it has in the plan so far, else the next that no other has or had."""
    known = {} if so_far is None else dict(so_far.letters)
    free = (name for name in (letters(position).upper() for position in count()) if name not in known.values())
    return {item: known.get(item) or next(free) for item in items}
