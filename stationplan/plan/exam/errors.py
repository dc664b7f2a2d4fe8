"""What can go wrong with an exam."""

from __future__ import annotations

from stationplan.plan.errors import PlanError


class ExamImpossibleError(PlanError):
    """An exam cannot be held as it stands.

    Args:
        message: why, for an examiner.
        proved: whether that is proved; otherwise the search may have been too short.
    """

    def __init__(self, message: str, *, proved: bool) -> None:
        super().__init__(message)
        self.proved = proved
