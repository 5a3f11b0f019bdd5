"""Kit: cameras, lenses, filters, supports and power, and what was decided about each for a trip."""

from dataclasses import dataclass
from typing import Annotated

from logbook.domain.checks import check_range, check_text, check_title
from logbook.domain.fields import SEARCHED, SHOWN, STRUCK, UNIQUE, Refers
from logbook.domain.kinds import FILTER, SLUG
from logbook.domain.record import Record
from logbook.domain.said import field_words
from logbook.domain.words import KitKind, Packing


@dataclass(frozen=True, slots=True, kw_only=True)
class KitItem(Record):
    """One piece of kit; `owned` None is unknown.

    Others see of it what angles of view and exercises are worked out from.
    """

    slug: Annotated[str, SLUG, UNIQUE]
    title: Annotated[str, SEARCHED]
    kind: Annotated[KitKind, SEARCHED, SHOWN]
    owned: bool | None = None
    filter_name: Annotated[str | None, FILTER, SEARCHED] = None  # as filters are written: nd8, pol, gnd8
    body: Annotated[str | None, SEARCHED, STRUCK] = None  # as the camera writes its own name into its files
    sensor_width_mm: Annotated[float | None, SHOWN] = None
    sensor_height_mm: Annotated[float | None, SHOWN] = None
    focal_min_mm: float | None = None
    focal_max_mm: float | None = None
    stabilisation_stops: float | None = None
    notes: Annotated[str | None, SEARCHED] = None

    def __post_init__(self) -> None:
        check_title(self.title, "piece of kit")
        for name in ("filter_name", "body", "notes"):
            check_text(getattr(self, name), field_words(name))
        check_range(self.sensor_width_mm, "sensor width", 1, 200, " mm")
        check_range(self.sensor_height_mm, "sensor height", 1, 200, " mm")
        check_range(self.focal_min_mm, "focal length", 1, 5000, " mm")
        check_range(self.focal_max_mm, "focal length", 1, 5000, " mm")
        check_range(self.stabilisation_stops, "stabilisation", 0, 12, " stops")


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedItem(Record):
    """What was decided about a piece of kit for one trip, why, and whether it was used there."""

    UNIQUE_TOGETHER = (("trip_id", "item_id"),)

    trip_id: Annotated[str, Refers("trip"), SHOWN]
    item_id: Annotated[str, Refers("kit"), SHOWN]
    packing: Annotated[Packing, SHOWN]
    why: Annotated[str | None, SEARCHED] = None
    used: bool | None = None

    def __post_init__(self) -> None:
        check_text(self.why, "reason")
