"""A small plan worked out by hand, with a use of everything that the check looks at.

The kitchen opens at 06:00; minutes in comments count from then. All times are the
longest ones.

Quantities: 12 + 18 slices take 30 discs of 12 per tray, 2 1/2 trays, so 3 trays of nut
base. 30 slices of 30 g cream with a loss of 10 % are 1000 g, 10 cups of 20 g are 200 g;
of 1200 g / (1 - 20 %) made, 1500 g, 1200 g can be used.

What cannot be seen from the times alone:

- The oven is at 20 C when the kitchen opens and heats by 10 C a minute: 180 C from
  minute 16. From 180 C to 220 C fan it stands empty for 4 minutes.
- The bowl is washed for 6 minutes between nut foam and cream (minutes 10 to 16).
- The cook wants at most 18 slices in a batch, so there are two even ones of 15.
- Slices 1 to 15 take 1 1/4 trays of nut base, all from the first batch; slices 16 to 30
  take 1 1/4 trays, 3/4 from the first and 1/2 from the second.
- The first 12 slices are due at 07:45 (minute 105), are ready at minute 108 and count
  twice: lateness 6.
- Tidiness: nut base 7 + 5 (spread to bake), 2 + 4 (beyond the least of cooling and
  freezing), 2 + 6 + 4 (cut to assemble); cream 41 + 45 + 2 (beyond the least rest); 10
  for one change of the oven's setting: 128.
"""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from stationplan.plan.document import Plan

OPENS = 6 * 60

SCENARIO: dict[str, Any] = {
    "name": "two slices and a cup",
    "shift": {"opens": "06:00", "closes": "16:00"},
    "kitchen": {
        "people": [
            {"name": "Ada", "skills": ["pastry"], "hours": "06:00-14:00", "breaks": ["09:00-09:20"]},
            {"name": "Bo", "skills": ["chocolate"]},
        ],
        "equipment": [
            {
                "name": "deck oven",
                "kind": "oven",
                "holds": "4 trays",
                "range": "100..280 C",
                "heats": "10 C/min",
                "cools": "4 C/min",
                "settings": ["fan"],
            },
            {"name": "mini oven", "kind": "oven", "holds": "1 tray", "range": "100..200 C", "settings": ["fan"]},
            {
                "name": "planetary mixer",
                "kind": "mixer",
                "holds": "10 l",
                "usable": "60 %",
                "least_fill": "10 %",
                "wash": "6 min",
            },
            {"name": "blast freezer", "kind": "freezer", "holds": "6 trays"},
            {"name": "rack", "kind": "rack", "holds": "8 trays"},
            {"name": "bench", "kind": "bench", "count": 2},
        ],
    },
    "components": {
        "nut base": {
            "makes": "2 trays",
            "pieces": "12 discs per tray",
            "steps": [
                {
                    "name": "whip",
                    "takes": "4..5 min",
                    "hands_on": "first 2 min",
                    "equipment": "mixer",
                    "fills": "1 l per tray",
                    "holding": "nut foam",
                    "batch": "2 trays",
                },
                {
                    "name": "spread",
                    "takes": "2 min + 1 min per tray",
                    "people": "1 pastry",
                    "also": {"bench": "1 place"},
                    "after": {"step": "whip", "at_most": "6 min"},
                },
                {
                    "name": "bake",
                    "takes": "10..12 min",
                    "equipment": ["deck oven at 180 C", {"use": "mini oven at 170 C fan", "takes": "14 min"}],
                    "load": "2 min",
                    "unload": "1 min",
                },
                {"wait": "cool", "at_least": "10 min", "in": "rack"},
                {"wait": "freeze", "at_least": "30 min", "at_most": "3 h", "in": "freezer"},
                {"name": "cut", "takes": "2 min per tray"},
            ],
        },
        "cream": {
            "makes": "1 kg",
            "loss": "20 %",
            "steps": [
                {
                    "name": "mix",
                    "takes": "6 min",
                    "people": "1 chocolate",
                    "equipment": "planetary mixer",
                    "fills": "2 l per kg",
                },
                {
                    "repeat": 2,
                    "steps": [
                        {"name": "fold", "takes": "3 min"},
                        {"wait": "rest", "at_least": "5 min", "at_most": "3 h"},
                    ],
                },
            ],
        },
    },
    "products": {
        "slice": {
            "uses": {"nut base": "1 disc"},
            "steps": [
                {
                    "name": "assemble",
                    "takes": "1 min per 4 pieces",
                    "people": "1 pastry",
                    "batch": "18 pieces",
                    "uses": {"cream": {"amount": "30 g", "loss": "10 %"}},
                },
                {
                    "name": "toast",
                    "takes": "5 min",
                    "hands_on": "first 1 min and last 1 min",
                    "equipment": "oven at 220 C fan",
                    "fills": "1 tray per 12 pieces",
                },
                {
                    "wait": "set",
                    "at_least": "20 min",
                    "at_most": "1 h",
                    "in": "freezer",
                    "fills": "1 tray per 12 pieces",
                },
            ],
        },
        "cup": {
            "uses": {"cream": "20 g"},
            "steps": [{"name": "fill", "takes": "1 min per 6 pieces", "people": "1 pastry and 1 chocolate"}],
        },
    },
    "orders": [
        {"product": "slice", "quantity": 18, "due": "08:00"},
        {"product": "slice", "quantity": 12, "due": "07:45", "weight": 2},
        {"product": "cup", "quantity": 10},
    ],
}


def hand_made() -> dict[str, Any]:
    """The plan as plain data, to be changed at will."""
    return deepcopy(_PLAN)


def hand_made_plan() -> Plan:
    """The plan."""
    return Plan.model_validate(_PLAN)


def _at(minute: int) -> int:
    return OPENS + minute


def _batch(
    label: str, what: str, part: str, share: str, times: tuple[int, int], seats: Any = (), hands: Any = ()
) -> dict[str, Any]:
    """A batch: ``what`` is 'item/step' or 'item/step/round', ``part`` 'number/of', ``share`` 'first-last unit'."""
    item, step, *rounds = what.split("/")
    number, of = part.split("/")
    span, unit = share.split()
    first, last = span.split("-")
    return {
        "label": label,
        "item": item,
        "step": step,
        "round": int(rounds[0]) if rounds else 1,
        "number": int(number),
        "of": int(of),
        "first": first,
        "last": last,
        "unit": unit,
        "start": _at(times[0]),
        "end": _at(times[1]),
        "seats": [
            {"station": station, "start": _at(times[0]), "end": _at(times[1]), "amount": amount, **more}
            for station, amount, more in seats
        ],
        "hands": [
            {"person": person, "start": _at(start), "end": _at(end), "doing": doing}
            for person, start, end, doing in hands
        ],
    }


def _stay(
    name: str, between: str, position: int, times: tuple[int, int], limits: tuple[int, int | None], place: Any = None
) -> dict[str, Any]:
    """A wait: ``between`` is 'item: label > label', without the second label for delivery."""
    item, labels = between.split(": ")
    before, _, after = labels.partition(" > ")
    station, amount = place or (None, 0)
    return {
        "name": name,
        "item": item,
        "before": before,
        "after": after or None,
        "position": position,
        "start": _at(times[0]),
        "end": _at(times[1]),
        "least": limits[0],
        "most": limits[1],
        "station": station,
        "amount": amount,
    }


def _bowl(amount: int, holding: str) -> list[Any]:
    return [("planetary mixer", amount, {"holding": holding})]


def _oven(amount: int, celsius: float, setting: str = "") -> list[Any]:
    return [("deck oven", amount, {"celsius": celsius, "setting": setting})]


_BENCH: list[Any] = [("bench", 1, {})]

_BATCHES = [
    _batch("Aa1", "nut base/whip", "1/2", "0-2 tray", (0, 5), _bowl(2000, "nut foam"), [("Bo", 0, 2, "hands-on")]),
    _batch("Aa2", "nut base/whip", "2/2", "2-3 tray", (5, 10), _bowl(1000, "nut foam"), [("Bo", 5, 7, "hands-on")]),
    _batch("Ab1", "nut base/spread", "1/2", "0-2 tray", (5, 9), _BENCH, [("Ada", 5, 9, "hands-on")]),
    _batch("Ab2", "nut base/spread", "2/2", "2-3 tray", (10, 13), _BENCH, [("Ada", 10, 13, "hands-on")]),
    _batch(
        "Ac1",
        "nut base/bake",
        "1/2",
        "0-2 tray",
        (16, 31),
        _oven(2, 180),
        [("Ada", 16, 18, "load"), ("Ada", 30, 31, "unload")],
    ),
    _batch(
        "Ac2",
        "nut base/bake",
        "2/2",
        "2-3 tray",
        (18, 33),
        _oven(1, 180),
        [("Ada", 18, 20, "load"), ("Ada", 32, 33, "unload")],
    ),
    _batch("Ad1", "nut base/cut", "1/2", "0-2 tray", (73, 77), hands=[("Bo", 73, 77, "hands-on")]),
    _batch("Ad2", "nut base/cut", "2/2", "2-3 tray", (77, 79), hands=[("Bo", 77, 79, "hands-on")]),
    _batch("Ba1", "cream/mix", "1/1", "0-1500 g", (16, 22), _bowl(3000, "cream"), [("Bo", 16, 22, "hands-on")]),
    _batch("Bb1.1", "cream/fold/1", "1/1", "0-1500 g", (22, 25), hands=[("Bo", 22, 25, "hands-on")]),
    _batch("Bb1.2", "cream/fold/2", "1/1", "0-1500 g", (30, 33), hands=[("Bo", 30, 33, "hands-on")]),
    _batch("Ca1", "slice/assemble", "1/2", "0-15 piece", (79, 83), hands=[("Ada", 79, 83, "hands-on")]),
    _batch("Ca2", "slice/assemble", "2/2", "15-30 piece", (83, 87), hands=[("Ada", 83, 87, "hands-on")]),
    _batch(
        "Cb1",
        "slice/toast",
        "1/2",
        "0-15 piece",
        (83, 88),
        _oven(2, 220, "fan"),
        [("Bo", 83, 84, "hands-on"), ("Bo", 87, 88, "hands-on")],
    ),
    _batch(
        "Cb2",
        "slice/toast",
        "2/2",
        "15-30 piece",
        (87, 92),
        _oven(2, 220, "fan"),
        [("Ada", 87, 88, "hands-on"), ("Bo", 91, 92, "hands-on")],
    ),
    _batch(
        "Da1",
        "cup/fill",
        "1/1",
        "0-10 piece",
        (40, 42),
        hands=[("Ada", 40, 42, "hands-on"), ("Bo", 40, 42, "hands-on")],
    ),
]

_STAYS = [
    _stay("cool", "nut base: Ac1 > Ad1", 0, (31, 43), (10, None), ("rack", 2)),
    _stay("freeze", "nut base: Ac1 > Ad1", 1, (43, 73), (30, 180), ("blast freezer", 2)),
    _stay("cool", "nut base: Ac2 > Ad2", 0, (33, 43), (10, None), ("rack", 1)),
    _stay("freeze", "nut base: Ac2 > Ad2", 1, (43, 77), (30, 180), ("blast freezer", 1)),
    _stay("rest", "cream: Bb1.1 > Bb1.2", 0, (25, 30), (5, 180)),
    _stay("rest", "cream: Bb1.2 > Ca1", 0, (33, 79), (5, 180)),
    _stay("rest", "cream: Bb1.2 > Ca2", 0, (33, 83), (5, 180)),
    _stay("rest", "cream: Bb1.2 > Da1", 0, (33, 40), (5, 180)),
    _stay("set", "slice: Cb1", 0, (88, 108), (20, 60), ("blast freezer", 2)),
    _stay("set", "slice: Cb2", 0, (92, 112), (20, 60), ("blast freezer", 2)),
]


def _change(station: str, times: tuple[int, int], kind: str, before: str, after: str) -> dict[str, Any]:
    start, end = times
    return {
        "station": station,
        "start": _at(start),
        "end": _at(end),
        "kind": kind,
        "before": before,
        "after": after,
    }


def _station(name: str, kind: str, capacity: int, unit: str) -> dict[str, Any]:
    return {"name": name, "equipment": name, "kind": kind, "capacity": capacity, "unit": unit}


def _order(product: str, quantity: int, due: int | None, weight: int, ready: int, late: int, batches: list[str]) -> Any:
    return {
        "product": product,
        "quantity": quantity,
        "due": None if due is None else _at(due),
        "weight": weight,
        "ready": _at(ready),
        "late": late,
        "batches": batches,
    }


_PLAN: dict[str, Any] = {
    "name": SCENARIO["name"],
    "opens": OPENS,
    "closes": 16 * 60,
    "status": "feasible",
    "stations": [
        _station("deck oven", "oven", 4, "tray"),
        _station("mini oven", "oven", 1, "tray"),
        _station("planetary mixer", "mixer", 6000, "ml"),
        _station("blast freezer", "freezer", 6, "tray"),
        _station("rack", "rack", 8, "tray"),
        _station("bench", "bench", 2, "place"),
    ],
    "people": ["Ada", "Bo"],
    "amounts": [
        {"item": "nut base", "quantity": "3", "unit": "tray", "needed": "3", "recipes": "3/2"},
        {"item": "cream", "quantity": "1500", "unit": "g", "needed": "1500", "recipes": "3/2"},
        {"item": "slice", "quantity": "30", "unit": "piece", "needed": "30", "recipes": "30"},
        {"item": "cup", "quantity": "10", "unit": "piece", "needed": "10", "recipes": "10"},
    ],
    "batches": _BATCHES,
    "stays": _STAYS,
    "changes": [
        _change("deck oven", (0, 16), "heat", "20 C", "180 C"),
        _change("deck oven", (79, 83), "heat", "180 C", "220 C fan"),
        _change("planetary mixer", (10, 16), "wash", "nut foam", "cream"),
    ],
    "orders": [
        _order("slice", 18, 120, 1, 112, 0, ["Cb1", "Cb2"]),
        _order("slice", 12, 105, 2, 108, 3, ["Cb1"]),
        _order("cup", 10, None, 1, 42, 0, ["Da1"]),
    ],
    "tiers": [
        {"name": "lateness", "value": 6, "bound": 6, "proved": True},
        {"name": "makespan", "value": 112, "bound": 110, "proved": False},
        {"name": "tidiness", "value": 128, "bound": 128, "proved": True},
    ],
    "reasons": [{"minutes": 110, "because": "cooling, freezing and setting"}],
    "chain": [{"label": "Cb2", "why": "follows", "on": "assemble"}],
    "legend": [
        {"letters": "A", "item": "nut base", "steps": [["a", "whip"], ["b", "spread"], ["c", "bake"], ["d", "cut"]]},
        {"letters": "B", "item": "cream", "steps": [["a", "mix"], ["b", "fold"]]},
        {"letters": "C", "item": "slice", "steps": [["a", "assemble"], ["b", "toast"]]},
        {"letters": "D", "item": "cup", "steps": [["a", "fill"]]},
    ],
    "scenario": SCENARIO,
}
