"""The colours keep the contrasts of the Web Content Accessibility Guidelines 2.2, computed here from its definition.

W3C Recommendation "Web Content Accessibility Guidelines (WCAG) 2.2": success criteria 1.4.3 Contrast (Minimum), 4.5:1
for text, and 1.4.11 Non-text Contrast, 3:1; "relative luminance" and "contrast ratio" in its glossary.
"""

from __future__ import annotations

import re

import pytest

from stationplan.render.svg.hatching import NUMBER, Box, of_item
from stationplan.render.svg.palette import DARK, LIGHT, Theme, pair_of
from stationplan.render.svg.style import style

TEXT, SHAPE = 4.5, 3.0
THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])


def luminance(colour: str) -> float:
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_the_contrast_is_that_of_the_guidelines() -> None:
    # The glossary: contrast ratios range from 1 to 21.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#123456", "#123456") == 1
    # From memory: #767676 is the lightest grey that passes 4.5:1 on white.
    assert contrast("#767676", "#ffffff") >= TEXT > contrast("#777777", "#ffffff")


@THEMES
def test_text_is_readable_on_everything_that_it_stands_on(theme: Theme) -> None:
    grounds = [theme.page, theme.stripe]
    for ground in grounds:
        assert contrast(theme.text, ground) >= TEXT
        assert contrast(theme.quiet, ground) >= TEXT
    for pair in theme.items:
        assert contrast(theme.text, pair.tint) >= TEXT, pair


@THEMES
def test_shapes_are_told_from_the_page_and_from_each_other(theme: Theme) -> None:
    for ground in (theme.page, theme.stripe):
        for colour in (theme.heat, theme.wash, theme.away, theme.focus, *(pair.ink for pair in theme.items)):
            assert contrast(colour, ground) >= SHAPE, (colour, ground)
    for pair in theme.items:
        assert contrast(pair.ink, pair.tint) >= SHAPE, f"hands and no hands look alike: {pair}"


@THEMES
def test_the_style_has_no_colour_but_those_of_its_theme(theme: Theme) -> None:
    known = {value for value in vars(theme).values() if isinstance(value, str)}
    known |= {colour for pair in theme.items for colour in (pair.ink, pair.tint)}
    assert set(re.findall(r"#[0-9a-f]{6}", style(theme))) <= known


def hatching(position: int) -> str:
    return of_item(position, Box(0, 0, 40, 20))


def test_neighbours_in_the_legend_differ_in_hatching_so_that_no_colour_is_needed() -> None:
    assert len({hatching(position) for position in range(NUMBER)}) == NUMBER


def test_no_two_of_the_first_items_have_both_hatching_and_colour_in_common() -> None:
    number = NUMBER * len(LIGHT.items)
    assert len({(pair_of(position), hatching(position)) for position in range(number)}) == number
