"""What the check reports: kinds of fault and a sentence for the cook."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

MINUTES_PER_DAY = 24 * 60


class FaultKind(StrEnum):
    """What is wrong, one name for each rule a plan can break."""

    SCENARIO_UNCLEAR = "scenario unclear"

    HEADER_DIFFERS = "header differs"
    STATION_LIST_DIFFERS = "station list differs"
    PEOPLE_LIST_DIFFERS = "people list differs"

    AMOUNT_MISSING = "amount missing"
    AMOUNT_UNKNOWN = "amount unknown"
    AMOUNT_TOO_SMALL = "amount too small"
    AMOUNT_SURPLUS = "amount surplus"
    AMOUNT_FIGURES = "amount figures"

    BATCH_UNKNOWN = "batch unknown"
    BATCH_MISSING = "batch missing"
    BATCH_TWICE = "batch twice"
    BATCH_NUMBER = "batch number"
    BATCH_COUNT = "batch count"
    BATCH_RANGE = "batch range"
    BATCH_UNEVEN = "batch uneven"
    BATCH_TOO_LARGE = "batch too large"
    BATCH_SEQUENCE = "batch sequence"
    OUTSIDE_SHIFT = "outside shift"
    GOODS_MISSING = "goods missing"
    STOCK_DIFFERS = "stock differs"
    STOCK_TOO_OLD = "stock too old"

    STATION_UNKNOWN = "station unknown"
    STATION_WRONG = "station wrong"
    SEAT_MISSING = "seat missing"
    SEAT_EXTRA = "seat extra"
    SEAT_TIME = "seat time"
    SEAT_AMOUNT = "seat amount"
    SETTING_WRONG = "setting wrong"
    SETTING_OUT_OF_RANGE = "setting out of range"
    HOLDING_WRONG = "holding wrong"
    DOES_NOT_FIT = "does not fit"
    LEAST_FILL_MISSED = "least fill missed"
    DURATION_WRONG = "duration wrong"

    OVER_CAPACITY = "over capacity"
    OUT_OF_USE = "out of use"
    OVEN_TWO_SETTINGS = "oven at two settings"
    OVEN_CHANGE_TOO_SHORT = "oven change too short"
    OVEN_COLD = "oven cold"
    BOWL_TAKEN = "bowl taken"
    WASH_TOO_SHORT = "wash too short"
    CHANGE_MISSING = "change missing"
    CHANGE_EXTRA = "change extra"
    CHANGE_TOO_SHORT = "change too short"
    CHANGE_OUTSIDE_GAP = "change outside gap"

    PERSON_UNKNOWN = "person unknown"
    HANDS_MISSING = "hands missing"
    HANDS_EXTRA = "hands extra"
    UNSKILLED = "unskilled"
    OUTSIDE_HOURS = "outside hours"
    OVER_BREAK = "over break"
    PERSON_TWICE = "person twice"

    WAIT_TOO_SHORT = "wait too short"
    WAIT_TOO_LONG = "wait too long"
    PAST_SHELF_LIFE = "past shelf life"
    STAY_MISSING = "stay missing"
    STAY_EXTRA = "stay extra"
    STAY_TIME = "stay time"
    STAY_LIMITS = "stay limits"
    STAY_PLACE = "stay place"
    STAY_AMOUNT = "stay amount"
    STAY_SEQUENCE = "stay sequence"

    ORDER_MISSING = "order missing"
    ORDER_DUE = "order due"
    ORDER_UNKNOWN = "order unknown"
    ORDER_READY = "order ready"
    ORDER_LATE = "order late"
    ORDER_BATCHES = "order batches"

    TIER_MISSING = "tier missing"
    TIER_VALUE = "tier value"
    BOUND_ABOVE_VALUE = "bound above value"
    PROVED_WRONG = "proved wrong"
    STATUS_WRONG = "status wrong"

    LABEL_TWICE = "label twice"
    LABEL_WRONG = "label wrong"
    LEGEND_WRONG = "legend wrong"
    CHAIN_UNKNOWN = "chain unknown"

    PAST_DIFFERS = "past differs"
    BEFORE_NOW = "before now"

    EXAM_UNCLEAR = "exam unclear"
    EXAM_CANDIDATES = "exam candidates"
    EXAM_KITCHEN = "exam kitchen"
    EXAM_TIMES = "exam times"
    EXAM_STARTS = "exam starts"
    EXAM_WAVES = "exam waves"
    EXAM_DIFFERS = "exam differs"
    EXAM_HAND_IN = "exam hand-in"
    EXAM_CLAIM = "exam claim"


@dataclass(frozen=True, slots=True)
class Fault:
    """One rule that a plan breaks.

    Attributes:
        kind: the rule.
        sentence: what is wrong, in the kitchen's words, times as clock times.
        labels: labels of the batches concerned.
    """

    kind: FaultKind
    sentence: str
    labels: tuple[str, ...] = ()


class UnclearScenarioError(ValueError):
    """The scenario itself cannot be given a meaning, so no plan can be checked against it."""


def clock(minutes: int) -> str:
    """A time of day such as ``09:40``, with the day from the second on.

    Args:
        minutes: minutes since midnight of the first day.

    Returns:
        ``HH:MM`` or ``day 2 HH:MM``.
    """
    day, rest = divmod(minutes, MINUTES_PER_DAY)
    text = f"{rest // 60:02}:{rest % 60:02}"
    return text if day == 0 else f"day {day + 1} {text}"
