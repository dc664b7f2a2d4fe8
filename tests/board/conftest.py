"""A shift of the first scenario, and its board."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from live.conftest import plan, shift, tell

from .serving import Board, serving

__all__ = ["board", "plan", "shift", "tell"]


@pytest.fixture
def board(shift: Path) -> Iterator[Board]:
    """A board that only this machine can reach."""
    with serving(shift) as served:
        yield served
