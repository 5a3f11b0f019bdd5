"""Originals that are away, damaged or of a kind that cannot be opened: named in their place on every page."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree

import pytest

from logbook.faces.private.guard import POLICY
from logbook.faces.private.serving import PrivatePages
from logbook.services.keepers.thumbnails import AWAY
from logbook.store.book import Book
from tests.faces.private.test_in_a_browser import PATHS, go
from tests.faces.private.test_pictures import PAGE, keepers
from tests.faces.private.visitor import Visitor, plain
from tests.services.night.sittings import TRIP, now

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

# Every picture of a page in turn, as lazy ones come when scrolled to; not those folded away.
UNSEEN = """async () => {
  const found = [];
  for (const one of document.querySelectorAll("main img")) {
    if (!one.checkVisibility()) continue;
    one.scrollIntoView();
    for (let waited = 0; !(one.complete && one.naturalWidth) && waited < 50; waited++)
      await new Promise((done) => setTimeout(done, 100));
    const box = one.getBoundingClientRect();
    if (!one.naturalWidth || box.width < 40 || box.height < 20) found.push(one.outerHTML);
  }
  return found;
}"""


def lost(book: Path, *ids: str, **others: Any) -> None:
    """Let the originals of some keepers, or of all, lie where nothing is."""
    with Book(book, now, create=False).writing() as desk:
        for one in desk.keepers.all():
            if not ids or one.id in ids:
                desk.keepers.put(replace(one, path=f"/card/{one.file}", **others))


def test_what_is_missing_is_named_in_its_place_and_where_it_is_seen_large(
    visitor: Visitor, book_path: Path
) -> None:
    first, *_ = keepers(book_path)
    lost(book_path, first.id, file="<b>&0412.jpg")
    answer = visitor.ask(f"/picture/{first.id}/small")
    assert (answer.status, answer.headers["Content-Type"]) == (404, "image/svg+xml; charset=utf-8")
    said = " ".join("".join(ElementTree.fromstring(answer.text).itertext()).split())
    assert "<b>&0412.jpg" in said
    assert AWAY[1:] in said
    assert "script-src" not in answer.headers[POLICY], "what default-src forbids"
    large = visitor.ask(f"/trip/{TRIP}/picture/{first.id}")
    assert f"/card/{first.file} is missing" in plain(large)
    assert 'href="/originals"' in large.text


def test_what_was_once_made_is_shown_in_any_size(visitor: Visitor, book_path: Path) -> None:
    first, *_ = keepers(book_path)
    made = visitor.ask(f"/picture/{first.id}/small").body
    assert made.startswith(b"\xff\xd8")
    lost(book_path, first.id)
    for size in ("small", "large"):
        answer = visitor.ask(f"/picture/{first.id}/{size}")
        assert (answer.status, answer.body) == (200, made), size


@pytest.mark.slow
def test_a_damaged_original_shows_what_was_made_of_it_before(
    visitor: Visitor, book_path: Path, tmp_path: Path
) -> None:
    first, second, *_ = keepers(book_path)
    copy = tmp_path / "card.jpg"
    copy.write_bytes(Path(first.path).read_bytes())
    with Book(book_path, now, create=False).writing() as desk:
        desk.keepers.put(replace(first, path=str(copy)))
    made = visitor.ask(f"/picture/{first.id}/small").body
    copy.write_bytes(Path(second.path).read_bytes())
    assert visitor.ask(f"/picture/{first.id}/small").body == made, "never what lies there now"
    assert "has changed" in plain(visitor.ask(f"/trip/{TRIP}/picture/{first.id}"))


@pytest.mark.slow
@pytest.mark.parametrize("width", [1280, 375])
def test_no_page_shows_a_broken_picture_or_an_empty_place(
    pages: PrivatePages, page: "Page", browser: "Browser", book_path: Path, width: int
) -> None:
    lost(book_path)
    state = page.context.storage_state()
    context = browser.new_context(
        viewport={"width": width, "height": 800}, storage_state=state, bypass_csp=True
    )
    seen = context.new_page()
    first, *_ = keepers(book_path)
    found: dict[str, list[str]] = {}
    for path in (*PATHS, f"{PAGE}?order=client", f"/trip/{TRIP}/plan", f"/trip/{TRIP}/picture/{first.id}"):
        go(seen, pages, path)
        if unseen := seen.evaluate(UNSEEN):
            found[path] = unseen
        assert seen.evaluate("document.documentElement.scrollWidth") <= width, path
    context.close()
    assert found == {}
