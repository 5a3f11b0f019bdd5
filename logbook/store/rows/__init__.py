"""Row classes, one a table. They never leave the store."""

from logbook.store.rows.field import (
    ConditionRow,
    DayLineRow,
    DayRow,
    KeeperRow,
    KeeperSetRow,
    LessonRow,
    LooseLineRow,
    VisitRow,
)
from logbook.store.rows.night import BodyClockRow, NightAnswerRow, TrackRow
from logbook.store.rows.plans import KitRow, OutcomeRow, PackedRow, ShotRow, SiteRow, TripRow, ViewpointRow

__all__ = [
    "BodyClockRow",
    "ConditionRow",
    "DayLineRow",
    "DayRow",
    "KeeperRow",
    "KeeperSetRow",
    "KitRow",
    "LessonRow",
    "LooseLineRow",
    "NightAnswerRow",
    "OutcomeRow",
    "PackedRow",
    "ShotRow",
    "SiteRow",
    "TrackRow",
    "TripRow",
    "ViewpointRow",
    "VisitRow",
]
