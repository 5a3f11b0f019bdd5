"""Questions to an index, and a keeper to be found."""

from collections.abc import Callable
from datetime import date, datetime
from fractions import Fraction
from typing import Any

from logbook.domain.keeper import Keeper
from logbook.domain.words import ConditionKind, Support
from logbook.store.book import Book
from logbook.store.text_index import about
from logbook.store.text_index.asking import Days, FoundDocument
from logbook.store.text_index.clauses import Clause, Phrase, Words, all_of

Clock = Callable[[], datetime]
DAY = date(2031, 10, 14)
NO_DAYS = Days()
CROWD = about.LEVELS[ConditionKind.CROWD]


def ask(book: Book, *clauses: Clause, days: Days = NO_DAYS) -> list[FoundDocument]:
    """Answer all of the clauses."""
    with book.reading() as desk:
        found = desk.index.newest(all_of(desk.index.said(clauses)), days, 100)
        return desk.index.show(found, None)


def slugs(found: list[FoundDocument]) -> set[str | None]:
    return {one.slug for one in found}


def words(text: str) -> Words:
    return Words(Phrase(text))


def keeper(record: dict[str, Any], **more: Any) -> Keeper:
    """A keeper of the shot at the ledge, f/16 and 2 s from a tripod."""
    name = record["id"]
    told: dict[str, Any] = {
        "exposure_s": Fraction(2),
        "f_number": 16.0,
        "support": Support.TRIPOD,
        "filters": ("nd8",),
        "taken_local": datetime(2031, 10, 14, 18, 12),  # noqa: DTZ001  # a camera's clock
        "zone": "Asia/Dushanbe",
        "trip_id": "t",
        "viewpoint_id": "v",
        "shot_id": "p",
    }
    base = {
        "slug": name,
        "file": f"{name}.JPG",
        "path": name,
        "hash": name,
        "size_bytes": 1,
        "format": "JPEG",
    }
    return Keeper(**record, **base, **told | more)
