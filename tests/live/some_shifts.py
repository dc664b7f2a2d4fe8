"""Small shifts drawn at random, and anything that may have happened of them."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from stationplan.plan.document import Plan
from stationplan.plan.so_far import Recorded

EQUIPMENT: list[dict[str, Any]] = [
    {"name": "deck oven", "kind": "oven", "holds": "3 trays", "count": 2, "heats": "10 C/min"},
    {"name": "small oven", "kind": "oven", "holds": "1 tray", "starts_at": "100 C"},
    {"name": "mixer", "kind": "mixer", "holds": "10 l", "least_fill": "20 %", "wash": "4 min"},
    {"name": "freezer", "kind": "freezer", "holds": "9 trays"},
    {"name": "stove", "kind": "hob", "count": 2},
]
PEOPLE: list[dict[str, Any]] = [
    {"name": "Ines", "skills": ["pastry"]},
    {"name": "Odo", "skills": ["pastry"]},
    {"name": "Ada", "breaks": ["09:00-09:20"]},
]
DONE: list[dict[str, Any]] = [
    {},
    {"people": "1 pastry"},
    {"people": "2 people"},
    {"equipment": "deck oven at 180 C", "load": "1 min", "unload": "2 min"},
    {"equipment": "deck oven at 220 C or small oven at 200 C"},
    {"equipment": "mixer", "fills": "2 l per tray", "hands_on": "first 2 min"},
    {"equipment": "stove"},
]
WAITS: list[dict[str, Any]] = [
    {"at_least": "10 min"},
    {"at_least": "15 min", "in": "freezer"},
    {"at_least": "5 min", "at_most": "40 min"},
    {"at_least": "0 min", "at_most": "6 min"},
]


@st.composite
def some_items(draw: st.DrawFn, **more: Any) -> dict[str, Any]:
    steps: list[dict[str, Any]] = []
    for place in range(draw(st.integers(1, 3))):
        if place and draw(st.booleans()):
            steps.append({"wait": f"wait {place}", **draw(st.sampled_from(WAITS))})
        takes = draw(st.sampled_from(["8 min", "5 min + 2 min per tray", "20 min"]))
        batch = draw(st.sampled_from([{}, {}, {"batch": "2 trays"}]))
        steps.append({"name": f"step {place}", "takes": takes, **batch, **draw(st.sampled_from(DONE))})
    if draw(st.integers(0, 3)) == 0:
        steps.append({"wait": "at last", **draw(st.sampled_from(WAITS[:2]))})
    return {"makes": "1 tray", "steps": steps, **more}


@st.composite
def some_shifts(draw: st.DrawFn) -> dict[str, Any]:
    """A kitchen that closes long after it could be done."""
    slab = draw(some_items(uses={"base": draw(st.sampled_from(["1/2 tray", "1 tray"]))}))
    block = draw(some_items(uses={"base": "1 tray"}))
    return {
        "name": "some shift",
        "shift": {"opens": "06:00", "closes": "day 2 06:00"},
        "kitchen": {"people": PEOPLE, "equipment": EQUIPMENT},
        "components": {"base": draw(some_items())},
        "products": {"slab": slab, "block": block},
        "orders": [
            {"product": "slab", "quantity": draw(st.integers(1, 6)), "due": "08:00"},
            {"product": "block", "quantity": draw(st.integers(1, 4))},
        ],
    }


@st.composite
def some_pasts(draw: st.DrawFn, plan: Plan) -> tuple[dict[str, Recorded], int]:
    """What is recorded of a plan by some moment: batches begin early or late, run longer, and are lost."""
    now = draw(st.integers(plan.opens, plan.finish + 10))
    runs: dict[str, Recorded] = {}
    for batch in plan.batches:
        start = batch.start + draw(st.sampled_from([0, 0, 0, -3, 2, 9]))
        end = start + batch.end - batch.start + draw(st.sampled_from([0, 0, 0, -2, 6, 25]))
        if start > now or end < start:
            continue
        outcome = draw(st.sampled_from(["kept"] * 9 + ["lost"]))
        if outcome == "lost":
            runs[batch.label] = Recorded(batch.label, start, min(end, now), end, "lost")
        elif end <= now:
            runs[batch.label] = Recorded(batch.label, start, end, end, "done")
        else:
            runs[batch.label] = Recorded(batch.label, start, None, end, "running")
    return runs, now
