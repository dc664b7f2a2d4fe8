"""Names of files made from names of people: safe on every system, and each only once."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

_LONGEST = 60
_RESERVED = re.compile(r"con|prn|aux|nul|(?:com|lpt)\d", re.IGNORECASE)
"""Names of devices on Windows, with whatever suffix (Microsoft, Naming Files, Paths, and Namespaces)."""


def file_names(names: Sequence[str]) -> tuple[str, ...]:
    """A name of a file, without suffix, for each of some names.

    Args:
        names: whatever people are called.

    Returns:
        Letters and digits of any script with dashes between, in the same order; where two would be the same file on a
        system that does not tell capitals from small letters, the later one has a number behind it.
    """
    taken: set[str] = set()
    found = []
    for name in names:
        letters = unicodedata.normalize("NFC", name)
        stem = re.sub(r"[\W_]+", "-", letters).strip("-")[:_LONGEST] or "person"
        if _RESERVED.fullmatch(stem):
            stem += "-"
        free, number = stem, 1
        while free.casefold() in taken:
            number += 1
            free = f"{stem}-{number}"
        taken.add(free.casefold())
        found.append(free)
    return tuple(found)
