"""All trips in one folder: links lead somewhere, the search works from disk, nothing is built twice."""

import re
import shutil
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest

from logbook.faces.main import status_of


class Page(HTMLParser):
    """Links and anchors of a page."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.links: list[str] = []
        self.anchors: set[str] = set()
        self.feed(path.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        told = dict(attributes)
        self.anchors.add(told.get("id") or "")
        if tag in ("a", "link") and told.get("href"):
            self.links.append(told["href"] or "")
        if tag in ("img", "script") and told.get("src"):
            self.links.append(told["src"] or "")


def test_every_trip_has_its_pages_and_every_link_leads_to_an_anchor_that_is_there(all_trips: Path) -> None:
    pages = {path.resolve(): Page(path) for path in all_trips.rglob("*.html")}
    assert len(list((all_trips / "trips").iterdir())) == 4
    for path, page in pages.items():
        for link in page.links:
            parts = urlsplit(link)
            if parts.scheme:
                continue
            target = (path.parent / unquote(parts.path)).resolve() if parts.path else path
            assert target.is_file(), f"{path}: {link}"
            assert not parts.fragment or parts.fragment in pages[target].anchors, f"{path}: {link}"


def test_what_is_found_leads_to_where_it_is_told(all_trips: Path) -> None:
    import json

    pages = {path.resolve(): Page(path) for path in all_trips.rglob("*.html")}
    told = (all_trips / "search" / "documents-0.js").read_text(encoding="ascii")
    documents = json.loads(told[told.index(",") + 1 : told.rindex(")")])
    assert len(documents) > 150
    pictured = 0
    for title, where, link, picture in documents:
        parts = urlsplit(link)
        target = (all_trips / parts.path).resolve()
        assert title, where
        assert target in pages, link
        assert not parts.fragment or parts.fragment in pages[target].anchors, link
        assert not picture or (all_trips / picture).is_file(), picture
        pictured += bool(picture)
    assert pictured > len(documents) / 2


def test_every_trip_and_every_site_with_pictures_shows_a_small_one(all_trips: Path) -> None:
    html = (all_trips / "index.html").read_text(encoding="utf-8")
    trips = html[html.index('id="trips"') : html.index('id="year"')]
    sites = html[html.index('id="sites"') : html.index('id="lessons"')]
    *photographed, planned = trips.split("<li>")[1:]
    assert "neap tide" in planned
    assert "<img" not in planned, "a trip that lies ahead has none"
    for shown in (photographed, sites.split("<article")[1:]):
        for each in shown:
            (picture,) = re.findall(r'<img class="thumb[^"]*" src="([^"]+)"[^>]* alt="[^"]+"', each)
            assert (all_trips / picture).is_file()
            assert picture.endswith("-480.jpg"), "the smallest file"


@pytest.mark.slow
def test_what_is_found_shows_its_picture(all_trips: Path, browser: Any) -> None:
    page = browser.new_page()
    page.goto((all_trips / "index.html").as_uri())
    page.fill("#words", "procession steps")
    first = page.locator(".found li").first
    first.locator("img").wait_for()
    page.wait_for_function("document.querySelector('.found li img').naturalWidth > 0")
    width = first.locator("img").evaluate("one => one.getBoundingClientRect().width")
    assert 20 < width <= 480
    page.close()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("question", "first"),
    [
        ("procession steps", "The procession on the steps"),
        ("PROCESSIONS", "The procession on the steps"),  # another case, another ending
        ("proces", "The procession on the steps"),  # still being typed
        ("prôcession stéps", "The procession on the steps"),  # marks are folded
    ],
)
def test_a_question_is_answered_from_disk(all_trips: Path, browser: Any, question: str, first: str) -> None:
    page = browser.new_page()
    said: list[str] = []
    asked: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.goto((all_trips / "index.html").resolve().as_uri())
    page.get_by_label("Words to look for").fill(question)
    page.wait_for_selector(".found li")
    titles = [one.inner_text() for one in page.query_selector_all(".found li a")]
    page.close()
    assert first in titles[:3]
    assert said == []
    assert all(url.startswith(all_trips.resolve().as_uri()) for url in asked)


@pytest.mark.slow
def test_words_that_nothing_holds_give_nothing_and_say_so(all_trips: Path, browser: Any) -> None:
    from playwright.sync_api import expect

    page = browser.new_page()
    page.goto((all_trips / "index.html").resolve().as_uri())
    page.get_by_label("Words to look for").fill("procession qqqxyz")
    expect(page.locator("#search output")).to_contain_text("with 1 of 2 words")
    page.get_by_label("Words to look for").fill("qqqxyz <zzzq>'")
    expect(page.locator("#search output")).to_contain_text("0 found")
    page.close()


def status_of_search(page: Any, question: str, told: str) -> None:
    from playwright.sync_api import expect

    page.get_by_label("Words to look for").fill(question)
    expect(page.locator("#search output")).to_contain_text(told)


@pytest.mark.slow
def test_a_cut_list_says_how_much_of_it_is_shown(all_trips: Path, browser: Any) -> None:
    import re

    page = browser.new_page()
    page.goto((all_trips / "index.html").resolve().as_uri())
    status_of_search(page, "valley", " shown")
    status = page.locator("#search output").inner_text()
    shown, found = map(int, re.fullmatch(r"(\d+) of (\d+) shown", status).groups())  # type: ignore[union-attr]
    assert shown == page.locator(".found li").count() < found
    page.close()


@pytest.mark.slow
def test_a_short_word_beside_another_is_no_beginning(all_trips: Path, browser: Any) -> None:
    page = browser.new_page()
    page.goto((all_trips / "index.html").resolve().as_uri())
    status_of_search(page, "pro", "found")
    assert page.locator(".found li").count() > 0  # alone it is still being typed
    status_of_search(page, "lantern pro", "with 1 of 2 words")
    page.close()


def test_what_was_observed_is_found_with_its_place_and_its_words(all_trips: Path) -> None:
    told = (all_trips / "search" / "documents-0.js").read_text(encoding="ascii")
    assert '"Weather, Upper terrace: valley fog to the third terrace, rising' in told
    assert '"Nobody there, Upper terrace"' in told
    assert '"nobody there"' not in told


@pytest.mark.slow
def test_search_stands_first_and_the_contents_lead_to_it(all_trips: Path, browser: Any) -> None:
    page = browser.new_page()
    page.goto((all_trips / "index.html").resolve().as_uri())
    assert page.locator(".contents a").first.get_attribute("href") == "#search"
    above = "a => document.querySelector('#search').compareDocumentPosition(a) & 4"
    assert page.locator(".contents").evaluate(above)
    page.close()


@pytest.mark.slow
@pytest.mark.parametrize("width", [360, 1280])
def test_without_script_there_is_no_search_and_everything_else(
    all_trips: Path, browser: Any, width: int
) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": width, "height": 800})
    page = context.new_page()
    page.goto((all_trips / "index.html").resolve().as_uri())
    assert not page.is_visible("#search")
    assert page.is_visible("text=River forest in spring")
    context.close()


@pytest.mark.slow
def test_the_page_is_within_a_phone(all_trips: Path, browser: Any) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto((all_trips / "index.html").resolve().as_uri())
    page.get_by_label("Words to look for").fill("bridge")
    page.wait_for_selector(".found li")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.close()


@pytest.mark.slow
def test_a_second_build_takes_the_pictures_over(all_trips: Path, demo_book: Path, tmp_path: Path) -> None:
    again = shutil.copytree(all_trips, tmp_path / "all")
    pictures = {path.relative_to(again): path.stat().st_ino for path in again.rglob("pictures/*.jpg")}
    assert len(pictures) > 60
    line = ("report", "--all", "--for", "archive", "--into", str(again))
    assert status_of(["--book", str(demo_book), *line]) == 0
    assert pictures == {path.relative_to(again): path.stat().st_ino for path in again.rglob("pictures/*.jpg")}


@pytest.mark.parametrize(
    "arguments",
    [
        ("--all", "--for", "client", "--into", "x"),
        ("--all", "--for", "archive"),
        ("high-valley", "--all", "--for", "archive", "--into", "x"),
    ],
)
def test_all_trips_are_for_oneself_only(on_demo: Any, tmp_path: Path, arguments: tuple[str, ...]) -> None:
    answer = on_demo("report", *arguments)
    assert answer.status == 2
    assert "report --all --for archive --into DIR" in answer.err
    assert not (tmp_path / "x").exists()
