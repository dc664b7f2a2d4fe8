"""Links between the pages lead somewhere."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from .pages import anchors, links, pages, title

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize("page", pages(), ids=title)
def test_every_link_of_a_page_leads_somewhere(page: Path) -> None:
    for link in links(page):
        file, _, heading = link.partition("#")
        target = (page.parent / file).resolve() if file else page
        assert target.exists(), link
        if heading:
            assert heading in anchors(target), link
