"""A kitchen that exists nowhere, and what is made in it."""

from __future__ import annotations

from dataclasses import dataclass

from stationplan.plan.document import Station

OPENS, CLOSES = 300, 1050

STATIONS = (
    Station(name="deck oven 1", equipment="deck oven", kind="oven", capacity=4, unit="tray"),
    Station(name="deck oven 2", equipment="deck oven", kind="oven", capacity=4, unit="tray"),
    Station(name="planetary mixer 1", equipment="planetary mixer", kind="mixer", capacity=20000, unit="ml"),
    Station(name="planetary mixer 2", equipment="planetary mixer", kind="mixer", capacity=20000, unit="ml"),
    Station(name="hob", equipment="hob", kind="hob", capacity=2, unit="place"),
    Station(name="bench", equipment="bench", kind="bench", capacity=3, unit="place"),
    Station(name="cooling rack", equipment="cooling rack", kind="rack", capacity=40, unit="tray"),
    Station(name="blast freezer", equipment="blast freezer", kind="freezer", capacity=16, unit="tray"),
)

DAYS = 6
SHIFTS = {  # hours and break of each day
    "Ines": ((300, 810), (540, 570)),
    "Marc": ((300, 810), (570, 600)),
    "Zoé": ((420, 1050), (660, 690)),
}
AWAY = {
    name: [
        span
        for day in range(DAYS)
        for span in (
            (day * 1440, day * 1440 + a),
            (day * 1440 + c, day * 1440 + d),
            (day * 1440 + b, day * 1440 + 1440),
        )
    ]
    for name, ((a, b), (c, d)) in SHIFTS.items()
}


@dataclass(frozen=True)
class Stage:
    """A step of an invented item; `equipment` is a prefix of station names, times in minutes."""

    name: str
    takes: int
    equipment: str = ""
    room: int = 1
    people: bool = True
    load: int = 0
    unload: int = 0
    celsius: float | None = None
    setting: str = ""
    batches: int = 1
    wait: str = ""
    least: int = 0
    place: str = ""
    place_room: int = 0


@dataclass(frozen=True)
class Thing:
    name: str
    letters: str
    unit: str
    quantity: int
    stages: tuple[Stage, ...]
    takes_up: tuple[str, ...] = ()
    product: bool = False


def things(copies: int = 1, size: int = 1) -> tuple[Thing, ...]:
    """A sponge, an insert, a mousse and the entremet of them, and shortbreads, `copies` times over."""
    found: list[Thing] = []
    for copy in range(copies):
        extra = f" {copy + 1}" if copies > 1 else ""
        letters = [_letters(copy * 3 + k) for k in range(3)] + [_letters(copies * 3 + copy * 2 + k) for k in range(2)]
        sponge, insert, mousse = f"hazelnut sponge{extra}", f"pear insert{extra}", f"vanilla mousse{extra}"
        n = 2 * size
        found += [
            Thing(
                sponge,
                letters[0],
                "tray",
                8 * size,
                (
                    Stage("whip whites", 12, "planetary mixer", people=False, load=3, unload=2, batches=n),
                    Stage("fold and spread", 14, "bench", batches=n),
                    Stage("bake", 13, "deck oven", 2, False, 2, 2, 180, "", 2 * n, "cool", 20, "cooling rack", 2),
                    Stage("cut discs", 8, "bench", batches=n),
                ),
            ),
            Thing(
                insert,
                letters[1],
                "piece",
                120 * size,
                (
                    Stage("cook", 15, "hob", batches=n),
                    Stage(
                        "pour",
                        8,
                        batches=n,
                        wait="freeze",
                        least=120,
                        place="blast freezer",
                        place_room=4 if n <= 4 else 1,
                    ),
                ),
            ),
            Thing(
                mousse,
                letters[2],
                "g",
                5400 * size,
                (
                    Stage("whip cream", 6, "planetary mixer", people=False, load=2, unload=1, batches=n),
                    Stage("fold", 8, batches=n),
                ),
            ),
            Thing(
                f"pear entremet{extra}",
                letters[3],
                "piece",
                120 * size,
                (
                    Stage(
                        "assemble",
                        22,
                        "bench",
                        batches=n,
                        wait="set",
                        least=90,
                        place="blast freezer",
                        place_room=4 if n <= 4 else 1,
                    ),
                    Stage("glaze", 9, batches=n, wait="thaw", least=30),
                ),
                (sponge, insert, mousse),
                True,
            ),
            Thing(
                f"sablé Breton{extra}",
                letters[4],
                "tray",
                6 * size,
                (
                    Stage(
                        "mix", 9, "planetary mixer", people=False, load=2, unload=2, batches=size, wait="rest", least=30
                    ),
                    Stage("roll", 12, "bench", batches=size),
                    Stage("bake", 18, "deck oven", 2, False, 2, 2, 160, "fan", 2 * size),
                ),
                (),
                True,
            ),
        ]
    return tuple(sorted(found, key=lambda t: t.product))


def _letters(index: int) -> str:
    return chr(65 + index) if index < 26 else chr(64 + index // 26) + chr(65 + index % 26)
