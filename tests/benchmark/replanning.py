"""How long replanning takes, what it costs and how much it changes: every kind of event at half time of a banquet.

``python -m tests.benchmark.replanning`` makes the banquet of the scenarios in kitchens of several sizes, follows
the plan to half time, and replans after each event alone. Beside each plan stands one of the same rest that was made
from nothing with more effort. Every plan has passed the independent check. It prints a table and writes it as CSV.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Any

import click

from stationplan.live.effective import effective, expressed
from stationplan.live.events import Event
from stationplan.live.record import Log
from stationplan.live.recording import understood
from stationplan.live.replanning import Proposal, proposal
from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.errors import PlanError
from stationplan.plan.produce import Effort, produce
from stationplan.plan.so_far import so_far_of
from stationplan.scenario import from_plain, load

from ..cli.half_time import EVENTS, HalfTime, half_time
from .report import Table, as_text, write_csv

BANQUET = Path(__file__).parents[2] / "scenarios" / "banquet"
SEED = 1


def larger(raw: dict[str, Any], times: int) -> dict[str, Any]:
    """The same kitchen so many times over, and a dome of its own with its components for each."""
    grown = deepcopy(raw)
    kitchen = grown["kitchen"]
    for machine in kitchen["equipment"]:
        machine["count"] = machine.get("count", 1) * times
    for person in list(kitchen["people"]):
        kitchen["people"] += [{**person, "name": f"{person['name']} {number}"} for number in range(2, times + 1)]
    for number in range(2, times + 1):
        for items in ("components", "products"):
            for name, item in raw[items].items():
                copied = deepcopy(item)
                if "uses" in copied:
                    copied["uses"] = {f"{used} {number}": amount for used, amount in copied["uses"].items()}
                for step in copied["steps"]:
                    if "uses" in step:
                        step["uses"] = {f"{used} {number}": amount for used, amount in step["uses"].items()}
                grown[items][f"{name} {number}"] = copied
        grown["orders"] += [{**order, "product": f"{order['product']} {number}"} for order in raw["orders"]]
    return grown


@dataclass(frozen=True)
class First:
    """The first plan: when, in seconds of the processor and of the wall, its finish, and whether it is the old one."""

    processor: float
    wall: float
    finish: int
    kept: bool


def replanned(log: Log, now: int, limits: Effort) -> tuple[Proposal, First | None, float]:
    """The rest planned anew, the plan pushed later, and the seconds of the processor in all."""
    first: list[First] = []
    begun, wall = time.process_time(), time.perf_counter()

    def note(plan: Plan, kept: bool) -> None:
        first.append(First(time.process_time() - begun, time.perf_counter() - wall, plan.finish, kept))

    found = proposal(log, now, limits, on_first=note)
    return found, next(iter(first), None), time.process_time() - begun


def afresh(log: Log, now: int, limits: Effort) -> Plan:
    """A plan of the rest that owes nothing to the one in force."""
    scenario = expressed(log.first.scenario, log.state, now)
    so_far = so_far_of(log.plan, log.state.runs.values(), now, scenario)
    raw = effective(log.first.scenario, log.state, now)
    return produce(build(from_plain(raw), log.plan.durations, so_far), raw, limits)


def said(half: HalfTime, lines: Sequence[str]) -> Log:
    """The record at half time, and then what is typed."""
    events: list[Event] = []
    for line in lines:
        words = line.format(**half.names).split()
        events.append(understood(half.log(events), words, now=half.now, who="Ida"))
    return half.log(events)


def measured(half: HalfTime, kinds: Sequence[str], limits: Effort, other: Effort | None) -> Iterator[dict[str, Any]]:
    """A row for each event."""
    left = len(half.to_come)
    for kind in kinds:
        lines = EVENTS[kind]
        try:
            log = said(half, lines)
            found, first, seconds = replanned(log, half.now, limits)
        except PlanError as error:
            yield {"left": left, "event": kind, "note": str(error)[:60]}
            continue
        told, plan = found.replanned.differences, found.replanned.plan
        row = {
            "left": left,
            "event": kind,
            "first plan, processor s": None if first is None else round(first.processor, 2),
            "first plan, wall s": None if first is None else round(first.wall, 2),
            "in the old order": None if first is None else "yes" if first.kept else "no",
            "its finish": None if first is None else first.finish,
            "processor s in all": round(seconds, 1),
            "finish": plan.finish,
            "late": told.lateness[1],
            "moved": len(told.moved),
            "hands": len(told.hands_changed),
            "lifted": len(told.lifted),
        }
        if other is None:
            yield row
            continue
        try:
            best = afresh(log, half.now, other)
            gap = 100 * (plan.finish - best.finish) / (best.finish - half.now)
            row |= {
                "afresh": best.finish,
                "afresh late": sum(order.late for order in best.orders),
                "gap %": round(gap, 1),
            }
        except PlanError as error:
            row["note"] = f"afresh: {error}"[:60]
        yield row


def whole_process(half: HalfTime) -> dict[str, Any]:
    """A row for the command itself, from its start to the line that tells of the first plan; then it is ended."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "day.shift"
        half.write(path)
        command = [sys.executable, "-m", "stationplan", "shift", "replan", str(path), "--now", half.clock]
        begun = time.perf_counter()
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
        assert process.stderr is not None
        line = process.stderr.readline()
        wall = time.perf_counter() - begun
        process.kill()
        _, _, used = os.wait4(process.pid, 0)
        assert "looking for a better one" in line, line
    return {
        "left": len(half.to_come),
        "event": "a whole process",
        "first plan, processor s": round(used.ru_utime + used.ru_stime, 2),
        "first plan, wall s": round(wall, 2),
    }


def summary(rows: Table) -> Table:
    """A row for each size: medians and worst of all events."""
    found: Table = []
    for left in dict.fromkeys(row["left"] for row in rows):
        mine = [one for one in rows if one["left"] == left and one["event"] in EVENTS]
        row: dict[str, Any] = {"left": left}
        for column in ("first plan, processor s", "gap %", "moved", "hands"):
            values = [one[column] for one in mine if one.get(column) is not None]
            row |= {f"{column}, median": round(median(values), 2), f"{column}, worst": max(values)} if values else {}  # type: ignore[type-var]
        row["events"] = len(mine)
        row["in the old order"] = sum(one.get("in the old order") == "yes" for one in mine)
        row["no plan"] = sum("finish" not in one for one in mine)
        found.append(row)
    return found


@click.command()
@click.option("--times", multiple=True, type=click.IntRange(min=1), default=(1, 2, 5), show_default=True)
@click.option("--event", "kinds", multiple=True, type=click.Choice(list(EVENTS)), help="Repeatable; by default all.")
@click.option("--effort", default=5.0, show_default=True, help="Of the search while replanning.")
@click.option("--seconds", type=float, help="To search in while replanning, instead of effort.")
@click.option(
    "--afresh", "more", default=20.0, show_default=True, help="Effort, or seconds, of a plan from nothing; 0: none."
)
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Folder of the CSV files.")
def main(
    times: tuple[int, ...], kinds: tuple[str, ...], effort: float, seconds: float | None, more: float, out: Path | None
) -> None:
    """Replan kitchens of several sizes after every kind of event."""
    raw = load(BANQUET).raw
    if seconds is None:
        limits, other = Effort(effort=effort, seed=SEED), Effort(effort=more, seed=SEED)
    else:
        limits, other = Effort(time_limit=seconds, seed=SEED), Effort(time_limit=more, seed=SEED)
    rows: Table = []
    for count in times:
        grown = larger(raw, count)
        plan = produce(build(from_plain(grown)), grown, Effort(effort=5, seed=SEED, workers=1, gap=0.1))
        half = half_time(plan)
        rows.append(whole_process(half))
        for row in measured(half, kinds or tuple(EVENTS), limits, other if more else None):
            rows.append(row)
            click.echo(", ".join(f"{name}: {value}" for name, value in row.items()), err=True)
    folder = Path(tempfile.mkdtemp(prefix="replanning-")) if out is None else out
    folder.mkdir(parents=True, exist_ok=True)
    for name, table in (("events", rows), ("summary", summary(rows))):
        click.echo(as_text(table))
        write_csv(table, folder / f"{name}.csv")
    click.echo(f"CSV files in {folder}")


if __name__ == "__main__":
    main(prog_name="python -m tests.benchmark.replanning")
