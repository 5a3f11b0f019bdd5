"""Reading the answers of a night that need the trip: all else is read as everywhere (`domain/written`)."""

from datetime import date, datetime, time

from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.trip import Trip
from logbook.domain.written.corrections import correction_written
from logbook.domain.written.counts import count_written
from logbook.services.settled_clocks import offset_s_of


def a_clock_correction(text: str, trip: Trip, on_date: date) -> int:
    """Read a correction of one day (`+420`, `7 min 30 s slow`); return how far the clock is ahead of UTC."""
    seconds = correction_written(text)
    if trip.zone is None:
        raise WrongUseError("The trip has no zone yet; trip edit --zone, then this again.")
    return offset_s_of(trip.zone, datetime.combine(on_date, time(12))) - seconds


def a_tries_count(text: str) -> int:
    """Read a number of tries."""
    count = count_written(text)
    if count is None:
        raise InvalidValueError(f'"{text}" is not a number of tries; write one such as 14 or about 20.')
    return count
