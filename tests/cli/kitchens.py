"""Small scenarios, written to a folder one line a step."""

from __future__ import annotations

from pathlib import Path

HEAD = """\
name: Trial
shift: {opens: "06:00", closes: "%(closes)s"}
kitchen:
  people:
    - {name: Ines, skills: [pastry]}
    - {name: Odo}
  equipment:
    - {name: oven, kind: oven, holds: 2 trays}
products:
  plum tart:
    makes: 1 tray
    steps:
"""


def tart(*steps: str, quantity: int = 1, closes: str = "20:00", order: str = "") -> str:
    """A scenario that makes trays of plum tart; each step as it stands in the list."""
    lines = "".join(f"      - {{{step}}}\n" for step in steps)
    return HEAD % {"closes": closes} + f"{lines}orders:\n  - {{product: plum tart, quantity: {quantity}{order}}}\n"


def circle() -> str:
    """A rest of 30 minutes between two steps that must not be 20 minutes apart."""
    return tart(
        "name: mix, takes: 10 min",
        "wait: rest, at_least: 30 min",
        "name: roll, takes: 10 min",
        "name: fill, takes: 10 min, after: [roll, {step: mix, at_most: 20 min}]",
    )


def line_of(text: str, part: str) -> int:
    """The line of a scenario that holds a part."""
    return text.count("\n", 0, text.index(part)) + 1


def write(folder: Path, text: str) -> Path:
    """Write a scenario and return its folder."""
    (folder / "scenario.yaml").write_text(text, encoding="utf-8")
    return folder
