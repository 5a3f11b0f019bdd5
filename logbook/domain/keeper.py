"""A keeper: a picture file that was selected, its camera settings, and what the camera cannot know.

One surprising decision: the camera's own time text, the correction that was applied and the resulting instant
are three fields, so that a clock mistake found later can be put right without losing what the camera said.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction

from logbook.domain.camera import DistanceRange, ExposureMode, Metering
from logbook.domain.checks import check_place, check_text, check_zone
from logbook.domain.record import Record
from logbook.domain.words import ClockEvidence, SetKind, Sharpness, Support
from logbook.domain.zones import wall_at, zone_of


@dataclass(frozen=True, slots=True)
class Companion:
    """Another file of a keeper's frame; as text it is a line such as `sha256sum` writes."""

    hash: str  # SHA-256 of the content, hexadecimal
    path: str

    def __str__(self) -> str:
        return f"{self.hash}  {self.path}"

    @classmethod
    def of(cls, line: str) -> "Companion":
        """Return the companion that a line stands for."""
        hashed, _, path = line.partition("  ")
        return cls(hashed, path)

    @property
    def is_sidecar(self) -> bool:
        """Whether the file is an XMP packet beside the picture, which editors write again and again."""
        return self.path.lower().endswith(".xmp")


@dataclass(frozen=True, slots=True)
class KnownFile:
    """What a file held when this machine last read all of it, and the state that it was in."""

    path: str  # absolute, as the book writes it
    hash: str  # SHA-256 of the content, hexadecimal
    state: str
    reader: str = ""  # which reader's facts of it the book has; empty: it was only compared


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeper(Record):
    """One selected picture; every unknown is None, `filters` () is none."""

    slug: str
    trip_id: str
    # the file
    file: str
    path: str
    hash: str  # SHA-256 of the content, hexadecimal
    size_bytes: int
    format: str
    also: tuple[str, ...] = ()  # the frame's other files (raw, sidecars), each as `str(Companion)`
    width_px: int | None = None
    height_px: int | None = None
    orientation: int | None = None
    # when
    taken_text: str | None = None
    taken_local: datetime | None = None  # naive: the camera's wall time, put right by clock_offset_s
    utc_offset_text: str | None = None
    zone: str | None = None
    clock_offset_s: int = 0
    clock_evidence: ClockEvidence | None = None
    taken_utc: datetime | None = None
    # what the camera knows
    exposure_s: Fraction | None = None
    f_number: float | None = None
    iso: int | None = None
    bias_stops: float | None = None
    focal_mm: float | None = None
    focal_35mm: float | None = None
    exposure_mode: ExposureMode | None = None
    auto_bracket: bool | None = None
    metering: Metering | None = None
    flash_fired: bool | None = None
    brightness_ev: float | None = None  # APEX brightness of the scene; EV at ISO 100 is 5 more
    metered_ev100: float | None = None  # the maker's own figure for the scene's light, EV at ISO 100
    subject_distance_m: float | None = None
    subject_distance_range: DistanceRange | None = None
    body: str | None = None
    lens: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    altitude_m: float | None = None
    direction_deg: float | None = None
    direction_is_magnetic: bool | None = None
    rating: int | None = None  # stars: -1 rejected, 0 to 5
    label: str | None = None  # a colour or word that an editor gave
    keywords: tuple[str, ...] = ()
    place: str | None = None  # what the file says of the place, in words
    credit: str | None = None
    copyright: str | None = None
    gps_utc: datetime | None = None  # the satellites' time, which tells how right the camera's clock is
    doubts: tuple[str, ...] = ()
    # what it cannot know
    filters: tuple[str, ...] | None = None
    support: Support | None = None
    viewpoint_id: str | None = None
    shot_id: str | None = None
    caption: str | None = None
    alternative: str | None = None  # alternative text for those who cannot see the picture
    note: str | None = None
    sharpness: Sharpness | None = None
    left_trip_ids: tuple[str, ...] = ()  # trips that a person moved it out of; it is not taken in there again

    def __post_init__(self) -> None:
        check_place(self.latitude_deg, self.longitude_deg, "keeper")
        check_zone(self.zone)
        for name in ("caption", "alternative", "note"):
            check_text(getattr(self, name), name)

    @property
    def companions(self) -> tuple[Companion, ...]:
        """The frame's other files: raw and sidecars."""
        return tuple(Companion.of(line) for line in self.also)

    @property
    def place_time(self) -> datetime | None:
        """The wall time at the place (naive): from instant and zone, else the camera's own, else None."""
        if self.taken_utc is not None and self.zone is not None:
            return wall_at(self.taken_utc, zone_of(self.zone))
        return self.taken_local

    @property
    def is_by_camera(self) -> bool:
        """Whether `place_time` is only what the camera's clock said, because instant or zone is unknown."""
        return self.taken_local is not None and (self.taken_utc is None or self.zone is None)

    @property
    def camera_time(self) -> datetime | None:
        """The camera's own reading (naive), before any correction; None where no calendar has it."""
        if self.taken_local is None:
            return None
        try:
            return self.taken_local - timedelta(seconds=self.clock_offset_s)
        except OverflowError:
            return None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeeperSet(Record):
    """Keepers that belong together, in order; of kind `apart`, keepers of which no two do."""

    trip_id: str
    kind: SetKind
    keeper_ids: tuple[str, ...]

    def without(self, keeper_ids: Collection[str], now: datetime) -> "KeeperSet | None":
        """Return the set once some keepers left it; None where fewer than two are left, as one is no set."""
        left = tuple(one for one in self.keeper_ids if one not in keeper_ids)
        if left == self.keeper_ids:
            return self
        return replace(self, keeper_ids=left, updated=now) if len(left) > 1 else None
