"""From the timelines of one wave to a checked plan of all candidates."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Literal

from stationplan.engine.assessing import assessed
from stationplan.engine.problem import Assignment, Schedule
from stationplan.network import build
from stationplan.network.network import Crew, MoveTask
from stationplan.plan.document import Examinee, ExamPart, Least
from stationplan.plan.exam.fairness import offsets_of
from stationplan.plan.exam.kitchen import Place, as_plain, minutes_of, named_for, one_kitchen
from stationplan.plan.produce import write_down
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.plan.document import Advice, Plan, Stopped
    from stationplan.plan.exam.copies import Timeline
    from stationplan.plan.exam.fairness import Found, Wave
    from stationplan.plan.exam.sitting import Sitting
    from stationplan.plan.exam.waves import Arrangement
    from stationplan.scenario.models import Scenario


def compose(
    scenario: Scenario,
    raw: dict[str, Any],
    sitting: Sitting,
    arrangement: Arrangement,
    points: int,
    seed: int,
    advice: tuple[Advice, ...] = (),
    stopped: Stopped | None = None,
) -> Plan:
    """Write down what everybody does.

    Args:
        scenario: the scenario with the exam.
        raw: the same as plain data, carried in the plan.
        sitting: one candidate's problem.
        arrangement: waves and timelines.
        points: fewest points that late dishes cost one candidate.
        seed: the seed of the search.
        advice: what would make it shorter.
        stopped: what ended the search before all was looked into.

    Returns:
        A plan of the exam as one kitchen, which has passed the independent check.

    Raises:
        CheckFailedError: the plan contradicts its scenario: an error of this package.
    """
    kitchen, network, schedule, examinees = lay_out(scenario, sitting, arrangement)
    wave = arrangement.wave
    result = assessed(network.problem, schedule)
    lost = result.tiers[0].value
    part = ExamPart(
        scenario=raw,
        candidates=tuple(examinees),
        every=_least(wave.every),
        differ=_least(wave.differ),
        timeline=_least(wave.length),
        points=Least(value=lost, bound=min(lost, points * len(examinees))),
        waves=_least(arrangement.number),
        unproved=_unproved(sitting, wave, arrangement.number.value),
        advice=advice,
        stopped=stopped,
    )
    return write_down(network, result, as_plain(kitchen), seed, part)


def lay_out(
    scenario: Scenario, sitting: Sitting, arrangement: Arrangement
) -> tuple[Scenario, Network, Schedule, list[Examinee]]:
    """Give everybody their times, and move the timelines there.

    Args:
        scenario: the scenario with the exam.
        sitting: one candidate's problem.
        arrangement: waves and timelines.

    Returns:
        The exam as one kitchen, its problem, what everybody does in it, and when they come and go.
    """
    exam = scenario.exam
    assert exam is not None
    set_up, allowed, clean_down = minutes_of(exam)
    members = [
        (number, begin + offset)
        for number, (session, begin) in enumerate(zip(arrangement.deal, arrangement.begins, strict=True))
        for offset in offsets_of(session.size, exam.at_a_time, arrangement.wave.every.value)
    ]
    examinees = []
    for name, (number, begins) in zip(exam.candidates, members, strict=True):
        cooks = begins + set_up
        stops = cooks + allowed + arrangement.spare
        examinees.append(
            Examinee(name=name, wave=number + 1, begins=begins, cooks=cooks, stops=stops, leaves=stops + clean_down)
        )
    last_day = max(examinee.leaves - 1 for examinee in examinees) // MINUTES_PER_DAY
    closes = max(scenario.shift.closes, scenario.shift.closes % MINUTES_PER_DAY + last_day * MINUTES_PER_DAY)
    places = [Place(examinee.name, examinee.cooks) for examinee in examinees]
    kitchen = one_kitchen(scenario, places, closes, arrangement.spare)
    network = build(kitchen, sitting.network.durations)
    schedule = _Writer(sitting, network, [examinee.name for examinee in examinees]).schedule(arrangement.lines)
    return kitchen, network, schedule, examinees


def _unproved(sitting: Sitting, wave: Wave, waves: int) -> Literal["helpers", "late", "stands", "waves"] | None:
    """Why no timeline was ruled out, if none was."""
    if wave.length.bound:
        return None
    if sitting.helped:
        return "helpers"
    if any(dish.latest > dish.closing for dish in sitting.hand_ins):
        return "late"
    if sitting.narrowed:
        return "stands"
    return "waves" if waves > 1 else None


def _least(found: Found) -> Least:
    return Least(value=found.value, bound=found.bound)


class _Writer:
    """Puts the candidates' timelines into the problem of all of them.

    Whatever belongs to one candidate stands there in the order of the one-candidate problem.
    """

    def __init__(self, sitting: Sitting, network: Network, names: list[str]) -> None:
        self.sitting = sitting
        self.network = network
        self.names = names
        owner = {
            amount.item: number
            for number, name in enumerate(names)
            for amount in network.amounts
            if amount.item.endswith(f" of {name}")
        }
        self.tasks: list[list[int]] = [[] for _ in names]
        for task, meaning in enumerate(network.tasks):
            item = network.lots[meaning.lot].item if isinstance(meaning, MoveTask) else meaning.item
            self.tasks[owner[item]].append(task)
        lots: list[list[int]] = [[] for _ in names]
        for position, lot in enumerate(network.lots):
            lots[owner[lot.item]].append(position)
        self.holds = [self._holds(numbers) for numbers in lots]

    def schedule(self, lines: tuple[Timeline, ...]) -> Schedule:
        """The schedule of all.

        Args:
            lines: each candidate's timeline.
        """
        tasks: dict[int, Assignment] = {}
        holds: dict[int, int] = {}
        pattern = self.sitting.network.problem
        for number, line in enumerate(lines):
            renamed = self._resources(number)
            for task, mine in zip(self.tasks[number], line, strict=True):
                resources = tuple(renamed[index] for index in mine.resources)
                tasks[task] = replace(mine, resources=resources)
            for hold, mine_hold in zip(pattern.holds, self.holds[number], strict=True):
                holds[mine_hold] = renamed[hold.resources[0]]
        return Schedule(
            tuple(tasks[task] for task in range(len(tasks))), tuple(holds[hold] for hold in range(len(holds)))
        )

    def _holds(self, lots: list[int]) -> list[int]:
        """The problem's holds of one candidate, in the order of the pattern's."""
        found = {}
        for lot, pattern in zip(lots, self.sitting.network.lots, strict=True):
            for mine, theirs in zip(self.network.lots[lot].holds, pattern.holds, strict=True):
                if mine is not None and theirs is not None:
                    found[theirs] = mine
        return [found[hold] for hold in sorted(found)]

    def _resources(self, number: int) -> list[int]:
        """What each of the pattern's resources is for a candidate."""
        first, name = self.names[0], self.names[number]
        where = {group.names: index for index, group in enumerate(self.network.resources)}
        found = []
        for group, shared in zip(self.sitting.network.resources, self.sitting.shared, strict=True):
            names = group.names
            if not shared and isinstance(group, Crew):
                names = (name,)
            elif not shared:
                names = tuple(_renamed(station, first, name) for station in names)
            found.append(where[names])
        return found


def _renamed(station: str, first: str, name: str) -> str:
    """A station of the first candidate, as another one's: 'mixer of Ada 2' with its number kept."""
    begin, _, number = station.rpartition(f" of {first}")
    return named_for(begin, name) + number
