"""Which unit of a machine is out of use is told by its name, and not by where its row stands."""

from __future__ import annotations

from pathlib import Path

from stationplan.network import build
from stationplan.plan.check import FaultKind, check_plan
from stationplan.plan.document import Plan
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import from_plain, load

EXAMPLE = Path(__file__).parents[3] / "docs" / "examples" / "out-of-use"


def test_units_that_change_places_in_the_list_do_not_change_which_one_is_out_of_use() -> None:
    raw = load(EXAMPLE).raw
    plan = produce(build(from_plain(raw)), raw, Effort(effort=1)).model_dump(mode="json")
    one, two = (row["name"] for row in plan["stations"] if row["kind"] == "oven")
    other = {one: two, two: one}
    for part in [*(seat for batch in plan["batches"] for seat in batch["seats"]), *plan["changes"]]:
        part["station"] = other.get(part["station"], part["station"])
    assert FaultKind.OUT_OF_USE in {fault.kind for fault in check_plan(Plan.model_validate(plan))}
    plan["stations"].reverse()
    assert FaultKind.STATION_LIST_DIFFERS in {fault.kind for fault in check_plan(Plan.model_validate(plan))}
