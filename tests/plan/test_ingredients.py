"""What goes into each batch, worked out by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from planned import solved, step
from readable import raw

from stationplan.network import build
from stationplan.plan.ingredients import Contents, Converted, contents_of, contents_of_network
from stationplan.scenario import from_plain
from stationplan.scenario.units import Quantity, parse_quantity


def contents(*steps: dict[str, Any], **more: Any) -> Contents:
    scenario = from_plain(raw(*steps, **more))
    return contents_of_network(scenario, build(scenario))


def weighed(found: Contents) -> dict[str, dict[str, Fraction]]:
    """What is weighed into each batch, in g, ml or counts; batches that nothing goes into left out."""
    return {
        batch.label: {portion.name: portion.quantity.amount for portion in batch.ingredients}
        for batch in found.batches
        if batch.ingredients
    }


def totals(found: Contents) -> dict[str, Quantity]:
    return {total.whole.name: total.whole.quantity for total in found.totals()}


def test_ingredients_of_an_item_go_into_the_batches_of_its_first_step_by_their_size() -> None:
    found = contents(step("mix", batch="2 trays"), step("bake"), quantity=5, ingredients={"flour": "300 g"})
    # 5 trays in batches of at most 2 trays are 3 batches, as even as whole trays go: 2, 2 and 1.
    assert weighed(found) == {"Aa1": {"flour": 600}, "Aa2": {"flour": 600}, "Aa3": {"flour": 300}}
    assert totals(found) == {"flour": Quantity(Fraction(1500), "g")}


def test_ingredients_of_a_step_go_in_at_that_step() -> None:
    steps = [step("mix", ingredients={"flour": "300 g"}), step("glaze", ingredients={"honey": "20 g", "flour": "1 g"})]
    found = contents(*steps, quantity=2, ingredients={"salt": "2 g"})
    assert weighed(found) == {"Aa1": {"salt": 4, "flour": 600}, "Ab1": {"honey": 40, "flour": 2}}
    assert [total.whole.name for total in found.totals()] == ["flour", "honey", "salt"]


def test_a_repeated_step_takes_its_ingredients_once() -> None:
    steps = [{"repeat": 3, "steps": [step("fold", ingredients={"butter": "250 g"})]}]
    found = contents(*steps, ingredients={"flour": "500 g"})
    assert weighed(found) == {"Aa1.1": {"flour": 500, "butter": 250}}


def test_losses_and_whole_trays_are_weighed_out_too() -> None:
    """40 slices take 40 discs, 50 with one in five broken: 2.08 trays of 24, so 3; of jelly 720 g, of 800 g boiled."""
    sheet = {
        "makes": "2 trays",
        "pieces": "24 discs per tray",
        "ingredients": {"egg white": "180 g", "sugar": "140 g"},
        "steps": [step("spread")],
    }
    jelly = {"makes": "500 g", "loss": "10 %", "ingredients": {"quince": "450 g"}, "steps": [step("boil")]}
    found = contents(
        step("assemble"),
        quantity=4,
        components={"sheet": sheet, "jelly": jelly},
        uses={"sheet": {"amount": "10 discs", "loss": "20 %"}, "jelly": "180 g"},
    )
    assert weighed(found) == {"Aa1": {"egg white": 270, "sugar": 210}, "Ba1": {"quince": 720}}
    taken = next(batch for batch in found.batches if batch.item == "tart").components
    assert [(part.component, str(part.quantity)) for part in taken] == [("sheet", "50 discs"), ("jelly", "720 g")]


def test_a_component_comes_out_of_the_batches_that_cover_it() -> None:
    cream = {"makes": "1 kg", "ingredients": {"cream": "1 kg"}, "steps": [step("whip", batch="1 kg")]}
    found = contents(step("fill", batch="1 tray"), quantity=3, components={"cream": cream}, uses={"cream": "500 g"})
    # 1.5 kg in two batches of 750 g: the first tray takes from the first, the second from both, the third from the 2nd.
    assert weighed(found) == {"Aa1": {"cream": 750}, "Aa2": {"cream": 750}}
    assert [batch.components[0].out_of for batch in found.batches if batch.item == "tart"] == [
        ("Aa1",),
        ("Aa1", "Aa2"),
        ("Aa2",),
    ]


def test_one_ingredient_of_several_recipes_is_added_up() -> None:
    cream = {"makes": "1 kg", "ingredients": {"Sugar": "100 g", "milk": "1 l"}, "steps": [step("boil")]}
    found = contents(
        step("fill", ingredients={"sugar": "30 g", "milk": "20 g"}),
        quantity=2,
        components={"cream": cream},
        uses={"cream": "250 g"},
    )
    assert [(total.whole.name, str(total.whole.quantity)) for total in found.totals()] == [
        ("milk", "0.5 l"),
        ("milk", "40 g"),
        ("Sugar", "110 g"),
    ]


def test_the_unit_of_the_recipe_is_kept() -> None:
    found = contents(step("mix"), quantity=3, ingredients={"honey": "1/2 cup", "eggs": "2 eggs"})
    assert {name: str(quantity) for name, quantity in totals(found).items()} == {
        "honey": "1.5 cup",
        "eggs": "6 eggs",
    }


def test_a_plan_says_the_same_as_its_batches_before_there_were_times() -> None:
    cream = {"makes": "1 kg", "ingredients": {"cream": "1 kg"}, "steps": [step("whip", batch="1 kg")]}
    scenario = raw(step("fill", batch="1 tray"), quantity=3, components={"cream": cream}, uses={"cream": "500 g"})
    network, plan = solved(scenario)
    assert contents_of(plan) == contents_of_network(from_plain(scenario), network)


def described(known: dict[str, Any], *steps: dict[str, Any], **more: Any) -> Contents:
    scenario = from_plain({**raw(*steps, **more), "ingredients": known})
    return contents_of_network(scenario, build(scenario))


def test_gelatin_of_another_strength_takes_its_place() -> None:
    """6 sheets of 200 bloom are 12 g; of 160 bloom 12 x 200 / 160 = 15 g, which are 6 sheets of 2.5 g again."""
    known = {"Gelatin": {"bloom": 200, "in_store": 160, "convert": "proportion"}}
    [total] = described(known, step("soak"), quantity=2, ingredients={"gelatin": "3 sheets"}).totals()
    assert (total.whole.quantity, total.whole.pieces) == (Quantity(Fraction(15), "g"), Quantity(Fraction(6), "sheet"))
    assert total.whole.instead_of == Converted(Quantity(Fraction(6), "sheet"), 200, 160)


def test_gelatin_of_the_same_strength_stays_as_it_is() -> None:
    known = {"gelatin": {"bloom": 200, "in_store": 200}}
    [total] = described(known, step("soak"), ingredients={"gelatin": "12 g"}).totals()
    assert total.whole.quantity == Quantity(Fraction(12), "g")
    assert total.whole.instead_of is None


def test_gelatin_between_the_grades_has_a_weight_and_no_sheets() -> None:
    known = {"gelatin": {"bloom": 225, "in_store": 100, "convert": "root"}}
    [total] = described(known, step("soak"), ingredients={"gelatin": "10 g"}).totals()
    assert (total.whole.grams, total.whole.pieces) == (15, None)


def test_an_ingredient_in_several_units_is_added_up_where_its_weight_is_known() -> None:
    steps = [step("mix", ingredients={"milk": "500 ml", "egg": "2 eggs"}), step("top", ingredients={"egg": "100 g"})]
    found = described({"milk": {"weighs": "1030 g per l"}}, *steps, ingredients={"milk": "85 g"})
    # A large egg is 50 g out of its shell (published kitchen tables); 0.5 l at 1030 g a litre are 515 g.
    assert {name: str(quantity) for name, quantity in totals(found).items()} == {"egg": "200 g", "milk": "600 g"}
    assert [total.whole.pieces for total in found.totals()] == [
        Quantity(Fraction(4), "egg"),
        Quantity(Fraction(60000, 103), "ml"),
    ]


def test_cups_and_spoons_add_up_as_cups_and_spoons() -> None:
    steps = [step("mix", ingredients={"honey": "1 cup"}), step("top", ingredients={"honey": "2 tbsp"})]
    [total] = contents(*steps).totals()
    assert total.whole.quantity.written_unit == "cup"
    assert total.whole.quantity.amount == parse_quantity("1 1/8 cups").amount


def test_cups_and_millilitres_add_up_as_millilitres() -> None:
    steps = [step("mix", ingredients={"honey": "1 cup"}), step("top", ingredients={"honey": "20 ml"})]
    [total] = contents(*steps).totals()
    assert total.whole.quantity.written_unit == ""
