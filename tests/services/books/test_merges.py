"""Two books become one on the disk: whole, undoable, repeatable, whatever becomes of the program."""

import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from logbook.domain.errors import BookError, ConflictError, NotFoundError, WrongUseError
from logbook.domain.nouns import NOUNS
from logbook.domain.words import OutcomeWord, Support
from logbook.services import kinds, records
from logbook.services.books import checks, merges, undo
from logbook.services.books.imports import import_document
from logbook.services.books.merges import PREFERRED, MergeResult, undecided
from logbook.services.dayfiles.days import read_day
from logbook.services.exports.book_json import book_records, from_document, to_document
from logbook.services.exports.json_text import json_text, parse_json
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.plans.outcomes import OutcomeSaid, record_outcome
from logbook.store.backups import Why, listed
from logbook.store.book import Book
from logbook.store.changes.journal import Run
from logbook.store.changes.objects import TABLES
from logbook.store.merging.copies import Conflict, Copy, Side, content, newer
from logbook.store.merging.merged import merged
from logbook.store.migrations import CURRENT
from tests.examples import examples
from tests.services.adding import add_to_trip
from tests.services.ticking import tick
from tests.store.merging.pens import Pen
from tests.store.merging.test_against_a_model import ACTS, HISTORIES, as_copy, two
from tests.store.older import older_book

assert ACTS is not None
Forked = tuple[Book, Book]


@pytest.fixture
def forked(book: Book, keepers: Path, tmp_path: Path) -> Forked:
    """A stocked book, and its copy on another computer."""
    other = tmp_path / "studio" / "book.sqlite"
    other.parent.mkdir()
    shutil.copyfile(book.path, other)
    clocks = [tick(datetime(2031, 11, 1, hour, 0, 0, hour, tzinfo=UTC)) for hour in (9, 10)]
    return tuple(  # type: ignore[return-value]
        Book(path, clock, create=False, run=Run(str(path), "a command"))
        for path, clock in zip((book.path, other), clocks, strict=True)
    )


def state(book: Book) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every noun and of the journal, bit for bit."""
    with closing(sqlite3.connect(book.path)) as connection:
        return {
            name: connection.execute(f"SELECT * FROM {name} ORDER BY 1, 2").fetchall()
            for name in (*NOUNS, *TABLES)
        }


def nouns(book: Book) -> dict[str, list[tuple[Any, ...]]]:
    return {name: rows for name, rows in state(book).items() if name not in TABLES}


def copy_of(book: Book) -> Copy:
    with book.reading() as desk:
        return desk.copy()


def join(book: Book, other: Book, prefer: str | None = None, **how: Any) -> MergeResult:
    return merges.merge(book, other.path, PREFERRED[prefer] if prefer else undecided, **how)


def later(book: Book) -> Book:
    """The same book, in another run of the program."""
    return Book(book.path, book.now, create=False, run=Run(str(random.random()), "another command"))


def test_a_copy_in_which_nothing_was_done_changes_nothing(forked: Forked) -> None:
    this, other = forked
    before = state(this)
    done = join(this, other)
    assert (done.differences, done.undecided, done.backup, done.is_done) == ((), (), None, True)
    assert state(this) == before


@pytest.mark.slow
def test_what_was_done_on_either_computer_is_in_both_books_after(forked: Forked) -> None:
    this, other = forked
    records.add(this, kinds.SITE, {"title": "Salt flat"})
    note_keepers(this, None, "0412", {"support": Support.TRIPOD})
    records.add(other, kinds.SITE, {"title": "Slate coast"})
    note_keepers(other, None, "0413", {"support": Support.BRACED})
    records.remove(other, kinds.SHOT, "bridge-rough", with_dependents=True)
    done = join(this, other)
    assert dict(done.counts) == {("added", "site"): 1, ("changed", "keeper"): 1, ("removed", "shot"): 1}
    assert [one.why for one in listed(this.path)] == [Why.MERGE]
    assert join(other, this).undecided == ()
    assert nouns(this) == nouns(other)
    for book in forked:
        assert not checks.check_book(book).wrong
        before = state(book)
        assert join(book, other if book is this else this).differences == ()
        assert state(book) == before, "merging again changes nothing"


def test_the_other_book_is_not_written_and_nothing_is_left_beside_it(forked: Forked, tmp_path: Path) -> None:
    this, other = forked
    records.add(other, kinds.SITE, {"title": "Slate coast"})
    folder = other.path.parent
    before = {path.name: (path.read_bytes(), path.stat().st_mtime_ns) for path in folder.iterdir()}
    folder.chmod(0o555)
    other.path.chmod(0o444)
    join(this, other)
    folder.chmod(0o755)
    assert {path.name: (path.read_bytes(), path.stat().st_mtime_ns) for path in folder.iterdir()} == before


@pytest.mark.slow
def test_where_both_say_otherwise_nothing_is_merged_until_somebody_decides(forked: Forked) -> None:
    this, other = forked
    note_keepers(this, None, "0412", {"support": Support.TRIPOD, "note": "same"})
    note_keepers(other, None, "0412", {"support": Support.BRACED, "note": "same"})
    records.add(other, kinds.SITE, {"title": "Slate coast"})
    before = state(this)
    done = join(this, other)
    (conflict,) = done.undecided
    assert (conflict.name, conflict.fields) == ("trn-0412", (("support", "tripod", "braced"),))
    assert not done.is_done
    assert state(this) == before
    assert listed(this.path) == ()
    told = join(this, other, "other", dry_run=True)
    assert [side for _, side in told.decided] == [Side.OTHER]
    assert state(this) == before
    join(this, other, "newer")
    with this.reading() as desk:
        assert desk.keepers.all(slug="trn-0412")[0].support is Support.BRACED
        assert len(desk.sites.all()) == 2


@pytest.mark.slow
@pytest.mark.parametrize(("prefer", "kept"), [("this", False), ("other", True)])
def test_a_record_removed_here_and_edited_there_is_a_conflict(
    forked: Forked, prefer: str, kept: bool
) -> None:
    this, other = forked
    records.remove(this, kinds.KEEPER, "trn-0412", with_dependents=True)
    note_keepers(other, None, "0412", {"support": Support.BRACED})
    assert [one.clash for one in join(this, other).undecided] == ["removed in one, edited in the other"]
    join(this, other, prefer)
    with this.reading() as desk:
        assert bool(desk.keepers.all(slug="trn-0412")) == kept
    join(other, this)
    assert nouns(this) == nouns(other)


@pytest.mark.slow
def test_what_is_kept_against_its_removal_keeps_the_links_that_the_removal_cut(forked: Forked) -> None:
    this, other = forked
    note_keepers(this, None, "0412", {"shot": "bridge-flow"})
    join(other, this)
    records.remove(this, kinds.SHOT, "bridge-flow", with_dependents=True)
    records.edit(other, kinds.SHOT, "bridge-flow", {"intent": "as silk"})
    with this.reading() as desk:
        assert [one.shot_id for one in desk.keepers.all(slug="trn-0412")] == [None]
    join(this, other, "other")
    with this.reading() as desk:
        (keeper,), (shot,) = desk.keepers.all(slug="trn-0412"), desk.shots.all(slug="bridge-flow")
    assert keeper.shot_id == shot.id
    join(other, this)
    assert nouns(this) == nouns(other)
    assert not checks.check_book(this).wrong


@pytest.mark.slow
def test_a_link_that_was_cut_comes_back_to_no_outcome_that_was_stated_anew(forked: Forked) -> None:
    """Only a shot that was replaced has something in its place."""
    this, other = forked
    outcome_of(this, OutcomeSaid(OutcomeWord.REPLACED, (), None, "bridge-rough"))
    join(other, this)
    records.remove(this, kinds.SHOT, "bridge-rough", with_dependents=True)
    outcome_of(this, OutcomeSaid(OutcomeWord.MADE))
    records.edit(other, kinds.SHOT, "bridge-rough", {"intent": "as silk"})
    join(this, other, "other")
    with this.reading() as desk:
        (outcome,) = desk.outcomes.all()
    assert (outcome.word, outcome.replaced_by_shot_id) == (OutcomeWord.MADE, None)
    assert not checks.check_book(this).wrong


def outcome_of(book: Book, said: OutcomeSaid) -> None:
    """State what became of the flowing bridge."""
    with book.writing() as desk:
        record_outcome(desk, records.find(desk, kinds.SHOT, "bridge-flow"), said, book)


@pytest.mark.slow
def test_a_place_that_is_gone_here_and_visited_there_is_a_conflict(forked: Forked) -> None:
    this, other = forked
    records.remove(this, kinds.VIEWPOINT, "dune-crest", with_dependents=True)
    fields = {"viewpoint": "dune-crest", "on_date": datetime(2031, 10, 15, tzinfo=UTC).date()}
    add_to_trip(other, kinds.VISIT, None, fields, None)
    (conflict,) = join(this, other).undecided
    assert conflict.clash == "removed in one, needed in the other"
    assert (conflict.name, conflict.needed_by) == ("dune-crest", ("visit", "dune-crest-2031-10-15"))
    join(this, other, "other")
    with this.reading() as desk:
        assert len(desk.visits.all()) == 1
        assert "dune-crest" in desk.viewpoints.slugs()
    assert not checks.check_book(this).wrong
    join(other, this)
    assert nouns(this) == nouns(other)


def test_one_name_for_two_things_is_parted_alike_on_both_computers(forked: Forked) -> None:
    this, other = forked
    records.add(other, kinds.SITE, {"title": "Salt flat", "region": "south"})
    records.add(this, kinds.SITE, {"title": "Salt flat", "region": "north"})
    here, there = join(this, other), join(other, this)
    assert [(one.old, one.new) for one in here.renamed] == [("salt-flat", "salt-flat-2")]
    with this.reading() as desk:
        assert {one.slug: one.region for one in desk.sites.all() if one.region} == {
            "salt-flat": "north",
            "salt-flat-2": "south",
        }
    assert nouns(this) == nouns(other)
    assert there.undecided == ()


@pytest.mark.slow
def test_a_picture_taken_in_on_both_computers_is_one_keeper(
    forked: Forked, tmp_path: Path, picture: Callable[..., Path]
) -> None:
    this, other = forked
    for book, folder in ((this, "laptop"), (other, "studio-disk")):
        picture(tmp_path / folder / "NEW_0001.JPG", look=77)
        take_in(book, tmp_path / folder, trip=None)
    before = {
        book.path: str(tmp_path / folder) for book, folder in ((this, "laptop"), (other, "studio-disk"))
    }
    join(this, other)
    join(other, this)
    held = []
    for book in forked:
        with book.reading() as desk:
            (one,) = desk.keepers.all(file="NEW_0001.JPG")
            assert one.path.startswith(before[book.path]), "each computer knows its own place"
            held.append(one.id)
    assert held[0] == held[1]


def test_a_merge_is_taken_back_to_the_bit_and_can_be_done_again(forked: Forked) -> None:
    this, other = forked
    note_keepers(this, None, "0412", {"support": Support.TRIPOD})
    note_keepers(other, None, "0412", {"support": Support.BRACED})
    records.remove(other, kinds.VIEWPOINT, "dune-crest", with_dependents=True)
    records.add(other, kinds.SITE, {"title": "Slate coast"})
    before = state(this)
    join(later(this), other, "other")
    after = nouns(this)
    assert after != {name: rows for name, rows in before.items() if name not in TABLES}
    undo.undo(later(this))
    assert state(this) == before
    assert checks.check_index(this).in_step
    join(later(this), other, "other")
    assert nouns(this) == after


@pytest.mark.slow
def test_a_decision_holds_only_for_what_was_decided_on(forked: Forked) -> None:
    this, other = forked
    records.edit(other, kinds.TRIP, "valley", {"purpose": "other"})
    records.edit(this, kinds.TRIP, "valley", {"purpose": "this"})

    def decide(_conflict: Conflict) -> Side:
        records.edit(later(this), kinds.TRIP, "valley", {"summary": "written in another window meanwhile"})
        return Side.OTHER

    with pytest.raises(ConflictError, match="Another window changed the book during the merge"):
        merges.merge(this, other.path, decide)
    with this.reading() as desk:
        (trip,) = desk.trips.all(slug="valley")
        assert (trip.purpose, trip.summary) == ("this", "written in another window meanwhile")


@pytest.mark.slow
def test_a_change_that_was_taken_back_stays_so_on_the_other_computer(forked: Forked) -> None:
    this, other = forked
    note_keepers(this, None, "0412", {"support": Support.TRIPOD})
    records.add(later(this), kinds.SITE, {"title": "Salt flat"})
    join(other, this)
    undo.undo(later(this))
    undo.undo(later(this))
    assert join(other, this).undecided == ()
    with other.reading() as desk:
        assert desk.keepers.all(slug="trn-0412")[0].support is None
        assert "salt-flat" not in desk.sites.slugs()
    assert join(this, other).differences == ()


def test_a_day_file_read_on_both_computers_is_one_day(forked: Forked, tmp_path: Path) -> None:
    this, other = forked
    day = tmp_path / "2031-10-14.md"
    day.write_text(
        "---\ntrip: valley\ndate: 2031-10-14\n---\nIce.\n\n## Quarry ledge 17:20-18:45\n- crowd: dozens\n"
        "- tries: 14\n- shot bridge-flow: partly, light\n- lesson change: come early\n- not understood: x\n",
        encoding="utf-8",
    )
    read_day(this, day, trip=None)
    before = {name: len(rows) for name, rows in nouns(this).items()}
    day.write_text(day.read_text(encoding="utf-8").replace("Ice.\n", "Ice.\nAnd wind.\n"), encoding="utf-8")
    read_day(other, day, trip=None)
    join(this, other, "other")
    join(other, this, "this")
    for book in (this, other):
        assert {name: len(rows) for name, rows in nouns(book).items()} == before
    assert nouns(this) == nouns(other)
    again = read_day(later(this), day, trip=None)
    assert (again.added, again.changed, again.removed, again.elsewhere) == (0, 0, 0, ())


def test_an_import_that_was_taken_back_is_no_removal(forked: Forked, tmp_path: Path) -> None:
    this, other = forked
    records.add(other, kinds.SITE, {"title": "Salt flat"})
    with other.reading() as desk:
        text = json_text(to_document(book_records(desk), private=True))
    import_document(later(this), from_document(parse_json(text, "a.json"), "a.json"), "a.json")
    undo.undo(later(this))
    join(this, other)
    with this.reading() as desk:
        assert "salt-flat" in desk.sites.slugs()


@pytest.mark.slow
def test_a_removal_that_was_taken_back_comes_back_on_the_other_computer(forked: Forked) -> None:
    this, other = forked
    records.remove(later(this), kinds.KEEPER, "trn-0412", with_dependents=True)
    join(other, this)
    undo.undo(later(this))
    assert join(other, this).undecided == ()
    with other.reading() as desk:
        assert desk.keepers.all(slug="trn-0412")


def columns_of(connection: Any, table: str) -> set[str]:
    return {row[1] for row in connection.execute(f"PRAGMA table_info('{table}')")}


def taken_back(path: Path, version: int) -> None:
    """Make a book what it was at an earlier version: its tables as they were then, with their rows."""
    earlier = older_book(path.with_name("earlier.sqlite"), version)
    with closing(sqlite3.connect(earlier)) as connection:
        connection.execute("ATTACH ? AS later", (str(path),))
        for table in NOUNS:
            kept = ", ".join(sorted(columns_of(connection, table)))
            connection.execute(f"INSERT INTO main.{table} ({kept}) SELECT {kept} FROM later.{table}")
        connection.commit()
    for left in path.parent.glob(f"{path.name}-*"):
        left.unlink()
    earlier.replace(path)


def test_a_book_that_is_behind_is_read_and_stays_behind(forked: Forked) -> None:
    this, other = forked
    records.add(other, kinds.SITE, {"title": "Slate coast"})
    taken_back(other.path, 5)
    before = other.path.read_bytes()
    done = join(this, other)
    assert dict(done.counts) == {("added", "site"): 1}
    assert other.path.read_bytes() == before


def damaged(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:20_000])


def of_tomorrow(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA user_version = {CURRENT + 1}")


def with_a_row_that_cannot_be(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE kit SET kind = 'sofa'")
        connection.commit()


@pytest.mark.parametrize(
    ("spoil", "said"),
    [(damaged, "is damaged"), (of_tomorrow, "newer version"), (with_a_row_that_cannot_be, "is damaged"),
     (Path.unlink, "There is no")],
)  # fmt: skip
def test_a_book_that_is_not_sound_is_not_merged(
    forked: Forked, spoil: Callable[[Path], None], said: str
) -> None:
    this, other = forked
    before = state(this)
    spoil(other.path)
    with pytest.raises((BookError, NotFoundError), match=said):
        join(this, other)
    assert state(this) == before


def test_a_book_is_not_merged_with_itself(forked: Forked) -> None:
    with pytest.raises(WrongUseError, match="is this book itself"):
        join(forked[0], forked[0])


@pytest.mark.slow
def test_whoever_writes_while_another_decides_is_not_written_over(forked: Forked) -> None:
    this, other = forked
    note_keepers(this, None, "0412", {"support": Support.TRIPOD})
    note_keepers(other, None, "0412-0413", {"support": Support.BRACED})

    def think(_conflict: Conflict) -> Side:
        note_keepers(later(this), None, "0413", {"support": Support.HANDHELD})
        return Side.OTHER

    with pytest.raises(ConflictError, match="Another window changed the book during the merge"):
        merges.merge(this, other.path, think)
    with this.reading() as desk:
        assert desk.keepers.all(slug="trn-0413")[0].support is Support.HANDHELD


def written(pen: Pen, path: Path, now: Callable[[], datetime]) -> Book:
    """A book on the disk with the rows that a pen wrote, and what it knows of versions."""
    book = Book(path, now, create=True)
    with closing(sqlite3.connect(path)) as connection:
        for table, rows in pen.rows.items():
            for row in rows.values():
                names, marks = ", ".join(f'"{name}"' for name in row), ", ".join("?" * len(row))
                connection.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", tuple(row.values()))
        connection.execute("DELETE FROM earlier")
        for one, versions in pen.earlier.items():
            for version in sorted(versions):
                connection.execute("INSERT INTO earlier (id, version) VALUES (?, ?)", (one, version))
        for one, removals in pen.removals.items():
            for removal in removals:
                connection.execute(
                    "INSERT INTO removal (id, table_name, at, became) VALUES (?, ?, ?, ?)", (one, *removal)
                )
        connection.commit()
    return book


@pytest.mark.slow
@settings(max_examples=examples(0.06))
@given(HISTORIES)
def test_what_is_written_is_what_was_worked_out_and_goes_back_whole(
    tmp_path_factory: pytest.TempPathFactory, histories: Any
) -> None:
    folder = tmp_path_factory.mktemp("merge")
    pens = two(histories, 1000, apart=False)
    now = tick(datetime(2031, 12, 1, tzinfo=UTC))
    this, other = (written(pen, folder / f"{pen.side}.sqlite", now) for pen in pens)
    with this.writing():
        pass  # what the pen wrote is one change
    before = state(this)
    copy = copy_of(this)
    result = merged(copy_of(this), copy_of(other), newer)
    done = merges.merge(later(this), other.path, newer)
    after = copy_of(this)
    wanted = as_copy(result, copy)
    assert after.rows == wanted.rows
    assert after.earlier == wanted.earlier
    assert {one: set(found) for one, found in after.removals.items()} == {
        one: set(found) for one, found in wanted.removals.items()
    }
    assert {one.kind for one in checks.check_book(this).wrong} <= {checks.CheckArea.ORIGINAL}
    if done.differences:
        undo.undo(later(this))
        assert state(this) == before


MERGE = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from logbook.services.books.merges import PREFERRED, merge
from logbook.store.book import Book
from tests.services.adding import add_to_trip
book = Book(Path(sys.argv[1]), lambda: datetime.now(UTC), create=False)
print("ready", flush=True)
merge(book, Path(sys.argv[2]), PREFERRED["newer"])
"""


@pytest.mark.slow
@pytest.mark.parametrize("kills", [25])
def test_a_merge_killed_at_any_moment_is_done_or_not_and_can_be_done_again(
    forked: Forked, tmp_path: Path, kills: int
) -> None:
    this, other = forked
    note_keepers(this, None, "0412", {"support": Support.TRIPOD})
    note_keepers(other, None, "0412-0419", {"support": Support.BRACED})
    for number in range(150):
        records.add(other, kinds.SITE, {"title": f"Site {number}"})
    before = tmp_path / "before.sqlite"
    shutil.copyfile(this.path, before)
    old = nouns(this)
    join(this, other, "newer")
    new = nouns(this)
    for number in range(kills):
        for suffix in ("", "-wal", "-shm"):
            Path(f"{this.path}{suffix}").unlink(missing_ok=True)
        shutil.copyfile(before, this.path)
        program = subprocess.Popen(
            [sys.executable, "-c", MERGE, str(this.path), str(other.path)],
            stdout=subprocess.PIPE,
            cwd=Path(__file__).parents[3],
        )
        assert program.stdout is not None
        program.stdout.readline()
        time.sleep(random.Random(number).uniform(0, 0.6))
        os.kill(program.pid, signal.SIGKILL)
        program.communicate()
        assert nouns(this) in (old, new)
        assert not checks.check_book(this).wrong
    join(this, other, "newer")
    assert nouns(this) == new


def test_content_leaves_out_what_belongs_to_one_computer() -> None:
    row = {"also": '["abc  /a/x.dng"]', "path": "/a/x.jpg", "updated": "1", "note": "n"}
    assert content("keeper", row) == {"also": ["abc"], "note": "n"}
