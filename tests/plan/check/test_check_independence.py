"""The check shares no code with what makes plans."""

from __future__ import annotations

import subprocess
import sys

ALLOWED = ("stationplan.scenario", "stationplan.plan.check", "stationplan.plan.document")
PARENTS = {"stationplan", "stationplan.plan"}


def modules_after_importing_the_check() -> set[str]:
    program = "import sys; import stationplan.plan.check; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", program], check=True, capture_output=True, text=True)
    return set(done.stdout.split())


def test_the_check_imports_nothing_that_makes_plans() -> None:
    modules = modules_after_importing_the_check()

    ours = [name for name in modules if name.partition(".")[0] == "stationplan"]
    assert "stationplan.plan.check.waits" in ours
    assert [name for name in ours if name not in PARENTS and not name.startswith(ALLOWED)] == []


def test_the_check_imports_no_solver() -> None:
    assert "ortools" not in modules_after_importing_the_check()
