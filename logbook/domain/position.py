"""Where something is on the earth (WGS84), the ways people type it, and geodesics between points.

One surprising decision: a decimal comma is accepted only when reading it as a separator gives no position
("47,5 N 12,25 E"); a text that makes sense both ways is refused. geopy measures, and is imported by the first
question for a distance; its reader of positions is not used, since it takes many a slip for another place.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any

from logbook.domain.errors import InvalidValueError

COMPASS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")
TEXT_DIGITS = 5  # decimals of a degree in text for people: 1.1 m

_POINT_DEG = 360.0 / len(COMPASS)
_WINDS = {"north": "N", "east": "E", "south": "S", "west": "W"}
_DEGREES = re.compile(r"([0-9]{1,3}(?:[.,][0-9]+)?)\s*(?:°|º|deg(?:rees?)?)?(?:\s*true)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Position:
    """A point on WGS84: degrees north (-90..90), degrees east (-180..180); else InvalidValueError."""

    latitude_deg: float
    longitude_deg: float

    def __post_init__(self) -> None:
        check_latitude(self.latitude_deg)
        check_longitude(self.longitude_deg)


def position_known(latitude_deg: float | None, longitude_deg: float | None) -> Position | None:
    """Return a position, or None where half of it is unknown; raises InvalidValueError as Position does."""
    return None if latitude_deg is None or longitude_deg is None else Position(latitude_deg, longitude_deg)


def check_latitude(latitude_deg: float) -> float:
    """The latitude itself (degrees); raises InvalidValueError outside -90..90."""
    if -90.0 <= latitude_deg <= 90.0:
        return latitude_deg
    raise InvalidValueError(f"Latitude {latitude_deg:.10g} is outside -90 to 90 degrees.")


def check_longitude(longitude_deg: float) -> float:
    """The longitude itself (degrees); raises InvalidValueError outside -180..180."""
    if -180.0 <= longitude_deg <= 180.0:
        return longitude_deg
    raise InvalidValueError(f"Longitude {longitude_deg:.10g} is outside -180 to 180 degrees.")


class _Axis(StrEnum):
    LATITUDE = "Latitude"
    LONGITUDE = "Longitude"


class _ShapeError(InvalidValueError):
    """The text is not laid out like a position at all (so another reading may still fit)."""


_ISO_6709 = re.compile(
    r"([+-][0-9]{2}|[+-][0-9]{4}|[+-][0-9]{6})(\.[0-9]+)?"
    r"([+-][0-9]{2,3}|[+-][0-9]{5}|[+-][0-9]{7})(\.[0-9]+)?"
    r"(?:[+-][0-9]+(?:\.[0-9]+)?)?(?:CRS[^/]*)?/?"
)
_AXIS_OF = {"N": _Axis.LATITUDE, "S": _Axis.LATITUDE, "E": _Axis.LONGITUDE, "W": _Axis.LONGITUDE}
_WORDS = {"north": "N", "south": "S", "east": "E", "west": "W", "degrees": "°", "degree": "°", "deg": "°"}
_ALIKE = str.maketrans(
    {"−": "-", "–": "-", "º": "°", "˚": "°", "′": "'", "’": "'", "‘": "'", "ʹ": "'", "`": "'"}
    | {"″": '"', "”": '"', "“": '"', "ʺ": '"', "\u00a0": " ", "\u202f": " ", "\u2009": " "}
)
_TOKEN = re.compile(r"\s*([0-9]+(?:\.[0-9]+)?|(?<![0-9])[+-](?=[0-9])|[°'\":,;/]|[NSEW])", re.IGNORECASE)
_TIGHT_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")
_MARKS = ("°:", "':", '"')  # what may follow degrees, minutes and seconds
_LONGEST = 120  # characters of a typed position

_HOW = 'write it as "47.5, 12.25" or "47°30\'00"N 12°15\'00"E"'


def parse_position(text: str) -> Position:
    """A position from decimal degrees, degrees and minutes (and seconds), or ISO 6709 text.

    Latitude first unless letters say otherwise; a height or CRS in ISO 6709 text is not kept. Raises
    InvalidValueError naming the offending part.
    """
    plain = _plain(text)
    if iso := _ISO_6709.fullmatch(plain):
        latitude_deg = check_latitude(_packed_deg(iso[1], iso[2] or "", 2))
        return Position(latitude_deg, check_longitude(_packed_deg(iso[3], iso[4] or "", 3)))
    readings = [plain]
    if "." not in plain and _TIGHT_COMMA.search(plain):
        readings.append(_TIGHT_COMMA.sub(".", plain))
    found: set[Position] = set()
    refusals: list[InvalidValueError] = []
    for reading in readings:
        try:
            found.add(_pair(_tokens(reading, text), text))
        except InvalidValueError as refusal:
            refusals.append(refusal)
    if len(found) > 1:
        raise InvalidValueError(f"The commas in {_shown(text)} can be read in two ways; {_HOW}.")
    if not found:
        raise next((refusal for refusal in refusals if not isinstance(refusal, _ShapeError)), refusals[0])
    return found.pop()


def parse_latitude(text: str) -> float:
    """Degrees north from "47.5", "47,5 N", "47°30'00\"N" or "-0 30 00"; raises InvalidValueError."""
    return _single(text, _Axis.LATITUDE)


def parse_longitude(text: str) -> float:
    """Degrees east from "12.25", "12,25 E", "W079 58.933" or "-0 30 00"; raises InvalidValueError."""
    return _single(text, _Axis.LONGITUDE)


def position_text(p: Position) -> str:
    """The position as people read it: "47.50000° N, 12.25000° E"."""
    latitude_deg, longitude_deg = round(p.latitude_deg, TEXT_DIGITS), round(p.longitude_deg, TEXT_DIGITS)
    latitude = f"{abs(latitude_deg):.{TEXT_DIGITS}f}° {'N' if latitude_deg >= 0 else 'S'}"
    return f"{latitude}, {abs(longitude_deg):.{TEXT_DIGITS}f}° {'E' if longitude_deg >= 0 else 'W'}"


def distance_m(a: Position, b: Position) -> float:
    """Length of the geodesic between two points on WGS84, metres (Karney 2013, by geopy)."""
    return float(_ruler().measure(_pair_of(a), _pair_of(b))) * 1000.0


def bearing_deg(a: Position, b: Position) -> float:
    """Bearing on which the geodesic to `b` leaves `a`: degrees from true north, 0 <= bearing < 360.

    0 where the points coincide: there is no direction then (Karney 2013, by what geopy measures with).
    """
    if distance_m(a, b) == 0.0:
        return 0.0
    solved = _ruler().geod.Inverse(*_pair_of(a), *_pair_of(b))  # geopy has no bearings of its own
    return _turned(float(solved["azi1"]))


def compass_word(bearing: float) -> str:
    """The nearest of the 16 compass points ("NNW") to a bearing in degrees; halfway goes clockwise."""
    return COMPASS[math.floor(_turned(bearing) / _POINT_DEG + 0.5) % len(COMPASS)]


def parse_bearing(text: str) -> float:
    """A bearing in degrees (0 <= bearing < 360) from "NW", "north-west", "315" or "315°".

    Raises InvalidValueError for anything else, and beyond 360.
    """
    typed = text.strip()
    letters = re.sub(r"north|east|south|west", lambda wind: _WINDS[wind[0]], typed.lower()).upper()
    point = re.sub(r"[\s-]", "", letters)
    if point in COMPASS:
        return COMPASS.index(point) * _POINT_DEG
    degrees = _DEGREES.fullmatch(typed)
    if degrees is None:
        raise InvalidValueError(
            f"{_shown(typed)} is not a bearing; give a compass point (NW) or degrees from true north (315)."
        )
    bearing = float(degrees[1].replace(",", "."))
    if bearing > 360.0:
        raise InvalidValueError(f"The bearing {bearing:g} is outside 0 to 360 degrees.")
    return _turned(bearing)


def rounded_to_area(p: Position, cell_deg: float = 0.1) -> Position:
    """The nearest crossing of a grid of `cell_deg` degrees, for showing only an area.

    0.1 degrees is 11 km from south to north; from west to east it shrinks with the cosine of the latitude.
    """
    if not 0.0 < cell_deg <= 90.0:
        raise InvalidValueError(f"An area of {cell_deg:g} degrees is not between 0 and 90 degrees.")
    latitude_deg = round(round(p.latitude_deg / cell_deg) * cell_deg, 9)
    longitude_deg = round(round(p.longitude_deg / cell_deg) * cell_deg, 9)
    return Position(max(-90.0, min(90.0, latitude_deg)), max(-180.0, min(180.0, longitude_deg)))


@cache
def _ruler() -> Any:
    """geopy's measure of geodesics on WGS84; one for all, because a new one works out its series again."""
    from geopy.distance import geodesic

    return geodesic(ellipsoid="WGS-84")


def _pair_of(p: Position) -> tuple[float, float]:
    return p.latitude_deg, p.longitude_deg


def _turned(angle_deg: float) -> float:
    turned = angle_deg % 360.0
    return 0.0 if turned == 360.0 else turned  # -1e-15 % 360 rounds up to 360


def _plain(text: str) -> str:
    if len(text) > _LONGEST:
        raise InvalidValueError(f"{_shown(text)} is too long for a position; {_HOW}.")
    plain = text.translate(_ALIKE).strip().replace("''", '"')
    return re.sub("|".join(_WORDS), lambda word: _WORDS[word[0].lower()], plain, flags=re.IGNORECASE)


def _tokens(plain: str, text: str) -> list[str]:
    tokens, at = [], 0
    while at < len(plain):
        token = _TOKEN.match(plain, at)
        if token is None:
            raise _ShapeError(
                f'{_shown(text)} cannot be read from "{_clean(plain[at : at + 12])}" on; {_HOW}.'
            )
        tokens.append(token[1].upper())
        at = token.end()
    return tokens


def _pair(tokens: Sequence[str], text: str) -> Position:
    halves = _halves(tokens, text)
    axes = [next((_AXIS_OF[token] for token in half if token in _AXIS_OF), None) for half in halves]
    if axes[0] is not None and axes[0] is axes[1]:
        raise InvalidValueError(
            f"{_shown(text)} gives two {axes[0].lower()}s; give one latitude and one longitude."
        )
    if axes[0] is _Axis.LONGITUDE or axes[1] is _Axis.LATITUDE:
        halves.reverse()
    latitude_deg = _angle_deg(halves[0], _Axis.LATITUDE, text)
    return Position(latitude_deg, _angle_deg(halves[1], _Axis.LONGITUDE, text))


def _halves(tokens: Sequence[str], text: str) -> list[Sequence[str]]:
    """Cut where a separator, the letters, a second sign or degree mark, or the count of numbers says."""
    separators = [at for at, mark in enumerate(tokens) if mark in ",;/"]
    letters = [at for at, mark in enumerate(tokens) if mark in _AXIS_OF]
    signs = [at for at, mark in enumerate(tokens) if mark in "+-"]
    degrees = [at for at, mark in enumerate(tokens) if mark == "°"]
    numbers = [at for at, mark in enumerate(tokens) if mark[0].isdigit()]
    cut: int | None = None
    if separators:
        if len(separators) == 1:
            return [tokens[: separators[0]], tokens[separators[0] + 1 :]]
    elif len(letters) == 2:
        if letters[0] == 0:
            cut = letters[1]
        elif letters[1] == len(tokens) - 1:
            cut = letters[0] + 1
    elif not letters and signs and signs[-1] > 0:
        cut = signs[-1]
    elif not letters and len(degrees) == 2:
        cut = degrees[1] - 1
    elif not letters and len(numbers) in (2, 4, 6):
        cut = numbers[len(numbers) // 2]
    if cut is None:
        raise _ShapeError(f"{_shown(text)} cannot be split into a latitude and a longitude; {_HOW}.")
    return [tokens[:cut], tokens[cut:]]


def _single(text: str, axis: _Axis) -> float:
    plain = _plain(text)
    if "." not in plain and len(_TIGHT_COMMA.findall(plain)) == 1:
        plain = _TIGHT_COMMA.sub(".", plain)
    tokens = _tokens(plain, text)
    if any(_AXIS_OF.get(token, axis) is not axis for token in tokens):
        raise InvalidValueError(
            f"{_shown(text)} is not a {axis.lower()}: its letter belongs to the other half."
        )
    return _angle_deg(tokens, axis, text)


def _angle_deg(tokens: Sequence[str], axis: _Axis, text: str) -> float:
    """Signed degrees of one half: [letter] [sign] degrees [minutes [seconds]] [letter], marks optional."""
    rest = list(tokens)
    letter = rest.pop(0) if rest and rest[0] in _AXIS_OF else None
    sign = rest.pop(0) if rest and rest[0] in "+-" else None
    if letter is None and rest and rest[-1] in _AXIS_OF:
        letter = rest.pop()
    if letter and sign:
        raise InvalidValueError(
            f"{axis} in {_shown(text)} has both a sign and the letter {letter}; keep one."
        )
    numbers: list[str] = []
    while rest and rest[0][0].isdigit() and len(numbers) < len(_MARKS):
        numbers.append(rest.pop(0))
        if rest and rest[0] in _MARKS[len(numbers) - 1]:
            mark = rest.pop(0)
            if mark == ":" and not rest:
                rest.append(mark)
    if rest or not numbers:
        raise _ShapeError(f"{axis} in {_shown(text)} cannot be read; {_HOW}.")
    if any("." in number for number in numbers[:-1]):
        raise InvalidValueError(
            f"{axis} in {_shown(text)} has a fraction before its last part; only the last may have one."
        )
    return _summed_deg(numbers, letter in ("S", "W") or sign == "-", axis)


def _summed_deg(numbers: Sequence[str], negative: bool, axis: _Axis) -> float:
    for unit, number in zip(("Minutes", "Seconds"), numbers[1:], strict=False):
        if float(number) >= 60:
            raise InvalidValueError(f"{unit} {_clean(number)} of the {axis.lower()} must be below 60.")
    degrees, minutes, seconds = ([float(number) for number in numbers] + [0.0, 0.0])[:3]
    angle_deg = degrees + (minutes * 60 + seconds) / 3600
    signed_deg = -angle_deg if negative and angle_deg else angle_deg
    return check_latitude(signed_deg) if axis is _Axis.LATITUDE else check_longitude(signed_deg)


def _packed_deg(digits: str, fraction: str, degree_digits: int) -> float:
    """Degrees of ISO 6709 digits: DD, DDMM or DDMMSS (one digit more for longitude), with a fraction."""
    axis = _Axis.LATITUDE if degree_digits == 2 else _Axis.LONGITUDE
    sign, packed = digits[0], digits[1:].zfill(degree_digits)  # the standard's own annex has "-75" for "-075"
    numbers = [packed[:degree_digits], *re.findall("..", packed[degree_digits:])]
    numbers[-1] += fraction
    return _summed_deg(numbers, sign == "-", axis)


def _clean(text: str) -> str:
    return "".join(letter if letter.isprintable() else "�" for letter in text)


def _shown(text: str) -> str:
    shown = _clean(" ".join(text.split()))
    return f'"{shown[:50]}…"' if len(shown) > 50 else f'"{shown}"'
