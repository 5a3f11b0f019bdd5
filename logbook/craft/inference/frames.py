"""One frame of a day, as the inference sees it, and how many were tried, by the numbers in file names.

Surprising decisions: every fact but key and time may be None, which means unknown and never "no"; a frame
with an unknown exposure (or one lit by flash, which the caller leaves unknown) simply bears no witness.
Numbers that jump too far for the time between two frames were reset or come from another card; such a gap
counts as one frame, because a guess must not invent hundreds of tries.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum

from logbook.craft.expected_light import ExpectedLight

FOCAL_SAME, FOCAL_NEAR = 1.1, 1.5  # ratios of focal lengths (common practice, no source)
TURN_SAME_DEG, TURN_NEAR_DEG = 6.0, 25.0  # degrees at 35 mm; scaled by 35 / focal length
NUMBER_MAX = 9999  # after 9999 comes 0001; DCF (CIPA DC-009) numbers files 0001..9999
FRAMES_PER_S = 5.0  # over any stretch of a day; faster means a new card (common practice, no source)
FRAMES_AT_ONCE = 30  # a burst between two readings of a clock that ticks in seconds


@dataclass(frozen=True, slots=True)
class Frame:
    """One picture file; `ev100` is the exposure value at ISO 100 as dialled, `at_s` s on the corrected clock.

    `metered` is whether the camera chose the exposure, so that `bias_stops` applies. `stem` is the file name
    without number and suffix. `known_filters` are names that a person stated: () is none, None is unknown.

    Of light, at ISO 100: `reading_ev100` is what the camera wrote down as metered behind its filters,
    `expected` what the view should meet (worked out from `sun_height_deg` where it is None), and
    `picture_stops` how much brighter than a middle grey the picture came out.
    """

    key: str
    at_s: float
    ev100: float | None = None
    aperture: float | None = None
    exposure_s: float | None = None
    iso: float | None = None
    bias_stops: float | None = None
    metered: bool | None = None
    focal_mm: float | None = None
    portrait: bool | None = None
    direction_deg: float | None = None
    auto_bracket: bool | None = None
    viewpoint: str | None = None
    body: str | None = None
    file_number: int | None = None
    stem: str | None = None
    suffix: str | None = None
    known_filters: tuple[str, ...] | None = None
    sun_height_deg: float | None = None  # of the sun's centre above the horizon; tells how fast light changes
    expected: ExpectedLight | None = None
    reading_ev100: float | None = None
    picture_stops: float | None = None
    by_bulb: bool = False  # the shutter was held open by hand, the time counted

    @property
    def end_s(self) -> float:
        """When the shutter closed, in s."""
        return self.at_s + (self.exposure_s or 0.0)


class Framing(IntEnum):
    """How far two frames differ in what they look at, as far as the camera wrote it down."""

    SAME = 0
    NEAR = 1
    OTHER = 2


def framing_between(first: Frame, second: Frame) -> Framing:
    """Return how much focal length, orientation and direction changed; unknown counts as the same."""
    ratio = 1.0
    if first.focal_mm and second.focal_mm:
        ratio = max(first.focal_mm, second.focal_mm) / min(first.focal_mm, second.focal_mm)
    turned = abs(turn_deg(first, second) or 0.0) * (first.focal_mm or 35.0) / 35.0
    if ratio > FOCAL_NEAR or turned > TURN_NEAR_DEG:
        return Framing.OTHER
    flipped = None not in (first.portrait, second.portrait) and first.portrait != second.portrait
    if ratio > FOCAL_SAME or turned > TURN_SAME_DEG or flipped:
        return Framing.NEAR
    return Framing.SAME


def turn_deg(first: Frame, second: Frame) -> float | None:
    """Return by how many degrees the camera turned, clockwise positive, in −180..180; None if unknown."""
    if first.direction_deg is None or second.direction_deg is None:
        return None
    return (second.direction_deg - first.direction_deg + 180.0) % 360.0 - 180.0


def in_order(frames: Iterable[Frame]) -> list[Frame]:
    """Return the frames by corrected time, then file number, then key."""
    return sorted(frames, key=lambda f: (f.at_s, f.file_number or 0, f.key))


@dataclass(frozen=True, slots=True)
class BodyTries:
    """Frames one body made from the first to the last keeper."""

    body: str | None
    count: int
    resets: int


@dataclass(frozen=True, slots=True)
class TriesCounted:
    """Frames tried; `approximate` is True unless a person counted; None is unknown."""

    count: int | None
    approximate: bool
    bodies: tuple[BodyTries, ...]
    reason: str


def tries_from_numbers(frames: Iterable[Frame]) -> TriesCounted:
    """Return how many frames lie between the first and last number, per body; unknown without any number.

    Frames before the first and after the last keeper are not seen, so the truth may be higher; deleted ones
    are counted, as they should be.
    """
    bodies: dict[str | None, list[Frame]] = {}
    for frame in in_order(list(frames)):
        if frame.file_number is not None and 0 <= frame.file_number <= NUMBER_MAX:
            bodies.setdefault(frame.body, []).append(frame)
    counted = tuple(_body(body, numbered) for body, numbered in bodies.items())
    if not counted:
        return TriesCounted(None, True, (), "unknown: no file numbers")
    parts = []
    for (_, numbered), tries in zip(bodies.items(), counted, strict=True):
        first, last = (f"{one.file_number:04d}" for one in (numbered[0], numbered[-1]))
        part = f"{first} to {last}" if len(numbered) > 1 else f"{first} alone"
        if tries.resets:
            times = {1: "once", 2: "twice"}.get(tries.resets, f"{tries.resets} times")
            part += f", numbering restarted {times}"
        parts.append(part)
    count = sum(tries.count for tries in counted)
    return TriesCounted(count, True, counted, f"about {count}, from file numbers {'; '.join(parts)}")


def _body(body: str | None, frames: list[Frame]) -> BodyTries:
    count, resets, latest = 1, 0, frames[0]
    for frame in frames[1:]:
        here, there = latest.file_number or 0, frame.file_number or 0
        step = (there - here) % NUMBER_MAX
        if step <= FRAMES_AT_ONCE + FRAMES_PER_S * (frame.at_s - latest.at_s):
            count += step
        elif (here - there) % NUMBER_MAX <= FRAMES_AT_ONCE:
            continue  # written in another order than taken: its number lies within what was counted
        else:
            count += 1
            resets += 1
        latest = frame
    return BodyTries(body, count, resets)
