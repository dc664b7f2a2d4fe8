"""Small scenarios for tests: a kitchen with one of everything, and shorthand for items."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from stationplan.network import Network, build
from stationplan.network.batches import Recipe, read_recipe
from stationplan.network.network import BatchTask, Lot
from stationplan.scenario.models import Component, Equipment, Scenario

if TYPE_CHECKING:
    from fractions import Fraction

    from stationplan.network.times import Durations

EQUIPMENT: list[dict[str, Any]] = [
    {"name": "deck oven", "kind": "oven", "holds": "4 trays"},
    {"name": "planetary mixer", "kind": "mixer", "holds": "20 l", "usable": "60 %"},
    {"name": "blast freezer", "kind": "freezer", "holds": "16 trays"},
    {"name": "trolley", "kind": "rack", "holds": "20 trays"},
    {"name": "ring", "kind": "hob", "count": 2},
    {"name": "marble", "kind": "bench"},
]
PEOPLE: list[dict[str, Any]] = [{"name": "Ines", "skills": ["pastry"]}, {"name": "Odo"}]


def step(name: str, takes: str = "10 min", **more: Any) -> dict[str, Any]:
    return {"name": name, "takes": takes, **more}


def scenario(
    *,
    steps: list[dict[str, Any]] | None = None,
    product: dict[str, Any] | None = None,
    components: dict[str, Any] | None = None,
    products: dict[str, Any] | None = None,
    orders: list[dict[str, Any]] | None = None,
    equipment: list[dict[str, Any]] | None = None,
    people: list[dict[str, Any]] | None = None,
    quantity: int = 1,
    closes: str = "20:00",
    goods: list[dict[str, Any]] | None = None,
    stock: list[dict[str, Any]] | None = None,
) -> Scenario:
    """A scenario that opens at 06:00 and makes ``quantity`` of the product 'tart' unless told otherwise."""
    if products is None:
        products = {"tart": {"steps": steps or [step("assemble")], **(product or {})}}
    return Scenario.model_validate(
        {
            "name": "test",
            "shift": {"opens": "06:00", "closes": closes},
            "kitchen": {"people": people or PEOPLE, "equipment": EQUIPMENT if equipment is None else equipment},
            "components": components or {},
            "products": products,
            "goods": goods or [],
            "stock": stock or [],
            "orders": orders or [{"product": next(iter(products)), "quantity": quantity}],
        }
    )


def network(durations: Durations = "longest", **parts: Any) -> Network:
    return build(scenario(**parts), durations)


def recipe(item: dict[str, Any], equipment: list[dict[str, Any]] | None = None) -> Recipe:
    entries = [Equipment.model_validate(entry) for entry in (EQUIPMENT if equipment is None else equipment)]
    return read_recipe("sponge", Component.model_validate(item), ("components", "sponge"), entries)


def batches(found: Network, step_name: str) -> list[BatchTask]:
    return [task for task in found.tasks if isinstance(task, BatchTask) and task.step == step_name]


def sizes(found: Network, step_name: str) -> list[Fraction]:
    return [batch.last - batch.first for batch in batches(found, step_name)]


def index_of(found: Network, label: str) -> int:
    return next(index for index, task in enumerate(found.tasks) if task.label == label)


def lots(found: Network, before: str, after: str | None) -> list[Lot]:
    """Lots between two batches by their labels."""
    return [
        lot
        for lot in found.lots
        if found.tasks[lot.before].label == before
        and (None if lot.after is None else found.tasks[lot.after].label) == after
    ]
