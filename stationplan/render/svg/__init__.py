"""The chart as a drawing: scalable, printable, and to be read by another program."""

from stationplan.render.svg.standalone import standalone

__all__ = ["standalone"]
