"""Turns every foreseen error into a message and an exit code, and the unforeseen into an apology."""

from __future__ import annotations

import functools
import os
import sys
import traceback
from collections.abc import Callable
from typing import ParamSpec, TypeVar

import click

P = ParamSpec("P")
R = TypeVar("R")

OUR_FAULT, BAD_INPUT, IMPOSSIBLE = 1, 2, 3


def guarded(command: Callable[P, R]) -> Callable[P, R]:
    """Wrap a command so that it ends with an exit code of ours and never with a traceback.

    Set the environment variable STATIONPLAN_TRACEBACK to see the traceback of an unforeseen error.
    """

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except BrokenPipeError:
            # Whoever read the output has gone; point the stream elsewhere so that closing it does not complain.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise SystemExit(0) from None
        except Exception as error:
            raise SystemExit(_tell(error)) from None

    return run


def _tell(error: Exception) -> int:
    from stationplan.plan.errors import CheckFailedError, ImpossibleError, NothingFoundError, PlanFileError
    from stationplan.scenario.errors import ScenarioError

    if isinstance(error, (ScenarioError, PlanFileError)):
        click.echo(str(error), err=True)
        return BAD_INPUT
    if isinstance(error, ImpossibleError):
        click.echo(str(error), err=True)
        return IMPOSSIBLE
    if isinstance(error, NothingFoundError):
        click.echo(f"No plan yet: {error}.", err=True)
        return OUR_FAULT
    if isinstance(error, OSError):
        click.echo(f"{error.filename or 'a file'}: {error.strerror or error}", err=True)
        return BAD_INPUT
    if isinstance(error, CheckFailedError):
        click.echo("The plan that was found contradicts the scenario, so it is not shown. This is our fault:", err=True)
        click.echo(str(error), err=True)
    else:
        click.echo(
            f"stationplan has stumbled over something it did not foresee: {error!r}. This is our fault.", err=True
        )
    if os.environ.get("STATIONPLAN_TRACEBACK"):
        traceback.print_exception(error)
    return OUR_FAULT
