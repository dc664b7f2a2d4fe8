"""Text measured in columns: cleaning, shortening, wrapping.

Names come from the user: they may hold accents, wide characters or control
characters. Everything shown passes through :func:`clean` first, so that no line is
wider than asked for and no name can steer the terminal.
"""

from __future__ import annotations

import re
import unicodedata

# What has no decomposition into ASCII letters and accents: sharp s, ae, oe, o with stroke, l with stroke, dashes,
# curly apostrophe, degree, multiplication sign.
_PLAIN = {
    "\u00df": "ss",
    "\u00e6": "ae",
    "\u0153": "oe",
    "\u00f8": "o",
    "\u0142": "l",
    "\u2013": "-",
    "\u2014": "-",
    "\u2019": "'",
    "\u00b0": "",
    "\u00d7": "x",
}
_TRAILING_NUMBER = re.compile(r"\s\d+$")


def clean(text: str, unicode: bool) -> str:
    """Text that is safe to show: no control characters, and plain ASCII unless ``unicode``."""
    text = "".join(" " if unicodedata.category(sign) in ("Cc", "Zl", "Zp") else sign for sign in text)
    text = unicodedata.normalize("NFC", text)
    if unicode:
        return "".join(sign for sign in text if unicodedata.category(sign) not in ("Cf", "Cs", "Co", "Cn"))
    for sign, plain in _PLAIN.items():
        text = text.replace(sign, plain).replace(sign.upper(), plain.capitalize())
    text = unicodedata.normalize("NFKD", text)
    text = "".join(sign for sign in text if not unicodedata.combining(sign))
    return text.encode("ascii", "replace").decode("ascii")


def cells(text: str) -> list[str]:
    """The text column by column: an accent joins its letter, a wide character is followed by an empty column."""
    found: list[str] = []
    for sign in text:
        if unicodedata.combining(sign) and found:
            found[-1 if found[-1] else -2] += sign
        else:
            found.append(sign)
            if unicodedata.east_asian_width(sign) in ("W", "F"):
                found.append("")
    return found


def columns(text: str) -> int:
    """How many columns the text takes."""
    return len(text) if text.isascii() else len(cells(text))


def cut(text: str, width: int) -> str:
    """The text's first ``width`` columns, never half a wide character."""
    kept = cells(text)[:width]
    if kept and len(kept) == width and len(cells("".join(kept))) > width:
        kept[-1] = ""
    return "".join(kept)


def shorten(text: str, width: int, unicode: bool) -> str:
    """The text in at most ``width`` columns; a machine's number at its end is kept."""
    if columns(text) <= width:
        return text
    dots = "…" if unicode else "."
    number = _TRAILING_NUMBER.search(text)
    tail = number.group() if number and len(number.group()) + 3 <= width else ""
    return cut(cut(text, width - len(tail) - 1).rstrip() + dots + tail, width)


def pad(text: str, width: int) -> str:
    """The text, filled up with blanks to ``width`` columns."""
    return text + " " * (width - columns(text))


def wrap(text: str, width: int, indent: str = "") -> list[str]:
    """Lines of at most ``width`` columns, broken at blanks; all but the first start with ``indent``."""
    lines: list[str] = []
    words = [word.replace("\0", " ") for word in text.replace(" %", "\0%").split()]  # a number keeps its sign
    for piece in (piece for word in words for piece in _pieces(word, width - len(indent))):
        if lines and columns(lines[-1]) + 1 + columns(piece) <= width:
            lines[-1] += f" {piece}"
        else:
            lines.append(indent + piece if lines else piece)
    return lines


def _pieces(word: str, width: int) -> list[str]:
    """A word longer than a line, cut; others as they are."""
    pieces = []
    while columns(word) > width:
        pieces.append(cut(word, width))
        word = word[len(pieces[-1]) :]
    return [*pieces, word] if word else pieces
