"""What can go wrong with a plan.

PlanError
├── ImpossibleError    the scenario has no plan
├── NothingFoundError  none was found within the limits
├── CheckFailedError   a plan contradicts its scenario (our fault)
└── PlanFileError      a file is not a plan that this version can read
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stationplan.plan.why import Against


class PlanError(Exception):
    """Anything the plan package raises on purpose."""


class ImpossibleError(PlanError):
    """No plan exists.

    Args:
        reasons: why, in the kitchen's words.
    """

    def __init__(self, reasons: tuple[Against, ...]) -> None:
        super().__init__("; ".join(reason.sentence for reason in reasons))
        self.reasons = reasons


class NothingFoundError(PlanError):
    """The limits ran out, or the user interrupted, before any plan was found.

    Args:
        interrupted: whether the user stopped the search.
    """

    def __init__(self, *, interrupted: bool) -> None:
        why = "the search was interrupted" if interrupted else "the time ran out"
        super().__init__(f"{why} before any plan was found; there may be one: give it longer (--time-limit)")
        self.interrupted = interrupted


class CheckFailedError(PlanError):
    """A plan contradicts its scenario.

    Args:
        faults: what the check found.
    """

    def __init__(self, faults: tuple[str, ...]) -> None:
        super().__init__("\n".join(faults))
        self.faults = faults


class PlanFileError(PlanError):
    """A file cannot be read as a plan."""
