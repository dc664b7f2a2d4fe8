"""Pieces of YAML that are written rather than read."""

from __future__ import annotations

import json
import re
import textwrap

WIDTH = 118
_PLAIN = re.compile(r"[^\W\d_](?:[\w '()/+.-]*[\w')])?")
_WORDS = frozenset(("null", "true", "false"))


def quoted(text: str) -> str:
    """A text as a YAML value or key: as it is where that is clear, else in double quotes."""
    plain = _PLAIN.fullmatch(text) is not None and text.lower() not in _WORDS
    # A text in JSON is one in YAML, too (YAML 1.2.2, section 1.2).
    return text if plain else json.dumps(text, ensure_ascii=False)


def remark(text: str, indent: str) -> list[str]:
    """A text as lines of remarks."""
    start = f"{indent}# "
    return textwrap.wrap(text, WIDTH, initial_indent=start, subsequent_indent=start, break_on_hyphens=False)


def printable(text: str) -> str:
    """The text on one line, without signs that cannot be printed."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
