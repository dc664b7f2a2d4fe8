"""Ctrl-C and the request to terminate end a search; they never lose what it has found."""

from __future__ import annotations

import signal
import time
from types import FrameType, TracebackType
from typing import Any, Self

SIGNALS = (signal.SIGINT, signal.SIGTERM)
SECONDS_TO_STOP = 1.0


class Interruption:
    """While it is entered, either signal raises KeyboardInterrupt, until :meth:`hold` makes both wait for the end.

    A signal that follows upon another is part of the same wish: raised while the search
    is putting its best plan together, it would lose it.
    """

    def __init__(self) -> None:
        self._quiet_until = 0.0
        self._before: dict[signal.Signals, Any] = {}

    def __enter__(self) -> Self:
        """Take the signals over, but for those that the caller has had ignored, as for a job in the background."""
        for number in SIGNALS:
            handler = signal.getsignal(number)
            if handler is not signal.SIG_IGN:
                self._before[number] = handler
                signal.signal(number, self._handle)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, where: TracebackType | None
    ) -> None:
        """Give the signals back."""
        for number, handler in self._before.items():
            signal.signal(number, handler)

    def hold(self) -> None:
        """From now on nothing is interrupted: the search is over, and writing its plan down takes a moment only."""
        self._quiet_until = float("inf")

    def _handle(self, _number: int, _frame: FrameType | None) -> None:
        now = time.monotonic()
        if now >= self._quiet_until:
            self._quiet_until = now + SECONDS_TO_STOP
            raise KeyboardInterrupt
