"""Singular and plural of the words things are counted in."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fractions import Fraction

_IRREGULAR = {
    "child": "children",
    "half": "halves",
    "knife": "knives",
    "leaf": "leaves",
    "loaf": "loaves",
    "person": "people",
    "shelf": "shelves",
}
# Words whose plural only takes an s although it looks as if it took more.
_PLAIN_S = frozenset(
    [
        *("pie", "cookie", "brownie", "blondie", "smoothie", "tie"),
        *("quiche", "brioche", "ganache", "cartouche", "niche"),
        *("mousse", "demitasse"),
        *("shoe", "toe"),
    ]
)
_SINGULAR_OF = {many: one for one, many in _IRREGULAR.items()} | {f"{one}s": one for one in _PLAIN_S}
_ENDINGS = (("eaux", "eau"), ("ies", "y"), ("sses", "ss"), ("shes", "sh"), ("ches", "ch"), ("xes", "x"), ("zzes", "zz"))
_HISSING = ("ss", "sh", "ch", "x", "zz")
# English words that end in s and are not plural.
_ENDS_IN_S = ("ss", "us", "is")


def singular(noun: str) -> str:
    """The singular of a noun, lower-cased: ``trays`` and ``Tray`` both give ``tray``.

    Only the last word of several changes: ``half trays`` gives ``half tray``.
    """
    *before, last = noun.lower().split()
    return " ".join([*before, _singular_word(last)])


def plural(noun: str, amount: Fraction | int) -> str:
    """The form of a singular noun that goes with an amount: ``tray`` for up to one, else ``trays``."""
    if 0 < amount <= 1:
        return noun
    *before, last = noun.split()
    many = _plural_word(last)
    # A plural that would not be read back as the same noun is no help to anybody.
    return " ".join([*before, many]) if _singular_word(many) == last else noun


def _singular_word(word: str) -> str:
    if word in _SINGULAR_OF:
        return _SINGULAR_OF[word]
    for many, one in _ENDINGS:
        if word.endswith(many) and len(word) > len(many):
            return word.removesuffix(many) + one
    if word.endswith("oes") and len(word) > 3:
        return word.removesuffix("es")
    if word.endswith("s") and not word.endswith(_ENDS_IN_S) and len(word) > 2:
        return word.removesuffix("s")
    return word


def _plural_word(word: str) -> str:
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if word in _PLAIN_S:
        return f"{word}s"
    if word.endswith("eau"):
        return f"{word}x"
    if word.endswith("y") and not word.endswith(("ay", "ey", "oy", "uy")):
        return word.removesuffix("y") + "ies"
    if word.endswith(_HISSING) or word.endswith("o"):
        return f"{word}es"
    return f"{word}s"
