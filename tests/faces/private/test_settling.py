"""What waits, settled by the page: proposals, lines to sort out, originals that were moved."""

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from logbook.services.dayfiles.days import read_day
from logbook.services.keepers.importing import take_in
from logbook.services.night.proposed import proposed_on
from logbook.store.book import Book
from tests.faces.private.test_incoming import PICTURES
from tests.faces.private.visitor import Answer, Visitor, plain, until
from tests.services.night.sittings import TRIP, dump_of, now

PROPOSALS = f"/trip/{TRIP}/proposals"
SORT_OUT = f"/trip/{TRIP}/sort-out"
DAY = "2025-10-18"
FILE = f"""---
trip: {TRIP}
date: {DAY}
---
- crowd: a coachload at least
- shot nowhere-at-all: made
"""


def keys(answer: Answer) -> list[str]:
    """The keys of the questions on a page."""
    return re.findall(r'name="key" value="([^"]+)"', answer.text)


@pytest.mark.slow
def test_the_first_page_leads_to_everything_that_waits(visitor: Visitor, book_path: Path) -> None:
    (book_path.parent / "day.md").write_text(FILE, encoding="utf-8")
    read_day(Book(book_path, now, create=False), book_path.parent / "day.md")
    first = visitor.ask("/")
    assert "2 lines to sort out" in plain(first)
    for link in (PROPOSALS, SORT_OUT, "/originals", f"/trip/{TRIP}/evening/2025-10-13", "/look"):
        assert f'href="{link}"' in first.text
        assert visitor.ask(link).status == 200


@pytest.mark.slow
def test_proposals_are_taken_declined_or_said_and_undone(visitor: Visitor, book_path: Path) -> None:
    page = f"{PROPOSALS}?day={DAY}"
    before = keys(visitor.ask(page))
    shots = [one for one in before if one.endswith(".shot")]
    filters = [one for one in before if one.endswith(".filters")]
    visitor.send(PROPOSALS, day=DAY, key=shots[0], do="take")
    assert shots[0] not in keys(visitor.ask(page))
    visitor.send(PROPOSALS, day=DAY, key=shots[1], do="decline")
    visitor.send(PROPOSALS, day=DAY, key=filters[0], do="say", line="nd8")
    left = keys(visitor.ask(page))
    assert not {shots[0], shots[1], filters[0]} & set(left)
    visitor.send("/undo")
    assert filters[0] in keys(visitor.ask(page)), "each of them is one change"
    assert visitor.ask(f"{PROPOSALS}?day=someday").status == 404
    assert book_path.exists()


@pytest.mark.slow
def test_a_line_that_is_not_understood_stays_in_its_field(visitor: Visitor, book_path: Path) -> None:
    (key, *_) = [one for one in keys(visitor.ask(f"{PROPOSALS}?day={DAY}")) if one.endswith(".shot")]
    before = dump_of(book_path)
    answer = visitor.send(PROPOSALS, day=DAY, key=key, do="say", line="<i>nobody</i>")
    assert answer.status == 422
    assert 'value="&lt;i&gt;nobody&lt;/i&gt;"' in answer.text
    assert dump_of(book_path) == before


@pytest.mark.slow
def test_frames_that_seem_to_be_a_set_are_joined_or_not(visitor: Visitor, book_path: Path) -> None:
    opened = Book(book_path, now, create=False)
    with opened.reading() as desk:
        trip = next(one for one in desk.trips.all() if one.slug == TRIP)
        days = {one.place_time.date() for one in desk.keepers.all() if one.place_time}
    on: date = next(one for one in sorted(days) if proposed_on(opened, trip, one).sets)
    found = proposed_on(opened, trip, on).sets[0]
    frames = [("frame", one.slug) for one in found.keepers]
    visitor.send_pairs(PROPOSALS, [("day", str(on)), *frames, ("do", f"join:{found.kind}")])
    with opened.reading() as desk:
        (joined,) = desk.sets.all()
        assert set(joined.keeper_ids) == {one.id for one in found.keepers}
    assert visitor.send_pairs(PROPOSALS, [("day", str(on)), *frames, ("do", "join:heap")]).status == 400


@pytest.fixture
def with_lines(book_path: Path) -> Path:
    """The book with a day file of which two lines were not understood."""
    (book_path.parent / "day.md").write_text(FILE, encoding="utf-8")
    read_day(Book(book_path, now, create=False), book_path.parent / "day.md")
    return book_path


@pytest.mark.slow
def test_lines_are_corrected_kept_as_journal_or_dismissed(visitor: Visitor, with_lines: Path) -> None:
    shown = visitor.ask(SORT_OUT).text
    ids = re.findall(r'id="line-(\w+)"', shown)
    assert len(re.findall(r'src="/picture/\w+/small"', shown)) >= len(ids), "beside the day's pictures"
    refused = visitor.send(SORT_OUT, do=f"say:{ids[0]}", text="crowd: a coachload", viewpoint="")
    assert (refused.status, 'value="crowd: a coachload"' in refused.text) == (422, True)
    visitor.send(SORT_OUT, do=f"say:{ids[0]}", text="crowd: dozens", viewpoint="quarry-ledge")
    with Book(with_lines, now, create=False).reading() as desk:
        assert [str(one.level) for one in desk.conditions.all() if str(one.kind) == "crowd"] == ["dozens"]
    visitor.send("/undo")
    assert re.findall(r'id="line-(\w+)"', visitor.ask(SORT_OUT).text) == ids
    visitor.send(SORT_OUT, do=f"journal:{ids[0]}")
    visitor.send(SORT_OUT, do=f"dismiss:{ids[1]}")
    assert "Nothing is left to sort out." in plain(visitor.ask(SORT_OUT))
    gone = visitor.send(SORT_OUT, do=f"dismiss:{ids[1]}")
    assert (gone.status, "has already been settled" in plain(gone)) == (422, True)


@pytest.mark.slow
def test_originals_that_were_moved_are_missed_and_found_again(visitor: Visitor, book_path: Path) -> None:
    opened = Book(book_path, now, create=False)
    with opened.writing() as desk:
        desk.keepers.remove(one.id for one in desk.keepers.all())
    card, moved = book_path.parent / "card", book_path.parent / "moved"
    card.mkdir()
    for path in sorted(PICTURES.glob("*.JPG"))[:2]:
        shutil.copy(path, card)
    take_in(opened, card, trip=TRIP)
    assert "all are there" in looked(visitor)
    card.rename(moved)
    assert "2 are missing or changed" in looked(visitor)
    assert visitor.send("/originals", do="search", folder="nowhere").status == 422
    assert visitor.send("/originals", do="search", folder=str(moved)).status == 303
    until(lambda: "data-working" not in visitor.ask("/originals").text)
    assert "2 files were found again" in plain(visitor.ask("/originals"))
    assert "all are there" in plain(visitor.ask("/"))


def looked(visitor: Visitor) -> str:
    """Look at the originals; what the first page says of them."""
    assert visitor.send("/originals", do="look").status == 303
    until(lambda: "data-working" not in visitor.ask("/originals").text)
    return plain(visitor.ask("/"))
