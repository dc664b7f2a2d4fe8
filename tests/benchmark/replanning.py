"""How long replanning takes and how much it changes: at half time of a scenario, after several things have gone wrong.

Run it with a folder of a scenario: ``python -m tests.benchmark.replanning scenarios/banquet``. It prints numbers and
checks nothing, but that no plan leaves without passing the independent check. Seconds are of the processor.
"""

from __future__ import annotations

import sys
import time
from copy import deepcopy
from pathlib import Path
from typing import Any

from stationplan.live.replan import replan
from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.errors import PlanError
from stationplan.plan.produce import Effort, produce
from stationplan.plan.so_far import Recorded, so_far_of
from stationplan.scenario import from_plain, load

FIRST = Effort(effort=25, seed=1)
REPLAN = Effort(effort=5, seed=1)
AFRESH = Effort(effort=20, seed=1)


def busiest(plan: Plan) -> int:
    """The moment about half time at which most batches run."""
    middle = (plan.opens + plan.finish) // 2
    return max(range(middle - 30, middle + 30), key=lambda now: sum(b.start < now < b.end for b in plan.batches))


def recorded(plan: Plan, now: int, late: int, lost: int) -> list[Recorded]:
    """What is recorded by now: running batches end so much later, and of the last that ended so many are lost."""
    ended = sorted((batch for batch in plan.batches if batch.end <= now), key=lambda batch: batch.end)
    gone = {batch.label for batch in ended[len(ended) - lost :]}
    found = []
    for batch in plan.batches:
        if batch.start > now:
            continue
        outcome = "lost" if batch.label in gone else "done"
        if batch.end <= now:
            found.append(Recorded(batch.label, batch.start, batch.end, batch.end, outcome))  # type: ignore[arg-type]
        else:
            found.append(Recorded(batch.label, batch.start, None, batch.end + late, "running"))
    return found


def without_an_oven(raw: dict[str, Any], now: int) -> dict[str, Any]:
    """The first oven out of use from now on for an hour, one of its units if it has several."""
    changed = deepcopy(raw)
    oven = next(entry for entry in changed["kitchen"]["equipment"] if entry["kind"] == "oven")
    out: dict[str, Any] = {"between": f"{now // 60:02}:{now % 60:02}-{now // 60 + 1:02}:{now % 60:02}"}
    if oven.get("count", 1) > 1:
        out["unit"] = 1
    oven["out_of_use"] = [out]
    return changed


def main(folder: Path) -> None:
    """Print one line for each thing that may go wrong."""
    loaded = load(folder)
    plan = produce(build(loaded.scenario), loaded.raw, FIRST)
    now = busiest(plan)
    print(f"{folder.name}: {len(plan.batches)} batches, finish {plan.finish}, now {now}")
    print("what                 left  pushed: s finish late | accepted: s finish late moved hands new lifted | afresh")
    for what, late, lost, raw in (
        ("as planned", 0, 0, loaded.raw),
        ("running 15 min late", 15, 0, loaded.raw),
        ("the last two lost", 0, 2, loaded.raw),
        ("an oven out for 1 h", 0, 0, without_an_oven(loaded.raw, now)),
    ):
        so_far = so_far_of(plan, recorded(plan, now, late, lost), now, from_plain(raw))
        begun = time.process_time()
        pushed: list[tuple[float, int, int]] = []

        def note(found: Plan, begun: float = begun, pushed: list[tuple[float, int, int]] = pushed) -> None:
            pushed.append((time.process_time() - begun, found.finish, sum(order.late for order in found.orders)))

        try:
            found = replan(plan, raw, so_far, REPLAN, on_pushed=note)
        except PlanError as error:
            print(f"{what:20} {error}")
            continue
        seconds = time.process_time() - begun
        seen = "  ".join(f"{s:5.2f} {finish:5} {late:4}" for s, finish, late in pushed) or "none"
        d = found.differences
        try:
            afresh = produce(build(from_plain(raw), plan.durations, so_far), raw, AFRESH)
            best = f"{afresh.finish} {sum(order.late for order in afresh.orders)}"
        except PlanError:
            best = "none"
        counts = f"{len(d.moved):5} {len(d.hands_changed):5} {len(d.new):3} {len(d.lifted):6}"
        print(
            f"{what:20} {sum(b.start > now for b in plan.batches):4}        {seen} |"
            f" {seconds:11.1f} {d.finish[1]:6} {d.lateness[1]:4} {counts} | {best}",
            flush=True,
        )


if __name__ == "__main__":
    main(Path(sys.argv[1]))
