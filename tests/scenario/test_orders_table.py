"""Orders as CSV, as RFC 4180 describes it."""

from __future__ import annotations

import pytest

from stationplan.scenario.nodes import Place, plain
from stationplan.scenario.orders_table import read_orders_table
from stationplan.scenario.reading import UnreadableFile


def read(text: str) -> tuple[list[dict[str, str]], list[int], list[tuple[int, str]]]:
    """The orders, the line of each, and (line, sentence) of the problems."""
    problems: list[tuple[Place, str]] = []
    orders = read_orders_table(text, "orders.csv", 0, problems)
    lines = [order.place.line for order in orders.items]
    return plain(orders), lines, [(place.line, sentence) for place, sentence in problems]


def test_a_line_is_an_order_and_empty_cells_are_left_out() -> None:
    orders, lines, problems = read("product,quantity,due\r\npear dome,240,17:30\r\nplum tart,12,\r\n")
    assert orders == [
        {"product": "pear dome", "quantity": "240", "due": "17:30"},
        {"product": "plum tart", "quantity": "12"},
    ]
    assert lines == [2, 3]
    assert problems == []


# RFC 4180, 2.5 to 2.7: fields may be quoted; line breaks and commas inside quotes; a quote inside quotes is doubled.
def test_quoted_cells_may_hold_commas_quotes_and_line_breaks() -> None:
    orders, lines, _ = read('product,quantity\r\n"tart, ""large""",3\r\n"two\r\nlines",4\r\nlast,5\r\n')
    assert [order["product"] for order in orders] == ['tart, "large"', "two\r\nlines", "last"]
    assert lines == [2, 3, 5]


# RFC 4180, 2.2: the last line may have no line break.
def test_the_last_line_needs_no_line_break() -> None:
    assert read("quantity,product\n7,bun")[0] == [{"quantity": "7", "product": "bun"}]


def test_capitals_and_spaces_in_the_header_and_empty_lines_do_not_matter() -> None:
    orders, lines, problems = read("Product, Quantity,,\n\nbun,7,,\n,,,\nbun,8\n")
    assert [order["quantity"] for order in orders] == ["7", "8"]
    assert lines == [3, 5]
    assert problems == []


def test_a_line_with_too_many_cells_is_told() -> None:
    assert read("product,quantity\nbun,7,17:30\n")[2] == [(2, "this line has 3 cells for 2 columns; check its commas")]


@pytest.mark.parametrize(
    ("text", "line", "gist"),
    [
        ("", None, "this file is empty"),
        ("product;quantity\nbun;7\n", 1, "not separated by commas"),
        ("produkt,quantity\n", 1, "did you mean 'product'?"),
        ("\nproduct,due\n", 2, "the column 'quantity' is missing"),
        ("product,quantity,product\n", 1, "the column 'product' stands twice"),
        ('product,quantity\nbun,7\n"bun,8\n', 3, "the quotes of this line do not match"),
        ('product,quantity\n"bun"x,8\n', 2, "the quotes of this line do not match"),
        ("bun,7\n", 1, "'bun' is no column of orders"),
    ],
)
def test_a_table_that_cannot_be_read_is_told_with_its_line(text: str, line: int | None, gist: str) -> None:
    with pytest.raises(UnreadableFile) as caught:
        read(text)
    assert caught.value.line == line
    assert gist in caught.value.sentence
