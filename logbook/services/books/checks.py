"""Checks of a book, and putting right what can be put right.

One surprising decision: nothing that a person wrote is removed. What is derived is rebuilt, a reference to
nothing becomes unknown; everything else is told, with what a person can do about it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from pathlib import Path
from typing import Any

from logbook.domain.day import is_backwards
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.record import Record
from logbook.domain.shot import LONGEST_EXPOSURE_S, Shot
from logbook.domain.visit import Visit
from logbook.services.clocks.doubts import time_doubts
from logbook.services.keepers.originals import Progress, check_originals
from logbook.services.keepers.picture_files import files_of
from logbook.services.light.frame_light import light_doubts
from logbook.store import backups
from logbook.store.book import Book
from logbook.store.checks import BrokenReference, Dangling, Unreadable
from logbook.store.desk import Desk, RecordReference
from logbook.store.shelf import Shelf
from logbook.store.soundness import Soundness
from logbook.store.text_index.keeping import Differences

LINES_TOLD = 20  # lines of SQLite's own check that are told; more say no more
SLACK = timedelta(days=1)  # a clock may be wrong by a zone
_RANGES = {  # field of a keeper to its words, the range that a camera can mean, and its unit
    "f_number": ("an aperture of f/", 0.1, 1000.0, ""),
    "iso": ("ISO ", 1, 100_000_000, ""),
    "focal_mm": ("a focal length of ", 0.1, 100_000.0, " mm"),
    "direction_deg": ("a bearing of ", 0.0, 360.0, "°"),
    "altitude_m": ("an elevation of ", -12_000.0, 50_000.0, " m"),
}


class CheckArea(StrEnum):
    """What was checked."""

    FILE = "file"
    REFERENCE = "reference"
    SET = "set"
    ROW = "row"
    VALUE = "value"
    INDEX = "index"
    ORIGINAL = "original"
    LIGHT = "light"
    TIME = "time"
    TO_SORT_OUT = "to sort out"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found: where, what, and what a repair does about it, if anything can be done."""

    kind: CheckArea
    where: str
    what: str
    id: str | None = None
    repair: str | None = None
    fix: Callable[[Desk, Book], None] | None = None
    is_changed: bool = False  # the record is not what was written

    @property
    def is_wrong(self) -> bool:
        """Whether the book is not as it should be; what waits for a person to judge is no fault."""
        return self.kind not in (CheckArea.TO_SORT_OUT, CheckArea.LIGHT, CheckArea.TIME)


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check found, how much was looked at, and how the text index compares."""

    findings: tuple[Finding, ...]
    records: int
    originals: int
    by_hash: bool
    index: Differences | None
    unread: int = 0  # files whose content was never compared on this machine

    @property
    def wrong(self) -> tuple[Finding, ...]:
        """The findings that are faults."""
        return tuple(one for one in self.findings if one.is_wrong)


@dataclass(frozen=True, slots=True)
class Repaired:
    """What a repair did, where the book as it was before lies, and what a second look finds."""

    done: tuple[Finding, ...]
    backup: Path | None
    after: Checked


def check_index(book: Book) -> Differences:
    """Compare the text index with a fresh one; changes nothing."""
    with book.deriving() as desk:  # its own check of soundness wants the right to write
        return desk.index.differences()


def rebuild_index(book: Book) -> Differences:
    """Rebuild the text index and return how it compares: it is in step unless the file is damaged."""
    book.make_anew()
    return check_index(book)


def check_book(
    book: Book, *, by_hash: bool = False, progress: Progress = lambda _done, _total: None
) -> Checked:
    """Look at everything that can be wrong with a book; changes nothing."""
    found = book.look_through()
    findings = list(_of_file(book, found))
    if not found.may_read:  # a reference to nothing may only look so: nothing further is said, or put right
        return Checked(tuple(findings), 0, 0, by_hash, None, 0)
    with book.reading() as desk:
        if desk.journal.is_odd():
            what = "the history that undo needs was not written by this program"
            findings.append(Finding(CheckArea.FILE, book.path.name, what, None, "it is discarded", _forget))
        findings += [_of_reference(one) for one in desk.checks.broken_references()]
        findings += [_of_set(one) for one in desk.checks.dangling_sets()]
        records: list[Any] = []
        for shelf in desk.shelves():
            for one in desk.checks.records(shelf):
                if isinstance(one, Unreadable):
                    findings.append(Finding(CheckArea.ROW, one.table, one.why, one.id))
                else:
                    records.append((shelf, one))
        findings += _of_values(records, book)
        keepers = [one for _, one in records if isinstance(one, Keeper)]
        known = desk.known_files.of(path for one in keepers for path in files_of(one))
        if all(one.kind is not CheckArea.ROW for one in findings):  # else the places may not be readable
            findings += _of_light(desk, keepers)
    originals = list(check_originals(keepers, known, by_hash=by_hash, progress=progress))
    findings += [
        Finding(CheckArea.ORIGINAL, f"keeper {one.keeper.slug}", one.words, one.keeper.id)
        for one in originals
        if one.is_wrong
    ]
    unread = sum(not one.is_wrong for one in originals)
    index, of_index = _of_index(book, is_readable=all(one.kind is not CheckArea.ROW for one in findings))
    return Checked((*findings, *of_index), len(records), len(keepers), by_hash, index, unread)


def repair_book(
    book: Book,
    found: Checked,
    progress: Progress = lambda _done, _total: None,
    *,
    accept: bool = False,
) -> Repaired:
    """Do what can be done about what a check found, after a backup.

    What follows from the records is rebuilt first, in one transaction; the rest is another one. With
    `accept` records that are not what was written are taken as they are now.
    """
    done = tuple(one for one in found.findings if one.fix is not None or (accept and one.is_changed))
    if not done:
        return Repaired((), None, check_book(book, by_hash=found.by_hash, progress=progress))
    backup = backups.make(book.path, book.now(), backups.Why.REPAIR)
    if any(one.fix is _anew or one.is_changed for one in done):
        book.make_anew(keep_seals=not accept)
        found = check_book(book, by_hash=found.by_hash)  # what looked wrong by a damaged index need not be
    fixes = [one for one in found.findings if one.fix not in (None, _anew)]
    if fixes:
        with book.writing() as desk:
            for one in fixes:
                if one.fix is not None:
                    one.fix(desk, book)
    done = (*(one for one in done if one.fix is _anew or one.is_changed), *fixes)
    return Repaired(done, backup, check_book(book, by_hash=found.by_hash, progress=progress))


def _of_file(book: Book, found: Soundness) -> Iterator[Finding]:
    """What the file itself shows: SQLite's own words, what is missing, and records that nobody wrote so."""
    name = book.path.name
    again = None if found.records else "everything derived from the records is rebuilt"
    fix = None if found.records else _anew
    # Pages that nothing uses are what a damaged index left when it was set aside: told with it.
    lines = [line for line in found.lines if not (found.index and "never used" in line)]
    for line in lines[:LINES_TOLD]:
        yield Finding(CheckArea.FILE, name, line, None, again, fix)
    for missing in found.missing:
        yield Finding(CheckArea.FILE, name, f"it has no {missing}", None, again, fix)
    if found.seals:
        yield Finding(CheckArea.FILE, name, "the checksums of its records are damaged", None, again, fix)
    for table, record_id in found.changed:
        yield Finding(
            CheckArea.ROW, table, "it was changed from outside, or is gone", record_id, is_changed=True
        )


def _anew(_desk: Desk, _book: Book) -> None:
    """A placeholder: rebuilding the file happens outside any transaction."""


def _of_reference(one: BrokenReference) -> Finding:
    what = f"its {one.column.removesuffix('_id').replace('_', ' ')} is not in the book"
    if one.needed:
        return Finding(CheckArea.REFERENCE, one.table, what, one.id)

    def fix(desk: Desk, _book: Book) -> None:
        desk.let_go(RecordReference(one.table, one.id, "", one.column, needed=False))

    return Finding(CheckArea.REFERENCE, one.table, what, one.id, "the reference is set to unknown", fix)


def _of_set(one: Dangling) -> Finding:
    def fix(desk: Desk, book: Book) -> None:
        group = desk.sets.get(one.id)
        if isinstance(group, KeeperSet):
            left = group.without(one.missing, book.now())
            if left is None:
                desk.sets.remove([one.id])
            else:
                desk.sets.put(left)

    return Finding(
        CheckArea.SET,
        "keeper set",
        f"{len(one.missing)} of its {len(one.keeper_ids)} keepers are not in the book",
        one.id,
        "the set keeps the rest, or is dropped if fewer than two are left",
        fix,
    )


def _of_values(records: list[tuple[Shelf[Any], Any]], book: Book) -> list[Finding]:
    now = book.now()
    found = []
    for shelf, record in records:
        name = f"{shelf.table.name.replace('_', ' ')} {getattr(record, 'slug', '')}".strip()
        found += [Finding(CheckArea.VALUE, name, what, record.id) for what in impossible(record, now)]
        if shelf.table.name == "loose_line":
            where = f"{record.file} line {record.line}"
            found.append(
                Finding(CheckArea.TO_SORT_OUT, where, f"{record.text.strip()} ({record.why})", record.id)
            )
    return found


def _of_light(desk: Desk, keepers: list[Keeper]) -> list[Finding]:
    light = light_doubts(desk, keepers)
    to_come = desk.now().replace(tzinfo=None)  # a picture from the future is a finding of its own
    doubted = time_doubts(desk, keepers).items()
    time = {key: one for key, one in doubted if one.turn is not None or one.reading < to_come}
    return [
        Finding(kind, f"keeper {one.slug}", doubts[one.id].reason, one.id)
        for kind, doubts in ((CheckArea.LIGHT, light), (CheckArea.TIME, time))
        for one in keepers
        if one.id in doubts
    ]


def _of_index(book: Book, *, is_readable: bool) -> tuple[Differences | None, list[Finding]]:
    fix, again = _anew, "it is rebuilt from the book"
    if book.index_is_damaged:
        what = "it is damaged; the book works without it"
        return None, [Finding(CheckArea.INDEX, "search index", what, None, again, fix)]
    try:
        with book.deriving():
            pass  # changes by another program comes into the index with the next transaction: no fault
        index = check_index(book)
    except Exception as error:  # it reads every row, so a row that cannot be read stops it too
        what = f"it cannot be compared with the book ({type(error).__name__})"
        if not is_readable:
            return None, [Finding(CheckArea.INDEX, "search index", what)]
        return None, [Finding(CheckArea.INDEX, "search index", what, None, again, fix)]
    if index.in_step:
        return index, []
    what = f"of {index.documents} documents, {index.missing} are missing, {index.changed} differ, "
    what += f"{index.left_over} are left over" + ("" if index.sound else ", and its list of words is damaged")
    what += f"; {index.tallies} stored counts are out of date" if index.tallies else ""
    return index, [Finding(CheckArea.INDEX, "search index", what, None, again, fix)]


def _forget(desk: Desk, _book: Book) -> None:
    desk.journal.forget()


def impossible(record: Record, now: datetime) -> Iterator[str]:
    """Yield what cannot be about one record."""
    for name in ("created", "updated"):
        if getattr(record, name) > now + SLACK:
            yield f"{name} is in the future ({getattr(record, name):%Y-%m-%d})"
    if isinstance(record, Keeper):
        yield from _of_keeper(record, now)
    if isinstance(record, Shot) and is_backwards(record.window_from, record.window_to):
        yield f"its window ends ({record.window_to:%H:%M}) before it begins ({record.window_from:%H:%M})"
    if isinstance(record, Visit) and is_backwards(record.arrived_at, record.departed_at):
        yield f"its departure ({record.departed_at:%H:%M}) is before its arrival ({record.arrived_at:%H:%M})"


def _of_keeper(keeper: Keeper, now: datetime) -> Iterator[str]:
    if keeper.taken_utc is not None and keeper.taken_utc > now + SLACK:
        yield f"it was taken in the future ({keeper.taken_utc:%Y-%m-%d}); was the camera's clock right?"
    if keeper.exposure_s is not None and not 0 < keeper.exposure_s <= LONGEST_EXPOSURE_S:
        yield f"a shutter speed of {float(keeper.exposure_s):g} s is not possible"
    if keeper.size_bytes <= 0:
        yield "its file is recorded as empty"
    for name, (what, low, high, unit) in _RANGES.items():
        value: Any = getattr(keeper, name)
        if value is not None and not low <= value <= high:
            yield f"{what}{value:g}{unit} is not possible"
