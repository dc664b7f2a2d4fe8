"""The formats that a plan can be exported to. A new one is a module with ``write`` and one entry in :data:`FORMATS`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from importlib import import_module
from typing import TYPE_CHECKING, Literal

from stationplan.render.errors import MissingLibraryError
from stationplan.render.files.names import file_names
from stationplan.render.files.tables import TABLES

if TYPE_CHECKING:
    from stationplan.plan.document import Plan
    from stationplan.render.files.wishes import Wishes

Wish = Literal["date", "timezone", "person", "table", "rows"]


@dataclass(frozen=True)
class Format:
    """A kind of file.

    Attributes:
        name: what it is called, and the suffix of its files without the dot.
        module: where its ``write(plan, wishes)`` is, which gives the file's bytes. It is imported when it is needed.
        heeds: the wishes that it can fulfil.
        package: the package that it needs beyond those that stationplan always has.
        extra: the extra of stationplan that brings this package.
        parts: what a folder of such files has one for; without it, it has one file.
    """

    name: str
    module: str
    heeds: tuple[Wish, ...] = ()
    package: str = ""
    extra: str = ""
    parts: Literal["person", "table"] | None = None

    def write(self, plan: Plan, wishes: Wishes) -> bytes:
        """Turn a plan into a file.

        Args:
            plan: the plan.
            wishes: how to write it.

        Returns:
            What the file holds.

        Raises:
            MissingLibraryError: when the library that it needs is not installed.
            RenderError: when a wish cannot be fulfilled.
        """
        try:
            write: Callable[[Plan, Wishes], bytes] = import_module(self.module).write
        except ModuleNotFoundError as error:
            if error.name != self.package:
                raise
            raise MissingLibraryError(self.package, self.extra) from error
        return write(plan, wishes)

    def files(self, plan: Plan, wishes: Wishes) -> Iterator[tuple[str, bytes]]:
        """Turn a plan into a folder of files.

        Args:
            plan: the plan.
            wishes: how to write it.

        Yields:
            The name of a file and what it holds.

        Raises:
            MissingLibraryError: when the library that it needs is not installed.
            RenderError: when a wish cannot be fulfilled.
        """
        if self.parts == "person":
            for person, name in zip(plan.people, file_names(plan.people), strict=True):
                yield f"{name}.{self.name}", self.write(plan, replace(wishes, person=person))
        elif self.parts == "table":
            for table in TABLES:
                yield f"{table}.{self.name}", self.write(plan, replace(wishes, table=table))
        else:
            yield f"plan.{self.name}", self.write(plan, wishes)


FORMATS = (
    Format(
        "ics",
        "stationplan.render.files.calendar",
        heeds=("date", "timezone", "person"),
        package="icalendar",
        extra="calendar",
        parts="person",
    ),
    Format("csv", "stationplan.render.files.separated", heeds=("date", "table"), parts="table"),
    Format("xlsx", "stationplan.render.files.workbook", heeds=("date",), package="openpyxl", extra="spreadsheet"),
    Format("html", "stationplan.render.files.html"),
    Format("svg", "stationplan.render.files.svg", heeds=("rows",)),
    Format("json", "stationplan.render.files.json", heeds=("date",)),
)
