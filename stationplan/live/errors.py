"""What can go wrong with a shift that runs, or is thought to run.

LiveError
├── FollowingError  a plan cannot be followed batch by batch
└── MishapError     what may go wrong is not told in a way that can be understood
"""

from __future__ import annotations


class LiveError(Exception):
    """Anything the live package raises on purpose."""


class FollowingError(LiveError):
    """A plan does not fit the scenario that it carries, batch by batch."""


class MishapError(LiveError):
    """A failure or a stoppage that is not told as it should be."""
