"""The first page: trips with a picture each, and the days that wait."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from logbook.store.book import Book
from tests.faces.private.visitor import Visitor, plain
from tests.services.night.sittings import TRIP, dump_of, now

COVER = f"/trip/{TRIP}/cover/small"


@pytest.mark.slow
def test_each_trip_has_its_picture_and_leads_to_the_days_that_wait(visitor: Visitor, book_path: Path) -> None:
    before = dump_of(book_path)
    first = visitor.ask("/")
    assert re.findall(r'<img src="([^"]+)"[^>]* loading="lazy"', first.text) == [f"/trip/{TRIP}/cover/large"]
    assert "Still to write up: 13 Oct" in plain(first)
    links = re.findall(rf'href="(/trip/{TRIP}/evening/[0-9-]+)"', first.text)
    assert links
    for path in (*links, f"/trip/{TRIP}"):
        assert visitor.ask(path).status == 200
    assert dump_of(book_path) == before


def test_a_trip_shows_pictures_of_each_of_its_days(visitor: Visitor, book_path: Path) -> None:
    with Book(book_path, now, create=False).reading() as desk:
        ids = {one.id for one in desk.keepers.all()}
    page = visitor.ask(f"/trip/{TRIP}").text
    for day in re.split(r"<li><a href", page)[1:]:
        shown = re.findall(r'<img src="/picture/(\w+)/small"', day)
        assert 1 <= len(shown) <= 6
        assert ids >= set(shown)


def test_a_trip_that_is_only_planned_shows_its_days(visitor: Visitor, book_path: Path) -> None:
    with Book(book_path, now, create=False).writing() as desk:
        desk.keepers.remove([one.id for one in desk.keepers.all()])
    answer = visitor.ask(f"/trip/{TRIP}")
    assert answer.status == 200
    assert "0 pictures, 4 planned shots; not written up yet" in plain(answer)


def test_the_picture_of_a_trip_is_the_one_that_was_chosen_to_open_it(
    visitor: Visitor, book_path: Path
) -> None:
    book = Book(book_path, now, create=False)
    proposed = visitor.ask(COVER)
    assert proposed.body.startswith(b"\xff\xd8")
    with book.writing() as desk:
        for keeper in desk.keepers.all():
            if visitor.ask(f"/picture/{keeper.id}/small").body != proposed.body:
                desk.keepers.put(replace(keeper, opening=True))
                break
    chosen = visitor.ask(COVER)
    assert (chosen.status, chosen.body != proposed.body) == (200, True)
    assert visitor.ask(f"/picture/{keeper.id}/small").body == chosen.body


@pytest.mark.slow
def test_a_trip_without_pictures_has_none_and_its_pages_are_there(visitor: Visitor, book_path: Path) -> None:
    with Book(book_path, now, create=False).writing() as desk:
        trip = desk.trips.all()[0]
        desk.trips.add(replace(trip, id="other", slug="other", title="Nothing yet"))
    assert "0 pictures · 0 days" in plain(visitor.ask("/"))
    for path in ("/trip/other", "/trip/other/pictures", "/trip/other/evening/2025-10-18"):
        answer = visitor.ask(path)
        assert answer.status == 200, path
        assert "cover" not in answer.text
    for path in ("/trip/other/cover/large", "/trip/nobody/cover/large", f"/trip/{TRIP}/cover/huge"):
        assert visitor.ask(path).status == 404
