"""A book on a disk that nobody can write to is read whole; writing to it is refused in one sentence."""

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from pathlib import Path

import pytest

from tests.examples import slow
from tests.store.older import older_book

NOBODY = 65534  # the user that owns nothing, on Linux and the BSDs
TRIP = "high-valley-autumn"
READING = (
    ["trip", "list", "--json"],
    ["find", "ledge", "--json"],
    ["undo", "--list", "--json"],
    ["export", TRIP, "--private"],
    ["check", "--json"],
)
WRITING = (
    ["lesson", "add", "keep", "Go early", "--trip", TRIP],
    ["undo"],
    ["check", "--rebuild-index"],
    ["backup"],
)
Locked = Callable[[Path], Path]


def run(book: Path, *arguments: str) -> tuple[int, str, str]:
    """Run the program without the superuser's right to write everywhere."""
    without = ["setpriv", "--bounding-set=-all", "--inh-caps=-all"] if os.geteuid() == 0 else []
    done = subprocess.run(
        [*without, sys.executable, "-m", "logbook", "--book", str(book), *arguments],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
        timeout=120,
    )
    assert "Traceback" not in done.stderr
    assert "mistake of ours" not in done.stderr, done.stderr
    return done.returncode, done.stdout, done.stderr


@pytest.fixture(params=["permissions", *slow("mount")])
def locked(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Locked]:
    """Lay a book and what is beside it where nothing can be written, by rights or by the disk itself."""
    if os.geteuid() == 0 and shutil.which("setpriv") is None:
        pytest.skip("nothing stops the superuser here")
    card = tmp_path / "card"
    card.mkdir()
    with ExitStack() as after:

        def lock(book: Path) -> Path:
            for part in book.parent.glob(f"{book.name}*"):
                if part.is_file() and not part.name.endswith("-shm"):
                    shutil.copyfile(part, card / part.name)
            if request.param == "mount":
                mounted = ["mount", "--bind", "-o", "ro", str(card), str(card)]
                if subprocess.run(mounted, capture_output=True).returncode:
                    pytest.skip("nothing may be mounted here")
                after.callback(subprocess.run, ["umount", str(card)], check=True)
            else:
                for one in (*card.iterdir(), card):
                    if os.geteuid() == 0:
                        os.chown(one, NOBODY, NOBODY)
                    one.chmod(0o555 if one is card else 0o444)
                after.callback(card.chmod, 0o755)
            return card / book.name

        yield lock


@pytest.fixture(scope="module")
def expected(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, ...], str]:
    """What the demo's book says where it can be written."""
    book = Path(shutil.copy(demo / "book.sqlite", tmp_path_factory.mktemp("demo")))
    said = {tuple(command): run(book, *command) for command in READING}
    assert {status for status, _, _ in said.values()} == {0}
    return {command: out for command, (_, out, _) in said.items()}


@pytest.mark.slow
def test_what_a_book_says_is_the_same_where_nothing_can_be_written(
    locked: Locked, demo_book: Path, expected: dict[tuple[str, ...], str]
) -> None:
    book = locked(demo_book)
    before = book.read_bytes(), sorted(book.parent.iterdir())
    for command in READING:
        assert run(book, *command)[:2] == (0, expected[tuple(command)]), command
    for command in WRITING:
        status, _, said = run(book, *command)
        assert status == 1, command
        assert len(said.strip().splitlines()) == 1, said
        assert "read-only" in said.lower() or "allow writing" in said, said
    assert (book.read_bytes(), sorted(book.parent.iterdir())) == before


@pytest.mark.slow
def test_a_report_and_an_export_of_such_a_book_go_elsewhere(
    locked: Locked, demo: Path, demo_book: Path, tmp_path: Path
) -> None:
    book = locked(demo_book)
    shutil.copytree(demo / "students", tmp_path / "report")  # so that its pictures are not made again
    report = ["report", TRIP, "--for", "students", "--into", str(tmp_path / "report")]
    status, _, said = run(book, *report)
    assert status == 0, said
    assert (tmp_path / "report" / "index.html").is_file()
    assert run(book, "backup", "--into", str(tmp_path / "copy.sqlite"))[0] == 0
    restored = tmp_path / "restored.sqlite"  # a backup has no more rights than its book; what it restores has
    assert run(restored, "restore", str(tmp_path / "copy.sqlite"))[0] == 0
    assert run(restored, "trip", "add", "X")[0] == 0


@pytest.mark.slow
def test_what_a_killed_program_left_beside_the_book_is_read_too(
    locked: Locked, demo: Path, tmp_path: Path
) -> None:
    path = tmp_path / "book.sqlite"
    shutil.copyfile(demo / "book.sqlite", path)
    with closing(sqlite3.connect(path)) as open_still:
        open_still.execute("SELECT count(*) FROM trip").fetchall()
        assert run(path, "trip", "add", "Written last")[0] == 0
        book = locked(path)
    assert Path(f"{book}-wal").stat().st_size > 0
    status, found, _ = run(book, "trip", "list", "--json")
    assert status == 0
    assert "Written last" in found


@pytest.mark.slow
def test_a_book_of_an_older_program_is_read_there_and_leaves_nothing(
    locked: Locked, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = locked(older_book(tmp_path / "old.sqlite", 5))
    before = book.read_bytes()
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    monkeypatch.setenv("TMPDIR", str(temporary))
    status, found, _ = run(book, "trip", "list", "--json")
    assert (status, json.loads(found)) == (0, [])
    assert run(book, "trip", "add", "X")[0] == 1
    assert book.read_bytes() == before
    assert list(temporary.iterdir()) == []


@pytest.mark.slow
def test_what_another_program_wrote_is_found_there(locked: Locked, demo: Path, tmp_path: Path) -> None:
    path = tmp_path / "book.sqlite"
    shutil.copyfile(demo / "book.sqlite", path)
    with closing(sqlite3.connect(path)) as other:
        other.execute("UPDATE trip SET title = 'Quokka' WHERE slug = ?", (TRIP,))
        other.commit()
    book = locked(path)
    status, found, _ = run(book, "find", "quokka", "--json")
    assert status == 0
    assert "Quokka" in found
