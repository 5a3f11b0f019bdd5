"""Exporting: a trip, or a whole book, in one of the open formats; and what an export for others leaves out.

One surprising decision: every format but JSON is written from an account, and what others may not know has
left the account before; a format knows nothing of privacy. Beside that, all that is of withheld places is
left out: a page says that somebody was at such a place, and a file does not, as a program that reads it could
make nothing of it.
"""

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import UTC
from hashlib import sha256

from logbook.domain.account import TripAccount
from logbook.domain.discretion import account_for
from logbook.domain.errors import WrongUseError
from logbook.domain.formats import ExportFormat
from logbook.domain.record import Record, cut
from logbook.domain.shown import Shown, Struck
from logbook.domain.track import TrackRecord
from logbook.domain.words import Audience
from logbook.services.accounts import account_in
from logbook.services.exports.book_json import Records, book_records, to_document, trip_records
from logbook.services.exports.json_text import json_text
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

PRIVATE = "private-"  # begins the names of files that are for nobody else


def exported(account: TripAccount, *, private: bool) -> Shown:
    """Return a trip as it is written for oneself, or for others; what students may see is the measure."""
    if private:
        return account_for(account, Audience.ARCHIVE)
    return without_withheld(account_for(account, Audience.STUDENTS))


def without_withheld(shown: Shown) -> Shown:
    """Return the account without withheld places, what was done or seen there, and kit."""
    viewpoints, sites = shown.viewpoints, shown.sites
    visits = tuple(one for one in shown.visits if not shown.hides(one.viewpoint_id))
    visit_ids = {one.id for one in visits}
    conditions = tuple(
        cut(one, "visit_id", visit_ids)
        for one in shown.conditions
        if not shown.hides(one.viewpoint_id) and not shown.hides(None, one.site_id)
    )
    told = visit_ids | {one.id for one in conditions}
    left_out = {one.id for one in (*shown.visits, *shown.conditions)} - told
    return replace(
        shown,
        shots=tuple(cut(one, "viewpoint_id", viewpoints) for one in shown.shots),
        visits=visits,
        conditions=conditions,
        lessons=tuple(cut(cut(one, "viewpoint_id", viewpoints), "site_id", sites) for one in shown.lessons),
        keepers=tuple(cut(one, "viewpoint_id", viewpoints) for one in shown.keepers),
        kit={},
        packed=(),
        withheld={},
        struck=tuple(one for one in shown.struck if one.record_id not in left_out),
    )


def track_records(shown: Shown, records: Iterable[TrackRecord]) -> tuple[TrackRecord, ...]:
    """Return the tracks of an account as one record, under the id of the first there was."""
    first = next(iter(records), None)
    if first is None or not shown.tracks:
        return ()
    segments = [
        [[fix.at.astimezone(UTC).isoformat(), fix.latitude_deg, fix.longitude_deg, None] for fix in one]
        for one in shown.tracks
    ]
    points = json.dumps(segments)
    hashed = sha256(points.encode()).hexdigest()
    blurred = replace(first, file="track", hash=hashed, title=None, points=points, doubts=(), provenance={})
    return (blurred,)


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
