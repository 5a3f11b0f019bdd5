"""A viewpoint: a spot at a site where one stands, which may know which way it faces."""

from dataclasses import dataclass

from logbook.domain.checks import check_names, check_place, check_range, check_text, check_title
from logbook.domain.errors import InvalidValueError
from logbook.domain.horizon import Horizon
from logbook.domain.position import Position
from logbook.domain.record import Record
from logbook.domain.words import Disclosure, Footing, TripodRule


@dataclass(frozen=True, slots=True, kw_only=True)
class Viewpoint(Record):
    """Where one stands; `facing_deg` is the bearing of the view, clockwise from true north.

    `horizon` None is one that nobody told; almanacs then take it as level.
    """

    slug: str
    title: str
    site_id: str
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None
    facing_deg: float | None = None
    horizon: Horizon | None = None
    looks_at: str | None = None
    tripod_rule: TripodRule = TripodRule.UNKNOWN
    footing: Footing | None = None
    access: str | None = None
    hazards: str | None = None
    location_shown: Disclosure | None = None
    notes: str | None = None
    also_called: tuple[str, ...] = ()  # what else people call it

    def __post_init__(self) -> None:
        check_title(self.title, "viewpoint")
        check_names(self.also_called, "other name")
        check_place(self.latitude_deg, self.longitude_deg, "viewpoint")
        check_range(self.elevation_m, "elevation", -500, 9000, " m")
        if self.facing_deg is not None and not 0 <= self.facing_deg < 360:
            raise InvalidValueError(
                f"The bearing {self.facing_deg:g}° lies outside 0 to 360°, clockwise from true north."
            )
        for name in ("looks_at", "access", "hazards", "notes"):
            check_text(getattr(self, name), name.replace("_", " "))

    @property
    def position(self) -> Position | None:
        """The viewpoint's position, or None where it is unknown."""
        if self.latitude_deg is None or self.longitude_deg is None:
            return None
        return Position(self.latitude_deg, self.longitude_deg)
