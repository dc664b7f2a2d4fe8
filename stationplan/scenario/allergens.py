"""The allergens that two laws list, and the words in which a recipe may name them.

What has to be declared where, and how, is for local code to say. The lists are those of

- the United States: the nine major food allergens, Food Allergen Labeling and Consumer
  Protection Act of 2004 as amended by the FASTER Act of 2021 (sesame, from 1 January 2023);
- the European Union: Regulation (EU) No 1169/2011, Annex II, numbers 1 to 14.
"""

from __future__ import annotations

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

_WHEAT, _GLUTEN, _NUTS = ("wheat", "gluten"), ("gluten",), ("tree nuts",)
# The cereals and nuts are those that Annex II names; wheat is one of its cereals containing gluten.
_WORDS: dict[str, tuple[str, ...]] = {
    **{name: (name,) for name in ALLERGENS},
    **dict.fromkeys(("wheat", "spelt", "khorasan wheat"), _WHEAT),
    **dict.fromkeys(("cereals containing gluten", "rye", "barley", "oat"), _GLUTEN),
    **dict.fromkeys(("nut", "almond", "hazelnut", "walnut", "cashew", "pecan", "pecan nut", "brazil nut"), _NUTS),
    **dict.fromkeys(("pistachio", "pistachio nut", "macadamia", "macadamia nut", "queensland nut"), _NUTS),
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
        Names out of :data:`ALLERGENS`, in that order; none for ``none``.

    Raises:
        UnitError: when a word is on neither list.
    """
    right = "write one like milk, a list like [milk, egg], or none"
    words = [word for part in (value if isinstance(value, list) else [value]) for word in _words(part, right)]
    if words == ["none"]:
        return ()
    found = {name for word in words for name in _meaning(word)}
    return tuple(name for name in ALLERGENS if name in found)


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
