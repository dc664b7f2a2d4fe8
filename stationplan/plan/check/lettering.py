"""Letters that stand for the items and steps of a plan."""

from __future__ import annotations


def letters_at(place: int, alphabet: str) -> str:
    """The letters for a place counted from 0: a to z, then aa, ab and so on."""
    text = ""
    place += 1
    while place:
        place, letter = divmod(place - 1, len(alphabet))
        text = alphabet[letter] + text
    return text
