"""One solve in a process of its own, so that its memory and its crashes are its own.

The parent calls :func:`solve_alone`; the process it starts runs this module's
:func:`main`, which reads what to do from its only argument and writes the answer as JSON
to the file named there.
"""

from __future__ import annotations

import importlib
import json
import os
import resource
import subprocess
import sys
import tempfile
import threading
from dataclasses import asdict
from pathlib import Path

from .answers import Answer, Limits, Outcome
from .claims import Known
from .collection import Entry, load

ROOT = Path(__file__).parents[2]
# The module of each solver; its ``solve`` takes an instance and limits.
SOLVERS = {"stationplan": ".to_problem", "textbook": ".textbook", "pyjobshop": ".peer_pyjobshop"}


def solve_alone(solver: str, entry: Entry, data: Path | None, limits: Limits, memory: float) -> tuple[Answer, float]:
    """Let a solver work on an instance in a process of its own.

    Args:
        solver: a key of ``SOLVERS``.
        entry: the instance.
        data: the folder of the public sets.
        limits: what the solver is told. A process that takes more than twice the seconds
            and a minute is killed.
        memory: GiB of address space beyond which the process gets no more.

    Returns:
        The answer, and the peak memory of the process in MiB.
    """
    with tempfile.TemporaryDirectory() as folder:
        answer_file, complaints = Path(folder, "answer.json"), Path(folder, "complaints.txt")
        task = {
            "solver": solver,
            "family": entry.family,
            "name": entry.name,
            "path": entry.path,
            "data": data and str(data.resolve()),
            "limits": asdict(limits),
            "memory": memory,
            "answer": str(answer_file),
        }
        command = [sys.executable, "-m", "tests.benchmark.one", json.dumps(task)]
        with complaints.open("wb") as stream:
            process = subprocess.Popen(command, cwd=ROOT, stdout=stream, stderr=stream)
        killer = threading.Timer(2 * limits.seconds + 60, process.kill)
        killer.start()
        try:
            # wait4 instead of Popen.wait: it says what this process used, even if it crashed.
            _, status, usage = os.wait4(process.pid, 0)
            process.returncode = os.waitstatus_to_exitcode(status)
        finally:
            killer.cancel()
            if process.returncode is None:
                process.kill()
                process.wait()
        mebibytes = usage.ru_maxrss / 1024
        if answer_file.is_file():
            return Answer.from_data(json.loads(answer_file.read_text(encoding="utf-8"))), mebibytes
        lines = complaints.read_text(encoding="utf-8", errors="replace").split("\n")
        last = next((line for line in reversed(lines) if line.strip()), "")
        return Answer(Outcome.FAILED, note=f"ended with {process.returncode}: {last}"), mebibytes


def main() -> None:
    """Do what the only argument says."""
    task = json.loads(sys.argv[1])
    most = int(task["memory"] * 2**30)
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    data = task["data"] and Path(task["data"])
    instance = load(Entry(task["family"], task["name"], Known(), task["path"]), data)
    solver = importlib.import_module(SOLVERS[task["solver"]], __package__)
    answer: Answer = solver.solve(instance, Limits(**task["limits"]))
    # Whole or not at all: a process that is killed while it writes has not answered.
    unfinished = Path(task["answer"] + ".part")
    unfinished.write_text(json.dumps(answer.as_data()), encoding="utf-8")
    unfinished.rename(task["answer"])


if __name__ == "__main__":
    main()
