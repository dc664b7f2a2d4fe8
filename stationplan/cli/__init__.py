"""The command line: one module a command, nothing heavy imported before it is needed."""

from stationplan.cli.main import main

__all__ = ["main"]
