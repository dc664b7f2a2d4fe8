"""A browser without a window, for tests of what is shown or printed on paper."""

from __future__ import annotations

import base64
import os
import shutil
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from selenium.webdriver import Chrome

NEEDED = "STATIONPLAN_NEEDS_BROWSER"
"""Environment variable: with anything in it, a test that finds no browser fails instead of being skipped."""
_NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")


@pytest.fixture(scope="session", name="browser")
def open_browser() -> Iterator[Chrome]:
    """A browser for all tests; each opens the page it needs, and leaves size and paper as it found them."""
    program = next(filter(None, map(shutil.which, _NAMES)), None)
    driver = shutil.which("chromedriver")
    if program is None or driver is None:
        missing = f"no {'browser (chromium)' if program is None else 'chromedriver'} was found on the PATH"
        if os.environ.get(NEEDED):
            pytest.fail(f"{missing}, and {NEEDED} asks for it")
        pytest.skip(missing)
    # Imported here, because loading it takes longer than most tests.
    from selenium.webdriver import Chrome, ChromeOptions, ChromeService

    options = ChromeOptions()
    options.binary_location = program
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"):
        options.add_argument(argument)
    # Both logs are kept, so that tests can look for complaints and for requests.
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    chrome = Chrome(options=options, service=ChromeService(driver))
    try:
        yield chrome
    finally:
        chrome.quit()


def printed(browser: Chrome, page: Path) -> bytes:
    """What the browser would print of a page, as PDF, on the paper that the page's own style asks for."""
    browser.get(page.as_uri())
    found = browser.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False})
    return base64.b64decode(found["data"])
