"""A command that ends early, with a message of ours and an exit code."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

import click

from stationplan.render.lettering import clean

OUR_FAULT, BAD_INPUT, IMPOSSIBLE = 1, 2, 3


class Failure(click.ClickException):
    """Ends a command with a message on stderr.

    Args:
        message: one sentence a line.
        exit_code: ``OUR_FAULT``, ``BAD_INPUT`` or ``IMPOSSIBLE``.
    """

    def __init__(self, message: str, exit_code: int) -> None:
        super().__init__(message)
        self.exit_code = exit_code

    def show(self, file: IO[Any] | None = None) -> None:
        """Print the message as it is: it says itself where the trouble is."""
        # Names in it come from files: none may steer the terminal.
        for line in self.message.split("\n"):
            click.echo(clean(line, unicode=True), file=file, err=file is None)


@contextmanager
def working_on(path: Path | str) -> Iterator[None]:
    """Turn trouble with a file that the user has named into a failure that names it.

    Args:
        path: the file as the user named it.

    Raises:
        Failure: instead of an OSError.
    """
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise Failure(f"{path}: {reason(error)}", BAD_INPUT) from error


def reason(error: OSError) -> str:
    """What the system says about a file, without the file: 'permission denied'."""
    text = error.strerror or str(error)
    return text[:1].lower() + text[1:]
