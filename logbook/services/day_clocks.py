"""What a day file says of cameras' clocks, taken in before everything that hangs on the time of a picture.

One surprising decision: a proposed correction is not stored; it only puts keepers right by what their files
vouch for already, so that the same words with a `?` never pass for said.
"""

from datetime import datetime, time

from logbook.domain.errors import LogbookError
from logbook.domain.trip import Trip
from logbook.intake.dayfile import ClockEntry, DayFile
from logbook.services.body_clocks import apply_clocks, body_named, offset_s_of, say_clock
from logbook.services.day_drafts import Loose
from logbook.store.book import Book
from logbook.store.desk import Desk


def take_clocks(desk: Desk, book: Book, trip: Trip, day: DayFile) -> list[Loose]:
    """Put keepers right by the clocks a file speaks of; return the lines that name no camera of the trip."""
    loose = []
    keepers = desk.keepers.all(trip_id=trip.id)
    for section in day.sections:
        for entry in (one for one in section.entries if isinstance(one, ClockEntry)):
            try:
                body = body_named(entry.body, keepers)
            except LogbookError as error:
                loose.append(Loose(entry.line, entry.text, str(error)))
                continue
            if not entry.proposed:
                if trip.zone is None:
                    loose.append(
                        Loose(entry.line, entry.text, "the trip has no zone; trip edit --zone first")
                    )
                    continue
                noon = datetime.combine(day.on_date, time(12))
                say_clock(desk, book, trip, body, offset_s_of(trip.zone, noon) - entry.add_s)
            apply_clocks(desk, book, trip, [body])
    return loose
