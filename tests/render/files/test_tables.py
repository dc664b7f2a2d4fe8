"""A plan as tables."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from hypothesis import given, settings

from stationplan.plan.document import Plan
from stationplan.plan.ingredients import contents_of
from stationplan.render.files.tables import TABLES, Moment, table

from ..random_plans import plans
from .conftest import AWKWARD, plan_of


def column(plan: Plan, of: str, name: str) -> list[object]:
    made = table(plan, of)
    at = made.columns.index(name)
    return [row[at] for row in made.rows]


def test_every_row_has_a_cell_for_every_column(plan: Plan) -> None:
    for name in TABLES:
        made = table(plan, name)
        assert len(set(made.columns)) == len(made.columns)
        assert {len(row) for row in made.rows} <= {len(made.columns)}


def test_every_part_of_the_plan_has_a_row(plan: Plan) -> None:
    assert len(table(plan, "batches").rows) == len(plan.batches)
    assert len(table(plan, "hands").rows) == sum(len(batch.hands) for batch in plan.batches)
    assert len(table(plan, "stations").rows) == sum(len(batch.seats) for batch in plan.batches)
    assert len(table(plan, "waits").rows) == len(plan.stays)
    assert len(table(plan, "changes").rows) == len(plan.changes)
    assert len(table(plan, "orders").rows) == len(plan.orders)
    assert len(table(plan, "quantities").rows) == len(plan.amounts)
    assert len(table(plan, "ingredients").rows) == len(contents_of(plan).totals())


def test_rows_are_in_the_order_of_time(plan: Plan) -> None:
    for name in ("batches", "hands", "stations", "waits", "changes", "contents"):
        minutes = [cell.minute for cell in column(plan, name, "start") if isinstance(cell, Moment)]
        assert len(minutes) == len(table(plan, name).rows)
        assert minutes == sorted(minutes)


def test_a_day_is_counted_from_1_and_minutes_are_from_start_to_end() -> None:
    plan = plan_of("docs/examples/shift-overnight")
    assert column(plan, "waits", "start day") == [1]
    assert column(plan, "waits", "end day") == [2]
    assert column(plan, "waits", "start") == [Moment(23 * 60 + 30)]
    assert column(plan, "waits", "end") == [Moment(24 * 60 + 15)]
    assert column(plan, "waits", "minutes") == column(plan, "waits", "at least") == [45]
    assert column(plan, "orders", "due day") == [2]


def test_amounts_add_up_to_what_is_made(plan: Plan) -> None:
    for amount in plan.amounts:
        rows = zip(*(column(plan, "batches", name) for name in ("item", "step", "round", "amount")), strict=True)
        made: Counter[tuple[object, object]] = Counter()
        for item, step, number, size in rows:
            if item == amount.item:
                assert isinstance(size, Fraction)
                made[step, number] += size  # type: ignore[assignment]
        assert set(made.values()) == {Fraction(amount.quantity)}


def test_what_goes_in_adds_up_to_the_totals() -> None:
    plan = plan_of("scenarios/first-shift")
    rows = zip(*(column(plan, "contents", name) for name in ("kind", "goes in", "amount")), strict=True)
    sums: dict[object, Fraction] = {}
    for kind, name, amount in rows:
        if kind == "ingredient":
            assert isinstance(amount, Fraction)
            sums[name] = sums.get(name, Fraction(0)) + amount
    totals = zip(column(plan, "ingredients", "ingredient"), column(plan, "ingredients", "amount"), strict=True)
    assert sums == dict(totals)
    # By hand: 4 trays of shell at 140 g of butter, and lemon cream for 90 tartlets at 30 g with 3 % lost,
    # at 250 g of butter for each of its recipes of 1 kg.
    assert sums["butter"] == 4 * 140 + Fraction(90 * 30, 1000) / Fraction(97, 100) * 250


def test_a_component_says_which_batches_it_comes_from() -> None:
    plan = plan_of("scenarios/first-shift")
    rows = zip(*(column(plan, "contents", name) for name in ("label", "goes in", "out of")), strict=True)
    assert ("Db1", "whipped cream", ("Ca1",)) in list(rows)


def test_an_ingredient_of_which_nothing_is_declared_does_not_look_free_from_allergens(awkward_plan: Plan) -> None:
    names = column(awkward_plan, "ingredients", "ingredient")
    declared = column(awkward_plan, "ingredients", "declared allergens")
    assert dict(zip(names, declared, strict=True)) == {
        "=cream": ("milk",),
        "Salt": ("none",),
        "sugar": ("not declared",),
    }


def test_names_stay_as_they_are(awkward_plan: Plan) -> None:
    assert AWKWARD[0] in column(awkward_plan, "batches", "item")
    assert AWKWARD[1] in column(awkward_plan, "hands", "person")
    assert AWKWARD[2] in column(awkward_plan, "stations", "station")
    assert AWKWARD[3] in column(awkward_plan, "batches", "step")


@settings(max_examples=20, deadline=None, derandomize=True)
@given(plans())
def test_text_has_no_control_characters_but_line_feeds(plan: Plan) -> None:
    for name in ("batches", "hands", "stations", "waits", "changes", "orders", "quantities"):
        for row in table(plan, name).rows:
            for cell in row:
                text = "".join(cell) if isinstance(cell, tuple) else cell if isinstance(cell, str) else ""
                assert text.replace("\n", "").isprintable()
    assert "fold\nand spread" in column(plan, "batches", "step") or "fold\nand spread" not in {
        batch.step for batch in plan.batches
    }
