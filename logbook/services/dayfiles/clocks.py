"""What a day file says of cameras' clocks, taken in before everything that hangs on the time of a picture.

One surprising decision: a proposed correction is not stored; it only puts keepers right by what their files
confirm already, so that the same words with a `?` never pass for said. A line holds for the frames of its
day: it never touches what was said of other ranges, and says nothing where the clock was set in between.
"""

from datetime import date, datetime, time

from logbook.domain.errors import LogbookError, WrongUseError
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.trip import Trip
from logbook.domain.written.entry import ClockEntry
from logbook.intake.dayfile import DayFile
from logbook.services.accounts import day_of
from logbook.services.clocks.history import WHOLE, ClockStretch
from logbook.services.clocks.setting import body_named
from logbook.services.clocks.settled import offset_s_of, settled
from logbook.services.clocks.stating import ClockStatement, apply_clocks, state_clock
from logbook.services.dayfiles.entries import LATER_COUNTS, Loose
from logbook.services.keeper_clocks import zone_meant
from logbook.store.book import Book
from logbook.store.desk import Desk


def take_clocks(desk: Desk, book: Book, trip: Trip, day: DayFile) -> list[Loose]:
    """Put keepers right by the clocks a file speaks of; return the lines that name no camera of the trip."""
    loose = []
    keepers = desk.keepers.all(trip_id=trip.id)
    stated: dict[str, ClockEntry] = {}
    for entry in (one for section in day.sections for one in section.entries):
        if not isinstance(entry, ClockEntry):
            continue
        try:
            body = body_named(entry.body, keepers)
            stretch = WHOLE
            if not entry.proposed:
                stretch = _state(desk, book, trip, body, day, entry.add_s)
        except LogbookError as error:
            loose.append(Loose(entry.line, entry.text, str(error)))
            continue
        apply_clocks(desk, book, trip, [body], stretch=stretch)
        if not entry.proposed:
            if body in stated and stated[body].add_s != entry.add_s:
                loose.append(Loose(stated[body].line, stated[body].text, LATER_COUNTS))
            stated[body] = entry
    return loose


def _state(desk: Desk, book: Book, trip: Trip, body: str, day: DayFile, add_s: int) -> ClockStretch:
    """State a clock by the zone of the file, else by the one where its first frame of the day was made."""
    keepers = desk.keepers.all(trip_id=trip.id)
    own = in_order(one for one in keepers if one.camera == body and day_of(one, trip) == day.on_date)
    zone = day.zone or zone_meant(desk, trip, own[0] if own else None)
    if zone is None:
        raise WrongUseError("the trip has no zone; set it with trip edit --zone first")
    noon = datetime.combine(day.on_date, time(12))
    stretch = stretch_of_day(desk, trip, keepers, body, day.on_date)
    state_clock(desk, book, trip, ClockStatement(body, offset_s_of(zone, noon) - add_s, stretch))
    return stretch


def stretch_of_day(desk: Desk, trip: Trip, keepers: list[Keeper], body: str, on_date: date) -> ClockStretch:
    """Return the range that holds for a body's frames of a day; raises WrongUseError where several do."""
    clocks = [one for one in settled(desk, trip, keepers) if one.body == body]
    own = [one for one in keepers if one.camera == body and day_of(one, trip) == on_date]
    walls = [wall for keeper in own if (wall := keeper.camera_time) is not None]
    held = [one for one in clocks if any(one.holds_at(wall) for wall in walls)]
    if len(clocks) == 1:
        return WHOLE
    if len(held) == 1:
        return ClockStretch(held[0].since, held[0].until)
    if not held:
        raise WrongUseError(
            f"{body} has no frames on that day, and its clock was not the same for all its other frames"
        )
    raise WrongUseError(
        f"the clock of {body} was not the same for all frames of that day; use keeper clock "
        f"--since or --until to say which frames"
    )
