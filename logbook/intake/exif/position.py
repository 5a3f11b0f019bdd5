"""Where the camera stood and which way it looked, by its satellite receiver.

One surprising decision: a coordinate without its hemisphere and a bearing without its north are unknown:
guessing them is wrong half of the time. A height without its reference is above the sea, because the standard
says so. Source: CIPA DC-008 (Exif 2.32 and 3.0), GPS tag tables.
"""

from dataclasses import dataclass, field
from fractions import Fraction

from logbook.intake.exif.tags import Tags, believed

_LEAST_ALTITUDE_M, _MOST_ALTITUDE_M = -11_000, 50_000  # deepest sea floor; above any balloon
_SIGN_OF_ALTITUDE = {0: 1, 1: -1, 2: 1, 3: -1}  # GPSAltitudeRef, 0 by default; 2 and 3 since Exif 3.0


@dataclass(frozen=True, slots=True)
class CameraPosition:
    """WGS84 degrees, metres above sea level, degrees clockwise from true or magnetic north."""

    latitude_deg: float | None = None
    longitude_deg: float | None = None
    altitude_m: float | None = None
    direction_deg: float | None = None
    direction_is_magnetic: bool | None = None
    notes: tuple[str, ...] = field(default=())


def read_position(tags: Tags) -> CameraPosition:
    """The position the tags give; what cannot be is None and noted."""
    notes: list[str] = []
    has_fix = True
    latitude = _coordinate(tags, "Latitude", "NS", 90, notes)
    longitude = _coordinate(tags, "Longitude", "EW", 180, notes)
    if latitude is None or longitude is None:
        if (latitude, longitude) != (None, None):
            notes.append("position unknown: only one of latitude and longitude is known")
        latitude = longitude = None
    elif latitude == 0 and longitude == 0:
        notes.append("position unknown: the file says 0, 0, which receivers write until they have a fix")
        latitude = longitude = None
        has_fix = False
    else:
        datum = tags.text("GPS GPSMapDatum")
        if datum and "84" not in datum and any(c.isalnum() for c in datum):
            notes.append(
                f"position uses the datum {datum!r}, not WGS84, and may be off by hundreds of metres"
            )
    direction, is_magnetic = _direction(tags, notes)
    return CameraPosition(
        latitude_deg=None if latitude is None else float(latitude),
        longitude_deg=None if longitude is None else float(longitude),
        altitude_m=_altitude(tags, notes) if has_fix else None,
        direction_deg=direction,
        direction_is_magnetic=is_magnetic,
        notes=tuple(notes),
    )


def _coordinate(tags: Tags, which: str, letters: str, most: int, notes: list[str]) -> Fraction | None:
    """Signed degrees from degrees, minutes, seconds and the hemisphere's letter."""
    name, what = f"GPS GPS{which}", which.lower()
    values = tags.values(name)
    if values is None:
        return None
    if not isinstance(values, list) or not values:
        notes.append(f"{what} unknown: it is not given as numbers")
        return None
    total = Fraction(0)
    for place, (unit, limit) in enumerate(((1, most), (60, 60), (3600, 60))):
        raw = tags.rational(name, place)
        if raw is None and 0 < place >= len(values):
            break  # whole minutes, or decimal degrees, written short
        part = believed(raw, what, notes, least=0, most=limit)
        if part is None:
            return None
        total += part / unit
    if total > most:
        notes.append(f"{what} unknown: the file says {float(total):.6g} degrees, which is not possible")
        return None
    letter = (tags.text(f"GPS GPS{which}Ref") or "").upper()[:1]
    if not letter or letter not in letters:
        notes.append(f"{what} unknown: the file does not say which hemisphere")
        return None
    return total if letter == letters[0] else -total


def _altitude(tags: Tags, notes: list[str]) -> float | None:
    raw = tags.rational("GPS GPSAltitude")
    height = believed(raw, "altitude", notes, least=_LEAST_ALTITUDE_M, most=_MOST_ALTITUDE_M, unit=" m")
    if height is None:
        return None
    reference = tags.integer("GPS GPSAltitudeRef")
    sign = _SIGN_OF_ALTITUDE.get(reference or 0)
    if sign is None:
        notes.append("altitude unknown: the file does not say whether it is above or below the sea")
        return None
    return float(height * sign)


def _direction(tags: Tags, notes: list[str]) -> tuple[float | None, bool | None]:
    bearing = believed(
        tags.rational("GPS GPSImgDirection"), "direction", notes, least=0, most=360, unit=" degrees"
    )
    if bearing is None:
        return None, None
    north = (tags.text("GPS GPSImgDirectionRef") or "").upper()[:1]
    if north not in ("T", "M"):
        notes.append("direction unknown: the file does not say whether it is from true or magnetic north")
        return None, None
    return float(bearing % 360), north == "M"
