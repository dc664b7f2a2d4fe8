"""Jobs on machines that are all alike, as kitchens: the scheduling problems of the textbooks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any


def bakes(number: int, minutes: int, ovens: int, **more: Any) -> dict[str, Any]:
    """Trays that are baked one at a time in hot ovens, without hands."""
    return {
        "name": "bakes",
        "shift": {"opens": "06:00", "closes": "20:00"},
        "kitchen": {
            "people": [{"name": "Ines"}],
            "equipment": [
                {"name": "oven", "kind": "oven", "count": ovens, "holds": "1 tray", "starts_at": "180 C"},
            ],
        },
        "components": {},
        "products": {
            "tart": {
                "makes": "1 tray",
                "steps": [
                    {"name": "bake", "takes": f"{minutes} min", "equipment": "oven at 180 C", "hands_on": "none"}
                ],
            }
        },
        "orders": [{"product": "tart", "quantity": number, **more}],
    }


def jobs(minutes: Sequence[int], machines: int, after: Mapping[int, int] | None = None) -> dict[str, Any]:
    """Jobs of given lengths on identical machines; job ``n`` of ``after`` uses what job ``after[n]`` makes.

    Jobs count from 1, as in the literature.
    """
    after = after or {}
    made_first = set(after.values())

    def item(number: int) -> dict[str, Any]:
        step = {"name": "do", "takes": f"{minutes[number - 1]} min", "equipment": "machine", "hands_on": "none"}
        if number in after:
            step["uses"] = {f"job {after[number]}": "1 piece"}
        return {"makes": f"{max(1, list(after.values()).count(number))} pieces", "steps": [step]}

    numbers = range(1, len(minutes) + 1)
    last = [number for number in numbers if number not in made_first]
    return {
        "name": "jobs",
        "shift": {"opens": "06:00", "closes": "20:00"},
        "kitchen": {
            "people": [{"name": "Ines"}],
            "equipment": [{"name": "machine", "kind": "tool", "count": machines}],
        },
        "components": {f"job {number}": item(number) for number in numbers if number in made_first},
        "products": {f"job {number}": item(number) for number in last},
        "orders": [{"product": f"job {number}", "quantity": 1} for number in last],
    }
