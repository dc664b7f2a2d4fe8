"""Plans drawn at random: not feasible, but whole; a chart must cope with whatever a plan may hold."""

from __future__ import annotations

from hypothesis import strategies as st

from stationplan.plan.document import (
    Amount,
    Batch,
    ChainLink,
    Change,
    Delivered,
    Hand,
    Legend,
    Plan,
    Seat,
    Station,
    Stay,
    Tier,
)

NAMES = ("oven 1", "grand four à sole numéro 12", "Kühlhaus", "冷蔵庫 2", "mixer\x1b[31m", "x" * 40, "rack", "hob")
PEOPLE = ("Ines", "Zoé", "Bartholomäus der Ältere", "李")
STEPS = ("bake", "fold\nand spread", "crème", "temper until it is just right", "x")


@st.composite
def plans(draw: st.DrawFn, longest: int = 2000) -> Plan:
    """Up to 30 batches of up to four items, on up to eight stations, over up to a day and a half."""
    kinds = ("oven", "mixer", "freezer", "rack", "hob", "bench", "prover", "tool")
    stations = [
        Station(name=name, equipment=name, kind=kinds[at], capacity=4, unit="tray")  # type: ignore[arg-type]
        for at, name in enumerate(NAMES[: draw(st.integers(1, len(NAMES)))])
    ]
    people = PEOPLE[: draw(st.integers(1, len(PEOPLE)))]
    items = [f"item {letter}" for letter in "ABCD"[: draw(st.integers(1, 4))]]
    batches: list[Batch] = []
    for number in range(1, draw(st.integers(1, 30)) + 1):
        at = draw(st.integers(0, len(items) - 1))
        start = draw(st.integers(300, longest))
        end = start + draw(st.integers(0, 90))
        station = draw(st.sampled_from(stations))
        celsius = draw(st.sampled_from((160.0, 180.0))) if station.kind in ("oven", "prover") else None
        seat = Seat(station=station.name, start=start, end=end, amount=1, celsius=celsius)
        hand = Hand(
            person=draw(st.sampled_from(people)),
            start=start,
            end=max(start, end - draw(st.integers(0, 5))),
            doing=draw(st.sampled_from(("hands-on", "load", "unload"))),
        )
        seats = (seat,) if draw(st.booleans()) else ()
        hands = (hand,) if draw(st.booleans()) else ()
        round_ = draw(st.sampled_from((1, 1, 2)))
        label = f"{'ABCD'[at]}{'abc'[number % 3]}{number}" + (f".{round_}" if round_ > 1 else "")
        batches.append(
            Batch(
                label=label,
                item=items[at],
                step=draw(st.sampled_from(STEPS)),
                round=round_,
                number=number,
                of=30,
                first=str(number - 1),
                last=str(number),
                unit="tray",
                start=start,
                end=end,
                seats=seats,
                hands=hands,
            )
        )
    stays = []
    for batch in batches[: draw(st.integers(0, len(batches)))]:
        least = draw(st.integers(0, 600))
        place = draw(st.sampled_from([None, *(s.name for s in stations if s.kind in ("freezer", "rack"))]))
        stays.append(
            Stay(
                name=draw(st.sampled_from(("", "freeze", "rest a while"))),
                item=batch.item,
                before=batch.label,
                after=draw(st.sampled_from([None, batches[-1].label])),
                start=batch.end,
                end=batch.end + least,
                least=least,
                most=None,
                station=place,
                amount=1,
            )
        )
    changes = []
    for batch in batches:
        for seat in batch.seats:
            kind = next(s.kind for s in stations if s.name == seat.station)
            if kind in ("oven", "mixer") and draw(st.booleans()):
                begin = max(0, seat.start - draw(st.integers(1, 30)))
                doing = draw(st.sampled_from(("heat", "cool", "setting"))) if kind == "oven" else "wash"
                changes.append(
                    Change(station=seat.station, start=begin, end=seat.start, kind=doing, before="20 C", after="180 C")  # type: ignore[arg-type]
                )
    finish = max(b.end for b in batches)
    due = draw(st.one_of(st.none(), st.integers(300, longest)))
    order = Delivered(
        product=items[-1],
        quantity=12,
        due=due,
        weight=1,
        ready=finish,
        late=max(0, finish - (due or finish)),
        batches=(batches[-1].label,),
    )
    hours = [{"name": name, "hours": "05:00-13:00", "breaks": ["09:00-09:30"]} for name in people]
    return Plan(
        name="Sunday, très\tlong",
        opens=300,
        closes=1000,
        status="feasible",
        stations=tuple(stations),
        people=people,
        amounts=tuple(Amount(item=item, quantity="7/2", unit="tray", needed="3", recipes="2") for item in items),
        batches=tuple(batches),
        stays=tuple(stays),
        changes=tuple(changes),
        orders=(order,),
        tiers=(Tier(name="makespan", value=finish - 300, bound=finish - 300, proved=True),),
        reasons=(),
        chain=tuple(ChainLink(label=b.label, why="station", on="oven 1") for b in batches[::4]),
        legend=tuple(
            Legend(letters="ABCD"[at], item=item, steps=(("a", "bake"), ("b", "crème"), ("c", "x")))
            for at, item in enumerate(items)
        ),
        warnings=("Mind the crème: check your local rule.",),
        scenario={"kitchen": {"people": hours}},
    )
