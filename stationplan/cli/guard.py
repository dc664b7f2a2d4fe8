"""Turns every foreseen error into a message and an exit code, and the unforeseen into an apology."""

from __future__ import annotations

import os
import sys
import traceback
from typing import Any

import click

from stationplan.cli.failure import BadInputError, Failure, ProgramError

TRACEBACK = "STATIONPLAN_TRACEBACK"
"""Environment variable: anything in it shows the traceback of an error of ours."""


class GuardedGroup(click.Group):
    """Commands that end with an exit code of ours, and never with a traceback."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command and turn what it raises into a :class:`Failure`."""
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except BrokenPipeError:
            # Whoever read the output has gone; point the stream elsewhere so that closing it does not complain.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise click.exceptions.Exit(0) from None
        except Exception as error:
            if isinstance(error.__cause__, KeyboardInterrupt):
                # A compiled module that is interrupted while it is imported says that it cannot be imported.
                raise click.Abort from error
            raise _failure(error) from error


def _failure(error: Exception) -> Failure:
    from stationplan.live.errors import LiveError, NotRecordedError
    from stationplan.plan.errors import CheckFailedError, NothingFoundError, PlanFileError
    from stationplan.render.errors import RenderError
    from stationplan.scenario.errors import ScenarioError

    if isinstance(error, (ScenarioError, PlanFileError, RenderError)):
        return BadInputError(str(error))
    if isinstance(error, LiveError):
        return ProgramError(str(error)) if isinstance(error, NotRecordedError) else BadInputError(str(error))
    if isinstance(error, NothingFoundError):
        return ProgramError(f"No plan yet: {error}.")
    if os.environ.get(TRACEBACK):
        traceback.print_exception(error)
    if isinstance(error, CheckFailedError):
        what = "The plan that was found contradicts the scenario, so it is not shown:"
        return ProgramError(f"{what}\n{error}\n{_apology()}")
    return ProgramError(f"This should not have happened: {error!r}.\n{_apology()}")


def _apology() -> str:
    return f"It is an error of this program, not of your input. With {TRACEBACK}=1 it says where, for a report."
