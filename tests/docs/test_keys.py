"""The pages tell of every key of the input, and of no other."""

from __future__ import annotations

import re
from typing import get_args

import pytest

from stationplan.scenario import exam, models, today
from stationplan.scenario.base import Model

from .pages import DOCS, format_pages, key_tables, tables

MUST = "must be there"
PAGES = {
    "Scenario": "format.md",
    "Shift": "format/shift-and-orders.md",
    "Order": "format/shift-and-orders.md",
    "Kitchen": "format/kitchen.md",
    "Person": "format/kitchen.md",
    "Equipment": "format/kitchen.md",
    "Changeover": "format/mixers.md",
    "Item": "format/items.md",
    "Component": "format/items.md",
    "Product": "format/items.md",
    "Use": "format/items.md",
    "Ingredient": "format/ingredients.md",
    "Step": "format/steps.md",
    "EquipmentNeed": "format/steps.md",
    "After": "format/order-of-steps.md",
    "Repeat": "format/order-of-steps.md",
    "Wait": "format/waits.md",
    "OutOfUse": "format/today.md",
    "Slower": "format/today.md",
    "Goods": "format/today.md",
    "Stock": "format/today.md",
    "Exam": "format/exam.md",
    "Dish": "format/exam.md",
    "Tolerance": "format/exam.md",
}
# Only the merged data must have products: in the files they may all come from `recipes`. And what a product makes
# without `makes` stands in the same row as the component that cannot do without.
SAID_IN_WORDS = {("Scenario", "products"), ("Item", "makes"), ("Component", "makes"), ("Product", "makes")}
MODELS = {**vars(exam), **vars(today), **vars(models)}


def keys_of(model: type[Model]) -> dict[str, bool]:
    """What a user may write, and whether it must be there."""
    keys = {field.alias or name: field.is_required() for name, field in model.model_fields.items()}
    return {**keys, "recipes": False} if model is models.Scenario else keys


def test_every_model_has_its_page() -> None:
    every = {name for name, value in MODELS.items() if isinstance(value, type) and issubclass(value, Model)}
    assert every - {"Model", "OfSome"} == set(PAGES)


@pytest.mark.parametrize("name", PAGES)
def test_a_table_lists_exactly_the_keys_of_a_model(name: str) -> None:
    keys = keys_of(MODELS[name])
    found = [table for table in key_tables(DOCS / PAGES[name]) if set(table) == set(keys)]
    assert len(found) == 1
    for key, required in keys.items():
        if (name, key) not in SAID_IN_WORDS:
            assert (found[0][key] == MUST) is required, key


def test_every_table_of_keys_belongs_to_a_model() -> None:
    known = [set(keys_of(MODELS[name])) for name in PAGES]
    for page in format_pages():
        for table in key_tables(page):
            assert set(table) in known


def test_the_kinds_of_equipment_are_all_listed() -> None:
    kinds = [rows for rows in tables((DOCS / "format/kitchen.md").read_text(encoding="utf-8")) if rows[0][0] == "kind"]
    listed = [kind for rows in kinds for row in rows[1:] for kind in re.findall(r"`(\w+)`", row[0])]
    assert listed == list(get_args(models.EquipmentKind))
