"""In again: taking an export of ours into a book, all of it or nothing.

One surprising decision: a record that the book already has is never written over. The same content is passed
by, so that importing it again changes nothing; other content is a conflict, and the whole import is refused.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from logbook.domain.errors import ConflictError
from logbook.domain.kinds import DocumentError
from logbook.domain.record import Record
from logbook.domain.said import field_words
from logbook.domain.shot import Shot
from logbook.services.exports.book_json import (
    BookDocument,
    book_records,
    from_document,
    plain_record,
    references_of,
    shelf_of,
)
from logbook.services.exports.json_text import read_json
from logbook.store.book import Book, is_sqlite
from logbook.store.copied_out import copied_out
from logbook.store.desk import SHELVES, Desk
from logbook.store.tables import unique_fields

LISTED = 8  # how many conflicts a refusal names
NOT_COMPARED = frozenset(("updated",))  # when a record was last written says nothing of what it says


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import did, or would do: counts by list, and what the document said of itself."""

    added: Mapping[str, int]
    same: Mapping[str, int]
    private: bool
    trip: str | None
    dry_run: bool


def read_document(path: Path) -> BookDocument:
    """Return what an exported JSON file holds; UnreadableFileError says what is wrong and where in it."""
    return from_document(read_json(path), str(path))


def read_export_or_book(path: Path, now: Callable[[], datetime]) -> BookDocument:
    """Return what an exported JSON file, or another book, holds.

    Of a book only the rows are read: nothing that somebody may have planted in it runs, and it may be one
    that this program refuses to open.
    """
    if not is_sqlite(path):
        return read_document(path)
    with copied_out(path, now) as copy, copy.reading() as desk:
        return BookDocument(private=True, trip=None, records=book_records(desk))


def import_document(book: Book, document: BookDocument, file: str, *, dry_run: bool = False) -> Imported:
    """Take a document into a book; running it again changes nothing.

    Raises DocumentError where a record refers to one that is nowhere, and ConflictError with a list where the
    book holds something else under an id, or a record in the way.
    """
    opened = book.reading() if dry_run else book.writing(taken_in=True)
    with opened as desk:
        held = {name: {one.id: one for one in found} for name, found in book_records(desk).items()}
        fresh = {
            name: tuple(one for one in found if one.id not in held[name])
            for name, found in document.records.items()
        }
        _check_references(document, held, file)
        _refuse(list(_conflicts(desk, document, held)), file)
        if not dry_run:
            _put(desk, fresh)
        added = {name: len(found) for name, found in fresh.items()}
        same = {name: len(found) - added[name] for name, found in document.records.items()}
        return Imported(added, same, document.private, document.trip, dry_run)


Held = Mapping[str, Mapping[str, Any]]


def same_content(one: Record, other: Record) -> bool:
    """Whether two records say the same, whenever they were last written."""
    first, second = plain_record(one), plain_record(other)
    return all(first[name] == second[name] for name in first if name not in NOT_COMPARED)


def _check_references(document: BookDocument, held: Held, file: str) -> None:
    known = {name: {*held[name], *(one.id for one in document.records[name])} for name in SHELVES}
    for name, found in document.records.items():
        for at, one in enumerate(found):
            for target, wanted in references_of(one):
                if wanted not in known[target]:
                    raise DocumentError(
                        file,
                        f"{name}[{at}] refers to {target} {wanted}, which is neither in the file nor "
                        f"in the book.",
                    )


def _conflicts(desk: Desk, document: BookDocument, held: Held) -> Iterator[str]:
    for name, found in document.records.items():
        keys = unique_fields(shelf_of(desk, name).table)
        taken = {
            (key, tuple(getattr(one, field) for field in key)): one
            for one in held[name].values()
            for key in keys
        }
        for at, one in enumerate(found):
            here = f"{_word(name)} {getattr(one, 'slug', None) or f'number {at + 1}'}"
            if one.id in held[name]:
                if not same_content(held[name][one.id], one):
                    fields = [field_words(field) for field in differing(held[name][one.id], one)]
                    yield f"{here} ({', '.join(fields)} {'differs' if len(fields) == 1 else 'differ'})"
                continue
            for key in keys:
                other = taken.setdefault((key, tuple(getattr(one, field) for field in key)), one)
                if other.id != one.id:
                    yield f"{here} has the same {' and '.join(key)} as the {_word(name)} with id {other.id}"
                    break


def differing(one: Record, other: Record) -> list[str]:
    """Return the names of the fields in which two records differ."""
    first, second = plain_record(one), plain_record(other)
    return [name for name in first if name not in NOT_COMPARED and first[name] != second[name]]


def _word(name: str) -> str:
    return name.removesuffix("s").replace("_", " ")


def _refuse(conflicts: list[str], file: str) -> None:
    if not conflicts:
        return
    more = f"; and {len(conflicts) - LISTED} more" if len(conflicts) > LISTED else ""
    raise ConflictError(
        f"{file} contradicts the book, so nothing was imported: "
        f"{'; '.join(conflicts[:LISTED])}{more}. "
        "Import it into a new book (--book FILE) to compare the two, or merge that book into this one."
    )


def _put(desk: Desk, fresh: Mapping[str, tuple[Any, ...]]) -> None:
    for name in SHELVES:
        records = fresh[name]
        if name == "shots":  # one shot may refer to another that comes later
            desk.shots.add(*(replace(shot, fallback_for_id=None, continues_id=None) for shot in records))
            for shot in records:
                if isinstance(shot, Shot) and (shot.fallback_for_id or shot.continues_id):
                    desk.shots.put(shot)
        else:
            shelf_of(desk, name).add(*records)
