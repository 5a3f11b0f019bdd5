"""A site: a place that outlives trips."""

from dataclasses import dataclass
from typing import Annotated

from logbook.domain.checks import check_names, check_place, check_range, check_text, check_title, check_zone
from logbook.domain.fields import (
    GAINED,
    SEARCHED,
    SHOWN,
    SHOWN_TO_STUDENTS,
    STRUCK,
    UNIQUE,
)
from logbook.domain.kinds import NAMES, SLUG, ZONE
from logbook.domain.position import Position, position_known
from logbook.domain.record import Record
from logbook.domain.words import Disclosure, Footing, SubjectKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Site(Record):
    """What kind of subject, where, how one gets there, what is dangerous."""

    slug: Annotated[str, SLUG, UNIQUE, SHOWN]
    title: Annotated[str, SEARCHED, STRUCK]
    kinds: Annotated[tuple[SubjectKind, ...], SEARCHED, SHOWN_TO_STUDENTS] = ()
    region: Annotated[str | None, SEARCHED, STRUCK] = None
    latitude_deg: Annotated[float | None, SHOWN] = None
    longitude_deg: Annotated[float | None, SHOWN] = None
    elevation_m: Annotated[float | None, SHOWN] = None
    zone: Annotated[str | None, ZONE, SHOWN] = None
    footing: Annotated[Footing | None, SEARCHED, SHOWN] = None
    access: Annotated[str | None, SEARCHED, STRUCK] = None
    walk_min: Annotated[int | None, SHOWN] = None
    hazards: Annotated[str | None, SEARCHED, STRUCK] = None
    cost: Annotated[str | None, SEARCHED, STRUCK] = None  # fees, permits, parking; prices change
    location_shown: Annotated[Disclosure | None, SHOWN] = None
    notes: Annotated[str | None, SEARCHED] = None
    also_called: Annotated[tuple[str, ...], NAMES, GAINED, SEARCHED] = ()  # what else people call it

    def __post_init__(self) -> None:
        check_title(self.title, "site")
        check_names(self.also_called, "other name")
        check_place(self.latitude_deg, self.longitude_deg, "site")
        check_range(self.elevation_m, "elevation", -500, 9000, " m")
        check_range(self.walk_min, "walk", 0, 10_000, " min")
        check_zone(self.zone)
        for name in ("region", "access", "hazards", "cost", "notes"):
            check_text(getattr(self, name), name)

    @property
    def position(self) -> Position | None:
        """The site's position, or None where it is unknown."""
        return position_known(self.latitude_deg, self.longitude_deg)
