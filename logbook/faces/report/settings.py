"""Settings as they are marked on a camera, each with the word for where it came from.

One surprising decision: a word stands beside a value only where it is *not* what its column promises: camera
settings come from the camera and filters and support from a person unless a word says otherwise.
"""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from logbook.craft.errors import CraftValueError
from logbook.craft.marks import aperture_text, exposure_text, iso_text, stops_text
from logbook.domain.keeper import Keeper
from logbook.domain.record import Record
from logbook.domain.words import Provenance, Support
from logbook.faces.report.models import Value

UNKNOWN = Value("unknown", "unknown")
NONE = "none"

LEGEND = (
    "Camera settings were read from the picture's own file; filters and support were stated by the "
    "photographer. Where that is not so, a word stands beside the value: “stated” was said by a person, "
    "“assumed” was carried over from before and not confirmed, “inferred” was worked out from other values. "
    "“None” means there was none; “unknown” means that nobody noted it."
)
PLAN_LEGEND = (
    "Planned values were stated by the photographer unless “assumed” or “inferred” stands beside them."
)

Scrub = Callable[[str], str]


def setting(record: Record, name: str, scrub: Scrub) -> Value:
    """Return one setting of a picture or plan in its marked form, with its origin where that needs a word."""
    value = getattr(record, name)
    if value is None or value is Support.UNKNOWN:
        return UNKNOWN
    try:
        text = _TEXTS[name](value)
    except CraftValueError:
        return UNKNOWN  # a file may carry an aperture of 0; what no lens can do was not read
    usual = Provenance.CAMERA if isinstance(record, Keeper) and name in _READ_BY_CAMERA else Provenance.STATED
    origin = record.provenance_of(name)
    return Value(scrub(text), "" if origin in (None, usual) else str(origin))


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


def _filters(filters: tuple[str, ...]) -> str:
    return " + ".join(filters) or NONE


def _mm(focal_mm: float) -> str:
    return f"{focal_mm:.4g} mm"


def _exposure(exposure_s: Fraction) -> str:
    return exposure_text(exposure_s)


def _bias(stops: float) -> str:
    return f"{stops_text(stops)} EV"


_TEXTS: dict[str, Callable[[Any], str]] = {
    "exposure_s": _exposure,
    "f_number": aperture_text,
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
