"""Settings as a file or a person wrote them, each with the word for where it came from.

One surprising decision: a word stands beside a value only where it is *not* what its column promises: camera
settings come from the camera and filters and support from a person unless a word says otherwise.
"""

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from typing import Any

from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import exif_speed_value
from logbook.craft.filters import stack_stops
from logbook.craft.marks import iso_text, number_text, stops_text, written_aperture, written_exposure
from logbook.domain.keeper import Keeper
from logbook.domain.record import Record
from logbook.domain.words import Provenance, Support
from logbook.faces.report.frames import filters_of
from logbook.faces.report.models import Column, Value
from logbook.faces.words.glass import filters_text
from logbook.faces.words.phrases import listed, sentence

UNKNOWN = Value("unknown", "unknown")
NONE = "none"

_ORIGINS: dict[str, str] = {
    Provenance.CAMERA: "“camera” was read from the picture's own file",
    Provenance.STATED: "“stated” was said by a person",
    Provenance.ASSUMED: "“assumed” was carried over from before and not confirmed",
    Provenance.INFERRED: "“inferred” was worked out from other values",
}

Scrub = Callable[[str], str]


def setting(record: Record, name: str, scrub: Scrub) -> Value:
    """Return one setting of a picture or plan as it was written, with its origin where that needs a word."""
    value = getattr(record, name)
    if value is None or value is Support.UNKNOWN:
        return UNKNOWN
    try:
        text = _TEXTS[name](value)
    except CraftValueError:
        return UNKNOWN  # a file may carry an aperture of 0; what no lens can do was not read
    usual = Provenance.CAMERA if isinstance(record, Keeper) and name in _READ_BY_CAMERA else Provenance.STATED
    origin = record.provenance_of(name)
    code = scrub(" + ".join(value)) if name == "filters" and value else ""
    return Value(scrub(text), "" if origin in (None, usual) else str(origin), code)


def settings_line(record: Record, names: tuple[str, ...], scrub: Scrub) -> tuple[Value, ...]:
    """Return settings for one line; each unknown one says what it is that is unknown."""
    values = {name: setting(record, name, scrub) for name in names}
    if all(value is UNKNOWN for value in values.values()):
        return (UNKNOWN,)
    return tuple(
        Value(f"{HEADS[name].lower()} unknown", "unknown")
        if value is UNKNOWN
        else Value("no filter", value.origin)
        if name == "filters" and value.text == NONE
        else value
        for name, value in values.items()
    )


def light_words(keeper: Keeper) -> tuple[str, ...]:
    """Return what the camera measured of the scene's light, as EV at ISO 100; nothing where it wrote none."""
    found = []
    if keeper.brightness_ev is not None:
        ev100 = keeper.brightness_ev + exif_speed_value(100)
        found.append(f"EV {number_text(ev100)} at ISO 100 (brightness {number_text(keeper.brightness_ev)})")
    if keeper.metered_ev100 is not None:
        found.append(f"EV {number_text(keeper.metered_ev100)} at ISO 100 (maker's note)")
    return tuple(found)


def distance_words(keeper: Keeper) -> tuple[str, ...]:
    """Return how far the subject was, in metres and in the camera's word; nothing where it wrote none."""
    metres, word = keeper.subject_distance_m, keeper.subject_distance_range
    return (*([f"{number_text(metres)} m"] if metres is not None else []), *([str(word)] if word else []))


def _filters(filters: tuple[str, ...]) -> str:
    return filters_text(filters) or NONE


def _mm(focal_mm: float) -> str:
    return f"{number_text(focal_mm)} mm"


def _exposure(exposure_s: Fraction) -> str:
    return written_exposure(exposure_s)


def _bias(stops: float) -> str:
    return f"{stops_text(stops)} EV"


_TEXTS: dict[str, Callable[[Any], str]] = {
    "exposure_s": _exposure,
    "f_number": written_aperture,
    "iso": iso_text,
    "focal_mm": _mm,
    "focal_35mm": _mm,
    "filters": _filters,
    "support": str,
    "bias_stops": _bias,
    "exposure_mode": str,
    "metering": str,
    "lens": str,
    "body": str,
}
_READ_BY_CAMERA = frozenset(_TEXTS) - {"filters", "support"}

HEADS = {
    "exposure_s": "Exposure",
    "f_number": "Aperture",
    "iso": "ISO",
    "focal_mm": "Focal length",
    "focal_35mm": "35 mm equivalent",
    "filters": "Filters",
    "support": "Support",
    "bias_stops": "Exposure bias",
    "exposure_mode": "Exposure mode",
    "metering": "Metering",
    "lens": "Lens",
    "body": "Camera",
}

EXPLAINED = {
    "exposure_s": "How long the shutter was open; twice the time is one stop more light.",
    "f_number": "The f-number; f/8 to f/5.6 is one stop more light and less depth of field.",
    "iso": "The speed; twice the number is one stop brighter, and noisier.",
    "focal_mm": "The focal length that was set; longer is a narrower view.",
    "focal_35mm": "The focal length that gives the same view on a frame of 36 × 24 mm.",
    "filters": (
        "What was in front of the lens. The number of an ND filter is its factor: ND8 passes an eighth of "
        "the light, 3 stops less; a graduated one does so in part of the picture. Sorted by stops."
    ),
    "support": "What held the camera.",
    "bias_stops": "By how much the camera was told to expose more or less than it measured.",
    "exposure_mode": "Who chose aperture and time.",
    "metering": "Which part of the picture the camera measured.",
    "lens": "The lens, as the camera wrote it.",
    "body": "The camera, as it wrote itself.",
}
_EXACT = {
    "exposure_s": "Exposure (s)",
    "f_number": "Aperture (f-number)",
    "iso": "ISO (number)",
    "focal_mm": "Focal length (mm)",
    "focal_35mm": "35 mm equivalent (mm)",
    "filters": "Filters (stops)",
    "bias_stops": "Exposure bias (stops)",
}


def legend(names: Sequence[str], values: Iterable[Value]) -> str:
    """Return what a table of settings needs said about where its values come from: only what occurs in it."""
    shown = list(values)
    by_hand = listed([HEADS[name].lower() for name in names if name not in _READ_BY_CAMERA])
    were = "were" if "filters" in names else "was"
    said = ["Camera settings were read from the picture's own file"]
    said[0] += f"; {by_hand} {were} stated by the photographer." if by_hand else "."
    origins = [told for word, told in _ORIGINS.items() if any(value.origin == word for value in shown)]
    if origins:
        said.append(f"Where that is not so, a word stands beside the value: {', '.join(origins)}.")
    none, unknown = any(v.text == NONE for v in shown), any(v.origin == "unknown" for v in shown)
    words = ["“None” means there was none"] * none + ["“unknown” means that nobody noted it"] * unknown
    return " ".join([*said, *([sentence("; ".join(words))] if words else [])])


def column(name: str) -> Column:
    """Return a setting's column: its heading, what it means, and what it is usually known from."""
    usual = Provenance.CAMERA if name in _READ_BY_CAMERA else Provenance.STATED
    return Column(HEADS[name], EXPLAINED[name], _EXACT.get(name, ""), str(usual))


def exact(keeper: Keeper, name: str) -> str:
    """Return the bare number behind a picture's setting, with a decimal point, or nothing."""
    if setting(keeper, name, str) is UNKNOWN or name not in _EXACT:
        return ""
    if name == "filters":
        stops = stack_stops(filters_of(keeper.filters)).typical_stops
        return "" if stops is None else _decimal(stops)
    return _decimal(float(getattr(keeper, name)))


def _decimal(number: float) -> str:
    return f"{number:.9f}".rstrip("0").rstrip(".")
