"""The units are light; pydantic and the YAML reader come only when they are needed."""

from __future__ import annotations

import subprocess
import sys

import pytest


@pytest.mark.parametrize(
    ("module", "absent"),
    [
        ("stationplan.scenario", ["pydantic", "ruamel", "networkx"]),
        ("stationplan.scenario.units", ["pydantic", "ruamel", "networkx"]),
        ("stationplan.scenario.errors", ["pydantic", "ruamel", "networkx"]),
        ("stationplan.scenario.models", ["ruamel", "networkx"]),
        ("stationplan.scenario.loader", ["ruamel", "networkx"]),
    ],
)
def test_a_module_leaves_heavy_libraries_out(module: str, absent: list[str]) -> None:
    code = f"import sys, {module}; print([name for name in {absent!r} if name in sys.modules])"
    output = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert output.strip() == "[]"
