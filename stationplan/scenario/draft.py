"""Those parts of a scenario that could be read, so that they can be checked even when others could not."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import BaseModel, ValidationError

from stationplan.scenario.exam import Exam
from stationplan.scenario.models import Component, Equipment, Ingredient, Item, Order, Person, Product, Scenario, Shift
from stationplan.scenario.sentences import Finding, as_written, empty_keys, findings
from stationplan.scenario.today import Goods, Stock

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stationplan.scenario.nodes import Path

_Part = TypeVar("_Part", bound=BaseModel)


@dataclass(frozen=True)
class Draft:
    """The readable parts, each with its key or position, and whether any are missing.

    ``component_names`` and ``product_names`` are those of all, readable or not; ``names_complete`` says whether
    there may be more in a file that could not be read. An exam has a menu, and no orders; ``has_exam`` says that there
    is one, readable or not.
    """

    shift: Shift | None = None
    people: dict[int, Person] = field(default_factory=dict)
    equipment: dict[int, Equipment] = field(default_factory=dict)
    ingredients: dict[str, Ingredient] = field(default_factory=dict)
    components: dict[str, Component] = field(default_factory=dict)
    products: dict[str, Product] = field(default_factory=dict)
    orders: dict[int, Order] = field(default_factory=dict)
    stock: dict[int, Stock] = field(default_factory=dict)
    goods: dict[int, Goods] = field(default_factory=dict)
    component_names: frozenset[str] = frozenset()
    product_names: frozenset[str] = frozenset()
    people_complete: bool = True
    equipment_complete: bool = True
    items_complete: bool = True
    names_complete: bool = True
    exam: Exam | None = None
    has_exam: bool = False

    def items(self) -> list[tuple[Path, str, Item]]:
        """Every readable component and product with its path and name, in file order."""
        return [
            *((("components", name), name, item) for name, item in self.components.items()),
            *((("products", name), name, item) for name, item in self.products.items()),
        ]

    def find(self, word: str) -> list[Equipment]:
        """The equipment that a word stands for: the entry of that name, or else all of that kind."""
        entries = list(self.equipment.values())
        named = [entry for entry in entries if entry.name.lower() == word]
        return named or [entry for entry in entries if entry.kind == word]


def complete_draft(scenario: Scenario) -> Draft:
    """The draft of a scenario that could be read as a whole."""
    return Draft(
        shift=scenario.shift,
        people=dict(enumerate(scenario.kitchen.people)),
        equipment=dict(enumerate(scenario.kitchen.equipment)),
        ingredients=dict(scenario.ingredients),
        components=dict(scenario.components),
        products=dict(scenario.products),
        orders={} if scenario.exam else dict(enumerate(scenario.orders)),
        stock=dict(enumerate(scenario.stock)),
        goods=dict(enumerate(scenario.goods)),
        component_names=frozenset(scenario.components),
        product_names=frozenset(scenario.products),
        exam=scenario.exam,
        has_exam=scenario.exam is not None,
    )


def partial_draft(raw: dict[str, Any], unreadable: Iterable[str]) -> Draft:
    """The draft of a scenario of which only parts can be read.

    Args:
        raw: the merged plain data.
        unreadable: top-level keys of which a part is missing because its file could not be read.
    """
    missing = set(unreadable)
    kitchen = raw.get("kitchen")
    kitchen = kitchen if isinstance(kitchen, dict) else {}
    people, all_people = _each(Person, kitchen.get("people"))
    equipment, all_equipment = _each(Equipment, kitchen.get("equipment"))
    ingredients, _ = _each(Ingredient, raw.get("ingredients"))
    components, all_components = _each(Component, raw.get("components"), optional=True)
    products, all_products = _each(Product, raw.get("products"))
    orders, _ = _each(Order, raw.get("orders"))
    stock, _ = _each(Stock, raw.get("stock"))
    goods, _ = _each(Goods, raw.get("goods"))
    names_complete = "recipes" not in missing and all(
        isinstance(raw.get(key, {}), dict) for key in ("components", "products")
    )
    return Draft(
        shift=_readable(Shift, raw.get("shift")),
        people=people,
        equipment=equipment,
        ingredients=ingredients,
        components=components,
        products=products,
        orders=orders,
        stock=stock,
        goods=goods,
        component_names=_names(raw.get("components")),
        product_names=_names(raw.get("products")),
        people_complete=all_people and "kitchen" not in missing,
        equipment_complete=all_equipment and "kitchen" not in missing,
        items_complete=all_components and all_products and names_complete,
        names_complete=names_complete,
        exam=_readable(Exam, raw.get("exam")),
        has_exam="exam" in raw,
    )


def read_scenario(raw: dict[str, Any], unreadable: Iterable[str] = ()) -> tuple[Scenario | None, Draft, list[Finding]]:
    """Read merged plain data as far as possible.

    Args:
        raw: the merged plain data.
        unreadable: top-level keys of which a part is missing because its file could not be read.

    Returns:
        The scenario, or None when a part of it cannot be read; the parts that can; what is wrong with the others.
    """
    told: list[Finding] = []
    scenario = None
    try:
        scenario = Scenario.model_validate(raw)
    except ValidationError as error:
        missing = {"products" if key == "recipes" else key for key in unreadable}
        # A key is no loss of the user's when it was to come from a file that could not be read.
        told = [
            (path, sentence)
            for path, sentence in findings(error, raw)
            if path or not any(f"has no '{key}'" in sentence for key in missing)
        ]
    told_at = {as_written(raw, path)[0] for path, _ in told}
    told.extend(finding for finding in empty_keys(raw) if finding[0] not in told_at)
    if "orders" in raw and raw.get("exam") is not None:
        told.append((("orders",), "an exam has its menu in place of orders; leave 'orders' out"))
    draft = partial_draft(raw, unreadable) if scenario is None else complete_draft(scenario)
    return scenario, draft, told


def _each(model: type[_Part], parts: object, *, optional: bool = False) -> tuple[dict[Any, _Part], bool]:
    """The readable ones of a list or mapping of parts by position or name, and whether these are all."""
    if parts is None:
        return {}, optional
    if isinstance(parts, list):
        pairs: list[tuple[Any, Any]] = list(enumerate(parts))
    elif isinstance(parts, dict):
        pairs = list(parts.items())
    else:
        return {}, False
    read = {key: _readable(model, part) for key, part in pairs}
    readable = {key: part for key, part in read.items() if part is not None}
    return readable, len(readable) == len(pairs)


def _readable(model: type[_Part], part: object) -> _Part | None:
    try:
        return model.model_validate(part)
    except ValidationError:
        return None


def _names(parts: object) -> frozenset[str]:
    return frozenset(parts) if isinstance(parts, dict) else frozenset()
