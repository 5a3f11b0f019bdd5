"""The private pages in Chromium: keys, forms that stay, no fault of accessibility, phone and dark.

Outside judge: axe-core (npm `axe-core`), installed into `.node` by `.ci/run`.
"""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from logbook.faces.private.serving import PrivatePages, letter
from logbook.services.night.questions import Asks
from logbook.store.book import Book
from tests.faces.axe import AXE, WIDTHS_PX, violations_of
from tests.faces.private.test_evening import key_of, value_of
from tests.services.night.sittings import TRIP, now

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

EVENING = f"/trip/{TRIP}/evening/2025-10-18"
PATHS = (
    "/",
    f"/trip/{TRIP}",
    EVENING,
    f"/trip/{TRIP}/evening/2025-10-13",
    f"/trip/{TRIP}/pictures",
    f"/trip/{TRIP}/send/client",
    f"/trip/{TRIP}/send/archive",
    f"/trip/{TRIP}/import",
    f"/trip/{TRIP}/proposals?day=2025-10-18",
    f"/trip/{TRIP}/sort-out",
    "/originals",
    "/look?q=tripod+dusk",
    "/look/pictures?q=tripod",
    "/look/worked",
    "/look/alike?site=quarry-gorge",
    "/look/before",
    "/look/before?place=quarry-gorge&on=2026-10-18&wish=6s&f_number=16",
)


def go(page: "Page", pages: PrivatePages, path: str) -> None:
    """Open a page of the book."""
    answer = page.goto(pages.guard.origin + path)
    assert answer is not None
    assert answer.status == 200


@pytest.mark.slow
@pytest.mark.skipif(not AXE.is_file(), reason="axe-core is not installed in .node")
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_violation_on_any_page(
    pages: PrivatePages, page: "Page", browser: "Browser", scheme: Any
) -> None:
    state = page.context.storage_state()
    context = browser.new_context(color_scheme=scheme, bypass_csp=True, storage_state=state)
    judged = context.new_page()
    found: list[str] = []
    for path in PATHS:
        go(judged, pages, path)
        found += violations_of(judged, path)
        for width in WIDTHS_PX:
            judged.set_viewport_size({"width": width, "height": 800})
            wide = judged.evaluate("document.documentElement.scrollWidth")
            if wide > width:
                found.append(f"{path} is {wide} px wide at {width} px")
    context.close()
    assert found == [], "\n".join(found[:20])


@pytest.mark.slow
def test_the_letter_to_the_browser_opens_the_pages(pages: PrivatePages, browser: "Browser") -> None:
    context = browser.new_context()
    page = context.new_page()
    with letter(pages.address(f"/trip/{TRIP}")) as address:
        page.goto(address)
        page.wait_for_url(f"{pages.guard.origin}/trip/{TRIP}")
        page.get_by_role("heading", level=1).wait_for()
        assert page.locator("h2", has_text="Days").count() == 1
    context.close()


def test_a_line_is_kept_without_leaving_the_page_and_undone_by_a_key(
    pages: PrivatePages, page: "Page", book_path: Path
) -> None:
    go(page, pages, EVENING)
    tries = key_of(book_path, Asks.TRIES)
    was = value_of(book_path, tries)
    field = page.locator(f'[name="line:{tries}"]')
    other = page.locator(f'[name="line:{key_of(book_path, Asks.CHANGES)}"]')
    field.fill("14")
    page.evaluate("window.here = 'still here'")
    field.press("Enter")
    page.locator(f'details:has([name="line:{tries}"]) summary b', has_text="14").wait_for()
    assert page.evaluate("window.here") == "still here"
    assert value_of(book_path, tries)[0] == "14"
    other.fill("gate locked at 10:40, said the warden")
    page.locator("p.understood", has_text="closure").first.wait_for()
    other.fill("")
    page.locator("h1").click()
    page.keyboard.press("u")
    page.get_by_text("Undone: evening of 2025-10-18.").wait_for()
    assert value_of(book_path, tries) == was


@pytest.mark.slow
def test_keys_walk_through_the_pictures_and_seeing_one_large_leaves_ticks_and_words(
    pages: PrivatePages, page: "Page"
) -> None:
    go(page, pages, f"/trip/{TRIP}/pictures")
    page.keyboard.press("j")
    page.keyboard.press("j")
    page.keyboard.press("x")
    assert page.locator(".thumb :checked").count() == 1
    names = page.locator(".thumb .name").all_inner_texts()
    page.get_by_label("Caption").fill("half a thought")
    page.keyboard.press("Escape")
    page.locator(".thumb a").nth(1).focus()
    room = page.locator("dialog[open]")
    page.keyboard.press("Enter")
    room.get_by_text(names[1].strip()).first.wait_for()
    page.keyboard.press("ArrowRight")
    room.get_by_text(names[2].strip()).first.wait_for()
    page.keyboard.press("Escape")
    room.wait_for(state="detached")
    assert page.locator(".thumb :checked").count() == 1
    assert page.get_by_label("Caption").input_value() == "half a thought"


@pytest.mark.slow
@pytest.mark.parametrize("name", ["without script", "with script"])
def test_the_evening_can_be_written_without_script(
    pages: PrivatePages, page: "Page", browser: "Browser", book_path: Path, name: str
) -> None:
    state = page.context.storage_state()
    context = browser.new_context(java_script_enabled=name == "with script", storage_state=state)
    plain = context.new_page()
    go(plain, pages, EVENING)
    seen, tries = key_of(book_path, Asks.CONDITIONS), key_of(book_path, Asks.TRIES)
    plain.locator(f'[name="line:{seen}"]').fill("crowd: dozens at 17:20, none at 18:30; water: low")
    plain.locator(f'[name="line:{tries}"]').fill("14")
    plain.get_by_role("button", name="Keep what I typed").last.click()
    plain.locator("summary b").get_by_text("14", exact=True).first.wait_for()
    plain.locator("#stay-1 .thumb input[name=tick]").first.check()
    plain.get_by_role("button", name="The ticked pictures are for it").first.click()
    plain.get_by_text("1 picture so far.").wait_for()
    context.close()
    assert value_of(book_path, tries)[0] == "14"
    with Book(book_path, now, create=False).reading() as desk:
        levels = sorted(f"{one.kind} {one.level}" for one in desk.conditions.all())
        (visit,) = desk.visits.all()
    assert levels == ["crowd dozens", "crowd none", "water low"]
    assert visit.tries == 14
