"""A day of 150 keepers and a trip of 2,000 in Chromium: only what is in sight is asked for, at any width."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from logbook.faces.private.serving import PrivatePages
from tests.benchmarks.pictured_book import FULL_DAY, LONG_TRIP, LONG_TRIP_KEEPERS, ON, pictured_book
from tests.faces.axe import WIDTHS_PX
from tests.faces.private.conftest import served

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.slow

MOST_ASKED = 80  # pictures before anybody scrolls: what is in sight, and what the browser keeps ready below
PATHS = (f"/trip/{FULL_DAY}/evening/{ON}", f"/trip/{LONG_TRIP}/pictures", "/")


@pytest.fixture
def large_pages(tmp_path: Path) -> Iterator[PrivatePages]:
    """A book of the two trips, served."""
    yield from served(pictured_book(tmp_path, 0), tmp_path / "cache")


@pytest.mark.parametrize("width_px", WIDTHS_PX)
def test_only_what_is_in_sight_is_asked_for(
    browser: "Browser", large_pages: PrivatePages, width_px: int
) -> None:
    page = browser.new_page(viewport={"width": width_px, "height": 800})
    page.goto(large_pages.address())
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if "/small" in request.url else None)
    for path in PATHS:
        asked.clear()
        page.goto(large_pages.guard.origin + path, wait_until="domcontentloaded")
        page.wait_for_timeout(1000)
        assert len(asked) < MOST_ASKED, path
        assert page.evaluate("document.documentElement.scrollWidth") <= width_px, path
    page.goto(f"{large_pages.guard.origin}{PATHS[1]}", wait_until="domcontentloaded")
    assert page.locator(".thumb").count() == LONG_TRIP_KEEPERS
    asked.clear()
    page.locator(".thumb").last.scroll_into_view_if_needed()
    last = page.locator(".thumb img").last
    last.evaluate("one => one.complete || new Promise(seen => one.addEventListener('load', seen))")
    assert last.evaluate("one => one.naturalWidth") > 0
    assert len(asked) < 2 * MOST_ASKED
    page.close()
