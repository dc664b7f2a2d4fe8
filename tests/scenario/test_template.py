from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario import load
from stationplan.scenario.template import TEMPLATE

if TYPE_CHECKING:
    from pathlib import Path


def test_the_template_loads_as_it_is(tmp_path: Path) -> None:
    tmp_path.joinpath("scenario.yaml").write_text(TEMPLATE, encoding="utf-8")
    scenario = load(tmp_path).scenario
    assert list(scenario.components) == ["oat pastry", "plum cream"]
    assert [order.quantity for order in scenario.orders] == [144]
