"""A report built, looked at and handed over by the page."""

import re
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest

from logbook.domain.names import Amended
from logbook.domain.words import Audience
from logbook.faces.private.guard import HEADERS
from logbook.faces.private.sending import PREVIEW_POLICY
from logbook.faces.private.serving import PrivatePages
from logbook.intake.report_list import LIST_NAME, read_list
from logbook.services import kinds
from logbook.services.records import edit
from logbook.store.book import Book
from tests.faces.private.visitor import Answer, Visitor, plain, until
from tests.services.night.sittings import TRIP, dump_of, now

PAGE = f"/trip/{TRIP}/send/client"
PREVIEW = f"{PAGE}/preview/"


def built(visitor: Visitor, page: str = PAGE, **fields: str) -> Answer:
    """Build a report by the page and wait for it."""
    assert visitor.send(page, do="build", **fields).status == 303
    until(lambda: "data-working" not in visitor.ask(page).text)
    return visitor.ask(page)


def few_pictures(book: Path) -> None:
    """Keep two pictures in the book, so that a report is made in a moment."""
    with Book(book, now, create=False).writing() as desk:
        keepers = sorted(desk.keepers.all(), key=lambda one: one.file)
        desk.keepers.remove(one.id for one in keepers[2:])


@pytest.fixture
def few(book_path: Path) -> Path:
    """The book with two pictures."""
    few_pictures(book_path)
    return book_path


@pytest.mark.slow
def test_sending_begins_with_whom_the_trip_is_for(visitor: Visitor) -> None:
    assert 'aria-current="page">For' in visitor.ask(f"/trip/{TRIP}/send").text
    for whom in ("client", "students", "archive"):
        assert visitor.ask(f"/trip/{TRIP}/send/{whom}").status == 200
    assert visitor.ask(f"/trip/{TRIP}/send/everybody").status == 404


def test_every_picture_is_in_sight_with_the_name_it_can_be_left_out_by(
    visitor: Visitor, book_path: Path
) -> None:
    opened = Book(book_path, now, create=False)
    with opened.writing() as desk:
        kept, hidden = sorted(desk.keepers.all(), key=lambda one: one.file)[:2]
        desk.keepers.put(replace(hidden, hidden_from=(Audience.CLIENT,)))
        everyone = {one.id: one.file for one in desk.keepers.all()}
    seen, _, kept_back = visitor.ask(PAGE).text.partition("<summary>Hidden from the client")
    named = r'src="/picture/(\w+)/small".*?<p class="set">([^<]*)</p>'
    shown = dict(re.findall(named, seen, re.DOTALL))
    assert hidden.id not in shown
    assert shown[kept.id].endswith(kept.file)
    assert dict(re.findall(named, kept_back, re.DOTALL)) == {hidden.id: hidden.file}
    assert all(said.endswith(everyone[one]) for one, said in shown.items())
    assert sum(said.startswith("opens it") for said in shown.values()) == 1


@pytest.mark.slow
def test_a_report_is_built_and_looked_at_under_a_policy_of_its_own(
    visitor: Visitor, pages: PrivatePages, few: Path
) -> None:
    assert visitor.ask(f"{PREVIEW}index.html").status == 404, "there is none before it is built"
    before = dump_of(few)
    assert "2 pictures" in plain(built(visitor))
    first = visitor.ask(f"{PREVIEW}index.html")
    assert (first.status, first.headers["Content-Type"]) == (200, "text/html; charset=utf-8")
    assert first.headers["Content-Security-Policy"] == PREVIEW_POLICY
    assert "unsafe" not in PREVIEW_POLICY
    for header in ("Cache-Control", "X-Content-Type-Options", "X-Frame-Options"):
        assert first.headers[header] == HEADERS[header]
    for name in set(re.findall(r'(?:src|href)="([\w./-]+)"', first.text)) - {"."}:
        assert visitor.ask(PREVIEW + name).status == 200, name
    assert Visitor(pages.port).ask(f"{PREVIEW}index.html").status == 403, "and nobody else sees it"
    assert dump_of(few) == before


@pytest.mark.slow
def test_only_files_of_the_finished_report_are_shown(visitor: Visitor, few: Path) -> None:
    assert few.exists()
    built(visitor)
    for name in (
        LIST_NAME,
        "../lock",
        "..%2f..%2flock",
        "%2e%2e/lock",
        "/etc/passwd",
        "pages/../../lock",
        "nothing.html",
        "",
    ):
        assert visitor.ask(PREVIEW + name).status in (404, 308), name


@pytest.mark.slow
def test_what_is_written_is_what_was_seen(visitor: Visitor, few: Path, tmp_path: Path) -> None:
    built(visitor)
    into = tmp_path / "for-the-client"
    assert visitor.send(PAGE, do="folder", into=str(into)).status == 303
    assert f"Written: {into}" in plain(visitor.ask(PAGE))
    listed = read_list(into)
    assert listed is not None
    for name in listed.digests:
        assert (into / name).read_bytes() == visitor.ask(PREVIEW + name).body
    (packed,) = [visitor.ask(f"{PAGE}/zip")]
    assert packed.headers["Content-Disposition"].startswith("attachment")
    names = {one.partition("/")[2] for one in ZipFile(BytesIO(packed.body)).namelist()}
    assert names == {*listed.digests, LIST_NAME}
    assert visitor.send(PAGE, do="zip", into=str(tmp_path / "mail")).status == 303
    assert (tmp_path / "mail.zip").read_bytes() == packed.body
    assert few.exists()


@pytest.mark.slow
def test_a_report_is_never_written_over_what_is_somebody_elses(
    visitor: Visitor, few: Path, tmp_path: Path
) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine.txt").write_text("mine", encoding="utf-8")
    built(visitor)
    for into, sentence in (
        ("", "Enter the path of the folder first."),
        ("here", "is not a full path"),
        ("~nobody-there/x", "is not a user's folder"),
        (f"{tmp_path}/none/x", "does not exist"),
        (f"{tmp_path}/full", "is not empty, and is not a report"),
        (f"{tmp_path}/full/mine.txt", "is a file"),
    ):
        answer = visitor.send(PAGE, do="folder", into=into)
        assert (answer.status, sentence in plain(answer)) == (422, True), into
        assert (tmp_path / "full" / "mine.txt").read_text(encoding="utf-8") == "mine", into
    assert few.exists()


@pytest.mark.slow
def test_what_a_person_changed_in_the_folder_is_kept_where_they_say_so(
    visitor: Visitor, few: Path, tmp_path: Path
) -> None:
    built(visitor)
    into = tmp_path / "mine"
    visitor.send(PAGE, do="folder", into=str(into))
    (into / "letter.txt").write_text("Dear client", encoding="utf-8")
    refused = visitor.send(PAGE, do="folder", into=str(into))
    assert (refused.status, "letter.txt" in plain(refused)) == (422, True)
    assert visitor.send(PAGE, do="folder", into=str(into), keep_mine="on").status == 303
    assert "Kept your own changes: letter.txt" in plain(visitor.ask(PAGE))
    assert (into / "letter.txt").read_text(encoding="utf-8") == "Dear client"
    assert few.exists()


@pytest.mark.slow
def test_a_word_that_was_struck_may_stand_and_that_is_undone(visitor: Visitor, few: Path) -> None:
    opened = Book(few, now, create=False)
    hidden = {"private_names": Amended(add=("Esk Warden",)), "summary": "With Esk Warden."}
    edit(opened, kinds.TRIP, TRIP, hidden)
    page = built(visitor)
    assert "Words hidden from the client" in plain(page)
    word = re.search(r'value="stand:([^"]+)"', page.text)
    assert word is not None
    visitor.send(PAGE, do=f"stand:{word[1]}")
    assert "The book has changed since" in plain(visitor.ask(PAGE))
    with opened.reading() as desk:
        assert desk.trips.all(slug=TRIP)[0].may_say == (word[1],)
    visitor.send("/undo")
    with opened.reading() as desk:
        assert desk.trips.all(slug=TRIP)[0].may_say == ()


def test_a_report_that_cannot_be_built_says_why_in_a_sentence(visitor: Visitor, few: Path) -> None:
    page = built(visitor, leave_out="9999")
    assert "9999" in plain(page)
    assert "Traceback" not in page.text
    assert "See it" not in plain(page)
    assert few.exists()


@pytest.mark.slow
def test_reports_of_two_audiences_are_built_side_by_side(visitor: Visitor, few: Path) -> None:
    students = PAGE.replace("client", "students")
    visitor.send(PAGE, do="build")
    visitor.send(students, do="build")
    visitor.send(PAGE, do="build")  # again, while it may be under way
    for page in (PAGE, students):
        until(lambda page=page: "data-working" not in visitor.ask(page).text)  # type: ignore[misc]
        assert visitor.ask(f"{page}/preview/index.html").status == 200
    assert few.exists()


@pytest.mark.slow
def test_nothing_built_is_left_when_the_book_is_closed(
    pages: PrivatePages, visitor: Visitor, few: Path, tmp_path: Path
) -> None:
    left = tmp_path / "reports" / "of-a-killed-run"
    left.mkdir(parents=True)
    (left / "lock").touch()
    (left / "index.html").touch()
    built(visitor)
    (own,) = (tmp_path / "reports").iterdir()
    assert own.stat().st_mode & 0o777 == 0o700
    pages.workplace.bench.clear()
    assert list((tmp_path / "reports").iterdir()) == []
    assert few.exists()
