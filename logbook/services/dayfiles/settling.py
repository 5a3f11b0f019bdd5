"""Lines of day files that were not understood, settled one by one: corrected, kept as journal, or dismissed.

One surprising decision: a corrected line belongs to no file, like whatever else a person says. The same file
read again brings its line back until it is mended there too; then both mean the same record.
"""

from dataclasses import dataclass, replace

from logbook.domain.day import Day, LooseLine
from logbook.domain.errors import InvalidValueError, NotFoundError, WrongUseError
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.services.dayfiles.applying import take_draft
from logbook.services.dayfiles.entries import LineDraft, drafts_of
from logbook.services.dayfiles.reading import DayReading, lines_of
from logbook.services.kinds import VIEWPOINT
from logbook.services.records import edited, find, the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

FIRST_WORDS = "such as crowd, wind, closure, shot, keepers, lesson or tries"
OF_EVERY_VISIT = frozenset(("trip_id", "viewpoint_id", "on_date"))


@dataclass(frozen=True, slots=True)
class LineToSettle:
    """A line that was not understood, and the viewpoint (slug) of the heading that it stood under."""

    line: LooseLine
    viewpoint: str


def lines_to_settle(book: Book, trip: str | None) -> tuple[LineToSettle, ...]:
    """Return the lines of a trip, in order of days, files and lines."""
    with book.reading() as desk:
        lines = desk.loose_lines.all(trip_id=the_trip(desk, trip).id)
        found = [one for one in lines if one.on_date is not None]  # a plan is mended in its file
        found.sort(key=lambda one: (str(one.on_date), one.file, one.line))
        return tuple(LineToSettle(one, _heading_of(desk, one)) for one in found)


def settle_line(book: Book, line_id: str, text: str, viewpoint: str | None) -> tuple[str, ...]:
    """Take in what a line was to say, in a day file's words; return what it changed that was said before.

    Raises InvalidValueError where it is still not understood, and NotFoundError for a line that is gone.
    """
    from logbook.intake.dayfile import parse_day_file

    with book.writing() as desk:
        line, trip = _line(desk, line_id)
        day = parse_day_file(_as_file(desk, trip, line, text.strip(), viewpoint), line.file)
        found = drafts_of(desk, trip, day.on_date, day)
        for loose in found.loose:
            raise InvalidValueError(f"{loose.text}: {loose.why}")
        reading = DayReading(desk, book, trip, day.on_date, line.file)
        reading.claimed = {one.record_id for one in lines_of(reading)}
        if any(one.noun == "day" or "journal" in one.fields for one in found.drafts):
            raise InvalidValueError(f"That is not an entry; begin it with a word {FIRST_WORDS}.")
        for draft in found.drafts:
            if draft.noun == "visit" and not text.lstrip().startswith("#"):
                _take_of_visit(reading, draft, line)
            else:
                take_draft(reading, draft, None)
        desk.loose_lines.remove([line.id])
        return tuple(one.partition(": ")[2] for one in reading.elsewhere)


def keep_as_journal(book: Book, line_id: str) -> None:
    """Put the words of a line at the end of its day's journal."""
    with book.writing() as desk:
        line, trip = _line(desk, line_id)
        if line.on_date is None:
            raise WrongUseError("A plan has no journal; correct the line in its file and read it again.")
        day = desk.days.first(trip_id=trip.id, on_date=line.on_date)
        if day is None:
            base = new_record(book.now())
            desk.days.add(Day(**base, trip_id=trip.id, on_date=line.on_date, journal=line.text))
        else:
            journal = "\n\n".join(filter(None, (day.journal, line.text)))
            desk.days.put(edited(day, book.now(), {"journal": journal}))
        desk.loose_lines.remove([line.id])


def dismiss_line(book: Book, line_id: str) -> None:
    """Dismiss a line that needs no settling."""
    with book.writing() as desk:
        desk.loose_lines.remove([_line(desk, line_id)[0].id])


def _line(desk: Desk, line_id: str) -> tuple[LooseLine, Trip]:
    line = desk.loose_lines.get(line_id)
    trip = desk.trips.get(line.trip_id) if line else None
    if line is None or trip is None:
        raise NotFoundError("That line has already been settled; reload the page.")
    return line, trip


def _as_file(desk: Desk, trip: Trip, line: LooseLine, text: str, viewpoint: str | None) -> str:
    """A day file of this one line, under its heading."""
    if line.on_date is None:
        raise WrongUseError("That line belongs to a plan; correct it in its file and read the file again.")
    if not text or "\n" in text:
        raise InvalidValueError("Write what the line should say, in one line.")
    if not text.startswith(("-", "*", "#")):
        text = f"- {text}"
    heading = f"## {find(desk, VIEWPOINT, viewpoint).slug}\n" if viewpoint and text[0] != "#" else ""
    return f"---\ntrip: {trip.slug}\ndate: {line.on_date}\n---\n{heading}{text}\n"


def _take_of_visit(reading: DayReading, draft: LineDraft, line: LooseLine) -> None:
    """Put what is said of the visit that a line stood under into the book: its tries, its support."""
    visit_id = _visit_of(reading, draft.fields["viewpoint_id"], line)
    said = {name: value for name, value in draft.fields.items() if name not in OF_EVERY_VISIT}
    if visit_id is not None:
        reading.made[draft.line] = visit_id
    if said and visit_id is None:
        raise WrongUseError(
            f"You have no visit there on {line.on_date}; add one first, such as ## place 17:20-18:45."
        )
    if said:
        take_draft(reading, replace(draft, fields=said, target_id=visit_id), None)


def _visit_of(reading: DayReading, viewpoint_id: str, line: LooseLine) -> str | None:
    """The visit that a line stood under, as the file says; else the only one of the day to that viewpoint."""
    visits = reading.desk.visits.all(trip_id=reading.trip.id, on_date=line.on_date, viewpoint_id=viewpoint_id)
    ids = {one.id for one in visits}
    above = [
        one.record_id
        for one in lines_of(reading)
        if one.noun == "visit" and one.file == line.file and one.line < line.line and one.record_id in ids
    ]
    return above[-1] if above else visits[0].id if len(visits) == 1 else None


def _heading_of(desk: Desk, line: LooseLine) -> str:
    """The viewpoint of the last understood line above it in its file."""
    lines = desk.day_lines.all(trip_id=line.trip_id, on_date=line.on_date, file=line.file)
    above = [one for one in lines if one.line < line.line]
    return max(above, key=lambda one: one.line).section if above else ""
