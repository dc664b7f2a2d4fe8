"""``stationplan import``: orders and recipes of other formats, printed or written into a new file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from stationplan.scenario import load

from .conftest import SCENARIOS, Run
from .kitchens import tart

TABLE = "Item;Pcs;Ready by;Price\nplum tart;3;8:30;2,10\nplum tart;2;;\n"
RECIPE = {
    "@type": "Recipe",
    "name": "Sloe jelly",
    "recipeYield": "1 kg",
    "recipeInstructions": ["Boil it.", "Cool it."],
}


@pytest.fixture(name="table")
def written_table(tmp_path: Path) -> Path:
    path = tmp_path / "orders.csv"
    path.write_text(TABLE, encoding="utf-8")
    return path


@pytest.fixture(name="recipe")
def written_recipe(tmp_path: Path) -> Path:
    path = tmp_path / "jelly.json"
    path.write_text(json.dumps(RECIPE), encoding="utf-8")
    return path


def test_a_table_is_printed_as_a_list_of_orders(run: Run, table: Path) -> None:
    result = run("import", "orders", table)
    assert result.stdout == (
        '# From orders.csv.\n- {product: plum tart, quantity: 3, due: "08:30"}\n- {product: plum tart, quantity: 2}\n'
    )
    assert result.stderr == f"{table}:1: the column 'Price' is not read; read are product, quantity, due, weight\n"
    assert result.exit_code == 0


def test_the_list_that_is_written_says_the_same_as_the_table(run: Run, table: Path, tmp_path: Path) -> None:
    assert run("import", "orders", table, "--out", tmp_path / "orders.yaml").exit_code == 0
    scenario = tart("name: mix, takes: 5 min").partition("orders:\n")[0]
    read = []
    for name in ("orders.csv", "orders.yaml"):
        (tmp_path / "scenario.yaml").write_text(f"{scenario}orders: {name}\n", encoding="utf-8")
        read.append(load(tmp_path).scenario.orders)
    assert read[0] == read[1]


def test_the_orders_of_a_scenario_are_printed_line_by_line(run: Run) -> None:
    table = SCENARIOS / "pastry-counter" / "orders.csv"
    lines = run("import", "orders", table).stdout.splitlines()
    assert len(lines) == len(table.read_text(encoding="utf-8").splitlines())


@pytest.mark.parametrize(
    ("table", "told"),
    [
        (
            "item,qty\nbun,many\nbun,-3\n",
            ["2 (qty): 'many' is not a whole number", "3 (qty): '-3' is not a whole number"],
        ),
        ("item,qty,time\nbun,1,tea\n", ["2 (time): 'tea' is not a time of day; write"]),
        ("item,qty\nbun,\n", ["2: this order has no 'quantity'"]),
        ("item,qty\n", ["1: nothing is ordered"]),
        ("item,qty\nbun,3\ntotal,3\n", ["3 (item): 'total' seems to begin a line of totals"]),
        ("bun\n", ["1: the columns 'product' and 'quantity' are missing"]),
    ],
)
def test_a_table_with_mistakes_is_refused_with_their_cells(
    run: Run, tmp_path: Path, table: str, told: list[str]
) -> None:
    path = tmp_path / "orders.csv"
    path.write_text(table, encoding="utf-8")
    result = run("import", "orders", path)
    assert (result.exit_code, result.stdout) == (2, "")
    lines = result.stderr.splitlines()
    assert len(lines) == len(told)
    assert all(line.startswith(f"{path}:{part}") for line, part in zip(lines, told, strict=True))


def test_a_recipe_is_written_with_its_blanks_counted(run: Run, recipe: Path, tmp_path: Path) -> None:
    out = tmp_path / "jelly.yaml"
    result = run("import", "recipe", recipe, "--out", out)
    assert (result.exit_code, result.stdout) == (0, "")
    assert result.stderr == f"Wrote {out}: 5 blanks (???) to fill in.\n"
    assert out.read_text(encoding="utf-8") == run("import", "recipe", recipe).stdout


def test_a_file_that_is_there_is_left_as_it_is(run: Run, recipe: Path) -> None:
    before = recipe.read_bytes()
    result = run("import", "recipe", recipe, "--out", recipe)
    assert result.exit_code == 2
    assert "is there already and is left as it is" in result.stderr
    assert recipe.read_bytes() == before


@pytest.mark.parametrize(
    ("what", "name", "told"),
    [
        ("recipe", "missing.json", "there is no such file"),
        ("orders", "missing.csv", "there is no such file"),
        ("orders", "jelly.json", "orders are read from tables that end in .csv"),
        ("recipe", "orders.csv", "this is neither JSON-LD nor a web page"),
    ],
)
def test_a_file_that_is_not_what_was_said_is_refused(
    run: Run, tmp_path: Path, recipe: Path, table: Path, what: str, name: str, told: str
) -> None:
    result = run("import", what, tmp_path / name)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith(str(tmp_path / name))
    assert told in result.stderr


def test_a_folder_that_is_not_there_is_told(run: Run, recipe: Path, tmp_path: Path) -> None:
    result = run("import", "recipe", recipe, "--out", tmp_path / "nowhere" / "jelly.yaml")
    assert result.exit_code == 2
    assert "no such file or directory" in result.stderr
