"""Changes single values in a YAML file and leaves every other byte of it, comments and layout included, as it is.

Nothing is written out anew: the parser says from where to where a value stands, and just that text is replaced.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from stationplan.scenario.loader import refusal
from stationplan.scenario.nodes import Mapping, Node, Path, Place, place_of, plain
from stationplan.scenario.nodes import Sequence as Listed
from stationplan.scenario.reading import read_yaml

if TYPE_CHECKING:
    from collections.abc import Iterator


@dataclass(frozen=True, slots=True)
class Change:
    """A value that is to become another.

    Attributes:
        path: where it stands, such as ('components', 'sponge', 'steps', 0, 'takes').
        depth: how many parts of the path lead to the thing that it is a part of.
        written: what that thing must still be, as plain data.
        becomes: the new text; one that needs no quotes.
    """

    path: Path
    depth: int
    written: Any
    becomes: str


@dataclass(frozen=True, slots=True)
class Rewritten:
    """A file with changes made, and the changes to things that do not stand in it."""

    text: str
    made: tuple[Change, ...]
    elsewhere: tuple[Change, ...]


def rewrite(text: str, file: str, changes: Sequence[Change]) -> Rewritten:
    """Make changes in a scenario, or in a file with recipes.

    Args:
        text: the file, as it is.
        file: its name, for messages.
        changes: what is to become of which value. Of several for one value, that counts whose ``written`` is there.

    Returns:
        The new text. A change to a recipe that the file does not hold is not made, and not wrong.

    Raises:
        UnreadableFile: when it is no YAML.
        InvalidScenario: with every value that cannot be changed: the thing has changed meanwhile, stands in several
            places at once, or is written over several lines.
    """
    problems: list[tuple[Place, str]] = []
    root = read_yaml(text, file, 0, problems)
    if problems or not isinstance(root, Mapping):
        raise refusal(problems or [(root.place, "this is not a scenario, nor a file with recipes")])
    spans, times = _spans(text)
    made: dict[Path, Change] = {}
    elsewhere = []
    for path in dict.fromkeys(change.path for change in changes):
        own = [change for change in changes if change.path == path]
        # A section and the name in it: without these, it is another file that holds the recipe.
        if _at(root, path[:2]) is None:
            elsewhere += own
            continue
        same = [change for change in own if _plain_at(root, path[: change.depth]) == change.written]
        span = spans.get(path)
        if not same or span is None:
            sentence = f"{_name(own[0])} is not written as it was in the plan; bring the two together first"
        elif times[span] > 1:
            sentence = f"{_name(own[0])} stands in several places through an alias (*); write it out first"
        elif text[span[0]] == "&":
            sentence = f"the time of {_name(own[0])} is marked with &; take the mark away first"
        elif text[span[0]] in "|>":
            sentence = f"{_name(own[0])} has its time on lines of their own; write it behind takes"
        else:
            made[path] = same[0]
            continue
        problems.append((place_of(root, path), sentence))
    if problems:
        raise refusal(problems)
    for path in sorted(made, key=lambda path: spans[path], reverse=True):
        start, end = spans[path]
        quote = text[start] if text[start] in "'\"" else ""
        text = f"{text[:start]}{quote}{made[path].becomes}{quote}{text[end:]}"
    return Rewritten(text, tuple(made.values()), tuple(elsewhere))


def _name(change: Change) -> str:
    item = change.path[1]
    step = change.written.get("name") if isinstance(change.written, dict) else None
    return f"'{item}'" if step is None else f"'{step}' of {item}"


def _at(root: Node, path: Path) -> Node | None:
    """The value at a path, None when there is none."""
    node: Node | None = root
    for part in path:
        if isinstance(node, Mapping):
            node = node.items.get(str(part))
        elif isinstance(node, Listed) and isinstance(part, int) and part < len(node.items):
            node = node.items[part]
        else:
            return None
    return node


def _plain_at(root: Node, path: Path) -> Any:
    node = _at(root, path)
    return None if node is None else plain(node)


def _spans(text: str) -> tuple[dict[Path, tuple[int, int]], Counter[tuple[int, int]]]:
    """From where to where each single value stands, by its path, and in how many paths each of these stands."""
    from ruamel.yaml import YAML

    spans = dict(_walk(YAML(typ="rt", pure=True).compose(text), ()))
    return spans, Counter(spans.values())


def _walk(node: Any, path: Path) -> Iterator[tuple[Path, tuple[int, int]]]:
    kind = type(node).__name__
    if kind == "MappingNode":
        for key, value in node.value:
            yield from _walk(value, (*path, str(key.value)))
    elif kind == "SequenceNode":
        for number, value in enumerate(node.value):
            yield from _walk(value, (*path, number))
    else:
        yield path, (node.start_mark.index, node.end_mark.index)
