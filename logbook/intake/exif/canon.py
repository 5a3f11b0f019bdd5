"""Light and speed in Canon's maker's notes: a plain directory whose values lie in two lists of short numbers.

One surprising decision: these few numbers are read with the other directories and not by a library, because
that takes microseconds where the whole of the notes takes milliseconds. A list that does not begin with its
own length in bytes was moved by an editor and is not believed. Source: no published specification; the layout
as ExifTool's documentation of Canon's notes gives it (CameraSettings, ShotInfo).
"""

from logbook.intake.exif.tags import Tags

AUTO_SPEED, BASE_SPEED, MEASURED_LIGHT = 1, 2, 3  # places in the list ShotInfo; 32 are a stop
_SPEED = 16  # place in the list CameraSettings
_SPEEDS = {16: 50, 17: 100, 18: 200, 19: 400, 20: 800}
_IS_NUMBER = 0x4000  # this bit marks an ISO number as such


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
