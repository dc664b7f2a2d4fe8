"""Sheets read back from text and from HTML, as somebody would who knows nothing of how they were written."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

_CLOCK = r"(?:day \d+ )?\d\d:\d\d"
_LABEL = r"[A-Z]+[a-z]+\d\S*"
_ROW = re.compile(rf"(?P<mark>.) (?P<time>{_CLOCK}(?:-(?:{_CLOCK})?)?)  +(?:(?P<labels>{_LABEL}) )?(?P<what>.*)")


@dataclass
class Entry:
    """One row: the time as written, the label, the rest of the row, and what stands under it."""

    time: str
    labels: str
    rest: str
    critical: bool
    notes: list[str] = field(default_factory=list)


def read_text(text: str) -> dict[str, list[Entry]]:
    """The rows of each sheet, from text that is wide enough to need no second line."""
    found: dict[str, list[Entry]] = {}
    for page in text.split("\f"):
        lines = page.splitlines()
        entries = found.setdefault(lines[0].partition(" - ")[0], [])
        for line in lines[3:]:
            if not line:
                break
            match = _ROW.fullmatch(line)
            if match is not None:
                critical = match["mark"] != " "
                entries.append(Entry(match["time"], match["labels"] or "", match["what"], critical))
            else:
                entries[-1].notes.append(line.strip())
    return found


class _Reader(HTMLParser):
    """Collects headings and rows."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.found: dict[str, list[Entry]] = {}
        self.place = ""
        self.name = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        kind = dict(attrs).get("class") or ""
        if tag == "h2":
            self.place, self.name = "heading", ""
        elif tag == "tbody":
            self.found[self.name].append(Entry("", "", "", "critical" in kind.split()))
        elif tag == "th":
            self.place = "time" if kind == "time" else ""
        elif tag == "td":
            self.place = "rest"
        elif kind == "mark" and self.place == "time":
            self.place = "mark"
        elif tag == "b" and kind == "label":
            self.place = "label"
        elif tag == "li":
            self.place = "note"
            self.found[self.name][-1].notes.append("")

    def handle_endtag(self, tag: str) -> None:
        if tag == "h2":
            self.found[self.name] = []
        # A mark stands before the time, a label before the step.
        self.place = {"mark": "time", "label": "rest"}.get(self.place, "")

    def handle_data(self, data: str) -> None:
        data = data.replace("\N{NON-BREAKING HYPHEN}", "-")
        if self.place == "heading":
            self.name += data
        elif self.place == "time":
            self.found[self.name][-1].time += data
        elif self.place == "label":
            self.found[self.name][-1].labels += data
        elif self.place == "rest":
            self.found[self.name][-1].rest += f" {data}"
        elif self.place == "note":
            self.found[self.name][-1].notes[-1] += data


def read_html(page: str) -> dict[str, list[Entry]]:
    """The rows of each sheet."""
    reader = _Reader()
    reader.feed(page)
    reader.close()
    return reader.found


def tags_of(page: str) -> list[str]:
    """Every element, in order."""
    reader = _Reader()
    reader.feed(page)
    return reader.tags
