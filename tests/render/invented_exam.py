"""An exam as a plan, invented and solved by nobody: two waves of two candidates, one oven and a warming cupboard."""

from __future__ import annotations

from typing import Any

from stationplan.plan.document import Advice, Batch, Change, Examinee, ExamPart, Hand, Least, Plan, Seat, Station

NAMES = ("Ida Brook", "Per Vale", "Una", "Zoë")
HOBS = [f"hob of {name}" for name in NAMES]
DAY = 24 * 60


def make_exam(*, differ: int = 0, late: int = 0) -> Plan:
    """The plan.

    Args:
        differ: minutes that the second of a wave waits longer for the oven.
        late: points that late dishes cost.
    """
    candidates, batches = [], []
    for number, name in enumerate(NAMES):
        wave, place = divmod(number, 2)
        begins = 480 + wave * DAY + (0 if differ else place * 20)
        cooks = begins + 15
        candidates.append(
            Examinee(name=name, wave=wave + 1, begins=begins, cooks=cooks, stops=cooks + 90, leaves=cooks + 100)
        )
        start = cooks + 30 + place * differ
        oven = Seat(station="deck oven", start=start, end=start + 20, amount=1, celsius=180.0, setting="fan")
        batches.append(_batch(number, "bake", start, start + 20, (oven,), name))
        batches.append(_batch(number, "plate", start + 30, start + 40, (), name))
    return Plan(
        name="Autumn practical",
        opens=480,
        closes=1020,
        status="feasible",
        stations=(
            Station(name="deck oven", equipment="deck oven", kind="oven", capacity=1, unit="tray"),
            *(Station(name=hob, equipment=hob, kind="hob", capacity=1, unit="place") for hob in HOBS),
        ),
        people=NAMES,
        amounts=(),
        batches=tuple(batches),
        stays=(),
        changes=tuple(
            Change(
                station="deck oven", start=505 + day, end=525 + day, kind="heat", before="20 C", after="180 C fan"
            )
            for day in (0, DAY)
        ),
        orders=(),
        tiers=(),
        reasons=(),
        chain=(),
        legend=(),
        scenario={},
        exam=ExamPart(
            candidates=tuple(candidates),
            every=Least(value=0 if differ else 20, bound=0 if differ else 15),
            differ=Least(value=differ, bound=min(differ, 10)),
            timeline=Least(value=70 + differ, bound=60),
            points=Least(value=late, bound=late),
            waves=Least(value=2, bound=1),
            advice=(Advice(change="one more deck oven, 2 in all", ends=600, every=0, differ=0, timeline=60, waves=1),),
            scenario={"exam": _exam(differ)},
        ),
    )  # fmt: skip


def _batch(number: int, step: str, start: int, end: int, seats: tuple[Seat, ...], name: str) -> Batch:
    return Batch(
        label=f"{'ABCD'[number]}{step[0]}1",
        item=f"heron tart of {name}",
        step=step,
        number=1,
        of=1,
        first="0",
        last="1",
        unit="tray",
        start=start,
        end=end,
        seats=seats,
        hands=(Hand(person=name, start=start, end=start + 1, doing="hands-on"),),
    )


def _exam(differ: int) -> dict[str, Any]:
    return {
        "candidates": list(NAMES),
        "own": ["hob"],
        "menu": [
            {"product": "heron tart", "quantity": 1, "hand_in": "70..80 min"},
            {"product": "moss cream", "quantity": 4, "hand_in": "90 min"},
        ],
        "set_up": "15 min",
        "time_allowed": "90 min",
        "clean_down": "10 min",
        "starts": "together" if differ else "as close as possible",
        "may_differ": f"{2 * differ} min",
        "early": {"points": 2},
        "late": {"tolerance": "1 min", "fails_after": "15 min"},
    }
