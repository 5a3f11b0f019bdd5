"""A viewpoint: a spot at a site where one stands, which may know which way it faces."""

from dataclasses import dataclass
from typing import Annotated

from logbook.domain.checks import check_names, check_place, check_range, check_text, check_title
from logbook.domain.errors import InvalidValueError
from logbook.domain.fields import (
    GAINED,
    SEARCHED,
    SHOWN,
    STRUCK,
    STRUCK_FOR_STUDENTS,
    UNIQUE,
    Refers,
    Searched,
)
from logbook.domain.horizon import Horizon
from logbook.domain.kinds import BEARING, NAMES, SLUG
from logbook.domain.position import Position, position_known
from logbook.domain.record import Record
from logbook.domain.said import field_words
from logbook.domain.words import Disclosure, Footing, TripodRule


@dataclass(frozen=True, slots=True, kw_only=True)
class Viewpoint(Record):
    """Where one stands; `facing_deg` is the bearing of the view, clockwise from true north.

    `horizon` None is one that nobody told; almanacs then take it as level.
    """

    slug: Annotated[str, SLUG, UNIQUE, SHOWN]
    title: Annotated[str, SEARCHED, STRUCK]
    site_id: Annotated[str, Refers("site"), SHOWN]
    latitude_deg: Annotated[float | None, SHOWN] = None
    longitude_deg: Annotated[float | None, SHOWN] = None
    elevation_m: Annotated[float | None, SHOWN] = None
    facing_deg: Annotated[float | None, BEARING, SHOWN] = None
    horizon: Annotated[Horizon | None, SHOWN] = None
    looks_at: Annotated[str | None, SEARCHED, STRUCK_FOR_STUDENTS] = None
    tripod_rule: Annotated[TripodRule, Searched("tripod {}", but="unknown"), SHOWN] = TripodRule.UNKNOWN
    footing: Annotated[Footing | None, SEARCHED, SHOWN] = None
    access: Annotated[str | None, SEARCHED, STRUCK] = None
    hazards: Annotated[str | None, SEARCHED, STRUCK] = None
    location_shown: Annotated[Disclosure | None, SHOWN] = None
    notes: Annotated[str | None, SEARCHED] = None
    also_called: Annotated[tuple[str, ...], NAMES, GAINED, SEARCHED] = ()  # what else people call it

    def __post_init__(self) -> None:
        check_title(self.title, "viewpoint")
        check_names(self.also_called, "other name")
        check_place(self.latitude_deg, self.longitude_deg, "viewpoint")
        check_range(self.elevation_m, "elevation", -500, 9000, " m")
        if self.facing_deg is not None and not 0 <= self.facing_deg < 360:
            raise InvalidValueError(
                f"The bearing {self.facing_deg:g}° is outside 0 to 360°, clockwise from true north."
            )
        for name in ("looks_at", "access", "hazards", "notes"):
            check_text(getattr(self, name), field_words(name))

    @property
    def position(self) -> Position | None:
        """The viewpoint's position, or None where it is unknown."""
        return position_known(self.latitude_deg, self.longitude_deg)
