"""One picture, told by Exif and by XMP: the gaps of the one filled from the other, and where they differ.

One surprising decision: a camera's own tags win wherever they can be believed, because editors and converters
round, rename and forget; that they say something else is kept as a doubt.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from logbook.domain.camera import CameraFacts, ExposureMode
from logbook.intake.exif.exposure import read_exposure
from logbook.intake.exif.gear import read_body, read_lens
from logbook.intake.exif.position import read_position
from logbook.intake.exif.scene import read_iso, read_scene
from logbook.intake.exif.tags import Tags
from logbook.intake.exif.times import read_times


@dataclass(frozen=True, slots=True)
class _Compared:
    """How a field is named in a note, and how far two numbers may lie apart and be the same."""

    what: str
    relative: float = 0.0
    absolute: float = 0.0
    unit: str = ""


_TENTH_OF_A_STOP = 0.07  # of a time; half of it of an f-number
_FIELDS = {
    "exposure_s": _Compared("shutter speed", relative=_TENTH_OF_A_STOP, unit=" s"),
    "f_number": _Compared("aperture", relative=_TENTH_OF_A_STOP / 2),
    "iso": _Compared("ISO"),
    "bias_stops": _Compared("exposure bias", absolute=0.05, unit=" stops"),
    "focal_mm": _Compared("focal length", relative=0.01, unit=" mm"),
    "focal_35mm": _Compared("35 mm-equivalent focal length", absolute=1, unit=" mm"),
    "exposure_mode": _Compared("exposure mode"),
    "auto_bracket": _Compared("auto bracket"),
    "metering": _Compared("metering"),
    "flash_fired": _Compared("flash"),
    "brightness_ev": _Compared("brightness", absolute=0.1, unit=" EV"),
    "subject_distance_m": _Compared("subject distance", relative=0.05, unit=" m"),
    "subject_distance_range": _Compared("subject's distance range"),
    "body": _Compared("camera"),
    "lens": _Compared("lens"),
    "orientation": _Compared("orientation"),
    "altitude_m": _Compared("altitude", absolute=10, unit=" m"),
    "direction_deg": _Compared("direction", absolute=1, unit=" degrees"),
}
_NUMBERS = re.compile(r"\d+(?:\.\d+)?")


def camera_facts(
    kind: str, width_px: int | None, height_px: int | None, tags: Tags, *others: Tags
) -> CameraFacts:
    """The facts that Exif tags give, and where they are silent those of XMP, the first packet first."""
    facts = _facts(kind, tags)
    for other in others:
        if other:
            facts = _completed(facts, _facts(kind, other))
    times = read_times(tags, *others)
    return replace(
        facts,
        width_px=width_px,
        height_px=height_px,
        taken_text=times.taken_text,
        taken_local=times.taken_local,
        utc_offset_text=times.utc_offset_text,
        utc_offset_min=times.utc_offset_min,
        gps_utc=times.gps_utc,
        notes=times.notes + facts.notes,
    )


def _facts(kind: str, tags: Tags) -> CameraFacts:
    """All that the tags of one source give, but for times."""
    exposure, lens, position, scene = (
        read_exposure(tags),
        read_lens(tags),
        read_position(tags),
        read_scene(tags),
    )
    iso, iso_notes = read_iso(tags)
    orientation = tags.integer("Image Orientation")
    return CameraFacts(
        format=kind,
        orientation=orientation if orientation in range(1, 9) else None,
        exposure_s=exposure.exposure_s,
        f_number=exposure.f_number,
        iso=iso,
        bias_stops=exposure.bias_stops,
        focal_mm=lens.focal_mm,
        focal_35mm=lens.focal_35mm,
        exposure_mode=exposure.exposure_mode,
        auto_bracket=exposure.auto_bracket,
        metering=exposure.metering,
        flash_fired=exposure.flash_fired,
        brightness_ev=scene.brightness_ev,
        metered_ev100=scene.metered_ev100,
        subject_distance_m=scene.subject_distance_m,
        subject_distance_range=scene.subject_distance_range,
        body=read_body(tags),
        lens=lens.name,
        latitude_deg=position.latitude_deg,
        longitude_deg=position.longitude_deg,
        altitude_m=position.altitude_m,
        direction_deg=position.direction_deg,
        direction_is_magnetic=position.direction_is_magnetic,
        notes=(*exposure.notes, *iso_notes, *lens.notes, *position.notes, *scene.notes),
    )


def _completed(facts: CameraFacts, other: CameraFacts) -> CameraFacts:
    """The facts with their gaps filled; a note says where the two differ."""
    notes, theirs = list(facts.notes), list(other.notes)
    found: dict[str, Any] = {}
    for name, how in _FIELDS.items():
        mine, said = getattr(facts, name), getattr(other, name)
        of_field = [note for note in theirs if note.startswith(how.what)]
        if mine is None and said is not None:
            found[name] = said
            notes = [note for note in notes if not note.startswith(f"{how.what} unknown")] + of_field
        elif mine is None:
            notes += of_field
        elif said is not None and not _agree(name, mine, said, how):
            shown = f"{_shown(mine)}{how.unit}, XMP {_shown(said)}{how.unit}"
            notes.append(f"{how.what} differs: Exif says {shown}; Exif is used")
    if "direction_deg" in found:  # a bearing comes with its north
        found["direction_is_magnetic"] = other.direction_is_magnetic
    return replace(facts, **found, notes=tuple(dict.fromkeys(notes)))


def _agree(name: str, one: Any, other: Any, how: _Compared) -> bool:
    if name in ("body", "lens"):
        return _same_name(one, other)
    if name == "exposure_mode" and ExposureMode.AUTO in (one, other):
        return True  # says that the camera chose, and not how
    if how.relative or how.absolute:
        apart = abs(float(one) - float(other))
        if name == "direction_deg":
            apart = min(apart, 360 - apart)
        return apart <= how.absolute + how.relative * abs(float(one))
    return bool(one == other)


def _same_name(one: str, other: str) -> bool:
    """Whether two names are of one thing: one within the other, or the same lengths and apertures in both."""
    plain = ["".join(letter for letter in name.casefold() if letter.isalnum()) for name in (one, other)]
    if plain[0] in plain[1] or plain[1] in plain[0]:
        return True
    numbers: Sequence[set[float]] = [{float(n) for n in _NUMBERS.findall(name)} for name in (one, other)]
    return numbers[0] == numbers[1] and len(numbers[0]) > 1


def _shown(value: Any) -> str:
    return f"{value:.6g}" if isinstance(value, float) else str(value)
