"""``stationplan quantities``."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from .conftest import FIRST_SHIFT, SCENARIOS, Run
from .kitchens import tart, write

EXAMPLE = Path(__file__).parents[2] / "docs" / "examples" / "ingredients"


def flat(text: str) -> str:
    return " ".join(text.split())


def read(text: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(text)
    return found


def test_a_scenario_is_scaled_to_its_orders(run: Run) -> None:
    result = run("quantities", FIRST_SHIFT)
    assert (result.exit_code, result.stderr) == (0, "")
    text = flat(result.stdout)
    # 90 tartlets, one shell in twenty broken: 94.7 shells, 24 a tray, so 4 trays, which is 4 recipes of 260 g of flour.
    assert "flour 1.04 kg" in text
    # 90 x 30 g, 3 % left in the pan: 2.784 kg; 230 g of juice a kilo: 640 g.
    assert "lemon juice 640 g" in text
    # 4 x 50 g in the paste and 2.784 x 300 g in the cream, at 50 g an egg: 200 g + 835 g, 20.7 eggs.
    assert "whole egg 1.035 kg 21 eggs" in text


def test_a_plan_says_when_each_batch_begins(run: Run, plan_file: Path) -> None:
    before, planned = (read(run("quantities", source, "--json").stdout) for source in (FIRST_SHIFT, plan_file))
    assert {batch["start"] for batch in before["batches"]} == {None}
    assert all(batch["start"] >= 360 for batch in planned["batches"])
    assert planned["store"] == before["store"]
    assert "Aa1 06:0" in run("quantities", plan_file).stdout


@pytest.mark.parametrize("part", ["batches", "store", "allergens"])
def test_one_part_can_be_asked_for(run: Run, part: str) -> None:
    titles = {"batches": "into each batch", "store": "to draw from the store", "allergens": "allergens"}
    text = run("quantities", FIRST_SHIFT, "--only", part).stdout
    assert [name for name, title in titles.items() if f"\n{title}" in text] == [part]


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize("source", [EXAMPLE, SCENARIOS / "banquet"], ids=["example", "banquet"])
def test_it_keeps_to_the_width(run: Run, source: Path, width: int) -> None:
    assert max(map(len, run("quantities", source, "--width", str(width)).stdout.splitlines())) <= width


def test_ascii_is_ascii(run: Run) -> None:
    assert run("quantities", FIRST_SHIFT, "--ascii").stdout.isascii()


def test_allergens_are_told_as_declared_and_with_a_caution(run: Run) -> None:
    text = flat(run("quantities", EXAMPLE, "--only", "allergens").stdout)
    assert "alder cup: egg, milk, tree nuts (hazelnut); nothing is declared of vanilla" in text
    assert "plain cream: milk; nothing is declared of vanilla" in text
    assert "local code and your own food-safety plan decide" in text
    assert "free from" not in text


def test_json_is_exact_and_rounded_for_a_scale_beside(run: Run) -> None:
    found = read(run("quantities", EXAMPLE, "--json").stdout)
    assert (found["format"], found["version"]) == ("stationplan quantities", 1)
    soak = found["batches"][0]["ingredients"][0]
    # 2.4 recipes of 12 g of 200 bloom are 28.8 g, and in 160 bloom 36 g: 14.4 sheets of 2.5 g.
    assert {key: soak[key] for key in ("ingredient", "amount", "weigh", "grams")} == {
        "ingredient": "gelatin",
        "amount": "36",
        "weigh": "36",
        "grams": "36",
    }
    assert soak["pieces"] == {"amount": "72/5", "unit": "sheet"}
    assert soak["instead_of"] == {"amount": "144/5", "unit": "g", "bloom": 200, "used": 160}
    by_name = {entry["ingredient"]: entry for entry in found["store"]}
    assert (by_name["vanilla"]["declared"], by_name["cream"]["declared"]) == (None, ["milk"])
    for entry in found["store"]:
        if entry["unit"] == "g":
            assert Fraction(entry["draw"]) >= Fraction(entry["amount"]) - 1


def test_it_prints_the_same_every_time(run: Run) -> None:
    assert run("quantities", EXAMPLE, "--json").stdout == run("quantities", EXAMPLE, "--json").stdout


def test_a_scenario_without_ingredients_has_nothing_to_weigh(run: Run, tmp_path: Path) -> None:
    folder = write(tmp_path, tart("name: mix, takes: 10 min"))
    assert run("quantities", folder).stdout == (
        "Trial: 1 tray of plum tart\n\nallergens: the scenario declares none, which does not mean that there are none\n"
    )


def test_a_plan_that_contradicts_its_scenario_is_not_shown(run: Run, plan_file: Path, tmp_path: Path) -> None:
    document = read(plan_file.read_text(encoding="utf-8"))
    document["batches"][0]["last"] = "3"
    broken = tmp_path / "broken.json"
    broken.write_text(json.dumps(document, indent=2), encoding="utf-8")
    result = run("quantities", broken)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "this plan contradicts its scenario, so it is not shown" in result.stderr


def test_what_is_not_there_is_told(run: Run, tmp_path: Path) -> None:
    result = run("quantities", tmp_path / "nowhere")
    assert result.exit_code == 2
    assert "nowhere" in result.stderr
