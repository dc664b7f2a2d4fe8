"""Small kitchens with their orders, drawn at random: also with what is not as on other days."""

from __future__ import annotations

from random import Random
from typing import Any

EQUIPMENT: list[dict[str, Any]] = [
    {"name": "deck oven", "kind": "oven", "holds": "3 trays", "heats": "10 C/min", "cools": "5 C/min"},
    {"name": "mixer", "kind": "mixer", "holds": "10 l", "wash": "4 min"},
    {"name": "freezer", "kind": "freezer", "holds": "9 trays"},
    {"name": "rack", "kind": "rack", "holds": "8 trays", "count": 2},
    {"name": "stove", "kind": "hob", "count": 2},
]
SMALL_OVEN: dict[str, Any] = {"name": "small oven", "kind": "oven", "holds": "1 tray", "starts_at": "100 C"}
PEOPLE: list[dict[str, Any]] = [
    {"name": "Ines", "skills": ["pastry"]},
    {"name": "Odo", "skills": ["pastry"]},
    {"name": "Ada"},
]
WORK: list[dict[str, Any]] = [
    {},
    {"people": "1 pastry"},
    {"people": "2 people"},
    {"equipment": "deck oven at 180 C", "load": "1 min", "unload": "2 min"},
    {"equipment": "deck oven at 220 C or oven at 200 C", "load": "1 min", "hands_on": "none"},
    {"equipment": "mixer", "fills": "2 l per tray", "hands_on": "first 2 min and last 1 min"},
    {"equipment": "stove"},
]
WAITS: list[dict[str, Any]] = [
    {"at_least": "10 min"},
    {"at_least": "15 min", "in": "freezer"},
    {"at_least": "5 min", "at_most": "40 min", "in": "rack"},
    {"at_least": "0 min", "at_most": "6 min"},
]
CLOSES = 30 * 60
"""Long after everything could be done: 06:00 on the second day."""


def any_kitchen(chance: Random) -> dict[str, Any]:
    """A scenario as plain data: a few items in a kitchen that opens at 06:00 and closes long after they are made."""
    components = {"base": _item(chance, "flour")}
    if chance.random() < 0.4:
        components["cream"] = _item(chance, "milk", shelf_life=chance.choice(["40 min", "3 h"]))
    products = {
        name: _item(chance, "sugar", uses={item: chance.choice(["1/2 tray", "1 tray"]) for item in components})
        for name in (("slab", "block") if chance.random() < 0.6 else ("slab",))
    }
    orders = [
        {"product": name, "quantity": chance.randint(1, 5), **({"due": "09:00"} if chance.random() < 0.6 else {})}
        for name in products
    ]
    raw: dict[str, Any] = {
        "name": "any shift",
        "shift": {"opens": "06:00", "closes": "day 2 06:00"},
        "kitchen": {"people": [_person(chance, person) for person in PEOPLE], "equipment": _equipment(chance)},
        "components": components,
        "products": products,
        "orders": orders,
    }
    if chance.random() < 0.3:
        use_by = {"use_by": f"{chance.randint(7, 10):02}:00"} if chance.random() < 0.6 else {}
        place = {"in": "freezer"} if chance.random() < 0.5 else {}
        raw["stock"] = [{"item": chance.choice(list(components)), "quantity": "2 trays", **use_by, **place}]
    if chance.random() < 0.3:
        raw["goods"] = [{"ingredient": chance.choice(["flour", "sugar"]), "from": _clock(chance, 6, 8)}]
    return raw


def _item(chance: Random, ingredient: str, **more: Any) -> dict[str, Any]:
    steps: list[dict[str, Any]] = []
    for place in range(chance.randint(1, 3)):
        if place and chance.random() < 0.6:
            steps.append({"wait": f"wait {place}", **chance.choice(WAITS)})
        takes = chance.choice(["8 min", "5 min + 2 min per tray", "20 min"])
        batch = chance.choice([{}, {}, {"batch": "2 trays"}])
        egg = {"ingredients": {"egg": "100 g"}} if place and chance.random() < 0.3 else {}
        steps.append({"name": f"step {place}", "takes": takes, **batch, **egg, **chance.choice(WORK)})
    if chance.random() < 0.3:
        steps.append({"wait": "at last", **chance.choice(WAITS[:2])})
    return {"makes": "1 tray", "ingredients": {ingredient: "500 g", "salt": "5 g"}, "steps": steps, **more}


def _person(chance: Random, person: dict[str, Any]) -> dict[str, Any]:
    found = dict(person)
    if chance.random() < 0.3:
        start = chance.randint(420, 560)
        found["breaks"] = [_span(start, start + 20)]
    if found["name"] == "Ada" and chance.random() < 0.4:
        found["hours"] = f"{_clock(chance, 6, 7)}-14:00"
    return found


def _equipment(chance: Random) -> list[dict[str, Any]]:
    found = [dict(entry) for entry in EQUIPMENT]
    if chance.random() < 0.4:
        found[0]["count"] = 2
    if chance.random() < 0.5:
        found.append(dict(SMALL_OVEN))
    for entry in found:
        if chance.random() < 0.1:
            start = chance.randint(360, 540)
            unit = {"unit": 1} if entry.get("count", 1) > 1 else {}
            entry["out_of_use"] = [{"between": _span(start, start + chance.randint(5, 60)), **unit}]
        if chance.random() < 0.1 and entry["kind"] in ("oven", "mixer", "hob"):
            entry["slower"] = "30 %"
    return found


def _span(start: int, end: int) -> str:
    return f"{start // 60:02}:{start % 60:02}-{end // 60:02}:{end % 60:02}"


def _clock(chance: Random, first: int, last: int) -> str:
    return f"{chance.randint(first, last):02}:{chance.choice((0, 15, 40)):02}"
