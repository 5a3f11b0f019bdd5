"""A position as people write it: two hundred random notations, each with the pieces that would tell it."""

import random
from collections.abc import Callable

from logbook.domain.position import Position
from logbook.services.leaks.grids import BASE_32, plane_of, plus_digits, square_of, zone_of
from tests.trials.planting.forms import Planted, squeezed

HIDDEN = Position(61.234561, -7.654321)
_SMALL: tuple[str, ...] = (
    *(
        "zero",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
    ),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
)
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")


def _parts(value: float) -> tuple[int, int, float]:
    degrees = int(value)
    minutes = int((value - degrees) * 60)
    return degrees, minutes, ((value - degrees) * 60 - minutes) * 60


def _planted(text: str, *pieces: str) -> Planted:
    return Planted(text, tuple(squeezed(piece) for piece in pieces))


def decimal(rng: random.Random) -> Planted:
    """Decimal degrees, with points or commas, signs or letters, in either order."""
    places = rng.randrange(3, 7)
    point = rng.choice(".,.·.")
    lat, lon = (
        f"{abs(v):.{places}f}".replace(".", point) for v in (HIDDEN.latitude_deg, HIDDEN.longitude_deg)
    )
    between = rng.choice((", ", " ", "; ", " / ", "/", " and ", "\u00a0", " | ", "\t", " x ", ",\n"))
    if point == "," and between == ", ":
        between = "; "
    style = rng.randrange(7)
    if style == 0:
        text = f"{lat}{between}-{lon}"
    elif style == 1:
        text = f"{lat}° N{between}{lon}° W"
    elif style == 2:
        text = f"N{lat}{between}W{lon}"
    elif style == 3:
        text = f"lat {lat}{between}lon -{lon}"
    elif style == 4:
        text = f"W {lon}{between}N {lat}"
    elif style == 5:
        text = f"{lat} north{between}{lon} west"
    else:
        text = f"({lat}N{between}{lon}W)"
    return _planted(text, lat, lon)


def sexagesimal(rng: random.Random) -> Planted:
    """Degrees, minutes and seconds, with every mark and none."""
    pieces = []
    for value, letter, word in (
        (HIDDEN.latitude_deg, "N", "north"),
        (-HIDDEN.longitude_deg, "W", "west"),
    ):
        degrees, minutes, seconds = _parts(value)
        pieces.append((f"{degrees}", f"{minutes:02d}", f"{seconds:02.0f}", letter, word))
    d, m, s = rng.choice(
        (
            *(("°", "'", '"'), ("°", "′", "″"), ("° ", "′ ", "″ "), (" ", " ", " "), (":", ":", "")),
            *(("d", "m", "s"), ("º", "’", "”"), ("-", "-", ""), (".", ".", " "), ("° ", "' ", "'' ")),
            (" deg ", " min ", " sec "),
        )
    )
    halves = [f"{a}{d}{b}{m}{c}{s}" for a, b, c, _, _ in pieces]
    letters = [letter for *_, letter, _ in pieces]
    between = rng.choice((", ", " ", " / ", "; ", " and "))
    style = rng.randrange(3)
    if style == 0:
        text = f"{halves[0].strip()} {letters[0]}{between}{halves[1].strip()} {letters[1]}"
    elif style == 1:
        text = f"{letters[0]}{halves[0].strip()}{between}{letters[1]}{halves[1].strip()}"
    else:
        text = f"{halves[0].strip()}{letters[0]}{between}{halves[1].strip()}{letters[1]}"
    return _planted(text, halves[0], halves[1])


def minutes(rng: random.Random) -> Planted:
    """Degrees and decimal minutes, as receivers show them."""
    places = rng.randrange(1, 4)
    made = []
    for value, letter in ((HIDDEN.latitude_deg, "N"), (-HIDDEN.longitude_deg, "W")):
        degrees = int(value)
        made.append((degrees, f"{(value - degrees) * 60:0{3 + places}.{places}f}", letter))
    d, m = rng.choice((("°", "'"), ("° ", "′"), (" ", ""), (" deg ", " min"), ("º", "’")))
    halves = [f"{degrees}{d}{told}{m}" for degrees, told, _ in made]
    between = rng.choice((", ", " ", " / "))
    text = rng.choice(
        (
            between.join(f"{half} {one[2]}" for half, one in zip(halves, made, strict=True)),
            between.join(f"{one[2]}{half}" for half, one in zip(halves, made, strict=True)),
        )
    )
    return _planted(text, *halves)


def packed(rng: random.Random) -> Planted:
    """ISO 6709 and what receivers send (NMEA 0183)."""
    lat, lon = HIDDEN.latitude_deg, -HIDDEN.longitude_deg
    (d1, m1, s1), (d2, m2, s2) = _parts(lat), _parts(lon)
    one = f"+{lat:.5f}-{lon:09.5f}/"
    two = f"+{d1:02d}{m1:02d}{s1:02.0f}-{d2:03d}{m2:02d}{s2:02.0f}/"
    three = f"{d1:02d}{m1 + s1 / 60:06.3f},N,{d2:03d}{m2 + s2 / 60:06.3f},W"
    text, first = rng.choice(((one, f"{lat:.5f}"), (two, f"{d1:02d}{m1:02d}{s1:02.0f}"), (three, three[:7])))
    return _planted(text, first)


def linked(rng: random.Random) -> Planted:
    """Addresses of maps."""
    lat, lon = f"{HIDDEN.latitude_deg:.5f}", f"{HIDDEN.longitude_deg:.5f}"
    text = rng.choice(
        (
            f"geo:{lat},{lon}",
            f"https://maps.example/@{lat},{lon},15z",
            f"https://maps.example/?q={lat}%2C{lon}",
            f"https://maps.example/#map=15/{lat}/{lon}",
            f"https://maps.example/!3d{lat}!4d{lon}",
            f"[there](https://maps.example/?lat={lat}&lon={lon})",
            f'{{"lat": {lat}, "lng": {lon}}}',
        )
    )
    return _planted(text, lat, lon)


def spelled(rng: random.Random) -> Planted:
    """Written out in words."""
    (d1, m1, s1), (d2, m2, s2) = _parts(HIDDEN.latitude_deg), _parts(-HIDDEN.longitude_deg)
    if rng.random() < 0.4:
        seconds = rng.random() < 0.5
        told = [
            f"{d} degrees {m} minutes" + (f" {s:.0f} seconds" if seconds else "") + f" {word}"
            for d, m, s, word in ((d1, m1, s1, "north"), (d2, m2, s2, "west"))
        ]
        return _planted(rng.choice((", ", " and ")).join(told), *told)
    hyphen = rng.choice("- ")
    told = [
        f"{_word(d, hyphen)} degrees {_word(m, hyphen)} minutes {word}"
        for d, m, word in ((d1, m1, "north"), (d2, m2, "west"))
    ]
    return _planted(rng.choice((", ", " and ")).join(told), *told)


def _word(value: int, hyphen: str) -> str:
    if value < 20:
        return _SMALL[value]
    return _TENS[value // 10] + (hyphen + _SMALL[value % 10] if value % 10 else "")


def grid(rng: random.Random) -> Planted:
    """UTM and MGRS."""
    plane = plane_of(HIDDEN, zone_of(HIDDEN.longitude_deg))
    east, north = round(plane.east_m), round(plane.north_m)
    square = square_of(plane)
    e, n = f"{east % 100_000:05d}", f"{north % 100_000:05d}"
    few = rng.choice((3, 4, 5))
    spaced = f"{east:,} {north:,}".replace(",", rng.choice((" ", "'", " ")))
    text = rng.choice(
        (
            f"29V {east} {north}",
            f"29 V {east}E {north}N",
            f"UTM 29V {east}mE {north}mN",
            f"UTM 29N {spaced}",
            f"zone 29 easting {east} northing {north}",
            f"29V{square}{e}{n}",
            f"29V {square} {e} {n}",
            f"29V {square} {e[:few]} {n[:few]}",
            f"{square} {e} {n}",
        )
    )
    return _planted(text, e[:few] + n[:few] if square in text else str(north))


def code(rng: random.Random) -> Planted:
    """Geohash, plus code and locator."""
    kind = rng.randrange(4)
    if kind == 0:
        made = _geohash(rng.randrange(6, 11))
        return _planted(rng.choice((made, made.upper(), f"geohash {made}")), made)
    if kind == 1:
        digits = plus_digits(HIDDEN)
        made = f"{digits[:8]}+{digits[8:]}"
        return _planted(made, made)
    if kind == 2:
        digits = plus_digits(HIDDEN)
        made = f"{digits[4:8]}+{digits[8:]}"
        return _planted(f"{made} Eib", made)
    made = _locator(rng.choice((6, 8)))
    return _planted(rng.choice((made, f"locator {made}")), made)


def _geohash(length: int) -> str:
    """Interleaved bits of both angles, five to a letter."""
    lat = int((HIDDEN.latitude_deg + 90) / 180 * 2**30)
    lon = int((HIDDEN.longitude_deg + 180) / 360 * 2**30)
    bits = [bit for at in range(29, -1, -1) for bit in (lon >> at & 1, lat >> at & 1)]
    return "".join(BASE_32[int("".join(map(str, bits[5 * n : 5 * n + 5])), 2)] for n in range(length))


def _locator(length: int) -> str:
    lon, lat = (HIDDEN.longitude_deg + 180) / 2, HIDDEN.latitude_deg + 90
    text, lon, lat = chr(65 + int(lon // 10)) + chr(65 + int(lat // 10)), lon % 10, lat % 10
    text, lon, lat = f"{text}{int(lon)}{int(lat)}", lon % 1 * 24, lat % 1 * 24
    text, lon, lat = text + chr(97 + int(lon)) + chr(97 + int(lat)), lon % 1 * 10, lat % 1 * 10
    return (text + f"{int(lon)}{int(lat)}")[:length]


NOTATIONS: tuple[Callable[[random.Random], Planted], ...] = (
    decimal, sexagesimal, minutes, decimal, packed, linked, sexagesimal, spelled, grid, code,
)  # fmt: skip


def positions(count: int, rng: random.Random) -> list[Planted]:
    """Return random notations of one hidden position, every kind in turn."""
    return [NOTATIONS[number % len(NOTATIONS)](rng) for number in range(count)]
