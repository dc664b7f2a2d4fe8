"""The invented day as a shift that runs: one batch of everything that can become of one, drawn at 06:20."""

from __future__ import annotations

from typing import Any

from stationplan.live.drawn import Drawn, Standing
from stationplan.render.chart import chart
from stationplan.render.key import key
from stationplan.render.rows import RowKind

from .invented_plans import make

NOW = 380


def running() -> Drawn:
    """Marc is away from 07:30 to 10:00 and has his break then; the second oven is out of use from 06:10 to 07:00."""
    plan = make()
    standings: dict[str, Standing] = {
        batch.label: "done" if batch.end <= NOW else "running" if batch.start < NOW else "waiting"
        for batch in plan.batches
    }
    standings |= {"Ac4": "lost", "Ea1": "late", "Da2": "blocked", "Db2": "blocked"}
    scenario: dict[str, Any] = {**plan.scenario, "kitchen": {**plan.scenario["kitchen"]}}
    scenario["kitchen"]["equipment"] = [
        {"name": "deck oven", "count": 2, "out_of_use": [{"between": "06:10-07:00", "unit": 2}]}
    ]
    scenario["kitchen"]["people"] = [
        {**person, "breaks": [*person["breaks"], "07:30-10:00"]} if person["name"] == "Marc" else person
        for person in scenario["kitchen"]["people"]
    ]
    begun = {batch.label: batch.start for batch in plan.batches if batch.start < NOW}
    return Drawn.model_construct(
        **{
            **dict(plan),
            "scenario": scenario,
            "chain": (),
            "now": NOW,
            "standings": standings,
            "planned": begun | {"Ad1": 350, "Bb2": 370},
            "absences": {"Marc": ((450, 600),)},
        }
    )


def page(width: int, *, unicode: bool = True, rows: RowKind = "equipment") -> str:
    """The chart of it, and what its signs mean."""
    drawn = running()
    parts = chart(drawn, width=width, unicode=unicode, rows=rows), key(drawn, width, unicode=unicode, rows=rows)
    return "\n\n".join(parts) + "\n"
