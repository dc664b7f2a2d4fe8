"""Reads one YAML 1.2 file into nodes, and says in plain words where it is no YAML.

The nodes are built from the parser's events, because that lets us stop at once when a file nests too deeply or
multiplies itself through aliases, and keep the line of every key.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from stationplan.scenario.errors import ScenarioError
from stationplan.scenario.nodes import Mapping, Node, Place, Scalar, Sequence

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

LARGEST_FILE = 1_000_000
DEEPEST = 24
MOST_NODES = 200_000

_SPREADSHEETS = (".xlsx", ".xls", ".xlsm", ".ods", ".numbers")
_SAVED_PLAN = re.compile(rb'\s*\{\s*"format"\s*:\s*"stationplan plan"')

# The core schema of YAML 1.2.2, section 10.3.2.
_NULL = re.compile(r"null|Null|NULL|~|")
_BOOL = re.compile(r"true|True|TRUE|false|False|FALSE")
_INT = re.compile(r"[-+]?[0-9]{1,300}")
_FLOAT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")


class UnreadableFile(ScenarioError):  # noqa: N818  (it names the file's state, as the user sees it)
    """A file cannot be read as a whole.

    Args:
        sentence: what is wrong and what would be right.
        line: where, or None when it concerns the file as a whole.
        spot: how a message names the place, where that is not the line.
    """

    def __init__(self, sentence: str, line: int | None = None, spot: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.line = line
        self.spot = spot


def read_bytes(path: Path, largest: int = LARGEST_FILE) -> bytes:
    """Read a file that is not too large.

    Args:
        path: the file.
        largest: most bytes.

    Raises:
        UnreadableFile: when there is no such file, it is no regular file, or too large.
    """
    try:
        if not path.exists():
            raise UnreadableFile(f"there is no such file{_named_alike(path)}")
        if not path.is_file():
            raise UnreadableFile("this is not a file that can be read")
        with path.open("rb") as file:
            data = file.read(largest + 1)
    except OSError as error:
        raise UnreadableFile(f"this file cannot be read: {error.strerror or error}") from error
    if _SAVED_PLAN.match(data):
        raise UnreadableFile("this is a saved plan, not a scenario; stationplan chart shows it")
    if len(data) > largest:
        raise UnreadableFile(f"this file is larger than {largest // 10**6} MB, which is more than a kitchen can need")
    return data


def read_text(path: Path, largest: int = LARGEST_FILE) -> str:
    """Read a text file that is not too large.

    Args:
        path: the file.
        largest: most bytes.

    Returns:
        Its text, without a byte order mark.

    Raises:
        UnreadableFile: when there is no such file, it is no regular file, a plan or a spreadsheet, too large, or not
            UTF-8.
    """
    data = read_bytes(path, largest)
    if path.suffix.lower() in _SPREADSHEETS:
        raise UnreadableFile(
            "this is a file of a spreadsheet program; orders can be read from .xlsx, so save the sheet as that or as "
            "CSV, and name the new file"
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise UnreadableFile("this is not UTF-8 text; save the file with the encoding UTF-8", line) from error


def _named_alike(path: Path) -> str:
    """A hint at a file beside a missing one whose name differs only in its ending."""
    for name in (f"{path.stem}.yml", f"{path.stem}.yaml", f"{path.name}.txt"):
        beside = path.parent / name
        if path.suffix.lower() in (".yaml", ".yml") and beside.is_file():
            return f", but there is {name} beside it; rename that to {path.name}"
    return ""


def read_yaml(text: str, file: str, order: int, problems: list[tuple[Place, str]]) -> Node:
    """Read a YAML document.

    Args:
        text: the document.
        file: the name of its file for messages.
        order: position of the file in the order of reading.
        problems: what is wrong without keeping the rest from being understood (a key that stands twice) is added here.

    Returns:
        The document as nodes.

    Raises:
        UnreadableFile: when it is no YAML, empty, nested too deeply or too large once its aliases are written out.
    """
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    try:
        return _Composer(YAML(typ="safe", pure=True).parse(text), file, order, problems).document()
    except YAMLError as error:
        raise _unreadable(error, text) from error
    except (ValueError, IndexError, AttributeError) as error:
        # A few malformed documents trip the parser over its own code instead of its own error.
        raise UnreadableFile("this is not YAML") from error


class _Composer:
    """Builds nodes from the events of one document."""

    def __init__(self, events: Iterator[Any], file: str, order: int, problems: list[tuple[Place, str]]) -> None:
        self._events = events
        self._file = file
        self._order = order
        self._problems = problems
        self._anchors: dict[str, Node] = {}
        self._open: set[str] = set()

    def document(self) -> Node:
        """The only document of the stream."""
        node: Node | None = None
        for event in self._events:
            kind = type(event).__name__
            if kind == "DocumentStartEvent":
                if node is not None:
                    raise UnreadableFile("a second document begins here (---); keep one per file", self._line(event))
                node = self._node(next(self._events), 0)
        if node is None or (isinstance(node, Scalar) and node.value is None):
            raise UnreadableFile("this file is empty")
        return node

    def _node(self, event: Any, depth: int) -> Node:
        kind = type(event).__name__
        if kind == "AliasEvent":
            return self._alias(event)
        if depth > DEEPEST:
            raise UnreadableFile("this is nested too deeply", self._line(event))
        if event.tag is not None:
            tag = str(event.tag).replace("tag:yaml.org,2002:", "!!")
            raise UnreadableFile(f"'{tag}' is a YAML tag, which has no use here; leave it out", self._line(event))
        if event.anchor is not None:
            self._open.add(event.anchor)
        if kind == "ScalarEvent":
            node: Node = Scalar(self._place(event), _value(event.value, quoted=not event.implicit[0]))
        elif kind == "SequenceStartEvent":
            node = self._sequence(event, depth)
        else:
            node = self._mapping(event, depth)
        if event.anchor is not None:
            self._open.discard(event.anchor)
            self._anchors[event.anchor] = node
        return node

    def _sequence(self, start: Any, depth: int) -> Sequence:
        node = Sequence(self._place(start))
        for event in self._events:
            if type(event).__name__ == "SequenceEndEvent":
                break
            item = self._node(event, depth + 1)
            node.items.append(item)
            node.size = self._counted(node.size + item.size, event)
        return node

    def _mapping(self, start: Any, depth: int) -> Mapping:
        node = Mapping(self._place(start))
        for event in self._events:
            if type(event).__name__ == "MappingEndEvent":
                break
            key_node = self._node(event, depth + 1)
            place = self._place(event)
            value = self._node(next(self._events), depth + 1)
            node.size = self._counted(node.size + value.size + 1, event)
            if not isinstance(key_node, Scalar):
                self._problems.append((place, "this key is a list or a mapping; a key is a word"))
                continue
            key = "" if key_node.value is None else str(event.value if hasattr(event, "value") else key_node.value)
            if key in node.items:
                earlier = node.places[key].line
                sentence = f"'{key}' stands here twice (before in line {earlier}); keep one of them"
                self._problems.append((place, sentence))
                continue
            node.items[key], node.places[key] = value, place
        return node

    def _alias(self, event: Any) -> Node:
        if event.anchor in self._open:
            raise UnreadableFile(f"'*{event.anchor}' stands inside what it repeats", self._line(event))
        if event.anchor not in self._anchors:
            raise UnreadableFile(
                f"'*{event.anchor}' repeats something marked '&{event.anchor}', but nothing above is; "
                "put a text that begins with * in quotes",
                self._line(event),
            )
        return self._anchors[event.anchor]

    def _counted(self, size: int, event: Any) -> int:
        if size > MOST_NODES:
            raise UnreadableFile(
                "this file holds too much once everything it repeats is written out", self._line(event)
            )
        return size

    def _line(self, event: Any) -> int:
        return int(event.start_mark.line) + 1

    def _place(self, event: Any) -> Place:
        return Place(self._order, self._line(event), self._file)


def _value(text: str, *, quoted: bool) -> str | int | float | bool | None:
    if quoted:
        return text
    if _NULL.fullmatch(text):
        return None
    if _BOOL.fullmatch(text):
        return text.lower() == "true"
    if _INT.fullmatch(text):
        return int(text)
    if _FLOAT.fullmatch(text):
        number = float(text)
        # An infinite number is nothing a JSON file could hold, nor anything a kitchen has.
        return number if abs(number) < float("inf") else text
    return text


_SYNTAX = (
    (r"found character '\\t'", "a tab stands here; indent with spaces only"),
    (r"found character '(.)' that", "a text cannot begin with {0} here; put it in quotes"),
    (
        r"mapping values are not allowed",
        "there is a colon too many here, one is missing in the line above, or the indentation is off; "
        "put a text with ': ' in it in quotes",
    ),
    (r"sequence entries are not allowed", "a list entry (-) cannot stand here; begin it on a line of its own"),
    (r"unknown escape character", "a backslash in double quotes means something else here; use single quotes"),
    (r"could not find expected ':'", "a colon is missing after the key"),
    (r"incompatible YAML document", "only YAML 1.2 is read; leave the %YAML line out"),
)


def _unreadable(error: Any, text: str) -> UnreadableFile:
    context, problem = str(getattr(error, "context", "") or ""), str(getattr(error, "problem", "") or "")
    mark = getattr(error, "problem_mark", None)
    context_mark = getattr(error, "context_mark", None)
    if mark is None:
        # Only unprintable characters are reported without a line.
        position = getattr(error, "position", 0)
        return UnreadableFile("there is an unprintable character here; remove it", text.count("\n", 0, position) + 1)
    if context_mark is not None and "quoted scalar" in context and "end" in problem:
        return UnreadableFile("a quotation mark is opened here and never closed", context_mark.line + 1)
    if context_mark is not None and "flow" in context:
        sign = "]" if "sequence" in context else "}"
        sentence = (
            f"a bracket is opened here and does not come to its {sign}: look for a missing comma, colon, quote or"
        )
        # The parser stumbles where the next thing begins, which may be lines further down.
        reach = f" from here to line {mark.line + 1}" if mark.line > context_mark.line else ""
        return UnreadableFile(f"{sentence} {sign}{reach}", context_mark.line + 1)
    for pattern, sentence in _SYNTAX:
        match = re.search(pattern, problem)
        if match is not None:
            return UnreadableFile(sentence.format(*match.groups()), mark.line + 1)
    if "expected <block end>" in problem:
        sentence = "this line does not fit the ones above; check indentation, quotes and dashes"
        return UnreadableFile(sentence, mark.line + 1)
    return UnreadableFile(f"this is not YAML ({problem})", mark.line + 1)
