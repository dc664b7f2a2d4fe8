"""The process that plans the rest of a shift anew for a board, and says on its standard output what came of it."""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal


@dataclass(frozen=True)
class Work:
    """What is to be done.

    Attributes:
        shift: the record of the shift.
        now: minutes since midnight of its first day.
        seconds: to search for at most; None for no such limit.
        effort: units of work to search for; None for no such limit.
        accept: go by the plan if the one in force is broken, and record nothing otherwise; else propose it.
    """

    shift: str
    now: int
    seconds: float | None
    effort: float | None
    accept: bool


@dataclass(frozen=True)
class Outcome:
    """What came of it: a plan was recorded or was not needed (``done``), more was recorded meanwhile, or why not."""

    kind: Literal["done", "overtaken", "failed"]
    why: str = ""


def plan_anew(work: Work) -> Outcome:
    """Plan the rest of a shift anew, and record the plan.

    Args:
        work: what is to be done.

    Returns:
        What came of it; no error is raised.
    """
    from stationplan.live.errors import LiveError, OutdatedError
    from stationplan.live.record import add_plan, read
    from stationplan.live.replanning import impossible, proposal
    from stationplan.plan.errors import ImpossibleError, NothingFoundError
    from stationplan.plan.produce import Effort

    path = Path(work.shift)
    try:
        log = read(path)
        found = proposal(log, work.now, Effort(work.seconds, work.effort))
        if work.accept and not found.breaks:
            return Outcome("done")
        moment = datetime.now().astimezone().isoformat(timespec="seconds")
        add_plan(path, found.replanned.plan, accepted=work.accept, after=found.after, moment=moment)
    except ImpossibleError as error:
        return Outcome("failed", impossible(error, log.state, work.now))
    except OutdatedError as error:
        return Outcome("overtaken", str(error))
    except (LiveError, NothingFoundError, OSError) as error:
        return Outcome("failed", str(error))
    except Exception as error:
        return Outcome("failed", f"an error of this program: {error!r}")
    return Outcome("done")


if __name__ == "__main__":
    json.dump(asdict(plan_anew(Work(**json.loads(sys.argv[1])))), sys.stdout)
