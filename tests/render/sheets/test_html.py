"""Sheets as a page to print."""

from __future__ import annotations

import re

import pytest

from stationplan.render.sheets import sheets_of
from stationplan.render.sheets.html import as_document, as_sections, style

from ..real_plans import MORNING, morning, plan_of, renamed
from .reading import read_html, tags_of

# Start tags that the HTML standard gives no end tag to ("void elements").
VOID = {"meta", "br", "hr", "img", "link", "input"}


def page() -> str:
    return as_document(sheets_of(morning()), title="Quay morning")


def test_names_are_escaped_wherever_they_stand() -> None:
    nasty = "<script>alert('x')</script>"
    names = {
        "Ada": nasty,
        "fridge": f"{nasty} 2",
        "rye paste": f"{nasty} 3",
        "plums": f"{nasty} 4",
        "mix paste": "a & <b>",
    }
    plan = plan_of(renamed(MORNING, {**names, "Quay morning": nasty}))
    text = as_document(sheets_of(plan, cautions={"Ab1": [nasty]}), title=plan.name)
    assert "script" not in tags_of(text)
    assert tags_of(text) == tags_of(as_document(sheets_of(plan_of(MORNING), cautions={"Ab1": ["hot"]}), title="x"))
    found = read_html(text)
    assert next(iter(found)) == nasty
    assert any(f"600 g {nasty} 4" in note for entry in found[nasty] for note in entry.notes)
    assert any("a & <b>" in entry.rest for entry in found[nasty])


def test_the_page_needs_no_other_file_and_no_script() -> None:
    assert not {"script", "img", "link", "iframe", "object", "form"} & set(tags_of(page()))
    assert not re.search(r"https?:|url\(|@import|\bsrc=|\bhref=|\son\w+=", page())
    assert "default-src 'none'" in page()


def test_every_element_that_is_opened_is_closed() -> None:
    for tag in set(tags_of(page())) - VOID:
        assert len(re.findall(rf"<{tag}[ >]", page())) == page().count(f"</{tag}>")


def test_every_sheet_is_a_section_of_its_kind_with_a_heading_of_its_own() -> None:
    sheets = sheets_of(morning())
    sections = str(as_sections(sheets))
    assert re.findall(r'<section class="sheet (\w+)">\n<h2>(.*?)</h2>', sections) == [
        (sheet.kind, sheet.name) for sheet in sheets
    ]
    assert sections in page()


def test_a_column_has_a_heading_and_every_row_as_many_cells() -> None:
    for sheet, section in zip(
        sheets_of(morning()), str(as_sections(sheets_of(morning()))).split("</section>"), strict=False
    ):
        assert section.count('scope="col"') == len(sheet.headings)
        for row in re.findall(r'<tr><th scope="row".*?</tr>', section):
            assert row.count("<td") + 1 == len(sheet.headings)


@pytest.mark.parametrize(("paper", "size"), [("a4", "A4"), ("letter", "letter")])
def test_the_style_asks_for_the_paper_by_its_name_in_css_paged_media(paper: str, size: str) -> None:
    # W3C, CSS Paged Media Module Level 3, section 7.1: the page sizes 'A4' and 'letter'.
    assert f"size: {size};" in style(paper)  # type: ignore[arg-type]


def test_the_style_is_about_sheets_alone() -> None:
    rules = re.sub(r"@page \{.*\}\n", "", str(style()))
    selectors = re.findall(r"^\s*([^@{}]+?) \{", rules, re.MULTILINE)
    assert selectors
    assert all(part.strip().startswith(".sheet") for selector in selectors for part in selector.split(","))
