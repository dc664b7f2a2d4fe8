"""Text that every format can carry."""

from __future__ import annotations

import re

_REFUSED = re.compile(r"[^\t\n\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 (section 2.2) or iCalendar (RFC 5545 section 3.1) leave out: control characters, halves of pairs."""


def plain(text: str) -> str:
    """The text with a blank for each character that some format cannot carry; ends of lines become line feeds."""
    return _REFUSED.sub(" ", text.replace("\r\n", "\n").replace("\r", "\n"))
