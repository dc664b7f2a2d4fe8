"""Ctrl-C, a request to terminate and a closed terminal end a search with what it has found; the second ends all."""

from __future__ import annotations

import signal
import time
from types import FrameType, TracebackType
from typing import Any, Self

# Not every system knows of terminals that hang up.
SIGNALS = tuple(signal.Signals[name] for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))
SECONDS_OF_ONE_WISH = 0.5


class Interruption:
    """While it is entered, the first signal raises KeyboardInterrupt, and the second ends the process at once.

    What comes within half a second belongs to the same wish: programs that start others
    pass a Ctrl-C on to those who have had it from the terminal already.
    """

    def __init__(self) -> None:
        self._wished_at = float("inf")
        self._held = False
        self._before: dict[signal.Signals, Any] = {}

    @property
    def wished(self) -> bool:
        """Whether the user has asked to stop."""
        return self._wished_at < float("inf")

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
        """The search is over: from now on a first signal waits for its plan to be written down, too."""
        self._held = True

    def _handle(self, number: int, _frame: FrameType | None) -> None:
        now = time.monotonic()
        if not self.wished:
            self._wished_at = now
            if not self._held:
                raise KeyboardInterrupt
        elif now >= self._wished_at + SECONDS_OF_ONE_WISH:
            # As if it had never been taken over, so that whoever started the program sees what has ended it.
            signal.signal(number, signal.SIG_DFL)
            signal.raise_signal(number)
