"""Grids and codes agree with outside libraries.

The values were written out by utm 0.9.0, mgrs 1.6.0 (which wraps NGA's GEOTRANS), pygeohash 3.5.1 and
openlocationcode 1.0.1; tolerance 1 cm for UTM, one unit of the last place for others. The codes at the end
are examples of the published descriptions.
"""

import math

import pytest

from logbook.domain.discretion.codes import (
    FALSE_NORTHING_M,
    ROWS_REPEAT_M,
    cells,
    encode_plus_code,
    grid_references,
    projected,
    short_cells,
)
from logbook.domain.position import Position

SEEN = [
    (0.0001, 0.0001, 31, 166032.59, 11.07, "31NAA6603200011", "s0000000d", "6FG22222+22"),
    (-0.5, -78.25, 17, 806112.90, 9944670.82, "17MRV0611244670", "6rbm5kup6", "67F3GQ22+22"),
    (38.214, 73.503, 43, 368946.72, 4230618.41, "43SCC6894630618", "twu32sek8", "8JCM6G73+J6"),
    (-33.9, 18.4, 34, 259583.22, 6245888.05, "34HBH5958345888", "k3vp4swqp", "4FRW4C22+22"),
    (61.23456, -7.65432, 29, 572241.36, 6789657.88, "29VNH7224189657", "gffs3g6m1", "9CHJ68MW+R7"),
    (83.5, -40.0, 24, 487362.11, 9272385.45, "24XVT8736272385", "gnge1b8yu", "C9M2G222+22"),
    (-79.5, 170.2, 59, 483725.14, 1174109.25, "59CMM8372574109", "pcc58zryg", "2VGGG622+22"),
    (47.12345, 12.73456, 33, 328168.99, 5221372.87, "33TUN2816821372", "u23h1f91b", "8FVJ4PFM+9R"),
    (12.0, -179.99, 1, 174375.37, 1328321.33, "01PAP7437528321", "840h20x31", "72422226+22"),
    (-45.03, 168.66, 59, 315668.45, 5011053.20, "59GLL1566811053", "pxzzvfw3n", "4V6CXMC6+22"),
]
Row = tuple[float, float, int, float, float, str, str, str]


@pytest.mark.parametrize("row", SEEN)
def test_utm_and_mgrs_agree(row: Row) -> None:
    latitude_deg, longitude_deg, zone, east_m, north_m, mgrs, _, _ = row
    easting_m, northing_m = projected(Position(latitude_deg, longitude_deg), zone)
    assert easting_m == pytest.approx(east_m, abs=0.01)
    assert northing_m % FALSE_NORTHING_M == pytest.approx(north_m, abs=0.01)
    (read,) = grid_references(mgrs, ())
    assert read.zone == zone
    assert abs(read.easting_m - easting_m) <= 1
    assert abs(math.remainder(read.northing_m - northing_m, ROWS_REPEAT_M)) <= 1


@pytest.mark.parametrize("row", SEEN)
def test_geohash_and_plus_code_agree(row: Row) -> None:
    latitude_deg, longitude_deg, *_, geohash, plus = row
    for code in (geohash, plus):
        assert any(
            abs(cell.latitude_deg - latitude_deg) <= cell.half_height_deg + 1e-9
            and abs(cell.longitude_deg - longitude_deg) <= cell.half_width_deg + 1e-9
            for cell in cells(code)
        )
    assert encode_plus_code(Position(latitude_deg, longitude_deg)) == plus.replace("+", "")


@pytest.mark.parametrize(
    ("code", "latitude_deg", "longitude_deg", "tolerance_deg"),
    [
        ("ezs42", 42.605, -5.603, 0.022),
        ("u4pruydqqvj", 57.64911, 10.40744, 0.00001),
        ("7FG49Q00+", 20.375, 2.775, 0.051),
        ("8FVC9G8F+6X", 47.365590, 8.524997, 0.0001),
        ("8FVC9G8F+6XQH", 47.365590, 8.524997, 0.00001),
        ("BL11bh", 21.3125, -157.875, 0.05),
        ("FN31pr", 41.714775, -72.727260, 0.05),
    ],
)
def test_published_codes_are_decoded(
    code: str, latitude_deg: float, longitude_deg: float, tolerance_deg: float
) -> None:
    assert any(
        abs(cell.latitude_deg - latitude_deg) <= tolerance_deg
        and abs(cell.longitude_deg - longitude_deg) <= tolerance_deg
        for cell in cells(code)
    )


def test_a_short_plus_code_is_recovered_near_its_reference() -> None:
    (cell,) = short_cells("9G8F+6X", Position(47.4, 8.6))  # the specification's own example
    assert (cell.latitude_deg, cell.longitude_deg) == pytest.approx((47.3655625, 8.5249375), abs=1e-6)
