"""What the camera measured of the scene and answered with: its light, the distance of the subject, its ISO.

Surprising decisions: the standard's brightness and a maker's own figure stay apart, because the maker's is
unpublished and some compacts write it six stops off. Of Canon's maker's notes a few numbers are read with
the other directories and not by a library, because that takes microseconds where the whole of the notes
takes milliseconds; a list that does not begin with its own length in bytes was moved by an editor and is
not believed. 65535 in the old two-byte tag for ISO means "at least that much", so it counts only as a hint
to look at the four-byte tags.

Sources: CIPA DC-008 (Exif 2.32), BrightnessValue, SubjectDistance, SubjectDistanceRange,
PhotographicSensitivity and SensitivityType. For Canon's notes no published specification; the layout
(CameraSettings, ShotInfo, MeasuredEV) as ExifTool's documentation gives it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from logbook.craft.exposure import exif_speed_value
from logbook.domain.camera import DistanceRange
from logbook.intake.exif.tags import ExifRational, Tags, believed

AUTO_SPEED, BASE_SPEED, MEASURED_LIGHT = 1, 2, 3  # places in the list ShotInfo; 32 are a stop
_SPEED = 16  # place in the list CameraSettings
_SPEEDS = {16: 50, 17: 100, 18: 200, 19: 400, 20: 800}
_IS_NUMBER = 0x4000  # this bit marks an ISO number as such
_LEAST_EV, _MOST_EV = -16, 20  # APEX brightness: darker than starlight; the sun's own disc is no scene
_MOST_DISTANCE_M = 100_000  # farther is infinity to any lens; that is no number, but distant
_UNKNOWN_SIGNED = -1  # all bits set, as a number with a sign
_RANGES = {1: DistanceRange.MACRO, 2: DistanceRange.CLOSE, 3: DistanceRange.DISTANT}
_MOST_ISO = 10_000_000  # beyond any camera's setting
_OVERFLOW = 65_535
_BY_TYPE = {  # SensitivityType: which tag the camera means; the recommended index is what its dial shows
    1: "StandardOutputSensitivity",
    2: "RecommendedExposureIndex",
    3: "ISOSpeed",
    5: "StandardOutputSensitivity",
}
_LONG_TAGS = ("RecommendedExposureIndex", "StandardOutputSensitivity", "ISOSpeed")
_MAKER_TAGS = ("MakerNote ISO", "MakerNote ISOSetting", "MakerNote ISOSpeedRequested")


def shot_info(tags: Tags, place: int) -> int | None:
    """A number with a sign of the list ShotInfo; None where there is none."""
    value = _of_list(tags, "MakerNote ShotInfo", place)
    return value if value is None or value < 0x8000 else value - 0x10000


def canon_iso(tags: Tags) -> int | None:
    """The ISO number by the maker's notes: the one that was set, else the automatic one as it came out."""
    was_set = _of_list(tags, "MakerNote CameraSettings", _SPEED)
    if was_set is not None and was_set & _IS_NUMBER and was_set < 0x8000:
        return was_set & ~_IS_NUMBER or None
    if was_set in _SPEEDS:
        return _SPEEDS[was_set]
    auto, base = shot_info(tags, AUTO_SPEED), shot_info(tags, BASE_SPEED)
    if auto is None or not base:
        return None
    return round(100 * 2 ** ((auto + base) / 32 - 5))


def _of_list(tags: Tags, name: str, place: int) -> int | None:
    values = tags.values(name)
    if not isinstance(values, list) or len(values) <= place or values[0] != 2 * len(values):
        return None
    value = values[place]
    return value if isinstance(value, int) else None


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


def read_iso(tags: Tags) -> tuple[int | None, tuple[str, ...]]:
    """ISO number and notes; None is unknown."""
    written = _numbers(tags, "ISOSpeedRatings")
    for number in written:
        if 0 < number < _OVERFLOW:
            return number, ()
    first = _BY_TYPE.get(tags.integer("SensitivityType") or 0)
    for name in ((first,) if first else ()) + _LONG_TAGS:
        for number in _numbers(tags, name):
            if 0 < number <= _MOST_ISO and number != _OVERFLOW:
                return number, ()
    for name, numbers in _stand_ins(tags):
        for number in numbers:
            if 0 < number < _OVERFLOW:
                return number, (f"ISO {number} taken from {name}",)
    if tags.values("ISOSpeedRatings") is None:
        return None, ()
    if _OVERFLOW in written:
        return None, ("ISO unknown: the file says 65535, which means that value or more",)
    said = ", ".join(map(str, written)) or "something that is not a number"
    return None, (f"ISO unknown: the file says {said}",)


def _stand_ins(tags: Tags) -> Iterator[tuple[str, list[int]]]:
    yield "ExposureIndex", _numbers(tags, "ExposureIndex")
    by_notes = canon_iso(tags)
    yield "the maker's note", [] if by_notes is None else [by_notes]
    for name in _MAKER_TAGS:
        yield name, _numbers(tags, name)


def _numbers(tags: Tags, name: str) -> list[int]:
    """Whole numbers of a tag, also when a camera wrote them as text or as a fraction."""
    return list(_whole(tags, name))


def _whole(tags: Tags, name: str) -> Iterator[int]:
    values = tags.values(name)
    if isinstance(values, str):
        if values.strip().isascii() and values.strip().isdigit():
            yield int(values.strip()[:9])
        return
    length = len(values) if isinstance(values, list) else 1
    for index in range(min(length, 4)):
        number = tags.integer(name, index)
        if number is not None:
            yield number
