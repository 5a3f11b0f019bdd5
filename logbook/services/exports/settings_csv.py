"""The settings of every picture as a table: marked values, bare numbers, and where each came from.

One surprising decision: unknown is an empty field and none is the word "none", as everywhere in the book.
"""

from collections.abc import Callable, Iterator
from typing import Any

from logbook.craft.errors import CraftValueError
from logbook.craft.marks import iso_text, written_aperture, written_exposure
from logbook.domain.keeper import Keeper
from logbook.domain.shown import Shown
from logbook.domain.words import Provenance, Support
from logbook.domain.zones import zone_words
from logbook.services.exports.csv_text import csv_text
from logbook.services.exports.places import one_line


def _marked(mark: Callable[[Any], str]) -> Callable[[Any], str]:
    def text(value: Any) -> str:
        try:
            return mark(value)
        except CraftValueError:
            return ""  # a file may carry an aperture of 0; what no lens can do was not read

    return text


def _filters(filters: tuple[str, ...]) -> str:
    return " + ".join(filters) or "none"


def _number(value: float) -> str:
    return f"{float(value):.9f}".rstrip("0").rstrip(".")


def _degrees(value: float) -> str:
    return f"{value:.7f}".rstrip("0").rstrip(".")


def _truth(value: bool) -> str:
    return "yes" if value else "no"


# Heading, field of a keeper, how it is written, and whether its origin has a column of its own.
_COLUMNS: tuple[tuple[str, str, Callable[[Any], str], bool], ...] = (
    ("Shutter speed", "exposure_s", _marked(written_exposure), True),
    ("Shutter speed (s)", "exposure_s", _number, False),
    ("Shutter speed (fraction of a second)", "exposure_s", lambda s: f"{s.numerator}/{s.denominator}", False),
    ("Aperture", "f_number", _marked(written_aperture), True),
    ("Aperture (f-number)", "f_number", _number, False),
    ("ISO", "iso", _marked(iso_text), True),
    ("Focal length (mm)", "focal_mm", _number, True),
    ("35 mm equivalent (mm)", "focal_35mm", _number, False),
    ("Exposure bias (stops)", "bias_stops", _number, False),
    ("Exposure mode", "exposure_mode", str, False),
    ("Metering", "metering", str, False),
    ("Flash fired", "flash_fired", _truth, False),
    ("Brightness (APEX EV)", "brightness_ev", _number, False),
    ("Camera's reading (EV at ISO 100)", "metered_ev100", _number, False),
    ("Subject distance (m)", "subject_distance_m", _number, False),
    ("Subject distance (range)", "subject_distance_range", str, False),
    ("Filters", "filters", _filters, True),
    ("Support", "support", str, True),
    ("Camera", "body", one_line, False),
    ("Lens", "lens", one_line, False),
    ("Rating", "rating", str, False),
    ("Latitude (degrees)", "latitude_deg", _degrees, True),
    ("Longitude (degrees)", "longitude_deg", _degrees, True),
    ("Altitude (m)", "altitude_m", _number, False),
    ("Direction (degrees)", "direction_deg", _number, False),
    ("Caption", "caption", one_line, False),
)
_HEADS = (
    "Picture",
    "Date",
    "Time at the place",
    "Camera's time",
    "Instant (UTC)",
    "Zone",
    "Viewpoint",
    "Site",
    "Shot",
)


def settings_csv(shown: Shown) -> str:
    """Return the table as the text of a CSV file, one picture a line, in order of time."""
    heads = [*_HEADS, *(head for column in _COLUMNS for head in _headings(*column))]
    return csv_text([heads, *(list(_line(shown, keeper)) for keeper in shown.keepers)])


def _headings(head: str, _name: str, _text: Callable[[Any], str], has_origin: bool) -> Iterator[str]:
    yield head
    if has_origin:
        yield f"{head} from"


def _line(shown: Shown, keeper: Keeper) -> Iterator[str]:
    account, at = shown, keeper.place_time
    viewpoint = account.viewpoints.get(keeper.viewpoint_id or "")
    site = account.site_of(keeper.viewpoint_id)
    shot = next((one for one in account.shots if one.id == keeper.shot_id), None)
    yield one_line(keeper.file)
    yield at.date().isoformat() if at else ""
    yield at.time().isoformat("seconds") if at and not keeper.is_by_camera else ""
    yield keeper.camera_time.isoformat(" ", "seconds") if keeper.camera_time else ""
    yield keeper.taken_utc.isoformat().replace("+00:00", "Z") if keeper.taken_utc else ""
    yield zone_words(keeper.zone) if keeper.zone else ""
    yield one_line(viewpoint.title) if viewpoint else ""
    yield one_line(site.title) if site else ""
    yield one_line(shot.title) if shot else ""
    for _head, name, text, has_origin in _COLUMNS:
        value = getattr(keeper, name)
        is_known = value is not None and value is not Support.UNKNOWN
        yield text(value) if is_known else ""
        if has_origin:
            yield str(keeper.provenance.get(name, Provenance.STATED)) if is_known else ""
