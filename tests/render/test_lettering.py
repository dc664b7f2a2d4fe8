"""Text measured in columns."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from stationplan.render.lettering import cells, clean, columns, cut, pad, shorten, wrap

TEXTS = st.text(st.characters(codec="utf-8"), max_size=40)


def test_accents_are_dropped_in_ascii_and_kept_in_unicode() -> None:
    assert clean("crème brûlée à 180 °C", unicode=False) == "creme brulee a 180 C"
    assert clean("Œufs à la neige", unicode=False) == "Oeufs a la neige"
    assert clean("cre\u0300me", unicode=True) == "crème"


def test_control_characters_never_reach_the_terminal() -> None:
    assert clean("a\x1b[31mb\nc\td", unicode=True) == "a [31mb c d"


@given(TEXTS)
def test_ascii_is_ascii_whatever_the_name(text: str) -> None:
    assert clean(text, unicode=False).isascii()


def test_a_wide_character_takes_two_columns_and_a_combining_accent_none() -> None:
    assert columns("冷蔵") == 4
    assert columns("e\u0331e") == 2
    assert cells("冷e\u0331") == ["冷", "", "e\u0331"]


@given(TEXTS, st.integers(0, 30))
def test_a_cut_text_is_never_wider_than_asked_for(text: str, width: int) -> None:
    assert columns(cut(clean(text, unicode=True), width)) <= width


@given(TEXTS, st.integers(6, 30))
def test_a_shortened_text_fits(text: str, width: int) -> None:
    assert columns(shorten(clean(text, unicode=True), width, unicode=True)) <= width


def test_shortening_keeps_the_number_of_a_machine() -> None:
    assert shorten("planetary mixer 12", 13, unicode=True) == "planetary… 12"
    assert shorten("planetary mixer 12", 13, unicode=False) == "planetary. 12"
    assert shorten("hob", 13, unicode=True) == "hob"


def test_padding_counts_columns_not_characters() -> None:
    assert pad("冷", 4) == "冷  "


@given(TEXTS, st.integers(10, 40))
def test_wrapped_lines_fit_and_lose_no_letter(text: str, width: int) -> None:
    cleaned = clean(text, unicode=True)
    lines = wrap(cleaned, width, "  ")
    assert all(columns(line) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(cleaned.split())


@given(st.text("ab 冷\u0331", max_size=60), st.integers(5, 12))
def test_words_longer_than_a_line_are_cut_and_lose_no_letter(text: str, width: int) -> None:
    lines = wrap(text, width, "  ")
    assert all(columns(line) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


def test_half_a_wide_character_is_never_shown() -> None:
    assert cut("冷蔵", 3) == "冷"
    assert cut("冷蔵", 4) == "冷蔵"


def test_lines_after_the_first_are_indented() -> None:
    assert wrap("one two three four", 9, "  ") == ["one two", "  three", "  four"]
    assert wrap("", 10) == []
