"""Reading a drawing back."""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element, fromstring

NAMESPACE = "{http://www.w3.org/2000/svg}"
Record = dict[str, str]


def parsed(text: str) -> Element:
    """The root of a drawing."""
    root = fromstring(text)
    assert root.tag == f"{NAMESPACE}svg"
    return root


def groups(root: Element, class_: str) -> Iterator[tuple[Record, str]]:
    """The data of every group of a class, and its title."""
    for element in root.iter():
        if class_ in element.get("class", "").split():
            data = {name.removeprefix("data-"): value for name, value in element.items() if name.startswith("data-")}
            title = element.find(f"{NAMESPACE}title")
            yield data, "" if title is None or title.text is None else title.text
