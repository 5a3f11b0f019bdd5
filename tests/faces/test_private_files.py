"""What is for the photographer alone, nobody else on the machine can read: not even while it is written."""

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from logbook.domain.words import Audience
from logbook.faces.report.writing import swapped_in
from logbook.store import engine, outputs
from logbook.store.book import Book
from logbook.store.rights import make_file
from tests.examples import first
from tests.faces.conftest import Run

UMASKS = [0o000, 0o022, 0o277]
DAY = ("--on", "2031-10-14")


def rights(path: Path) -> int:
    return path.stat().st_mode & 0o777


@pytest.fixture(params=UMASKS, ids=oct)
def umask(request: pytest.FixtureRequest) -> Iterator[int]:
    """What the person's shell takes from new files."""
    before = os.umask(request.param)
    yield request.param
    os.umask(before)


def test_a_new_book_and_its_journals_are_the_owners_alone(umask: int, logbook: Run, tmp_path: Path) -> None:
    assert logbook("trip", "add", "High valley").status == 0
    book = Book(tmp_path / "book.sqlite", lambda: pytest.fail("no clock"), create=False)
    with book.reading():
        found = {path.name: rights(path) for path in tmp_path.glob("book.sqlite*")}
    assert found == {"book.sqlite": 0o600, "book.sqlite-wal": 0o600, "book.sqlite-shm": 0o600}


def test_the_default_book_lies_in_a_folder_of_its_owner(
    umask: int, logbook: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("LOGBOOK_BOOK")
    (tmp_path / "data").mkdir(mode=0o777)
    (tmp_path / "data").chmod(0o755)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert logbook("trip", "add", "High valley").status == 0
    assert rights(tmp_path / "data" / "logbook") == 0o700
    assert rights(tmp_path / "data" / "logbook" / "book.sqlite") == 0o600
    assert rights(tmp_path / "data") == 0o755


@pytest.mark.parametrize(("had", "copied"), first([(0o644, 0o600), (0o660, 0o600), (0o600, 0o600)], 3))
def test_a_book_keeps_its_rights_and_a_backup_never_has_wider_ones(
    had: int, copied: int, umask: int, stocked: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = tmp_path / "book.sqlite"
    seen: set[int] = set()
    book.chmod(had)
    flush = engine._flush

    def watched(path: Path) -> None:
        seen.update(rights(one) for one in path.parent.glob("*.logbook*"))
        flush(path)

    monkeypatch.setattr(engine, "_flush", watched)
    assert stocked("backup").status == 0
    assert stocked("backup", "--into", "own.sqlite").status == 0
    folder = tmp_path / "book.sqlite.backups"
    assert rights(folder) == 0o700
    (made,) = folder.iterdir()
    assert [rights(book), rights(made), rights(tmp_path / "own.sqlite")] == [had, copied, copied]
    assert seen == {copied}
    assert stocked("restore", made.name).status == 0
    assert rights(book) == had
    book.write_bytes(b"SQLite format 3\0 and then nothing")
    assert stocked("restore", made.name).status == 0
    assert rights(book) == 0o600, "what replaces a damaged book can be written to, by its owner"


def test_of_a_book_that_is_only_read_a_backup_is_only_read_too(stocked: Run, tmp_path: Path) -> None:
    (tmp_path / "book.sqlite").chmod(0o444)
    assert rights(engine.copy_book(tmp_path / "book.sqlite", tmp_path / "copy.sqlite")) == 0o400


@pytest.mark.parametrize(
    ("line", "is_private"),
    first(
        [
            (("export", "high-valley", "--private"), True),
            (("export", "high-valley", "--as", "ics", "--private"), True),
            (("export", "--private"), True),
            (("sheet", "high-valley", *DAY), True),
            (("before", "quarry"), True),
            (("day", "draft", *DAY), True),
            (("plan", "draft"), True),
            (("export", "high-valley"), False),
        ],
        5,
    ),
    ids=lambda line: " ".join(line) if isinstance(line, tuple) else "",
)
def test_files_for_oneself_are_the_owners_alone_from_their_first_byte(
    line: tuple[str, ...],
    is_private: bool,
    umask: int,
    stocked: Run,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    wanted = 0o600 if is_private else 0o666 & ~umask
    seen = []

    def watched(path: Path, *given: object, make: Callable[..., None] = make_file) -> None:
        make(path, *given)
        seen.append(rights(path))

    monkeypatch.setattr(outputs, "make_file", watched)
    monkeypatch.setattr(outputs, "_remember", lambda *_: None)
    assert stocked(*line, "--into", "out").status == 0
    assert (seen, rights(tmp_path / "out")) == ([wanted], wanted)
    if is_private:
        (tmp_path / "out").chmod(0o644)
        assert stocked(*line, "--into", "out").status == 0
        assert rights(tmp_path / "out") == 0o600, "written before, when nobody looked at rights"


def test_what_others_may_read_keeps_the_rights_that_it_was_given(stocked: Run, tmp_path: Path) -> None:
    line = ("export", "high-valley", "--into", "out", "--over")
    assert stocked(*line).status == 0
    (tmp_path / "out").chmod(0o640)
    assert stocked("trip", "edit", "high-valley", "--title", "Higher valley").status == 0
    assert stocked(*line).status == 0
    assert rights(tmp_path / "out") == 0o640


@pytest.mark.parametrize(
    "umask", [0o000, 0o022], ids=oct, indirect=True
)  # the third shuts folders themselves
@pytest.mark.parametrize("line", [("report", "high-valley"), ("report", "--all")], ids=" ".join)
def test_a_report_for_oneself_is_the_owners_alone(
    line: tuple[str, ...], umask: int, stocked: Run, tmp_path: Path
) -> None:
    assert stocked(*line, "--for", "archive", "--into", "out", "--zip").status == 0
    for path in (tmp_path / "out", *(tmp_path / "out").rglob("*")):
        assert rights(path) == (0o700 if path.is_dir() else 0o600), path
    assert rights(tmp_path / "out.zip") == 0o600


def test_what_is_being_built_for_others_is_shut_until_it_was_searched(tmp_path: Path) -> None:
    before = os.umask(0o022)
    with swapped_in(tmp_path / "out", Audience.CLIENT, "trip") as building:
        assert rights(building.parent) == 0o700
        (building / "index.html").write_text("page")
    os.umask(before)
    assert rights(tmp_path / "out") == 0o755
    assert rights(tmp_path / "out" / "index.html") == 0o644
