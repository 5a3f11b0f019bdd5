"""A keeper: a picture file that was selected, its camera settings, and what the camera cannot know.

One surprising decision: the camera's own time text, the correction that was applied and the resulting instant
are three fields, so that a clock mistake found later can be put right without losing what the camera said.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Annotated

from logbook.domain.camera import DistanceRange, ExposureMode, Metering
from logbook.domain.checks import check_place, check_text, check_zone
from logbook.domain.fields import (
    GAINED,
    LOOKED_UP,
    SEARCHED,
    SHOWN,
    SHOWN_TO_STUDENTS,
    STRUCK,
    STRUCK_FOR_STUDENTS,
    Refers,
)
from logbook.domain.kinds import APERTURE, FILTERS, FOCAL, IDS, ISO, SLUG, WALL_TIME, ZONE
from logbook.domain.position import Position, position_known
from logbook.domain.record import Record
from logbook.domain.words import Audience, ClockEvidence, SetKind, Sharpness, Support
from logbook.domain.zones import wall_at, zone_of

LYING = (5, 6, 7, 8)  # values of Exif's Orientation for a picture stored on its side (CIPA DC-008)
NAMELESS = "a camera that does not say its name"


def place_time_of(
    taken_utc: datetime | None, zone: str | None, taken_local: datetime | None
) -> datetime | None:
    """Return the wall time (naive) at the place of a picture, by its instant and zone, else by its camera."""
    if taken_utc is not None and zone is not None:
        return wall_at(taken_utc, zone_of(zone))
    return taken_local


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

    UNIQUE_TOGETHER = (("trip_id", "slug"), ("trip_id", "hash"))

    slug: Annotated[str, SLUG, SHOWN]
    trip_id: Annotated[str, Refers("trip"), SHOWN]
    # the file
    file: Annotated[str, SEARCHED]
    path: Annotated[str, LOOKED_UP]
    hash: Annotated[str, LOOKED_UP]  # SHA-256 of the content, hexadecimal
    size_bytes: int
    format: Annotated[str, SHOWN]
    # the frame's other files (raw, sidecars), each as `str(Companion)`
    also: Annotated[tuple[str, ...], GAINED] = ()
    width_px: Annotated[int | None, SHOWN] = None
    height_px: Annotated[int | None, SHOWN] = None
    orientation: Annotated[int | None, SHOWN] = None
    # when
    taken_text: Annotated[str | None, LOOKED_UP, SHOWN_TO_STUDENTS] = None
    # naive: the camera's wall time, put right by clock_offset_s
    taken_local: Annotated[datetime | None, WALL_TIME, SHOWN] = None
    utc_offset_text: Annotated[str | None, SHOWN_TO_STUDENTS] = None
    zone: Annotated[str | None, ZONE, SHOWN] = None
    clock_offset_s: Annotated[int, SHOWN] = 0
    clock_evidence: Annotated[ClockEvidence | None, SHOWN_TO_STUDENTS] = None
    taken_utc: Annotated[datetime | None, SHOWN] = None
    # what the camera knows
    exposure_s: Annotated[Fraction | None, SEARCHED, SHOWN] = None
    f_number: Annotated[float | None, APERTURE, SEARCHED, SHOWN] = None
    iso: Annotated[int | None, ISO, SEARCHED, SHOWN] = None
    bias_stops: Annotated[float | None, SHOWN_TO_STUDENTS] = None
    focal_mm: Annotated[float | None, FOCAL, SEARCHED, SHOWN] = None
    focal_35mm: Annotated[float | None, SHOWN] = None
    exposure_mode: Annotated[ExposureMode | None, SHOWN_TO_STUDENTS] = None
    auto_bracket: Annotated[bool | None, SHOWN_TO_STUDENTS] = None
    metering: Annotated[Metering | None, SHOWN_TO_STUDENTS] = None
    flash_fired: Annotated[bool | None, SHOWN_TO_STUDENTS] = None
    # APEX brightness of the scene; EV at ISO 100 is 5 more
    brightness_ev: Annotated[float | None, SHOWN_TO_STUDENTS] = None
    # the maker's own figure for the scene's light, EV at ISO 100
    metered_ev100: Annotated[float | None, SHOWN_TO_STUDENTS] = None
    subject_distance_m: Annotated[float | None, SHOWN_TO_STUDENTS] = None
    subject_distance_range: Annotated[DistanceRange | None, SHOWN_TO_STUDENTS] = None
    body: Annotated[str | None, SEARCHED, STRUCK] = None
    lens: Annotated[str | None, SEARCHED, STRUCK_FOR_STUDENTS] = None
    latitude_deg: Annotated[float | None, SHOWN_TO_STUDENTS] = None
    longitude_deg: Annotated[float | None, SHOWN_TO_STUDENTS] = None
    altitude_m: Annotated[float | None, SHOWN_TO_STUDENTS] = None
    direction_deg: Annotated[float | None, SHOWN_TO_STUDENTS] = None
    direction_is_magnetic: Annotated[bool | None, SHOWN_TO_STUDENTS] = None
    rating: Annotated[int | None, SHOWN] = None  # stars: -1 rejected, 0 to 5
    label: Annotated[str | None, SEARCHED] = None  # a colour or word that an editor gave
    keywords: Annotated[tuple[str, ...], GAINED, SEARCHED] = ()
    place: Annotated[str | None, SEARCHED] = None  # what the file says of the place, in words
    credit: str | None = None
    copyright: str | None = None
    # the satellites' time, which tells how right the camera's clock is
    gps_utc: Annotated[datetime | None, SHOWN_TO_STUDENTS] = None
    doubts: tuple[str, ...] = ()
    # what it cannot know
    filters: Annotated[tuple[str, ...] | None, FILTERS, SEARCHED, STRUCK] = None
    support: Annotated[Support | None, SEARCHED, SHOWN_TO_STUDENTS] = None
    viewpoint_id: Annotated[str | None, Refers("viewpoint"), SHOWN] = None
    shot_id: Annotated[str | None, Refers("shot"), SHOWN] = None
    caption: Annotated[str | None, SEARCHED, STRUCK] = None
    # alternative text for those who cannot see the picture
    alternative: Annotated[str | None, SEARCHED, STRUCK] = None
    note: Annotated[str | None, SEARCHED] = None
    sharpness: Annotated[Sharpness | None, SEARCHED, SHOWN_TO_STUDENTS] = None
    # what the photographer chose for reports: the picture that opens its trip's, and who does not see it
    opening: bool | None = None
    hidden_from: Annotated[tuple[Audience, ...], GAINED] = ()
    # trips that a person moved it out of; it is not taken in there again
    left_trip_ids: Annotated[tuple[str, ...], GAINED] = ()

    def __post_init__(self) -> None:
        check_place(self.latitude_deg, self.longitude_deg, "keeper")
        check_zone(self.zone)
        for name in ("caption", "alternative", "note"):
            check_text(getattr(self, name), name)

    @property
    def bearing_deg(self) -> float | None:
        """Where the camera looked, from true north; a compass's direction may be tens of degrees off."""
        return None if self.direction_is_magnetic else self.direction_deg

    @property
    def position(self) -> Position | None:
        """The picture's own position, or None where it is unknown."""
        return position_known(self.latitude_deg, self.longitude_deg)

    @property
    def lies(self) -> bool:
        """Whether its file stores the picture on its side, so that width and height change places."""
        return self.orientation in LYING

    @property
    def upright_px(self) -> tuple[int, int] | None:
        """Width and height as the picture is seen; None where the file does not say."""
        if not self.width_px or not self.height_px:
            return None
        return (self.height_px, self.width_px) if self.lies else (self.width_px, self.height_px)

    @property
    def companions(self) -> tuple[Companion, ...]:
        """The frame's other files: raw and sidecars."""
        return tuple(Companion.of(line) for line in self.also)

    @property
    def place_time(self) -> datetime | None:
        """The wall time at the place (naive): from instant and zone, else the camera's own, else None."""
        return place_time_of(self.taken_utc, self.zone, self.taken_local)

    @property
    def is_by_camera(self) -> bool:
        """Whether `place_time` is only what the camera's clock said, because instant or zone is unknown."""
        return self.taken_local is not None and (self.taken_utc is None or self.zone is None)

    @property
    def camera(self) -> str:
        """The name under which its camera is known."""
        return self.body or NAMELESS

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

    trip_id: Annotated[str, Refers("trip"), SHOWN]
    kind: Annotated[SetKind, SHOWN]
    keeper_ids: Annotated[tuple[str, ...], IDS, SHOWN]

    def without(self, keeper_ids: Collection[str], now: datetime) -> "KeeperSet | None":
        """Return the set once some keepers left it; None where fewer than two are left, as one is no set."""
        left = tuple(one for one in self.keeper_ids if one not in keeper_ids)
        if left == self.keeper_ids:
            return self
        return replace(self, keeper_ids=left, updated=now) if len(left) > 1 else None


def by_place_time(keeper: Keeper) -> tuple[bool, str]:
    """Return what sorts keepers by the local time of their place, those of unknown time last."""
    return (keeper.place_time is None, str(keeper.place_time or ""))


def of_each(keepers: Iterable[Keeper], field: str) -> dict[str, tuple[Keeper, ...]]:
    """Return keepers in order of time by the id in a field of theirs, without those where it is empty."""
    found: dict[str, list[Keeper]] = {}
    for one in in_order(keepers):
        if refers_to := getattr(one, field):
            found.setdefault(refers_to, []).append(one)
    return {refers_to: tuple(group) for refers_to, group in found.items()}


def in_order(keepers: Iterable[Keeper]) -> list[Keeper]:
    """Return keepers in order of time: by instant where all have one, else by wall time, then by name."""
    keepers = list(keepers)
    dated = [keeper for keeper in keepers if keeper.place_time is not None]
    by_instant = all(keeper.taken_utc is not None for keeper in dated)

    def time_of(keeper: Keeper) -> datetime | None:
        return keeper.taken_utc if by_instant else keeper.place_time

    dated.sort(key=lambda keeper: (time_of(keeper), keeper.file))
    undated = [keeper for keeper in keepers if keeper.place_time is None]
    return dated + sorted(undated, key=lambda keeper: keeper.file)
