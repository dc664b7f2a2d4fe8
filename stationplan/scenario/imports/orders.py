"""Writes a table of orders down as a list in our format."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.scenario.draft import read_scenario
from stationplan.scenario.fields import Ordered
from stationplan.scenario.imports.writing import printable, quoted, remark
from stationplan.scenario.loader import refusal
from stationplan.scenario.nodes import Mapping, Place, place_of, plain
from stationplan.scenario.reading import UnreadableFile
from stationplan.scenario.tables import TABLES, read_table
from stationplan.scenario.units import Quantity

if TYPE_CHECKING:
    from pathlib import Path

    from stationplan.scenario.models import Order
    from stationplan.scenario.tables.orders import Finding


def orders_from(path: Path) -> tuple[str, tuple[str, ...]]:
    """Read a table of orders and write it down in our format.

    Args:
        path: the table.

    Returns:
        A file of orders in YAML, and what was passed over in the table, each with its place.

    Raises:
        InvalidScenario: with everything that is wrong in the table, each with its cell. Whether there are such
            products, only a scenario can tell.
    """
    problems: list[Finding] = []
    remarks: list[Finding] = []
    file = str(path)
    try:
        if path.suffix.lower() not in TABLES:
            raise UnreadableFile(f"orders are read from tables that end in {', '.join(TABLES)}")
        table = read_table(path, 0, problems, remarks)
    except UnreadableFile as error:
        raise refusal([(Place(0, error.line or 0, file, error.spot), error.sentence)]) from error
    if table is None:
        raise refusal(problems)
    _, draft, found = read_scenario({"orders": plain(table)})
    root = Mapping(table.place, {"orders": table}, {"orders": table.place})
    problems += [(place_of(root, where), sentence) for where, sentence in found if where[:1] == ("orders",)]
    if problems:
        raise refusal(problems)
    lines = [*remark(f"From {printable(path.name)}.", ""), *map(_line, draft.orders.values())]
    return "\n".join(lines) + "\n", tuple(f"{place}: {sentence}" for place, sentence in remarks)


def _line(order: Order) -> str:
    unit = order.quantity.unit if isinstance(order.quantity, Ordered) else ""
    quantity = str(Quantity(Fraction(order.quantity), unit)) if unit else str(int(order.quantity))
    parts = [f"product: {quoted(order.product)}", f"quantity: {quantity}"]
    parts += [f'due: "{order.due}"'] if order.due is not None else []
    parts += [f"weight: {order.weight}"] if order.weight != 1 else []
    return f"- {{{', '.join(parts)}}}"
