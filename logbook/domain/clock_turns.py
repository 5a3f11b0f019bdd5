"""Where a zone's clocks turn: times that its clocks show twice, and times that they jump over.

One surprising decision: nothing here knows the rules of any zone. A time is tried by the clock before and by
the one after a turn, and that it means two instants, or none, follows.
"""

from datetime import UTC, datetime, timedelta, tzinfo
from enum import StrEnum


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
