"""A hidden position is found in whatever notation a person gives it; other numbers are none."""

import pytest

from logbook.domain.position import Position
from logbook.services.leaks.grids import plane_of, plus_digits, square_of, zone_of
from logbook.services.leaks.hidden import HiddenPosition
from logbook.services.leaks.positions import SecretPositions
from logbook.services.leaks.words import visible

WITHHELD = Position(61.23456, -7.65432)
AREA = Position(47.33333, 12.98765)
SHOWN = Position(47.12345, 12.73456)
ALL = SecretPositions(
    [HiddenPosition(WITHHELD, True), HiddenPosition(AREA, False)], [SHOWN, Position(47.3, 13.0)]
)
PLANE = plane_of(WITHHELD, zone_of(WITHHELD.longitude_deg))
EAST, NORTH = round(PLANE.east_m), round(PLANE.north_m)
IN_SQUARE = (f"{EAST % 100_000:05d}", f"{NORTH % 100_000:05d}")
PLUS = plus_digits(WITHHELD)
TELLING = (
    "61.23456, -7.65432",
    "61,23456 7,65432",
    "61.2346N 7.6543W",
    "-7.65432/61.23456",
    "lat=61.235",
    "lon=7,654",
    "7.65, 61.23",
    "61 degrees 14 minutes 4 seconds north, 7 degrees 39 minutes 16 seconds west",
    "sixty-one degrees fourteen minutes north and seven degrees thirty-nine minutes west",
    "sixty one point two three four five north, seven point six five four west",
    "61 14 04 N 7 39 16 W",
    "N61:14:04 W7:39:16",
    "61°14′4″N, 7°39′16″W",
    "61º 14.074' / 7º 39.259'",
    "61-14-04.4N 007-39-15.6W",
    "61.14.04 N, 7.39.16 W",
    "+61.23456-007.65432/",
    "+611404-0073916/",
    "6114.074,N,00739.259,W",
    "geo:61.23456,-7.65432?z=15",
    "https://maps.example/@61.23456,-7.65432,15z",
    "!3d61.23456!4d-7.65432",
    '{"lat": 61.23456, "lng": -7.65432}',
    "٦١.٢٣٤٥٦, ٧.٦٥٤٣٢",
    "61.2 N 7.7 W",
    "61°.2346 7°.6543",
    "61 stopni 14,07 minut N, 7 stopni 39,26 minut W",
    "北緯61度14分4秒 西経7度39分16秒",
    "6123456, 765432",
    '"latitudeE7": 612345600, "longitudeE7": -76543200',
    f"29V {EAST} {NORTH}",
    f"plus code {PLUS}",
    f"{EAST}mE {NORTH}mN",
    f"zone 29, easting {EAST:,}, northing {NORTH:,}".replace(",", " "),
    f"29V{square_of(PLANE)}{''.join(IN_SQUARE)}",
    f"29V {square_of(PLANE)} {' '.join(IN_SQUARE)}",
    f"{square_of(PLANE)} {IN_SQUARE[0][:3]} {IN_SQUARE[1][:3]}",
    f"{PLUS[:8]}+{PLUS[8:]}",
    f"{PLUS[4:8]}+{PLUS[8:]} Eib",
    "gffs3g6",
    "GFFS3G",
    "locator IP61ef",
    "47.33333",
    "12.9876",
    "47.33, 12.99",
    "47 20 00 N 12 59 15 E",
)
HARMLESS = (
    "47.12345° N, 12.73456° E",
    "near 47.3° N, 13.0° E",
    "48.5, 7.654",
    "f/2.8 for 47.3 s at 1013.251 hPa",
    "17:20-18:45, 14 tries, 1/125 s, ISO 200",
    "2031-10-14 06:12:59 to 2031-10-15",
    "61 pictures, 7 kept",
    "61.34567, -7.75432",
    "trees and a green fern",
    "a" * 5000,
)


@pytest.mark.parametrize("text", TELLING)
def test_a_hidden_position_is_found_in_any_notation(text: str) -> None:
    assert list(ALL.in_text(visible(text)))


@pytest.mark.parametrize("text", HARMLESS)
def test_other_numbers_are_no_position(text: str) -> None:
    assert list(ALL.in_text(visible(text))) == []


@pytest.mark.parametrize("north_deg", [0.0, 0.004, 0.0085])
def test_what_lies_within_a_kilometre_of_a_withheld_place_tells_where_it_is(north_deg: float) -> None:
    assert list(ALL.in_text(f"{61.23456 + north_deg:.5f} N 7.65432 W"))


def test_of_an_area_only_the_place_itself_is_hidden() -> None:
    assert list(ALL.in_text("47.33345, 12.98770"))
    assert list(ALL.in_text("47.33733, 12.99165")) == []


def test_nothing_hidden_nothing_found() -> None:
    assert list(SecretPositions([], [SHOWN]).in_text("61.23456, -7.65432 trees")) == []
