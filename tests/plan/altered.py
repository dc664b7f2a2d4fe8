"""The changes that there are to a scenario, and the scenario after one of them."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from stationplan.network import build
from stationplan.plan.alteration import Alteration
from stationplan.plan.alterations import alterations_of
from stationplan.plan.demands import Kind, demands_of
from stationplan.scenario import from_plain


def alterations(data: dict[str, Any], kind: Kind) -> list[Alteration]:
    """All changes to the demands of a kind, in conflict or not."""
    scenario = from_plain(data)
    network = build(scenario)
    found = [demand for demand in demands_of(network, scenario) if demand.kind is kind]
    return [change for demand in found for change in alterations_of(network, scenario, demand)]


def changed(data: dict[str, Any], change: Alteration, size: int) -> dict[str, Any]:
    """The data after a change, which must be read and built like any other."""
    copy = deepcopy(data)
    change.apply(copy, size)
    build(from_plain(copy))
    return copy
