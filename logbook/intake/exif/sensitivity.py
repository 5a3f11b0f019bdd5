"""ISO sensitivity, from all the places cameras put it.

One surprising decision: 65535 in the old two-byte tag means "at least that much", so it counts only as a hint
to look at the four-byte tags. Source: CIPA DC-008 (Exif 2.32), PhotographicSensitivity and SensitivityType.
"""

from collections.abc import Iterator

from logbook.intake.exif.canon import canon_iso
from logbook.intake.exif.tags import Tags

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
