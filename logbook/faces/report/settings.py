"""Settings as a file or a person wrote them, each with the word for where it came from, and their table.

One surprising decision: a word stands beside a value only where it is *not* what its column promises: camera
settings come from the camera and filters and support from a person unless a word says otherwise.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import exif_speed_value
from logbook.craft.filters import stack_stops
from logbook.craft.marks import iso_text, number_text, stops_text, written_aperture, written_exposure
from logbook.domain.keeper import Keeper
from logbook.domain.plain_text import line as one_line
from logbook.domain.record import Record
from logbook.domain.words import Provenance, Support
from logbook.faces.report.frames import filters_of
from logbook.faces.report.models import Cell, Column, Table, Value
from logbook.faces.report.order import Order
from logbook.faces.words.glass import filters_text
from logbook.faces.words.phrases import listed, sentence
from logbook.faces.words.prose import line

UNKNOWN = Value("unknown", "unknown")
NONE = "none"
TABLE_FILE = "settings.csv"


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting: its heading, what it means, how it is written, and what its bare number is called."""

    head: str
    meaning: str
    text: Callable[[Any], str] = str
    exact: str = ""  # the heading of bare numbers; empty where there is none
    in_table: bool = False
    by_camera: bool = True


def _mm(focal_mm: float) -> str:
    return f"{number_text(focal_mm)} mm"


SETTINGS: dict[str, Setting] = {  # by field, in the order of the table's columns
    "exposure_s": Setting(
        "Shutter speed",
        "How long the shutter was open; twice the time is one stop more light.",
        written_exposure,
        "Shutter speed (s)",
        in_table=True,
    ),
    "f_number": Setting(
        "Aperture",
        "The f-number; f/8 to f/5.6 is one stop more light and less depth of field.",
        written_aperture,
        "Aperture (f-number)",
        in_table=True,
    ),
    "iso": Setting(
        "ISO",
        "The sensitivity; twice the number is one stop brighter, and noisier.",
        iso_text,
        "ISO (number)",
        in_table=True,
    ),
    "focal_mm": Setting(
        "Focal length",
        "The focal length that was set; a longer one gives a narrower view.",
        _mm,
        "Focal length (mm)",
        in_table=True,
    ),
    "focal_35mm": Setting(
        "35 mm equivalent",
        "The focal length that gives the same view on a frame of 36 × 24 mm.",
        _mm,
        "35 mm equivalent (mm)",
    ),
    "filters": Setting(
        "Filters",
        "What was in front of the lens. The number of an ND filter is its factor: ND8 passes an eighth of "
        "the light, 3 stops less; a graduated one does so only in part of the picture. Sorted by stops.",
        lambda filters: filters_text(filters) or NONE,
        "Filters (stops)",
        in_table=True,
        by_camera=False,
    ),
    "support": Setting("Support", "What supported the camera.", in_table=True, by_camera=False),
    "bias_stops": Setting(
        "Exposure bias",
        "How far the exposure was set above or below the camera's reading.",
        lambda stops: f"{stops_text(stops)} EV",
        "Exposure bias (stops)",
    ),
    "exposure_mode": Setting("Exposure mode", "Who chose aperture and shutter speed."),
    "metering": Setting("Metering", "Which part of the picture the camera metered."),
    "lens": Setting("Lens", "The lens, as the camera recorded it."),
    "body": Setting("Camera", "The camera, as it identified itself."),
}
_ALONE = {("filters", NONE): "no filter", ("support", "other"): "other support"}  # without a column's head
LINE = ("exposure_s", "f_number", "iso", "focal_mm", "filters", "support")  # what one line tells

_ORIGINS: dict[str, str] = {
    Provenance.CAMERA: "“camera” was read from the picture's own file",
    Provenance.STATED: "“stated” came from a person",
    Provenance.ASSUMED: "“assumed” was carried forward and not confirmed",
    Provenance.INFERRED: "“inferred” was worked out from other values",
}
_PICTURE = Column("Picture", "The picture's number on these pages, in shooting order.", "Picture")


def setting(record: Record, name: str) -> Value:
    """Return one setting of a picture or plan as it was written, with its origin where that needs a word."""
    value = getattr(record, name)
    if value is None or value is Support.UNKNOWN:
        return UNKNOWN
    try:
        text = SETTINGS[name].text(value)
    except CraftValueError:
        return UNKNOWN  # a file may carry an aperture of 0; what no lens can do was not read
    usual = _usual(name) if isinstance(record, Keeper) else Provenance.STATED
    # A file for programs has no signs that set text apart.
    code = one_line(" + ".join(value) if name == "filters" and value else text)
    code = "" if code == line(text) else code
    return Value(line(text), origin_told(record, name, usual), code)


def origin_told(record: Record, name: str, usual: Provenance = Provenance.STATED) -> str:
    """Return where a value came from, in a word, or "" where it is unknown or came as such values do."""
    origin = record.provenance_of(name)
    return "" if origin in (None, usual) else str(origin)


def _within(head: str) -> str:
    return head if head.isupper() else head.lower()


def settings_line(record: Record, names: Iterable[str] = LINE) -> tuple[Value, ...]:
    """Return settings for one line; each unknown one says what it is that is unknown."""
    values = {name: setting(record, name) for name in names}
    if all(value is UNKNOWN for value in values.values()):
        return (UNKNOWN,)
    return tuple(
        Value(f"{_within(SETTINGS[name].head)} unknown", "unknown")
        if value is UNKNOWN
        else replace(value, text=_ALONE.get((name, value.text), value.text))
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


def settings_table(
    order: Order, keepers: Iterable[Keeper], anchors: Mapping[str, str], caption: str, download: str
) -> Table | None:
    """Return the settings of some pictures that the account tells of, one a row, numbered as in the pages.

    `anchors` are where the pictures stand, by keeper id; `download` is the table's file, or nothing; only
    a table with a file explains its columns. None where there is no picture.
    """
    names = [name for name, one in SETTINGS.items() if one.in_table and order.account.sees(Keeper, name)]
    body = []
    for keeper in keepers:
        number = order.keeper_numbers[keeper.id]
        head = Cell((Value(f"Picture {number}"),), link=anchors[keeper.id], exact=str(number))
        values = (Cell((setting(keeper, n),), figures=True, exact=_exact(keeper, n)) for n in names)
        body.append((head, *values))
    if not body:
        return None
    columns = (_PICTURE, *map(_column, names))
    headings = tuple(one.heading for one in columns)
    told = _legend(names, (value for row in body for cell in row[1:] for value in cell.values))
    return Table(caption, headings, tuple(body), told, columns if download else (), download)


def _usual(name: str) -> Provenance:
    """Where a setting of a picture comes from unless a word says otherwise."""
    return Provenance.CAMERA if SETTINGS[name].by_camera else Provenance.STATED


def _column(name: str) -> Column:
    one = SETTINGS[name]
    return Column(one.head, one.meaning, one.exact, str(_usual(name)))


def _legend(names: Sequence[str], values: Iterable[Value]) -> str:
    """What a table of settings needs said about where its values come from: only what occurs in it."""
    shown = list(values)
    by_hand = listed([SETTINGS[name].head.lower() for name in names if not SETTINGS[name].by_camera])
    were = "were" if "filters" in names else "was"
    said = ["Camera settings were read from the picture's own file"]
    said[0] += f"; {by_hand} {were} stated by the photographer." if by_hand else "."
    origins = [told for word, told in _ORIGINS.items() if any(value.origin == word for value in shown)]
    if origins:
        said.append(f"Where this differs, a word beside the value says so: {', '.join(origins)}.")
    none, unknown = any(v.text == NONE for v in shown), any(v.origin == "unknown" for v in shown)
    words = ["“None” means there was none"] * none + ["“unknown” means nobody noted it"] * unknown
    return " ".join([*said, *([sentence("; ".join(words))] if words else [])])


def _exact(keeper: Keeper, name: str) -> str:
    """The bare number behind a picture's setting, with a decimal point, or nothing."""
    if setting(keeper, name) is UNKNOWN or not SETTINGS[name].exact:
        return ""
    if name == "filters":
        stops = stack_stops(filters_of(keeper.filters)).typical_stops
        return "" if stops is None else _decimal(stops)
    return _decimal(float(getattr(keeper, name)))


def _decimal(number: float) -> str:
    return f"{number:.9f}".rstrip("0").rstrip(".")
