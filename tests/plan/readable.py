"""Small scenarios as plain data that the reader accepts, as it would accept a file."""

from __future__ import annotations

from typing import Any

from planned import EQUIPMENT
from planned import raw as planned_raw


def raw(*steps: dict[str, Any], **more: Any) -> dict[str, Any]:
    """As in planned.py, but without two kinds of mixer of which one has the name of the kind."""
    equipment = [dict(machine) for machine in EQUIPMENT if machine["kind"] != "mixer"]
    return planned_raw(*steps, **{"equipment": equipment, **more})
