"""Who solves side by side: processes of this machine, or a cluster."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import AbstractContextManager, contextmanager
from typing import Any

from stationplan.cli.failure import BadInputError
from stationplan.cli.interruption import SIGNALS
from stationplan.cli.output import tell

_DIED = (
    "A process that was searching has died, perhaps for want of memory, or somebody has ended it. What is left is "
    "tried one by one; where a process dies again, nothing is found out."
)


class _Processes(ProcessPoolExecutor):
    """Processes that leave Ctrl-C and a closed terminal to this one, from their first moment on."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Submit a call; it may start a process, which ignores the signals that are ignored just then."""
        before = {number: signal.signal(number, signal.SIG_IGN) for number in SIGNALS if number != signal.SIGTERM}
        try:
            return super().submit(fn, *args, **kwargs)
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)


def executor(workers: int | None, address: str | None) -> AbstractContextManager[Executor]:
    """Who solves: the workers of a cluster where one is named, else processes of this machine.

    Args:
        workers: how many processes; None for one a processor.
        address: of the scheduler of a Dask cluster.
    """
    return processes(workers) if address is None else cluster(address)


@contextmanager
def processes(number: int | None) -> Iterator[Executor]:
    """Processes of this machine; what they are still at when it is left is given up.

    Args:
        number: how many; None for one a processor.
    """
    from multiprocessing import active_children, get_context

    others = active_children()
    pool = _Processes(number or os.cpu_count(), mp_context=get_context("spawn"))
    try:
        yield pool
    finally:
        # Not by cancelling: a queue that nobody reads any more would then keep the program from ending.
        for child in active_children():
            if child not in others:
                child.terminate()
        pool.shutdown()


class Alone:
    """Processes for one question each, for what a process that has died has left; the first time it says why."""

    def __init__(self) -> None:
        self._told = False

    def __call__(self) -> AbstractContextManager[Executor]:
        """A process of its own."""
        if not self._told:
            tell(_DIED)
        self._told = True
        return processes(1)


@contextmanager
def cluster(address: str) -> Iterator[Executor]:
    """The workers of a Dask cluster.

    Args:
        address: of its scheduler, such as ``tcp://10.0.0.5:8786``.

    Raises:
        BadInputError: when the optional package is missing, or nothing answers there.
    """
    try:
        from distributed import Client
    except ImportError:
        raise BadInputError("--cluster needs the package for it: pip install 'stationplan[cluster]'") from None
    try:
        client = Client(address)
    except (OSError, ValueError) as error:
        raise BadInputError(f"--cluster {address}: no cluster answers there: {error}") from error
    with client:
        yield client.get_executor()
