"""A shift that runs at random: drawn, played, checked after each step, and cut down to the steps that break it."""

from __future__ import annotations

import shutil
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import reduce
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Any

from stationplan.live.effective import effective
from stationplan.live.errors import EventError
from stationplan.live.events import Recorded, Undo
from stationplan.live.moment import Moment, moment_of
from stationplan.live.record import Log, add_event, add_plan, create, read
from stationplan.live.recording import understood
from stationplan.live.replanning import proposal
from stationplan.live.report import report_of
from stationplan.live.standing import as_it_stands
from stationplan.live.state import Absence, Outage, ShiftState, apply, orders_of, slow_in
from stationplan.network import build
from stationplan.network.errors import NetworkError
from stationplan.network.network import BatchTask
from stationplan.plan.check import check_plan
from stationplan.plan.document import Plan
from stationplan.plan.errors import ImpossibleError, NothingFoundError
from stationplan.plan.produce import Effort, produce
from stationplan.plan.rebuilding import network_of
from stationplan.render.shift import status_page
from stationplan.scenario import from_plain
from stationplan.scenario.units import format_clock

from .any_kitchen import any_kitchen
from .conftest import DAY, MOMENT
from .drawn_moves import PLANNING, moves
from .ledger import faults, ledger_of

Move = tuple[int, str]
"""The minute, and what is typed; with a word of ``PLANNING`` the rest is planned anew."""
NO_SEARCH = Effort(effort=0)
FIRST = Effort(effort=0.02, seed=1)
LITTLE = Effort(effort=0.02, seed=1)
MORE = Effort(effort=3, seed=1)


@dataclass
class AnyShift:
    """A shift that is recorded in a file, and beside it in memory."""

    raw: dict[str, Any]
    first: Plan
    path: Path
    state: ShiftState = field(init=False)
    told: list[Recorded] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    seen: Counter[str] = field(default_factory=Counter)

    def __post_init__(self) -> None:
        create(self.path, self.first, DAY, MOMENT)
        self.state = self._folded()

    def do(self, move: Move) -> None:
        """One step, and everything that must hold after it."""
        now, words = move
        if words in PLANNING:
            self._replan(now, accepted=words != "replan", limits=LITTLE if words == "search" else NO_SEARCH)
        else:
            self._record(now, words)
        log = read(self.path)
        assert log.events == tuple(self.told)
        assert log.state == self.state
        gone: Absence | Outage
        for gone in (*self.state.absences, *self.state.outages):
            assert gone.until is None or gone.start < gone.until
            assert gone.ended is None or gone.start <= gone.ended
        self._look(log, now)

    def end(self) -> None:
        """What a report makes of it; and every refusal was a sentence."""
        report_of([read(self.path)])
        assert all(why and "\n" not in why for why in self.refused)

    def _folded(self) -> ShiftState:
        """The state, folded anew without the help of :func:`fold`."""
        undone = {entry.event.number for entry in self.told if isinstance(entry.event, Undo)}
        begin = replace(
            ShiftState(self.first) if not hasattr(self, "state") else ShiftState(self.state.plan, self.state.known),
            orders=orders_of(self.first.scenario),
            slow=slow_in(self.first.scenario),
        )
        state = reduce(apply, [entry for entry in self.told if entry.number not in undone], begin)
        return replace(state, last=self.told[-1].number if self.told else 0)

    def _record(self, now: int, words: str) -> None:
        before = read(self.path)
        try:
            entry = add_event(self.path, lambda log: understood(log, [words], now=now, who="Ida"), MOMENT)
        except EventError as error:
            self.refused.append(str(error))
            assert read(self.path) == before
            return
        self.seen[entry.event.kind] += 1
        self.told.append(entry)
        if isinstance(entry.event, Undo):
            self.state = self._folded()
        else:
            self.state = replace(apply(self.state, entry), last=entry.number)

    def _replan(self, now: int, *, accepted: bool, limits: Effort) -> None:
        log = read(self.path)
        ledger = ledger_of(self.raw, self.told)
        try:
            plan = self._proposed(log, now, limits)
        except EventError:
            # Something runs in what is out of use.
            self.seen["not now"] += 1
            out = [name for name, *_, ended in ledger.out if not ended]
            on = [station for run in ledger.begun.values() if run.end is None for station in run.stations]
            assert any(station.startswith(name) for station in on for name in out)
            return
        except (ImpossibleError, NothingFoundError):
            self.seen["no plan"] += 1
            assert ledger.open_ended or _hopeless(effective(self.first.scenario, log.state, now))
            return
        self.seen["accepted" if accepted else "proposed"] += 1
        assert check_plan(plan) == ()
        assert plan.scenario == effective(self.first.scenario, log.state, now)
        done = {b.label for b in log.plan.past.began if b.outcome != "running"} if log.plan.past else set()
        before, after = ({b.label: b for b in one.batches if b.label in done} for one in (log.plan, plan))
        for label in done & ledger.begun.keys():
            if ledger.begun[label].end == before[label].end and ledger.begun[label].lost == before[label].lost:
                assert (after[label].seats, after[label].hands) == (before[label].seats, before[label].hands)
        wrong = list(faults(plan, self.raw, ledger, now))
        assert wrong == [], wrong
        ranges = {t.label: (str(t.first), str(t.last)) for t in network_of(plan).tasks if isinstance(t, BatchTask)}
        made = {batch.label: (batch.first, batch.last) for batch in plan.batches}
        assert ranges == made, (ranges, made)
        number = add_plan(self.path, plan, accepted=accepted, after=log.last, moment=MOMENT)
        if accepted:
            self.state = replace(self.state, plan=plan, known=number)
            self.state = self._folded()

    def _proposed(self, log: Log, now: int, limits: Effort) -> Plan:
        try:
            return proposal(log, now, limits).replanned.plan
        except NothingFoundError:
            return proposal(log, now, MORE).replanned.plan

    def _look(self, log: Log, now: int) -> None:
        moment = moment_of(log, now)
        as_it_stands(moment)
        assert status_page(moment, width=80)
        wrong = list(unlikely(moment, self.raw))
        assert wrong == [], wrong


def unlikely(moment: Moment, raw: dict[str, Any]) -> Iterator[str]:
    """What cannot come as it is expected."""
    now, runs = moment.now, moment.state.runs
    for label, outlook in moment.forecast.outlooks.items():
        run = runs.get(label)
        if run is not None:
            if outlook.start != run.start or (run.end is not None and outlook.end != run.end):
                yield f"{label} ran {run.start}-{run.end}, is shown {outlook.start}-{outlook.end}"
        elif outlook.start < max(now, outlook.batch.start):
            yield f"{label} is expected at {outlook.start}, it is {now}"
    yield from _out_of_order(moment, raw)


def _out_of_order(moment: Moment, raw: dict[str, Any]) -> Iterator[str]:
    """Batches expected to begin before what they take from the step before is there, by cumulated quantity."""
    outlooks = list(moment.forecast.outlooks.values())
    for name, item in {**raw["components"], **raw["products"]}.items():
        for before, after in pairwise(step["name"] for step in item["steps"] if "name" in step):
            givers = [o for o in outlooks if (o.batch.item, o.batch.step) == (name, before) and not o.batch.lost]
            reached, given = Fraction(0), []
            for giver in sorted(givers, key=lambda o: Fraction(o.batch.first)):
                size = Fraction(giver.batch.last) - Fraction(giver.batch.first)
                given.append((reached, reached + size, giver))
                reached += size
            for taker in outlooks:
                if (taker.batch.item, taker.batch.step) != (name, after) or taker.begun:
                    continue
                for first, last, giver in given:
                    shares = first < Fraction(taker.batch.last) and Fraction(taker.batch.first) < last
                    if shares and giver.end > taker.start and taker.standing != "blocked":
                        yield f"{taker.batch.label} is expected at {taker.start}, {giver.batch.label} ends {giver.end}"


def _hopeless(raw: dict[str, Any]) -> bool:
    """Whether a kitchen has no plan that can be found even if nothing has happened."""
    try:
        produce(build(from_plain(raw)), raw, MORE)
    except (NetworkError, ImpossibleError, NothingFoundError):
        return True
    return False


def first_plan(seed: int) -> tuple[dict[str, Any], Plan]:
    """A kitchen drawn at random, the first from a seed that can do what is ordered, and its plan."""
    chance = Random(seed)
    while True:
        raw = any_kitchen(chance)
        with suppress(NetworkError, ImpossibleError, NothingFoundError):
            return raw, produce(build(from_plain(raw)), raw, FIRST)


@dataclass
class Played:
    """A shift that was played: what was typed, what broke it, if anything, and what happened how often."""

    moves: list[Move]
    error: Exception | None
    seen: Counter[str]

    @property
    def told(self) -> str:
        """What was typed, with the time before it."""
        return "; ".join(f"{format_clock(now)} {words}" for now, words in self.moves)


def played(seed: int) -> Played:
    """A shift drawn at random and played."""
    return play(*first_plan(seed), _drawn_by(Random(seed)))


def play(raw: dict[str, Any], plan: Plan, drawn: Callable[[AnyShift], Iterator[Move]]) -> Played:
    """Play a shift until it is over or breaks."""
    folder = Path(tempfile.mkdtemp())
    shift = AnyShift(raw, plan, folder / "any.shift")
    played: list[Move] = []
    try:
        for move in drawn(shift):
            played.append(move)
            shift.do(move)
        shift.end()
    except Exception as error:
        return Played(played, error, shift.seen)
    finally:
        shutil.rmtree(folder)
    return Played(played, None, shift.seen)


def _drawn_by(chance: Random) -> Callable[[AnyShift], Iterator[Move]]:
    """Moves at increasing times, each drawn from what is recorded by then."""

    def draw(shift: AnyShift) -> Iterator[Move]:
        now = shift.first.opens
        for _ in range(chance.randint(3, 14)):
            now += chance.choice((0, 3, 7, 12, 25))
            for words in moves(chance, read(shift.path), now):
                yield now, words
        yield now, "accept"

    return draw


def cut_down(raw: dict[str, Any], plan: Plan, broken: Played) -> Played:
    """The same break with as few moves as can be found by leaving out one after the other."""
    known, place = broken, len(broken.moves)
    while place > 0:
        place -= 1
        left = [*known.moves[:place], *known.moves[place + 1 :]]
        again = play(raw, plan, lambda _, left=left: iter(left))  # type: ignore[misc]
        if again.error is not None and type(again.error) is type(known.error):
            known = again
            place = min(place, len(known.moves))
    return known
