"""What holds the invented kitchen up, and what changes to it would gain."""

from __future__ import annotations

from stationplan.plan.bottlenecks import Bottlenecks
from stationplan.plan.comparing import Answer, Comparison, Ending, Gain
from stationplan.plan.shares_of_chain import shares_of_chain
from stationplan.plan.smallest import Needed, Smallest
from stationplan.plan.trials import Known
from stationplan.plan.utilisation import first_slot, utilisation
from stationplan.plan.what_ifs import Choice
from stationplan.scenario.models import Scenario

from .invented_overview import OVERVIEW
from .invented_plans import make, scenario

PLAN = make()
LATE = make(2, 2)


def _answer(
    choice: Choice, sentence: str, known: Known | None, late: Gain | None = None, length: Gain | None = None
) -> Answer:
    return Answer(choice, sentence, (), Ending.PLANNED, known, late, length)


ANSWERS = (
    _answer(Choice.MORE_EQUIPMENT, "one more deck oven", Known(0, 540, 0, 540), Gain(0, 0, 0), Gain(22, 18, 30)),
    _answer(Choice.MORE_EQUIPMENT, "one more rack", Known(0, 562, 0, 562), Gain(0, 0, 0), Gain(0, 0, 0)),
    _answer(Choice.MORE_PEOPLE, "one more person like Zoé", Known(0, 500, 0, 500), Gain(0, 0, 0), Gain(62, 62, 62)),
    _answer(Choice.LARGER_OVEN, "deck ovens of 5 trays, not 4", Known(0, 562, 0, 540), Gain(0, 0, 0), Gain(0, -9, 22)),
    _answer(Choice.FEWER_EQUIPMENT, "one deck oven fewer", Known(35, 630, 0, 600), Gain(-35, -35, 0), Gain(-68)),
    _answer(Choice.FEWER_EQUIPMENT, "one planetary mixer fewer", Known(0, 562, 0, 540), Gain(0, 0, 0), Gain(0, -12, 0)),
    Answer(Choice.FEWER_PEOPLE, "without Ines", (), Ending.IMPOSSIBLE),
    Answer(Choice.FEWER_PEOPLE, "without Marc", (), Ending.NOT_FOUND),
    Answer(Choice.FEWER_PEOPLE, "without Zoé", (), Ending.INTERRUPTED),
)  # fmt: skip

_SCENARIO = Scenario.model_validate(
    {
        "name": "Saturday order",
        "shift": {"opens": "05:00", "closes": "17:30"},
        "kitchen": {"people": scenario()["kitchen"]["people"], "equipment": []},
        "products": {},
        "orders": [{"product": "pear entremet", "quantity": 1}],
    }
)

BOTTLENECKS = Bottlenecks(
    name="Saturday order",
    opens=PLAN.opens,
    closes=PLAN.closes,
    first_slot=first_slot(PLAN),
    utilisation=utilisation(PLAN, _SCENARIO),
    chain=shares_of_chain(PLAN),
    busy=OVERVIEW.busy,
    weighted=False,
    comparison=Comparison(Known(0, 565, 0, 540), Known(0, 562, 0, 540), ANSWERS),
)

IMPOSSIBLE = Bottlenecks(
    name="Saturday order",
    opens=PLAN.opens,
    closes=PLAN.closes,
    first_slot=PLAN.opens,
    utilisation=(),
    chain=(),
    busy=OVERVIEW.busy,
    weighted=False,
    comparison=Comparison(
        None,
        None,
        (
            Answer(Choice.MORE_EQUIPMENT, "one more rack", (), Ending.IMPOSSIBLE),
            _answer(Choice.MORE_EQUIPMENT, "one more deck oven", Known(0, 740, 0, 700)),
            _answer(Choice.LATER_CLOSE, "open as long as it takes", Known(90, 880, 20, 880)),
        ),
    ),
)

SMALLEST = Smallest(
    "Saturday order",
    Ending.PLANNED,
    (
        Needed("Ines and Marc", True, 2, 1, Ending.IMPOSSIBLE),
        Needed("Zoé", True, 1, 0, None),
        Needed("deck oven", False, 3, 1, Ending.NOT_FOUND),
        Needed("rack", False, 1, 0, None),
        Needed("blast freezer", False, 1, 1, Ending.IMPOSSIBLE),
    ),
    {},
)
