"""Opening a book: what is taken for one, what is refused and left as it was, and what a transaction keeps."""

import os
import sqlite3
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import event

from logbook.domain.errors import BookError, InvalidValueError
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.store import engine
from logbook.store.book import Book
from logbook.store.engine import APPLICATION_ID
from logbook.store.migrations import CURRENT
from logbook.store.schema import make_or_update

Clock = Callable[[], datetime]


def trip(slug: str = "valley") -> Trip:
    return Trip(**new_record(datetime(2031, 10, 14, tzinfo=UTC)), slug=slug, title=slug)


def pragma(book: Book, name: str) -> object:
    with book.reading() as desk:
        return desk.connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()


@pytest.mark.parametrize(
    ("name", "value"),
    [("foreign_keys", 1), ("journal_mode", "wal"), ("synchronous", 2), ("application_id", APPLICATION_ID)],
)
def test_a_book_is_safe_in_each_transaction(book: Book, name: str, value: object) -> None:
    assert pragma(book, name) == value


def test_a_fresh_book_says_its_version(book: Book) -> None:
    assert pragma(book, "user_version") == CURRENT
    assert book.copy_made is None


@pytest.mark.parametrize("name", ["now?.sqlite", "100%.sqlite", "a#b.sqlite", "mère.sqlite", "a b.sqlite"])
def test_a_book_may_have_any_name_that_a_file_may_have(tmp_path: Path, now: Clock, name: str) -> None:
    with Book(tmp_path / name, now, create=True).writing() as desk:
        desk.trips.add(trip())
    assert (tmp_path / name).is_file()
    with Book(tmp_path / name, now, create=False).reading() as desk:
        assert len(desk.trips.all()) == 1


def test_an_empty_file_becomes_a_book(tmp_path: Path, now: Clock) -> None:
    path = tmp_path / "book.sqlite"
    path.touch()
    with Book(path, now, create=True).reading() as desk:
        assert desk.trips.all() == []


def test_a_missing_book_is_refused_and_not_made(tmp_path: Path, now: Clock) -> None:
    with pytest.raises(BookError, match=r"There is no book at .*trip add TITLE"):
        Book(tmp_path / "book.sqlite", now, create=False)
    assert list(tmp_path.iterdir()) == []


def test_a_missing_folder_is_named(tmp_path: Path, now: Clock) -> None:
    with pytest.raises(BookError, match=r"The folder .*nowhere does not exist"):
        Book(tmp_path / "nowhere" / "book.sqlite", now, create=True)


def test_a_folder_is_no_book(tmp_path: Path, now: Clock) -> None:
    with pytest.raises(BookError, match="is a folder, not a book"):
        Book(tmp_path, now, create=True)


def foreign(path: Path, *statements: str) -> bytes:
    with closing(sqlite3.connect(path)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()
    return path.read_bytes()


REFUSED: dict[str, tuple[tuple[str, ...], str]] = {
    "another program's file": (("CREATE TABLE note (x)",), "the SQLite file of another program"),
    "another program's file without a table yet": (
        ("PRAGMA application_id = 7",),
        "the SQLite file of another program",
    ),
    "a book of a newer program": (
        (
            f"PRAGMA application_id = {APPLICATION_ID}",
            f"PRAGMA user_version = {CURRENT + 1}",
            "CREATE TABLE t (x)",
        ),
        "newer version of this program",
    ),
}


@pytest.mark.parametrize("what", REFUSED)
@pytest.mark.parametrize("create", [True, False])
def test_what_is_refused_stays_as_it_was_byte_for_byte(
    tmp_path: Path, now: Clock, what: str, create: bool
) -> None:
    statements, sentence = REFUSED[what]
    path = tmp_path / "book.sqlite"
    before = foreign(path, *statements)
    with pytest.raises(BookError, match=sentence):
        Book(path, now, create=create)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("content", [b"Dear diary,\n", b"SQLite format 2\x00" * 9, b"\x00"])
def test_a_file_that_is_no_sqlite_file_is_refused_and_stays_as_it_was(
    tmp_path: Path, now: Clock, content: bytes
) -> None:
    path = tmp_path / "diary.txt"
    path.write_bytes(content)
    with pytest.raises(BookError, match="it is not an SQLite file"):
        Book(path, now, create=True)
    assert path.read_bytes() == content


def test_a_damaged_book_is_said_to_be_damaged(tmp_path: Path, now: Clock, book: Book) -> None:
    with book.writing() as desk:
        desk.trips.add(*(trip(f"trip-{number}") for number in range(200)))
    engine.copy_book(book.path, tmp_path / "copy.sqlite")
    content = (tmp_path / "copy.sqlite").read_bytes()
    damaged = tmp_path / "damaged.sqlite"
    damaged.write_bytes(content[:4096] + b"\xff" * (len(content) - 4096))
    with (  # either opening or reading meets the damage
        pytest.raises(BookError, match=r"is damaged|no SQLite file"),
        Book(damaged, now, create=False).reading() as desk,
    ):
        desk.trips.all()


def test_a_transaction_that_raises_keeps_nothing(book: Book) -> None:
    with pytest.raises(ZeroDivisionError), book.writing() as desk:  # noqa: PT012  # all of it is undone
        desk.trips.add(trip("one"))
        desk.trips.add(trip("two"))
        raise ZeroDivisionError
    with book.reading() as desk:
        assert desk.trips.all() == []


def test_a_transaction_that_breaks_a_rule_of_the_schema_keeps_nothing(book: Book) -> None:
    with pytest.raises(BookError, match="nothing was"), book.writing() as desk:  # noqa: PT012  # all undone
        desk.trips.add(trip("one"))
        desk.trips.add(trip("one"))
    with book.reading() as desk:
        assert desk.trips.all() == []


def test_text_that_is_no_utf8_is_refused_in_one_sentence(book: Book) -> None:
    with pytest.raises(InvalidValueError, match="not UTF-8"), book.writing() as desk:
        desk.trips.add(Trip(**new_record(book.now()), slug="x", title="caf\udce9"))
    with book.reading() as desk:
        assert desk.trips.all() == []


def test_a_reader_sees_the_book_as_it_stood_at_one_moment(book: Book) -> None:
    with book.reading() as reader:
        assert reader.trips.all() == []
        with book.writing() as writer:
            writer.trips.add(trip())
        assert reader.trips.all() == []
    with book.reading() as desk:
        assert len(desk.trips.all()) == 1


def test_a_book_that_another_window_writes_gives_one_sentence(
    book: Book, now: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "BUSY_TIMEOUT_MS", 50)
    with book.writing() as desk:
        desk.trips.add(trip())
        with (
            pytest.raises(BookError, match=r"is being changed in another window; wait"),
            Book(book.path, now, create=False).writing(),
        ):
            pass
    with book.reading() as desk:
        assert len(desk.trips.all()) == 1


MAKE_AND_ADD = """
import sys, time
from datetime import UTC, datetime
from pathlib import Path
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.store.book import Book
path, start, name = sys.argv[1:]
while time.time() < float(start):
    pass
now = lambda: datetime.now(UTC)
for number in range(20):
    with Book(Path(path), now, create=True).writing() as desk:
        desk.trips.add(Trip(**new_record(now()), slug=f"{name}-{number}", title=name))
"""


@pytest.fixture
def run() -> Iterator[Callable[..., subprocess.Popen[str]]]:
    """Start Python programs; whatever still runs at the end is stopped."""
    started: list[subprocess.Popen[str]] = []

    def start(*arguments: str) -> subprocess.Popen[str]:
        program = subprocess.Popen(
            [sys.executable, "-c", *arguments],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            cwd=Path(__file__).parents[2],
        )
        started.append(program)
        return program

    yield start
    for program in started:
        program.kill()
        program.communicate()


@pytest.mark.slow
def test_two_processes_may_make_and_fill_a_book_at_once(
    tmp_path: Path, now: Clock, run: Callable[..., subprocess.Popen[str]]
) -> None:
    path = tmp_path / "book.sqlite"
    start = str(datetime.now(UTC).timestamp() + 2.5)
    programs = [run(MAKE_AND_ADD, str(path), start, name) for name in "abc"]
    for program in programs:
        _, errors = program.communicate(timeout=60)
        assert program.returncode == 0, errors
    with Book(path, now, create=False).reading() as desk:
        assert len(desk.trips.all()) == 60


ADD_AND_DIE = """
import os, signal, sys
from datetime import UTC, datetime
from pathlib import Path
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.store.book import Book
now = lambda: datetime.now(UTC)
book = Book(Path(sys.argv[1]), now, create=True)
with book.writing() as desk:
    desk.trips.add(Trip(**new_record(now()), slug="kept", title="kept"))
with book.writing() as desk:
    desk.trips.add(Trip(**new_record(now()), slug="lost", title="lost"))
    os.kill(os.getpid(), signal.SIGKILL)
"""


def test_a_killed_process_keeps_what_was_acknowledged_and_nothing_half_done(
    tmp_path: Path, now: Clock, run: Callable[..., subprocess.Popen[str]]
) -> None:
    path = tmp_path / "book.sqlite"
    assert run(ADD_AND_DIE, str(path)).wait(timeout=60) < 0
    with Book(path, now, create=False).reading() as desk:
        assert [one.slug for one in desk.trips.all()] == ["kept"]


WRITE_AS_NOBODY = """
import os, sys
from datetime import UTC, datetime
from pathlib import Path
from logbook.domain.errors import BookError
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.store.book import Book
import logbook.store.desk
if os.geteuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
now = lambda: datetime.now(UTC)
try:
    book = Book(Path(sys.argv[1]), now, create=False)
    with book.reading() as desk:
        print(len(desk.trips.all()), "trips")
    with book.writing() as desk:
        desk.trips.add(Trip(**new_record(now()), slug="x", title="x"))
except BookError as error:
    print(error)
"""


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="permissions are POSIX's")
@pytest.mark.parametrize("folder_mode", [0o777, 0o555])
def test_a_read_only_book_says_so_and_stays_as_it_was(
    now: Clock, run: Callable[..., subprocess.Popen[str]], folder_mode: int
) -> None:
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "book.sqlite"
        with Book(path, now, create=True).writing() as desk:
            desk.trips.add(trip())
        before = path.read_bytes()
        path.chmod(0o444)
        path.parent.chmod(folder_mode)
        output, errors = run(WRITE_AS_NOBODY, str(path)).communicate(timeout=60)
        path.parent.chmod(0o755)
        assert "Traceback" not in errors
        assert "is read-only" in output or "cannot be opened" in output
        assert len(output.strip().splitlines()) <= 2
        assert path.read_bytes() == before


def test_a_book_that_another_window_is_making_is_waited_for(tmp_path: Path, now: Clock) -> None:
    path = tmp_path / "book.sqlite"
    with closing(sqlite3.connect(path, check_same_thread=False, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        done = threading.Timer(0.4, lambda: other.execute("ROLLBACK"))
        done.start()
        with Book(path, now, create=True).writing() as desk:
            desk.trips.add(trip())
        done.join()


def test_marks_and_tables_are_looked_at_in_one_moment(tmp_path: Path, now: Clock) -> None:
    """Between two looks another window may have made the book; that is no file of another program."""
    path = tmp_path / "book.sqlite"
    path.touch()
    looking = engine.engine_for(path)
    made: list[threading.Thread] = []

    @event.listens_for(looking, "after_cursor_execute")
    def _made_meanwhile(*_: object) -> None:
        if not made:
            made.append(threading.Thread(target=lambda: Book(path, now, create=True)))
            made[0].start()
            made[0].join(0.5)

    make_or_update(looking, path, now)
    made[0].join()
    with Book(path, now, create=False).reading() as desk:
        assert desk.trips.all() == []
