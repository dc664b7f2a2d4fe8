"""Reading a page back with the parser of the standard library."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"meta", "link", "input", "br", "img"}


@dataclass
class Node:
    """An element of the page with its text."""

    tag: str
    attributes: dict[str, str]
    children: list[Node] = field(default_factory=list)
    pieces: list[str] = field(default_factory=list)

    def every(self) -> list[Node]:
        """The element and all in it."""
        return [self, *(node for child in self.children for node in child.every())]

    @property
    def text(self) -> str:
        """All text in it, blanks made one and hyphens plain."""
        parts = [piece for node in self.every() for piece in node.pieces]
        return " ".join(" ".join(parts).replace("\N{NON-BREAKING HYPHEN}", "-").split())

    def of(self, class_: str) -> list[Node]:
        """Elements of a class."""
        return [node for node in self.every() if class_ in node.attributes.get("class", "").split()]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.stack = [Node("page", {})]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {name: value or "" for name, value in attrs})
        self.stack[-1].children.append(node)
        if tag not in VOID:
            self.stack.append(node)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.stack[-1].children.append(Node(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.stack.pop().tag == tag, "elements that are not closed in order"

    def handle_data(self, data: str) -> None:
        self.stack[-1].pieces.append(data)


def read(page: str) -> Node:
    """The page as a tree."""
    reader = _Reader()
    reader.feed(page)
    reader.close()
    assert len(reader.stack) == 1, "elements that are not closed"
    return reader.stack[0]
