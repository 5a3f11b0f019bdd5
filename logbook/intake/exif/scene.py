"""What the camera measured of the scene: its light, and how far the subject was.

One surprising decision: the standard's brightness and a maker's own figure stay apart, because the maker's is
unpublished and some compacts write it six stops off. Source: CIPA DC-008 (Exif 2.32), BrightnessValue,
SubjectDistance and SubjectDistanceRange; the maker's figure as ExifTool's documentation of Canon's notes
gives it (ShotInfo, MeasuredEV).
"""

from dataclasses import dataclass, field

from logbook.craft.exposure import exif_speed_value
from logbook.domain.camera import DistanceRange
from logbook.intake.exif.canon import MEASURED_LIGHT, shot_info
from logbook.intake.exif.rationals import ExifRational, believed
from logbook.intake.exif.tags import Tags

_LEAST_EV, _MOST_EV = -16, 20  # APEX brightness: darker than starlight; the sun's own disc is no scene
_MOST_DISTANCE_M = 100_000  # farther is infinity to any lens; that is no number, but distant
_UNKNOWN_SIGNED = -1  # all bits set, as a number with a sign
_RANGES = {1: DistanceRange.MACRO, 2: DistanceRange.CLOSE, 3: DistanceRange.DISTANT}


@dataclass(frozen=True, slots=True)
class CameraScene:
    """APEX brightness, the maker's EV at ISO 100, metres; None is unknown."""

    brightness_ev: float | None = None
    metered_ev100: float | None = None
    subject_distance_m: float | None = None
    subject_distance_range: DistanceRange | None = None
    notes: tuple[str, ...] = field(default=())


def read_scene(tags: Tags) -> CameraScene:
    """What the tags tell of light and distance; what cannot be is None and noted."""
    notes: list[str] = []
    distance = tags.rational("SubjectDistance")
    word = _RANGES.get(tags.integer("SubjectDistanceRange") or 0)
    if distance is not None and _is_infinite(distance):
        distance, word = None, word or DistanceRange.DISTANT
    return CameraScene(
        brightness_ev=_brightness(tags, notes),
        metered_ev100=_metered(tags),
        subject_distance_m=_distance(distance, notes),
        subject_distance_range=word,
        notes=tuple(notes),
    )


def _brightness(tags: Tags, notes: list[str]) -> float | None:
    raw = tags.rational("BrightnessValue")
    if raw is not None and raw.numerator == _UNKNOWN_SIGNED:
        return None
    value = believed(raw, "brightness", notes, least=_LEAST_EV, most=_MOST_EV, unit=" EV")
    return None if value is None else float(value)


def _metered(tags: Tags) -> float | None:
    raw = shot_info(tags, MEASURED_LIGHT)
    if not raw:
        return None
    brightness = raw / 32
    return brightness + exif_speed_value(100) if _LEAST_EV <= brightness <= _MOST_EV else None


def _distance(raw: ExifRational | None, notes: list[str]) -> float | None:
    if raw is None or raw.numerator == 0:  # the standard's own word for unknown
        return None
    value = believed(raw, "subject distance", notes, least=0, most=_MOST_DISTANCE_M, unit=" m")
    return None if value is None else float(value)


def _is_infinite(raw: ExifRational) -> bool:
    return raw.is_filler or (raw.denominator == 0 and raw.numerator > 0)
