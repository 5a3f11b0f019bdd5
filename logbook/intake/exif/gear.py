"""The camera body and the lens, named as people say them, and the lens's focal length.

One surprising decision: company forms ("Corporation", "Co., Ltd.") are dropped, and a maker whose name the
model already carries is not said twice. A lens that only says its range ("24 to 70 mm, f/2.8") is named by
that range. Source: CIPA DC-008 (Exif 2.32), tag tables: FocalLength, FocalLengthIn35mmFilm,
LensSpecification, LensModel.
"""

import re
from dataclasses import dataclass, field

from logbook.intake.exif.tags import Tags, believed

_COMPANY_WORDS = frozenset(
    {
        *("corporation", "corp", "company", "co", "ltd", "co,ltd", "inc", "llc", "gmbh", "ag", "kk"),
        *("optical", "imaging", "computer", "electric", "electronics", "camera", "digital"),
        *("techwin", "technologies", "communications"),
    }
)
_EDGES = re.compile(r"^[\s,.]+|[\s,.]+$")


def read_body(tags: Tags) -> str | None:
    """Maker and model joined; None when neither was written."""
    return join_body(tags.text("Make"), tags.text("Model"))


def join_body(make: str | None, model: str | None) -> str | None:
    """Maker and model as one name: "EXAMPLE CORPORATION", "EXAMPLE Quill" is "EXAMPLE Quill";
    "Example Inc.", "Quill" is "Example Quill".
    """
    if not make or not model:
        return model or make
    words = make.split()
    while len(words) > 1 and _EDGES.sub("", words[-1]).replace(".", "").lower() in _COMPANY_WORDS:
        words.pop()
    short = _EDGES.sub("", " ".join(words))
    spoken = {_EDGES.sub("", w).lower() for w in words}
    first = model.replace("-", " ").split()[0].lower() if model.replace("-", " ").split() else ""
    if first in spoken or model.lower().startswith(short.lower()):
        return model
    return f"{short} {model}"


_MOST_FOCAL_MM = 5000  # longer than any lens that was made for a camera
_LEAST_FOCAL_MM = 0.1
_NO_NAME = frozenset({"unknown", "none", "n/a", "null", "undefined", "0", "no lens", "manual lens no cpu"})


@dataclass(frozen=True, slots=True)
class Lens:
    """Name and focal lengths in mm; None is unknown."""

    name: str | None = None
    focal_mm: float | None = None
    focal_35mm: float | None = None
    notes: tuple[str, ...] = field(default=())


def read_lens(tags: Tags) -> Lens:
    """The lens the tags give; what cannot be is None and noted."""
    notes: list[str] = []
    focal = believed(
        tags.rational("FocalLength"),
        "focal length",
        notes,
        least=_LEAST_FOCAL_MM,
        most=_MOST_FOCAL_MM,
        unit=" mm",
    )
    equivalent = tags.rational("FocalLengthIn35mmFilm")
    if equivalent is not None and equivalent.numerator == 0:
        equivalent = None  # the standard's own word for unknown
    focal_35mm = believed(
        equivalent, "35 mm-equivalent focal length", notes, least=1, most=_MOST_FOCAL_MM, unit=" mm"
    )
    return Lens(
        name=_name(tags),
        focal_mm=None if focal is None else float(focal),
        focal_35mm=None if focal_35mm is None else float(focal_35mm),
        notes=tuple(notes),
    )


def _name(tags: Tags) -> str | None:
    for tag in ("LensModel", "MakerNote LensModel"):
        name = tags.text(tag)
        if name and name.lower() not in _NO_NAME and any(c.isalnum() for c in name) and name.strip("0 .-/fm"):
            return name
    return _range(tags, "LensSpecification") or _range(tags, "MakerNote LensMinMaxFocalMaxAperture")


def _range(tags: Tags, tag: str) -> str | None:
    """ "24-70 mm f/2.8" from shortest and longest focal length and the widest aperture at each."""
    raw = [tags.rational(tag, place) for place in range(4)]
    numbers = [float(r.value) if r is not None and r.value else None for r in raw]
    short, long, wide, narrow = numbers
    if short is None or not 0 < short <= _MOST_FOCAL_MM:
        return None
    name = f"{short:.4g}-{long:.4g} mm" if long and long != short else f"{short:.4g} mm"
    if wide:
        name += f" f/{wide:.3g}-{narrow:.3g}" if narrow and narrow != wide else f" f/{wide:.3g}"
    return name
