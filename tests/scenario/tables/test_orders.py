"""Orders as CSV, as RFC 4180 describes it and as spreadsheets of many countries write it."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from stationplan.scenario.nodes import Place, plain
from stationplan.scenario.reading import UnreadableFile
from stationplan.scenario.tables.orders import read_orders
from stationplan.scenario.tables.separated import separated_rows


def read(text: str) -> tuple[list[dict[str, str]], list[int], list[str]]:
    """The orders, the line of each, and what is wrong, with its place."""
    problems: list[tuple[Place, str]] = []
    orders = read_orders(separated_rows(text), "orders.csv", 0, problems, [])
    found = [f"{place}: {sentence}" for place, sentence in problems]
    return (plain(orders), [order.place.line for order in orders.items], found) if orders else ([], [], found)


def remarks(text: str) -> list[str]:
    """What is told of columns that are not read."""
    found: list[tuple[Place, str]] = []
    read_orders(separated_rows(text), "orders.csv", 0, [], found)
    return [f"{place}: {sentence}" for place, sentence in found]


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


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_semicolons_and_tabs_separate_as_commas_do(separator: str) -> None:
    lines = ("product,quantity,due", "bun,7,08:00", "rye bun,8,")
    text = "\n".join(line.replace(",", separator) for line in lines)
    assert read(text)[0] == read("\n".join(lines))[0] != []


def test_a_comma_inside_a_cell_does_not_separate_where_semicolons_do() -> None:
    assert read('Item;Qty\n"bun; plain, small";7\ntart, large;8\n')[0] == [
        {"product": "bun; plain, small", "quantity": "7"},
        {"product": "tart, large", "quantity": "8"},
    ]


@pytest.mark.parametrize(
    "header",
    ["Item,Qty.,Ready by:", "ARTICLE,pcs,TIME", "product_name,How many?,due-at", " Item name ,Portions,Pick-up"],
)
def test_columns_may_have_the_names_that_people_give_them(header: str) -> None:
    assert read(f"{header}\nbun,7,08:00\n")[0] == [{"product": "bun", "quantity": "7", "due": "08:00"}]


def test_a_heading_above_the_names_of_the_columns_is_passed_over() -> None:
    orders, lines, problems = read("Orders for Saturday,,\n\nhall B,,\nqty,product,note\n7,bun,no seeds\n")
    assert (orders, lines, problems) == ([{"quantity": "7", "product": "bun"}], [5], [])


def test_a_column_for_people_is_passed_over_and_any_other_is_told() -> None:
    text = "product,quantity,customer,note,price\nbun,7,Ines,no seeds,3.20\n"
    assert remarks(text) == [
        "orders.csv:1: the column 'price' is not read; read are product, quantity, due, weight",
    ]
    assert read(text)[0] == [{"product": "bun", "quantity": "7"}]


# What is in a column about allergies must not be passed over without a word.
def test_a_column_about_allergies_is_told() -> None:
    assert remarks("product,quantity,allergies\nbun,7,milk\n") != []


def test_a_cell_is_named_by_its_line_and_the_title_of_its_column() -> None:
    text = "Item,Pcs\nbun,7\nbun,8\n"
    orders = read_orders(separated_rows(text), "orders.csv", 0, [], [])
    assert orders is not None
    last = orders.items[1]
    assert str(last.places["quantity"]) == "orders.csv:3 (Pcs)"  # type: ignore[union-attr]
    assert str(last.place) == "orders.csv:3"


def test_a_title_with_a_line_break_in_it_is_told_on_one_line() -> None:
    orders = read_orders(separated_rows('Item,Qty,"Ready\nby"\nbun,7,8:00\n'), "orders.csv", 0, [], [])
    assert orders is not None
    assert str(orders.items[0].places["due"]) == "orders.csv:3 (Ready by)"  # type: ignore[union-attr]


def test_a_cell_in_a_column_without_a_title_is_told() -> None:
    assert read("product,quantity\nbun,7,17:30\nbun,8,\n")[2] == [
        "orders.csv:2: '17:30' stands in a column without a title; check the commas"
    ]


@pytest.mark.parametrize(
    ("last", "told"),
    [
        ("Total,15,", "orders.csv:4 (Item): 'Total' seems to begin a line of totals, which is no order; "),
        (",15,Grand total:", "orders.csv:4 (Item): 'Grand total:' seems to begin a line of totals"),
        (",15,", "orders.csv:4 (Qty): 15 without a product is the sum of the lines above; remove this line of totals"),
    ],
)
def test_a_line_of_totals_is_refused_with_its_cell(last: str, told: str) -> None:
    orders, _, (problem,) = read(f"Item,Qty,Note\nbun,7,\nrye bun,8,\n{last}\n")
    assert problem.startswith(told)
    assert len(orders) == 2


def test_a_product_that_only_begins_like_a_total_is_a_product() -> None:
    assert read("item,qty\ntotal eclipse cake,7\nsummer bun,8\n")[2] == []


def test_one_order_without_a_product_is_no_line_of_totals() -> None:
    assert read("item,qty\nbun,7\n,7\n")[2] == []


def test_a_row_with_nothing_but_a_note_is_no_order() -> None:
    orders, lines, problems = read("item,qty,note\nbun,7,\n,,gate B\nbun,8,\n")
    assert (len(orders), lines, problems) == (2, [2, 4], [])
    assert read("item,qty,note\n,,gate B\n") == ([], [], [])


def test_rows_of_which_none_makes_sense_are_no_orders() -> None:
    assert read_orders(separated_rows("item,qty\ntotal,7\n"), "orders.csv", 0, [], []) is None


@pytest.mark.parametrize(
    ("text", "line", "gist"),
    [
        ("", None, "this file is empty"),
        ('product,quantity\nbun,7\n"bun,8\n', 3, "the quotes of this line do not match"),
        ('product,quantity\n"bun"x,8\n', 2, "the quotes of this line do not match"),
    ],
)
def test_a_table_that_cannot_be_read_is_told_with_its_line(text: str, line: int | None, gist: str) -> None:
    with pytest.raises(UnreadableFile) as caught:
        read(text)
    assert caught.value.line == line
    assert gist in caught.value.sentence


@pytest.mark.parametrize(
    ("text", "line", "gist"),
    [
        ("product|quantity\nbun|7\n", 1, "'product|quantity' is no column of orders"),
        ("produkt,quantity\n", 1, "'produkt' is no column of orders (did you mean 'product'?)"),
        ("\nproduct,dew,qty\n", 2, "(did you mean 'due'?)"),
        ("\nproduct,due\n", 2, "the column 'quantity' is missing"),
        ("product,quantity,product\n", 1, "the columns 'product' and 'product' both name the product"),
        ("item,qty,Product\n", 1, "the columns 'item' and 'Product' both name the product; keep one of them"),
        ("item,qty,date\n", 1, "the column 'date': a plan knows times of day and no dates"),
        ("item,qty,Deadline\n", 1, "it is not clear when this must be ready"),
        ("bun,7\n", 1, "the columns 'product' and 'quantity' are missing"),
    ],
)
def test_titles_that_cannot_be_understood_are_told_with_their_line(text: str, line: int, gist: str) -> None:
    told = read(text)[2]
    assert any(problem.startswith(f"orders.csv:{line}: ") and gist in problem for problem in told)


def test_a_title_hides_no_complaint_that_comes_after_it() -> None:
    table = "item,qty,date,due at,ready,\nbun,7,1 May,09:00,,gate B\ntotal,7,,,,\nroll,8,,10:00,,\n"
    orders, _, problems = read(table)
    assert [problem.partition(": ")[0] for problem in problems] == [
        "orders.csv:1",
        "orders.csv:1",
        "orders.csv:2",
        "orders.csv:3 (item)",
    ]
    assert "the columns 'due at' and 'ready' both name the due" in problems[1]
    assert orders == [{"product": "roll", "quantity": "8", "due": "10:00"}]


def test_without_a_column_that_is_needed_all_that_is_wrong_with_the_titles_is_told() -> None:
    problems = read("produkt,date\nbun,7\n")[2]
    assert len(problems) == 3
    assert "'produkt' is no column of orders" in problems[0]
    assert "the column 'date'" in problems[1]
    assert "the column 'quantity' is missing" in problems[2]


@pytest.mark.parametrize(
    ("written", "read_as"),
    [
        ("1.30 pm", "13:30"),
        ("1:30pm", "13:30"),
        ("12 a.m.", "00:00"),
        ("13h30", "13:30"),
        ("13h", "13:00"),
        ("13.30", "13:30"),
        ("day 2 6.30 am", "day 2 06:30"),
        ("13 pm", "13 pm"),
        ("1.75 pm", "1.75 pm"),
        ("noon", "noon"),
    ],
)
def test_times_of_day_are_read_as_people_write_them(written: str, read_as: str) -> None:
    assert read(f"item,qty,due\nbun,7,{written}\n")[0] == [{"product": "bun", "quantity": "7", "due": read_as}]


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet=st.sampled_from(list('item,qty;due\t"\n\r 7:0=\x00é')), max_size=60))
@example("item,qty\nbun,²\n,²\n")
@example('item,qty\n"' + "x" * 200_000 + '",3\n')
@example("item,qty\n" + "9" * 5000 + ",bun\n")
def test_any_text_is_read_as_a_table_or_refused(text: str) -> None:
    for table in (text, f"item,qty,time\n{text}"):
        try:
            orders, _, problems = read(table)
        except UnreadableFile:
            continue
        assert all({"product", "quantity", "due"} >= order.keys() for order in orders)
        assert all("\n" not in problem.partition(": ")[0] for problem in problems)
