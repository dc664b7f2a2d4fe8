"""A command that ends early, with a message of ours and an exit code."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

import click

from stationplan.render.lettering import clean


class Failure(click.ClickException):
    """Ends a command with a message on stderr, one sentence a line, and the exit code of its class."""

    def show(self, file: IO[Any] | None = None) -> None:
        """Print the message as it is: it says itself where the trouble is."""
        # Names in it come from files: none may steer the terminal.
        for line in self.message.split("\n"):
            click.echo(clean(line, unicode=True), file=file, err=file is None)


class ProgramError(Failure):
    """This program has not done what it should."""

    exit_code = 1


class BadInputError(Failure):
    """A file or an option is wrong."""

    exit_code = 2


class NoSuchPlanError(Failure):
    """What is asked for cannot be done."""

    exit_code = 3


@contextmanager
def working_on(path: Path | str) -> Iterator[None]:
    """Turn trouble with a file that the user has named into a failure that names it.

    Args:
        path: the file as the user named it.

    Raises:
        BadInputError: instead of an OSError.
    """
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise BadInputError(f"{path}: {reason(error)}") from error


def reason(error: OSError) -> str:
    """What the system says about a file, without the file: 'permission denied'."""
    text = error.strerror or str(error)
    return text[:1].lower() + text[1:]
