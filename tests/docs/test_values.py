"""What the page of values says that a text means is what it is read as."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from stationplan.scenario import units
from stationplan.scenario.errors import UnitError

from .pages import DOCS, sections, tables

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

# US customary cup 236.5882 ml, tablespoon 14.7868, teaspoon 4.9289, fluid ounce 29.5735 ml, ounce 28.3495 g
# (one gallon is 231 cubic inches, one inch 25.4 mm, one pound 453.59237 g; NIST Handbook 44, appendix C, from memory).
READ: dict[str, Callable[[Any], Any]] = {
    "Durations": units.parse_duration,
    "Ranges": units.parse_span,
    "Step times": units.parse_step_time,
    "Quantities": units.parse_quantity,
    "Rates": units.parse_rate,
    "Temperatures": units.parse_setting,
    "Times of day": units.parse_clock,
    "Shares": units.parse_share,
    "Hands": units.parse_hands_on,
    "People": units.parse_people,
}
REFUSED = {
    "duration": units.parse_duration,
    "range": units.parse_span,
    "quantity": units.parse_quantity,
    "temperature": units.parse_setting,
    "time of day": units.parse_clock,
    "share": units.parse_share,
}
PAGE = DOCS / "format" / "values.md"


def rows(heading: str) -> list[list[str]]:
    return [row for table in tables(sections(PAGE)[heading]) for row in table[1:]]


def values() -> Iterator[tuple[str, str, str]]:
    for heading in READ:
        for written, meaning in rows(heading):
            yield heading, written.strip("`"), meaning.strip("`")


def test_every_table_of_the_page_is_read() -> None:
    with_tables = {heading for heading, text in sections(PAGE).items() if tables(text)}
    assert with_tables == {*READ, "What is refused"}


@pytest.mark.parametrize(("heading", "written", "meaning"), list(values()))
def test_a_text_means_what_the_page_says(heading: str, written: str, meaning: str) -> None:
    value = READ[heading](written)
    rounded = heading == "Quantities" and units.format_quantity(value.amount, value.unit) == meaning
    assert rounded or value == READ[heading](meaning)


@pytest.mark.parametrize(("kind", "written", "answer"), rows("What is refused"))
def test_a_text_is_refused_in_the_words_of_the_page(kind: str, written: str, answer: str) -> None:
    with pytest.raises(UnitError) as caught:
        REFUSED[kind](written.strip("`"))
    assert str(caught.value) == answer
