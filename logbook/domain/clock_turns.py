"""Where a zone's clocks turn: times that its clocks show twice, and times that they jump over.

One surprising decision: nothing here knows the rules of any zone. A time is tried by the clock before and by
the one after a turn, and that it means two instants, or none, follows.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from enum import StrEnum

from logbook.domain.zones import zone_words

OUTSIDE = "date outside"


class ClockTurn(StrEnum):
    """What is odd about a wall time."""

    TWICE = "comes twice"
    NEVER = "never came"


def turn_at(wall: datetime, zone: tzinfo) -> ClockTurn | None:
    """Return whether a zone's clocks show a (naive) wall time twice or never; None where once (PEP 495)."""
    before, after = (wall.replace(tzinfo=zone, fold=fold).utcoffset() or timedelta() for fold in (0, 1))
    if before == after:
        return None
    return ClockTurn.TWICE if before > after else ClockTurn.NEVER


def instants_at(wall: datetime, zone: tzinfo) -> tuple[datetime, datetime]:
    """Return the instants (UTC) of a wall time by the clock before a turn, and by the one after it.

    They are equal where no clock turns. Raises OverflowError at the edge of the calendar.
    """
    first, second = (wall.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1))
    return first, second


@dataclass(frozen=True, slots=True)
class TimeDoubt:
    """A time (naive) that a zone's clocks show twice or never, and the two instants (UTC) it may mean.

    `taken` is the number of the one that the book takes, 1 or 2; None where it takes another. `turn` is None,
    and there are no instants, where the date itself cannot be.
    """

    turn: ClockTurn | None
    reading: datetime
    zone: str | None
    instants: tuple[datetime, ...]
    taken: int | None
    reason: str

    @property
    def words(self) -> str:
        """What is odd about the time, in a word or two."""
        return OUTSIDE if self.turn is None else str(self.turn)


def turn_words(turn: ClockTurn, reading: datetime, zone: str) -> str:
    """Return what is odd about a time, as a clause: `02:30 comes twice on 2031-10-26 in Europe/Berlin`."""
    return f"{reading:%H:%M} {turn} on {reading:%Y-%m-%d} in {zone_words(zone)}"
