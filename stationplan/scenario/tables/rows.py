"""What every kind of table is read into: rows of cells that know where they stand."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Cell:
    """A value of a table.

    Attributes:
        value: text, a number, yes or no, or None for an empty cell.
        spot: how a message names the cell behind the file's name; '' where its line and column title say enough.
        fault: what is wrong with the cell whatever it is for; '' when nothing is.
    """

    value: str | int | float | bool | None
    spot: str = ""
    fault: str = ""

    @property
    def text(self) -> str:
        """The value as text, '' for an empty cell."""
        return "" if self.value is None else str(self.value).strip()

    @property
    def filled(self) -> bool:
        """Whether there is anything in it."""
        return bool(self.text or self.fault)


@dataclass(frozen=True, slots=True)
class Row:
    """A row that is not blank, with the line it begins at; ``spot`` names it as a whole."""

    line: int
    cells: tuple[Cell, ...]
    spot: str = ""
