"""What can go wrong between a valid scenario and its scheduling problem."""

from __future__ import annotations

Path = tuple[str | int, ...]


class NetworkError(Exception):
    """A scenario that cannot be turned into tasks.

    Args:
        message: what is wrong and what would be right, for a cook.
        path: keys and positions that lead to the place in the scenario, such as
            ``('components', 'almond sponge', 'steps', 2)``.
    """

    def __init__(self, message: str, path: Path = ()) -> None:
        super().__init__(message)
        self.path = path


class FlowError(NetworkError):
    """The steps and waits of an item do not lead to one end."""


class QuantityError(NetworkError):
    """Amounts that cannot be worked out: clashing units, or items that use each other in a circle."""


class BatchError(NetworkError):
    """A batch that no equipment or place can hold."""


class StaffError(NetworkError):
    """A step that nobody in the kitchen can do."""
