"""A site: a place that outlives trips."""

from dataclasses import dataclass

from logbook.domain.checks import check_names, check_place, check_range, check_text, check_title, check_zone
from logbook.domain.position import Position
from logbook.domain.record import Record
from logbook.domain.words import Disclosure, Footing, SubjectKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Site(Record):
    """What kind of subject, where, how one gets there, what is dangerous."""

    slug: str
    title: str
    kinds: tuple[SubjectKind, ...] = ()
    region: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None
    zone: str | None = None
    footing: Footing | None = None
    access: str | None = None
    walk_min: int | None = None
    hazards: str | None = None
    location_shown: Disclosure | None = None
    notes: str | None = None
    also_called: tuple[str, ...] = ()  # what else people call it

    def __post_init__(self) -> None:
        check_title(self.title, "site")
        check_names(self.also_called, "other name")
        check_place(self.latitude_deg, self.longitude_deg, "site")
        check_range(self.elevation_m, "elevation", -500, 9000, " m")
        check_range(self.walk_min, "walk", 0, 10_000, " min")
        check_zone(self.zone)
        for name in ("region", "access", "hazards", "notes"):
            check_text(getattr(self, name), name)

    @property
    def position(self) -> Position | None:
        """The site's position, or None where it is unknown."""
        if self.latitude_deg is None or self.longitude_deg is None:
            return None
        return Position(self.latitude_deg, self.longitude_deg)
