"""One mistake in a valid scenario, and what is to be said of it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Mistake:
    """``old`` is replaced by ``new``; the line that holds ``at`` must then be blamed, with ``gist`` in the sentence."""

    old: str
    new: str
    at: str
    gist: str
