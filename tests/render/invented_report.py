"""A report on a shift that nobody worked: everything that a report can tell, once."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from stationplan.live.report import OrderRow, Report, ShiftReport, StationRow, StepRow
from stationplan.live.report_delays import Account, Cause
from stationplan.live.report_times import StepTimes, Timed
from stationplan.scenario.units import parse_step_time

_FINISH = Account(
    planned=700,
    actual=733,
    causes=(
        Cause("steps", 12, "Ac1", "Ac1 bake crème sponge took 32 min instead of 20 min"),
        Cause("room", -4, "Ac1", "the plan had left room after Ac1, before Ad1"),
        Cause("people", 15, "Ad1", "Odo, away until 10:30, kept Ad1"),
        Cause("failed", 13, "Ba1", "Ad2 failed, Ad3 was made for it"),
        Cause("not known", 2, "Bb4", "nothing recorded kept Bb4 glaze and put on boards from beginning"),
        Cause("steps", -5, "Bb4", "Bb4 glaze and put on boards took 10 min instead of 15 min"),
    ),
    chain=("Aa1", "Ab1", "Ac1", "Ad1", *(f"B{step}{number}" for step in "ab" for number in range(1, 5))),
)
_EARLY = Account(660, 655, (Cause("early", -5, "Ca1", "Ca1 dust began earlier than planned (10:40)"),), ("Ca1",))
_SHIFT = ShiftReport(
    name="Sunday in the annex",
    day=date(2026, 11, 29),
    batches=41,
    not_ended=(),
    lost=("Ad2",),
    planned_finish=700,
    finish=_FINISH,
    steps=(
        StepRow("crème sponge", "mix", 2, 2, 0, 24, 24),
        StepRow("crème sponge", "bake", 4, 4, 0, 80, 96),
        StepRow("crème sponge", "cut", 3, 2, 1, 20, 18),
        StepRow("cherry gateau with a mirror", "glaze and put on boards", 4, 4, 0, 60, 55),
    ),
    stations=(StationRow("deck oven 1", 4, 3, 0, 80, 70), StationRow("deck oven 2", 0, 1, 1, 0, 26)),
    orders=(
        OrderRow("cherry gateau with a mirror", 48, "portion", 720, 700, 733, _FINISH),
        OrderRow("dusted sponge", 24, "piece", 680, 660, 655, _EARLY),
        OrderRow("sponge for tomorrow", 12, "piece", None, None, 700, None),
        OrderRow("late cake", 2, "piece", 800, 690, None, None),
    ),
)


def _times(
    item: str,
    step: str,
    takes: str,
    runs: int,
    shares: tuple[Fraction, Fraction] | None,
    advice: str | None,
    on: str = "",
    hindered: int = 0,
) -> StepTimes:
    time = Timed(item, step, on, ("components", item, "steps", 0, "takes"), 4, {}, parse_step_time(takes), 0)
    median, ninth = (None, None) if shares is None else shares
    return StepTimes(time, runs, hindered, median, ninth, None if advice is None else parse_step_time(advice))


def _minutes(median: str, ninth: str) -> tuple[Fraction, Fraction]:
    return Fraction(median), Fraction(ninth)


_EVERY = (
    _times("crème sponge", "mix", "12 min", 6, _minutes("12", "12"), "12 min"),
    _times("crème sponge", "bake", "16..18 min", 8, _minutes("17", "18"), "17..18 min", on="convection oven"),
    _times("crème sponge", "bake", "20 min", 12, _minutes("43/2", "27"), "22..27 min", on="deck oven", hindered=3),
    _times("crème sponge", "cut", "5 min + 2 min per tray", 9, _minutes("4/5", "1"), "4..5 min + 96 s..2 min per tray"),
    _times(
        "cherry gateau with a mirror",
        "glaze and put on boards",
        "15 min per 12 portions",
        5,
        _minutes("2/3", "4/5"),
        "10..12 min per 12 portions",
    ),
    _times("cherry gateau with a mirror", "wrap", "1 min per portion", 4, _minutes("1", "3/2"), None),
    _times("cherry gateau with a mirror", "box", "3 min", 0, None, None, hindered=1),
)

ONE = Report((_SHIFT,), _EVERY)
_OTHER = replace(
    _SHIFT, day=date(2026, 11, 30), not_ended=tuple(f"Bb{n}" for n in range(1, 16)), lost=(), finish=None, orders=()
)
THREE = Report(
    (
        _SHIFT,
        _OTHER,
        replace(_OTHER, day=date(2026, 12, 1), not_ended=(), planned_finish=660, finish=_EARLY, steps=(), stations=()),
    ),
    (_EVERY[0], _EVERY[5]),
)
