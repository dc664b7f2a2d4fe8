from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from stationplan.scenario import InvalidScenario, from_plain, load
from stationplan.scenario.models import Scenario

from .valid_text import VALID

HEAD, _, REST = VALID.partition("kitchen:\n")
KITCHEN_BLOCK, _, REST = REST.partition("stock:\n")
TODAY, _, REST = REST.partition("components:\n")
COMPONENTS_BLOCK, _, REST = REST.partition("products:\n")
PRODUCTS_BLOCK, _, ORDERS_BLOCK = REST.partition("orders:\n")
KITCHEN = "\n".join(line[2:] for line in KITCHEN_BLOCK.splitlines())
RECIPES = f"components:\n{COMPONENTS_BLOCK}products:\n{PRODUCTS_BLOCK}"
ORDERS = 'product,quantity,due,weight\r\nlantern bun,240,17:30,2\r\n"lantern bun",24,,\r\n'
INGREDIENTS = VALID[VALID.index("ingredients:") : VALID.index("kitchen:")]
MAIN = f"{HEAD}kitchen: kitchen.yaml\nrecipes: recipes.yaml\norders: orders.csv\nstock:\n{TODAY}"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A scenario in four files, seen from the folder above it."""
    monkeypatch.chdir(tmp_path)
    fair = Path("fair")
    fair.mkdir()
    write(fair, "scenario.yaml", MAIN)
    write(fair, "kitchen.yaml", KITCHEN)
    write(fair, "recipes.yaml", RECIPES)
    write(fair, "orders.csv", ORDERS)
    return fair


def write(folder: Path, name: str, text: str) -> None:
    folder.joinpath(name).write_bytes(text.encode())


def told(path: Path) -> list[str]:
    with pytest.raises(InvalidScenario) as caught:
        load(path)
    return str(caught.value).splitlines()


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


def test_one_file_and_four_files_say_the_same(folder: Path) -> None:
    write(folder, "all.yaml", VALID)
    assert load(folder / "all.yaml").scenario == load(folder).scenario


def test_a_recipe_file_may_say_what_is_in_the_ingredients(folder: Path) -> None:
    described = "ingredients:\n  almond flour: {contains: almonds}\n"
    write(folder, "scenario.yaml", MAIN.replace(INGREDIENTS, ""))
    write(folder, "recipes.yaml", described + RECIPES)
    assert load(folder).scenario.ingredients["almond flour"].contains == ("tree nuts (almond)",)


def test_the_raw_data_alone_gives_the_scenario_again(folder: Path) -> None:
    loaded = load(folder)
    raw = json.loads(json.dumps(loaded.raw))
    assert Scenario.model_validate(raw) == loaded.scenario
    assert from_plain(raw) == loaded.scenario


def test_dumped_models_are_read_back_as_the_same(folder: Path) -> None:
    scenario = load(folder).scenario
    dumped = scenario.model_dump(mode="json", by_alias=True, exclude_unset=True)
    assert from_plain(json.loads(json.dumps(dumped))) == scenario


def test_where_knows_the_file_and_line_of_every_part(folder: Path) -> None:
    where = load(folder).where
    fills = line_of(RECIPES, "fills: 1 tray per tray")
    glaze = line_of(RECIPES, "name: glaze")
    assert where(("components", "almond sponge", "steps", 2, "fills")) == f"fair/recipes.yaml:{fills}"
    assert where(("products", "lantern bun", "steps", 1, "steps", 0)) == f"fair/recipes.yaml:{glaze}"
    assert where(("kitchen", "people", 1)) == f"fair/kitchen.yaml:{line_of(KITCHEN, 'Tomas')}"
    assert where(("orders", 1, "quantity")) == "fair/orders.csv:3 (quantity)"
    assert where(("shift", "opens")) == "fair/scenario.yaml:2"


def test_where_falls_back_to_the_closest_known_part(folder: Path) -> None:
    where = load(folder).where
    bake = line_of(RECIPES, "name: bake")
    assert where(("components", "almond sponge", "steps", 2, "hands_on")) == f"fair/recipes.yaml:{bake}"
    assert where(("components", "almond sponge", "steps", 99)) == f"fair/recipes.yaml:{line_of(RECIPES, 'steps:')}"
    assert where(()) == "fair/scenario.yaml:1"


def test_recipes_come_from_several_files_and_inline(folder: Path) -> None:
    write(folder, "components.yaml", f"components:\n{COMPONENTS_BLOCK}")
    write(folder, "products.yaml", f"products:\n{PRODUCTS_BLOCK}")
    write(folder, "scenario.yaml", MAIN.replace("recipes.yaml", "[components.yaml, products.yaml]"))
    from_files = load(folder).scenario
    assert list(from_files.components) == ["almond sponge", "vanilla mousse"]
    write(folder, "scenario.yaml", MAIN.replace("recipes.yaml", "components.yaml") + f"products:\n{PRODUCTS_BLOCK}")
    assert load(folder).scenario == from_files


def test_a_recipe_in_two_places_is_told_with_both(folder: Path) -> None:
    write(folder, "more.yaml", f"components:\n{COMPONENTS_BLOCK}")
    write(folder, "scenario.yaml", MAIN.replace("recipes.yaml", "[recipes.yaml, more.yaml]"))
    assert (
        "fair/more.yaml:2: 'almond sponge' stands here and in fair/recipes.yaml:2; keep one of them or rename one"
        in told(folder)
    )


def test_mistakes_in_every_file_are_told_at_once_in_order(folder: Path) -> None:
    write(folder, "scenario.yaml", MAIN.replace('"05:00"', '"5 am"'))
    write(folder, "kitchen.yaml", KITCHEN.replace("holds: 20 l", "holds: 20"))
    write(folder, "recipes.yaml", RECIPES.replace("takes: 12 min", "takes: 12").replace("trolley", "trolly"))
    write(folder, "orders.csv", ORDERS.replace("24,,", "many,,").replace("lantern bun,240", "lantern bnu,240"))
    lines = told(folder)
    assert [line.split(": ")[0] for line in lines] == [
        "fair/scenario.yaml:2",
        f"fair/kitchen.yaml:{line_of(KITCHEN, 'holds: 20 l')}",
        f"fair/recipes.yaml:{line_of(RECIPES, 'takes: 12 min')}",
        "fair/orders.csv:2 (product)",
        "fair/orders.csv:3 (quantity)",
    ]


def test_references_of_readable_parts_are_checked_although_others_cannot_be_read(folder: Path) -> None:
    write(folder, "recipes.yaml", RECIPES.replace("takes: 12 min", "takes: 12").replace("1 disc}", "1 slice}"))
    lines = told(folder)
    assert len(lines) == 2
    assert "not in slices" in lines[1]


def test_an_unreadable_part_is_not_called_unknown_elsewhere(folder: Path) -> None:
    write(folder, "recipes.yaml", RECIPES.replace("makes: 1.5 kg", "makes: much"))
    assert len(told(folder)) == 1
    write(folder, "recipes.yaml", RECIPES)
    write(folder, "kitchen.yaml", KITCHEN.replace("kind: rack", "kind: cart"))
    assert len(told(folder)) == 1


@pytest.mark.parametrize("name", ["kitchen.yaml", "recipes.yaml", "orders.csv"])
def test_a_file_that_is_missing_is_told_where_it_is_named_and_nothing_else(folder: Path, name: str) -> None:
    folder.joinpath(name).unlink()
    line = line_of(MAIN, name)
    assert told(folder) == [f"fair/scenario.yaml:{line}: the file '{name}' is named here, but there is no such file"]


def test_a_folder_without_a_scenario_is_told(folder: Path) -> None:
    folder.joinpath("scenario.yaml").unlink()
    assert told(folder) == ["fair/scenario.yaml: there is no such file"]


def test_a_path_that_is_not_there_is_told(folder: Path) -> None:
    assert told(Path("fair/none.yaml")) == ["fair/none.yaml: there is no such file"]


@pytest.mark.parametrize("key", ["kitchen: kitchen.yaml", "recipes: recipes.yaml", "orders: orders.csv"])
def test_a_file_that_includes_itself_is_told(folder: Path, key: str) -> None:
    name = key.partition(": ")[0]
    write(folder, "scenario.yaml", MAIN.replace(key, f"{name}: ../fair/scenario.yaml"))
    line = line_of(MAIN, key)
    assert told(folder) == [
        f"fair/scenario.yaml:{line}: '../fair/scenario.yaml' is this file itself; name another file"
    ]


def test_a_file_name_that_is_a_folder_is_told(folder: Path) -> None:
    folder.joinpath("kitchens").mkdir()
    write(folder, "scenario.yaml", MAIN.replace("kitchen.yaml", "kitchens"))
    assert told(folder) == [
        "fair/scenario.yaml:6: the file 'kitchens' is named here, but this is not a file that can be read"
    ]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_named_pipe_is_not_waited_for(folder: Path) -> None:
    os.mkfifo(folder / "pipe.yaml")
    assert told(folder / "pipe.yaml") == ["fair/pipe.yaml: this is not a file that can be read"]


@pytest.mark.parametrize("text", ["", "# only a comment\n", "---\n", "~\n"])
def test_an_empty_file_is_told(folder: Path, text: str) -> None:
    write(folder, "scenario.yaml", text)
    assert told(folder) == ["fair/scenario.yaml: this file is empty"]


def test_a_list_where_a_scenario_belongs_is_told(folder: Path) -> None:
    write(folder, "scenario.yaml", "- kitchen\n- recipes\n")
    assert told(folder) == [
        "fair/scenario.yaml:1: this is not a scenario: name, shift, kitchen, components, products and orders"
    ]


def test_a_kitchen_file_with_a_kitchen_key_is_told_at_its_line(folder: Path) -> None:
    write(folder, "kitchen.yaml", "kitchen:\n" + KITCHEN_BLOCK)
    assert any(line.startswith("fair/kitchen.yaml:1: 'kitchen' is not known here") for line in told(folder))


def test_another_key_in_a_recipe_file_is_told(folder: Path) -> None:
    write(folder, "recipes.yaml", RECIPES + "orders: []\n")
    line = RECIPES.count("\n") + 1
    assert told(folder) == [
        f"fair/recipes.yaml:{line}: 'orders' is not known here; "
        "a recipe file holds 'ingredients', 'components' and 'products'"
    ]


@pytest.mark.parametrize("name", ["components", "products"])
def test_recipes_that_are_no_mapping_are_told(folder: Path, name: str) -> None:
    write(folder, "more.yaml", f"{name}: [a, b]\n")
    write(folder, "scenario.yaml", MAIN.replace("recipes.yaml", "[recipes.yaml, more.yaml]"))
    assert told(folder) == [f"fair/more.yaml:1: '{name}' must be names with a recipe each"]


def test_recipe_files_with_nothing_behind_a_key_are_told(folder: Path) -> None:
    write(folder, "more.yaml", "components:\nproducts:\n")
    write(folder, "scenario.yaml", MAIN.replace("recipes.yaml", "[more.yaml, recipes.yaml]"))
    assert told(folder) == [
        "fair/more.yaml:1: there is nothing behind 'components'; write names with a recipe each, or leave it out",
        "fair/more.yaml:2: there is nothing behind 'products'; write names with a recipe each, or leave it out",
    ]


def test_recipes_written_where_a_file_name_belongs_are_told(folder: Path) -> None:
    write(folder, "scenario.yaml", MAIN.replace("recipes: recipes.yaml", "recipes:\n  - recipes.yaml\n  - {tart: 1}"))
    assert told(folder) == ["fair/scenario.yaml:9: 'recipes' takes file names; write the recipes under 'components'"]


def test_text_that_is_not_utf_8_is_told_with_its_line(folder: Path) -> None:
    folder.joinpath("kitchen.yaml").write_bytes(KITCHEN.encode() + "\n# Café\n".encode("latin-1"))
    line = KITCHEN.count("\n") + 2
    assert told(folder) == [f"fair/kitchen.yaml:{line}: this is not UTF-8 text; save the file with the encoding UTF-8"]


def test_a_byte_order_mark_is_accepted(folder: Path) -> None:
    folder.joinpath("scenario.yaml").write_bytes(b"\xef\xbb\xbf" + MAIN.encode())
    folder.joinpath("orders.csv").write_bytes(b"\xef\xbb\xbf" + ORDERS.encode())
    assert len(load(folder).scenario.orders) == 2


def test_a_file_of_more_than_a_megabyte_is_refused(folder: Path) -> None:
    write(folder, "scenario.yaml", MAIN + "# padding\n" * 100_000)
    assert told(folder) == ["fair/scenario.yaml: this file is larger than 1 MB, which is more than a kitchen can need"]


def test_aliases_repeat_what_is_marked(folder: Path) -> None:
    text = VALID.replace("glaze, takes: 3 min", "glaze, takes: &short 3 min").replace("takes: 12 min", "takes: 12 min")
    write(folder, "scenario.yaml", text.replace("box, takes: 2 min per 12 pieces", "box, takes: *short"))
    product = load(folder).scenario.products["lantern bun"]
    assert str(product.steps[2].takes) == "3 min"  # type: ignore[union-attr]


def test_aliases_that_multiply_are_stopped(folder: Path) -> None:
    lines = ["a: &a [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"{b}: &{b} [{', '.join([f'*{a}'] * 10)}]" for a, b in zip("abcdefgh", "bcdefghi", strict=True)]
    write(folder, "scenario.yaml", "\n".join(lines))
    assert told(folder) == ["fair/scenario.yaml:6: this file holds too much once everything it repeats is written out"]


def test_an_alias_inside_what_it_repeats_is_stopped(folder: Path) -> None:
    write(folder, "scenario.yaml", "name: x\nkitchen: &k\n  people: [*k]\n")
    assert told(folder) == ["fair/scenario.yaml:3: '*k' stands inside what it repeats"]


@pytest.mark.parametrize("sign", ["[", "{a: ", "- "])
def test_deep_nesting_is_stopped(folder: Path, sign: str) -> None:
    write(folder, "scenario.yaml", "name: x\nkitchen:\n  " + sign * 50_000)
    assert told(folder) == ["fair/scenario.yaml:3: this is nested too deeply"]


def test_numbers_and_words_are_those_of_yaml_1_2(folder: Path) -> None:
    # YAML 1.1 would read 17:30 as a number to base 60, `no` as false and 010 as 8.
    text = (
        VALID.replace('due: "17:30"', "due: 17:30").replace("name: Tomas", "name: no").replace("name: box", "name: 010")
    )
    write(folder, "scenario.yaml", text)
    scenario = load(folder).scenario
    assert scenario.orders[0].due == 17 * 60 + 30
    assert scenario.kitchen.people[1].name == "no"


def test_a_sentence_quotes_no_line_breaks_or_terminal_codes_and_not_for_ever(folder: Path) -> None:
    write(folder, "scenario.yaml", MAIN + '"long\\nname \\e[31m' + "x" * 900 + '": 1\n')
    (line,) = told(folder)
    assert r"long\nname \x1b[31mxxx" in line
    assert len(line) < 600


def test_no_more_than_two_hundred_mistakes_are_told(folder: Path) -> None:
    write(folder, "orders.csv", "product,quantity\n" + "bnu,7\n" * 5000)
    assert len(told(folder)) == 200


def test_plain_data_is_told_without_files() -> None:
    with pytest.raises(InvalidScenario) as caught:
        from_plain({"name": "x", "shift": {"opens": "05:00", "closes": "06:00"}, "orders": [{"product": 1}]})
    told_where = {problem.where for problem in caught.value.problems}
    assert "orders > entry 1" in told_where


def test_a_saved_plan_is_not_taken_for_a_scenario(folder: Path) -> None:
    write(folder, "plan.json", '{\n  "format": "stationplan plan",\n  "version": 1}')
    assert told(folder / "plan.json") == [
        "fair/plan.json: this is a saved plan, not a scenario; stationplan chart shows it"
    ]


def test_a_spreadsheet_of_another_kind_is_asked_for_as_xlsx_or_csv(folder: Path) -> None:
    write(folder, "orders.ods", "PK")
    write(folder, "scenario.yaml", MAIN.replace("orders.csv", "orders.ods"))
    assert told(folder) == [
        "fair/scenario.yaml:8: the file 'orders.ods' is named here, but this is a file of a spreadsheet program; "
        "orders can be read from .xlsx, so save the sheet as that or as CSV, and name the new file"
    ]


@pytest.mark.parametrize("name", ["scenario.yml", "scenario.yaml.txt"])
def test_a_file_beside_the_missing_one_is_hinted_at(folder: Path, name: str) -> None:
    folder.joinpath("scenario.yaml").rename(folder / name)
    assert told(folder) == [
        f"fair/scenario.yaml: there is no such file, but there is {name} beside it; rename that to scenario.yaml"
    ]
