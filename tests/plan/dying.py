"""What a process is asked that may die of it: in a module of its own, because every such process has to load it."""

from __future__ import annotations

import os
from pathlib import Path


def answer_or_die(question: tuple[int, str]) -> int:
    """The number, unless the process is to die: once (a file remembers that), or always."""
    number, remembered = question
    if remembered == "always" or (remembered and not Path(remembered).exists()):
        if remembered != "always":
            Path(remembered).touch()
        os._exit(9)
    return number
