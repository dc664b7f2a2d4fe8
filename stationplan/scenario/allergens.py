"""The allergens that two laws list, and the words in which a recipe may name them.

What has to be declared where, and how, is for local code to say. The lists are those of

- the United States: the nine major food allergens, Food Allergen Labeling and Consumer
  Protection Act of 2004 as amended by the FASTER Act of 2021 (sesame, from 1 January 2023);
- the European Union: Regulation (EU) No 1169/2011, Annex II, numbers 1 to 14.
"""

from __future__ import annotations

from collections.abc import Iterable

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units.nouns import singular
from stationplan.scenario.units.numbers import plain_text, suggestion

US_NINE = ("milk", "egg", "fish", "crustaceans", "tree nuts", "wheat", "peanut", "soy", "sesame")
EU_FOURTEEN = (
    *("gluten", "crustaceans", "egg", "fish", "peanut", "soy", "milk", "tree nuts", "celery", "mustard"),
    *("sesame", "sulphites", "lupin", "molluscs"),
)
ALLERGENS = tuple(dict.fromkeys(("wheat", *EU_FOURTEEN, *US_NINE)))
"""Every allergen of either list, each once."""

_NUTS = "tree nuts"
_KINDS = {
    **{kind: kind for kind in ("almond", "hazelnut", "walnut", "cashew", "pecan", "pistachio", "macadamia")},
    "pecan nut": "pecan",
    "brazil nut": "Brazil nut",
    "pistachio nut": "pistachio",
    "macadamia nut": "macadamia",
    "queensland nut": "macadamia",
}
"""The nuts that number 8 of Annex II names, and what they are called here. A label in the Union names the kind."""
_NO_OTHER = frozenset(
    [
        *("blanched", "bruised", "butter", "chopped", "flake", "flaked", "flour", "ground", "half", "kernel", "meal"),
        *("nib", "paste", "peeled", "powder", "raw", "roast", "roasted", "sliced", "slivered", "toasted", "whole"),
    ]
)
"""Words beside the name of a nut that bring in no other."""
_WHEAT, _GLUTEN = ("wheat", "gluten"), ("gluten",)
# The cereals are those that Annex II names; wheat is one of its cereals containing gluten.
_WORDS: dict[str, tuple[str, ...]] = {
    **{name: (name,) for name in ALLERGENS},
    **dict.fromkeys(("wheat", "spelt", "khorasan wheat"), _WHEAT),
    **dict.fromkeys(("cereals containing gluten", "rye", "barley", "oat"), _GLUTEN),
    **{word: (f"{_NUTS} ({kind})",) for word, kind in _KINDS.items()},
    **{f"{_NUTS} ({kind})": (f"{_NUTS} ({kind})",) for kind in _KINDS.values()},
    **dict.fromkeys(("nut",), (_NUTS,)),
    **dict.fromkeys(("crustacean shellfish",), ("crustaceans",)),
    **dict.fromkeys(("soya", "soybean"), ("soy",)),
    **dict.fromkeys(("sesame seed",), ("sesame",)),
    **dict.fromkeys(("sulphur dioxide", "sulfite"), ("sulphites",)),
}
_MEANING = {singular(word): names for word, names in _WORDS.items()}


def parse_allergens(value: object) -> tuple[str, ...]:
    """Read which allergens something contains.

    Args:
        value: a word, several with commas between them, a list of them, or ``none``.

    Returns:
        Names out of :data:`ALLERGENS`, in that order, a tree nut with its kind behind it where it is said, as in
        ``tree nuts (almond)``; none for ``none``.

    Raises:
        UnitError: when a word is on neither list.
    """
    right = "write one like milk, a list like [milk, egg], or none"
    words = [word for part in (value if isinstance(value, list) else [value]) for word in _words(part, right)]
    if words == ["none"]:
        return ()
    return in_order({name for word in words for name in _meaning(word)})


def in_order(names: Iterable[str]) -> tuple[str, ...]:
    """Allergens in the order of the lists, kinds of nuts by name."""
    return tuple(sorted(set(names), key=lambda name: (ALLERGENS.index(name.partition(" (")[0]), name)))


def of_ingredient(name: str, contains: Iterable[str]) -> tuple[str, ...]:
    """What an ingredient contains, with the kind of nut that its name says where its allergens do not.

    ``ground almonds`` are almonds; in ``almond biscuits`` there may be other nuts.

    Args:
        name: the ingredient.
        contains: its allergens.
    """
    words = [singular(word) for word in name.casefold().replace("-", " ").split()]
    said = " ".join(word for word in words if word not in _NO_OTHER)
    kind = _KINDS.get(said)
    return in_order(f"{_NUTS} ({kind})" if kind and one == _NUTS else one for one in contains)


def told(names: Iterable[str]) -> tuple[str, ...]:
    """Allergens for people to read: ``tree nuts (almond, hazelnut)``, and where a kind is not said that it is not.

    Args:
        names: allergens, in any order.
    """
    found = in_order(names)
    kinds = [name.partition(" (")[2].removesuffix(")") for name in found if name.startswith(f"{_NUTS} (")]
    if not kinds:
        return found
    kinds += ["and of a kind not said"] * (_NUTS in found)
    plain = [name for name in found if not name.startswith(_NUTS)]
    return in_order([*plain, f"{_NUTS} ({', '.join(kinds)})"])


def _words(value: object, right: str) -> list[str]:
    return [word.strip().lower() for word in plain_text(value, right).split(",")]


def _meaning(word: str) -> tuple[str, ...]:
    if not word:
        raise UnitError("an allergen is missing beside a comma")
    if word == "none":
        raise UnitError("'none' stands beside an allergen; write one or the other")
    names = _MEANING.get(singular(word))
    if names is None:
        hint = suggestion(word, _WORDS) or f"; write one of {', '.join(ALLERGENS)}, or none"
        raise UnitError(f"'{word}' is no allergen of the lists that are known here{hint}")
    return names
