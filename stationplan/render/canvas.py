"""A grid of characters with colours, turned into lines of text."""

from __future__ import annotations

from dataclasses import dataclass

from stationplan.render.lettering import cells


@dataclass(frozen=True)
class Ink:
    """How a character is written: a foreground colour code (None: the terminal's own), bold, faint."""

    colour: int | None = None
    bold: bool = False
    faint: bool = False

    def wrapped(self, text: str) -> str:
        """The text between the control sequences of this ink."""
        codes = [str(code) for code, on in ((1, self.bold), (2, self.faint), (self.colour, True)) if on and code]
        return f"\x1b[{';'.join(codes)}m{text}\x1b[0m" if codes else text


PLAIN = Ink()
FAINT = Ink(faint=True)


class Canvas:
    """Lines of ``width`` columns each; it grows downwards."""

    def __init__(self, width: int) -> None:
        self.width = width
        self._lines: list[list[tuple[str, Ink]]] = []

    def add(self) -> int:
        """Add an empty line; returns its position."""
        self._lines.append([(" ", PLAIN)] * self.width)
        return len(self._lines) - 1

    def put(self, line: int, column: int, text: str, ink: Ink = PLAIN) -> None:
        """Write text from a column on; what does not fit the width is left out."""
        signs = cells(text)
        for offset, sign in enumerate(signs):
            at = column + offset
            wide = offset + 1 < len(signs) and signs[offset + 1] == ""
            if 0 <= at < self.width - wide and (sign or at > column):
                self._lines[line][at] = (sign, ink)

    def lines(self, color: bool) -> list[str]:
        """The text, without blanks at the ends of lines."""
        found = []
        for row in self._lines:
            last = max((at for at, (sign, _) in enumerate(row) if sign != " "), default=-1)
            text, run, ink = "", "", PLAIN
            for sign, new in row[: last + 1]:
                if new != ink and sign not in ("", " "):
                    text += ink.wrapped(run) if color else run
                    run, ink = "", new
                run += sign
            found.append(text + (ink.wrapped(run) if color else run))
        return found
