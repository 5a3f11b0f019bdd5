"""Taking a plan file into the book; the same file again changes nothing."""

from dataclasses import dataclass
from pathlib import Path

from logbook.domain.written.plan_tokens import Around
from logbook.intake.planfile import open_plan, read_plan
from logbook.services.dayfiles.applying import FileRead, taken_in
from logbook.services.dayfiles.reading import DayReading
from logbook.services.keepers.strangers import plans_outside
from logbook.services.planfiles.drafting import plan_drafts
from logbook.services.records import the_trip
from logbook.store.book import Book


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRead(FileRead):
    """What reading a plan file did: the viewpoints that it brought, and sentences about the whole file."""

    entered: tuple[str, ...]
    remarks: tuple[str, ...]


def take_plan(book: Book, path: Path, *, trip: str | None = None) -> PlanRead:
    """Take a plan file in, all or nothing; a trip that is named goes before the one in the file.

    Raises UnreadableFileError for what is no plan, and NotFoundError or WrongUseError for the trip.
    """
    text = open_plan(path)
    with book.writing() as desk:
        of_trip = the_trip(desk, trip if trip is not None else text.trip)
        plan = read_plan(text, Around(of_trip.starts_on, of_trip.ends_on))
        drafts = plan_drafts(desk, of_trip, plan, book.now())
        reading = DayReading(desk, book, of_trip, None, path.name)
        counted = taken_in(reading, drafts)
        strange = plans_outside(of_trip, (one.fields.get("on_date") for one in drafts.drafts))
        remarks = (*plan.remarks, *filter(None, [strange]))
        return PlanRead(entered=tuple(drafts.entered), remarks=remarks, **counted)
