"""A scenario that keeps any search busy for hours: a job shop whose jobs visit one set of machines, then another.

The construction is that of R. H. Storer, S. D. Wu and R. Vaccari, "New search spaces for sequencing problems with
application to job shop scheduling", Management Science 38 (1992); instances of this size were open for decades.
"""

from __future__ import annotations

import json
import random
from pathlib import Path

JOBS, MACHINES = 20, 10


def write_hard_scenario(folder: Path) -> Path:
    """Write it into a folder (JSON is YAML, too) and return the folder."""
    chance = random.Random(1)
    products = {}
    for job in range(JOBS):
        halves = [list(range(MACHINES // 2)), list(range(MACHINES // 2, MACHINES))]
        for half in halves:
            chance.shuffle(half)
        products[f"cake {job + 1}"] = {
            "steps": [
                {
                    "name": f"turn {turn + 1}",
                    "takes": f"{chance.randint(1, 100)} min",
                    "equipment": f"tool {machine + 1}",
                }
                for turn, machine in enumerate([*halves[0], *halves[1]])
            ]
        }
    scenario = {
        "name": "Twenty cakes",
        "shift": {"opens": "00:00", "closes": "day 5 00:00"},
        "kitchen": {
            "people": [{"name": "Odile"}],
            "equipment": [{"name": f"tool {machine + 1}", "kind": "tool"} for machine in range(MACHINES)],
        },
        "products": products,
        "orders": [{"product": name, "quantity": 1} for name in products],
    }
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "scenario.yaml").write_text(json.dumps(scenario), encoding="utf-8")
    return folder
