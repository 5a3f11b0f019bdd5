"""Exporting: a trip, or a whole book, in one of the open formats.

One surprising decision: every format but JSON is written from an account, and what others may not know has
left the account before; a format knows nothing of privacy.
"""

from collections.abc import Callable
from dataclasses import dataclass

from logbook.domain.account import TripAccount
from logbook.domain.errors import WrongUseError
from logbook.domain.export_format import ExportFormat
from logbook.domain.record import Record
from logbook.domain.shown import Shown, Struck
from logbook.services.accounts import account_in
from logbook.services.exports.book_json import Records, book_records, to_document, trip_records
from logbook.services.exports.for_others import exported, track_records
from logbook.services.exports.json_text import json_text
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

PRIVATE = "private-"  # begins the names of files that are for nobody else


@dataclass(frozen=True, slots=True)
class ExportedFile:
    """One file of an export: its name, and its text with the line ends that its format asks for."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class Export:
    """What an export gives; `private` says that nothing was left out for others' sake, `struck` what was."""

    trip: str | None
    private: bool
    files: tuple[ExportedFile, ...]
    struck: tuple[Struck, ...] = ()


def export_book(book: Book) -> Export:
    """Return the whole book as JSON: a faithful copy, which holds everything."""
    with book.reading() as desk:
        text = json_text(to_document(book_records(desk), private=True))
    return Export(None, True, (ExportedFile(f"{PRIVATE}book.json", text),))


def export_trip(book: Book, trip: str | None, form: ExportFormat, *, private: bool) -> Export:
    """Return one trip in a format; raises NotFoundError for an unknown trip."""
    with book.reading() as desk:
        account = account_in(desk, the_trip(desk, trip))
        shown = exported(account, private=private)
        slug = shown.trip.slug
        begins = PRIVATE if private else ""
        if form is ExportFormat.MARKDOWN:
            from logbook.services.exports.days_markdown import day_files

            files = tuple(ExportedFile(f"{begins}{name}", text) for name, text in day_files(shown))
        else:
            text = (
                _json(desk, account, shown, private=private)
                if form is ExportFormat.JSON
                else _writer(form)(shown)
            )
            files = (ExportedFile(f"{begins}{slug}.{form.suffix}", text),)
    if not files:
        raise WrongUseError(f"The trip {slug} has no days to write yet.")
    return Export(slug, private, files, shown.struck)


def _json(desk: Desk, account: TripAccount, shown: Shown, *, private: bool) -> str:
    records = trip_records(desk, account) if private else _records_of(desk, shown)
    return json_text(to_document(records, private=private, trip=shown.trip.slug))


def _records_of(desk: Desk, account: Shown) -> Records:
    """Return the records of a blurred account, each list in the order in which records are kept."""
    found: dict[str, tuple[Record, ...]] = {
        "trips": (account.trip,),
        "sites": tuple(account.sites.values()),
        "viewpoints": tuple(account.viewpoints.values()),
        "shots": account.shots,
        "keepers": account.keepers,
        "sets": (*account.sets, *account.apart),
        "outcomes": tuple(account.outcomes.values()),
        "visits": account.visits,
        "conditions": account.conditions,
        "lessons": account.lessons,
        "days": account.days,
        "tracks": track_records(account, desk.tracks.all(trip_id=account.trip.id)),
    }
    return {name: tuple(sorted(ones, key=lambda one: (one.created, one.id))) for name, ones in found.items()}


def _writer(form: ExportFormat) -> Callable[[Shown], str]:
    match form:
        case ExportFormat.CSV:
            from logbook.services.exports.settings_csv import settings_csv as write
        case ExportFormat.GPX:
            from logbook.services.exports.gpx import gpx_text as write
        case ExportFormat.GEOJSON:
            from logbook.services.exports.geojson import geojson_text as write
        case ExportFormat.KML:
            from logbook.services.exports.kml import kml_text as write
        case ExportFormat.ICS:
            from logbook.services.exports.calendar import calendar_text as write
        case _:
            raise NotImplementedError(f"There is no writer for the format {form}.")
    return write
