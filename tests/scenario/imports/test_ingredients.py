"""Lines of ingredients, taken apart where they are clear."""

from __future__ import annotations

import pytest

from stationplan.scenario.imports.ingredients import read_ingredient


# How many ml and g these words stand for is tested with the units; here it is what they are read as.
@pytest.mark.parametrize(
    ("line", "name", "amount"),
    [
        ("200 g plain flour, sifted", "plain flour", "200 g"),
        ("200g plain flour (sifted)", "plain flour", "200 g"),
        ("1.5 kg sugar", "sugar", "1.5 kg"),
        ("1,5 dl milk", "milk", "1.5 dl"),
        ("1 1/2 cups cream", "cream", "1.5 cups"),
        ("1½ cups cream", "cream", "1.5 cups"),
        ("½ tsp. salt", "salt", "0.5 tsp"),
        ("2 fl oz rum", "rum", "2 fl oz"),
        ("200 g (7 oz) butter, cold", "butter", "200 g"),
        ("200 g / 7 oz butter", "butter", "200 g"),
        ("about 30 ml of lemon juice - strained", "lemon juice", "30 ml"),
        ("2 large eggs", "large eggs", "2 pieces"),
        ("an egg yolk", "egg yolk", "1 piece"),
        ("1/2 lemon", "lemon", "0.5 piece"),
        ("a pinch of salt", "salt", "1 pinch"),
        ("3 sheets gelatin", "gelatin", "3 sheets"),
        ("2 leaves of gelatin", "gelatin", "2 leaves"),
        ("1 g xanthan gum", "xanthan gum", "1 g"),
    ],
)
def test_a_clear_line_has_a_name_and_an_amount(line: str, name: str, amount: str) -> None:
    ingredient = read_ingredient(line)
    assert (ingredient.name, str(ingredient.amount), ingredient.text) == (name, amount, line)


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("salt, to taste", "salt"),
        ("flour for the table", "flour for the table"),
        ("2-3 bay leaves", "bay leaves"),
        ("2 to 3 apples", "apples"),
        ("1 cup plus 1 tbsp flour", "flour"),
        ("2 x 400 g tins of pears", "tins of pears"),
        ("1 kg 200 g white chocolate", "white chocolate"),
        ("60-70 g sugar", "sugar"),
        ("70% dark chocolate", "dark chocolate"),
        ("0 g sugar", "sugar"),
        ("1/0 apple", "apple"),
        ("200 g", "g"),
        ("12", "12"),
        (", (", ", ("),
        ("9" * 50 + " g salt", "salt"),
    ],
)
def test_a_line_that_is_not_clear_has_a_name_and_no_amount(line: str, name: str) -> None:
    ingredient = read_ingredient(line)
    assert (ingredient.name, ingredient.amount) == (name, None)
