"""What may go wrong: batches that fail and are made again, machines that stop and go on."""

from __future__ import annotations

import re
from dataclasses import dataclass

from stationplan.live.errors import MishapError
from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import parse_duration, parse_span

_FAILURE = re.compile(r"\s*(?P<step>.+?)\s*:\s*(?P<share>\d+(\.\d+)?)\s*%?\s*")
_STOPPAGE = re.compile(r"\s*(?P<equipment>.+?)\s*:\s*(?P<length>.+?)\s+every\s+(?P<every>.+?)\s*")
_MOST = 90.0


@dataclass(frozen=True, slots=True)
class Failure:
    """A share of the batches of a step, by its name, fails and is made again at once."""

    step: str
    share: float


@dataclass(frozen=True, slots=True)
class Stoppage:
    """Equipment, by its name or kind, stops once in ``every`` minutes of work on average, for ``least`` to ``most``."""

    equipment: str
    every: float
    least: float
    most: float


def parse_failure(text: str) -> Failure:
    """Read a failure.

    Args:
        text: such as ``bake shells: 2 %``.

    Raises:
        MishapError: when it is something else.
    """
    match = _FAILURE.fullmatch(text)
    if match is None:
        raise MishapError(f"'{text}' does not say what fails how often; write the step and a share: bake shells: 2 %")
    share = float(match["share"])
    if not 0 < share <= _MOST:
        raise MishapError(f"'{text}': a share above 0 and up to {_MOST:g} % is possible")
    return Failure(match["step"], share / 100)


def parse_stoppage(text: str) -> Stoppage:
    """Read a stoppage.

    Args:
        text: such as ``deck oven: 10..20 min every 8 h``.

    Raises:
        MishapError: when it is something else.
    """
    match = _STOPPAGE.fullmatch(text)
    if match is None:
        raise MishapError(
            f"'{text}' does not say what stops, for how long and how often; "
            "write the equipment and two times: deck oven: 10..20 min every 8 h"
        )
    try:
        length, every = parse_span(match["length"]), parse_duration(match["every"])
    except UnitError as error:
        raise MishapError(f"'{text}': {error}") from error
    if every < 1 or not length.most:
        raise MishapError(f"'{text}': it must stop for some time, and no more often than every minute")
    return Stoppage(match["equipment"], float(every), float(length.least), float(length.most))
