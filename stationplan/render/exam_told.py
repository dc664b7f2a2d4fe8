"""What the sheets of a practical exam look up in its plan."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor
from typing import TYPE_CHECKING

from stationplan.scenario.exam import Exam

if TYPE_CHECKING:
    from stationplan.plan.document import Batch, Examinee, ExamPart, Hand, Plan, Seat


@dataclass(frozen=True)
class Told:
    """A plan of an exam with what its sheets look up: the exam, and who each dish, batch and machine belongs to."""

    plan: Plan
    part: ExamPart
    exam: Exam

    def base(self, name: str) -> tuple[str, str | None]:
        """A name without the candidate behind it, and the candidate, None for what is shared."""
        for examinee in self.part.candidates:
            if name.endswith(f" of {examinee.name}"):
                return name.removesuffix(f" of {examinee.name}"), examinee.name
        return name, None

    def shared(self, seat: Seat) -> bool:
        """Whether a seat is on equipment that all share."""
        equipment = next(station.equipment for station in self.plan.stations if station.name == seat.station)
        return self.base(equipment)[1] is None

    def helping(self, batch: Batch) -> tuple[Hand, ...]:
        """What helpers do at a batch."""
        candidates = {examinee.name for examinee in self.part.candidates}
        return tuple(hand for hand in batch.hands if hand.person not in candidates)


def told(plan: Plan) -> Told:
    """Look up what the sheets need.

    Args:
        plan: a plan of an exam.
    """
    assert plan.exam is not None
    return Told(plan, plan.exam, Exam.model_validate(plan.exam.scenario["exam"]))


def opens_and_closes(exam: Told, one: Examinee, number: int) -> tuple[int, int]:
    """When the hand-in of a candidate's dish opens and closes, minutes since midnight of the first day.

    Args:
        exam: the exam.
        one: the candidate.
        number: the place of the dish on the menu.
    """
    window = exam.exam.menu[number].hand_in
    if window is None:
        return one.cooks, one.stops
    return one.cooks + ceil(window.least), one.cooks + floor(window.most)


def late_by(exam: Told, one: Examinee, number: int) -> tuple[int, int]:
    """When a candidate's dish is ready by plan, and how many minutes that is after the end of its window.

    Args:
        exam: the exam.
        one: the candidate.
        number: the place of the dish on the menu.
    """
    closing = opens_and_closes(exam, one, number)[1]
    if exam.exam.menu[number].hand_in is None:
        return closing, 0
    name = f"{exam.exam.menu[number].product} of {one.name}"
    ready = max((order.ready for order in exam.plan.orders if order.product == name), default=closing)
    return ready, max(0, ready - closing)
