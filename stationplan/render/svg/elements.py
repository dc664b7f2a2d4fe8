"""Making XML elements in few words."""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement, tostring

Value = str | int | float


def element(tag: str, parent: Element | None = None, text: str | None = None, /, **attributes: Value) -> Element:
    """A new element.

    Args:
        tag: its name.
        parent: what to append it to.
        text: what stands in it; it is escaped when it is written.
        attributes: a trailing underscore is dropped (``class_``), others become hyphens (``data_label``); numbers are
            rounded to tenths.

    Returns:
        The element.
    """
    named = {name.rstrip("_").replace("_", "-"): _written(value) for name, value in attributes.items()}
    made = Element(tag, named) if parent is None else SubElement(parent, tag, named)
    made.text = text
    return made


def written(root: Element) -> str:
    """The element and all that is in it as text."""
    return tostring(root, encoding="unicode", short_empty_elements=True)


def _written(value: Value) -> str:
    return f"{round(value, 1):g}" if isinstance(value, float) else str(value)
