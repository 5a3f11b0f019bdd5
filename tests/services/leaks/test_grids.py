"""Codes for places against published examples."""

import pytest
from geopy.distance import geodesic

from logbook.domain.position import Position
from logbook.services.leaks.grids import (
    EarthPiece,
    geohash_cell,
    maidenhead_cell,
    plane_of,
    plus_cell,
    plus_digits,
    square_of,
    zone_of,
)


def holds(cell: EarthPiece, latitude_deg: float, longitude_deg: float) -> bool:
    return (
        cell.south_deg <= latitude_deg < cell.south_deg + cell.height_deg
        and cell.west_deg <= longitude_deg < cell.west_deg + cell.width_deg
    )


# Published UTM coordinates of two well-known towers, on WGS84.
@pytest.mark.parametrize(
    ("latitude", "longitude", "zone", "east_m", "north_m"),
    [(43.642567, -79.387139, 17, 630084, 4833438), (48.8582, 2.2945, 31, 448252, 5411933)],
)
def test_utm_agrees_with_published_points(
    latitude: float, longitude: float, zone: int, east_m: float, north_m: float
) -> None:
    plane = plane_of(Position(latitude, longitude), zone_of(longitude))
    assert plane.zone == zone
    assert (plane.east_m, plane.north_m) == pytest.approx((east_m, north_m), abs=1)


def test_the_middle_of_a_zone_lies_at_half_a_million_metres_and_the_south_counts_down_from_ten() -> None:
    assert plane_of(Position(0, 9), 32).east_m == pytest.approx(500_000, abs=1e-6)
    assert plane_of(Position(0, 9), 32).north_m == pytest.approx(0, abs=1e-6)
    north, south = plane_of(Position(0.5, 9), 32).north_m, plane_of(Position(-0.5, 9), 32).north_m
    assert south == pytest.approx(10_000_000 - north, abs=1e-6)


@pytest.mark.parametrize("latitude", [0.5, 45, 61.2, 84])
def test_the_meridian_of_a_zone_is_as_long_as_a_geodesic_along_it(latitude: float) -> None:
    along = geodesic((0, 9), (latitude, 9)).meters
    assert plane_of(Position(latitude, 9), 32).north_m / 0.9996 == pytest.approx(along, abs=0.001)


def test_a_pole_is_a_place_too() -> None:
    assert plane_of(Position(-90, 9), 32).north_m > 0


@pytest.mark.parametrize(
    ("latitude", "longitude", "square"),
    [(38.8895, -77.0353, "UJ"), (-33.857, 151.215, "LH"), (48.8582, 2.2945, "DQ")],
)
def test_squares_have_their_letters(latitude: float, longitude: float, square: str) -> None:
    assert square_of(plane_of(Position(latitude, longitude), zone_of(longitude))) == square


def test_a_geohash_is_where_its_inventor_has_it() -> None:
    assert holds(geohash_cell("u4pruydqqvj"), 57.64911063, 10.40743969)
    assert holds(geohash_cell("ezs42"), 42.605, -5.603)


def test_a_plus_code_is_where_its_specification_has_it() -> None:
    """From the test data of the open location code 1.0."""
    assert holds(plus_cell("7FG49Q"), 20.375, 2.775)
    assert holds(plus_cell("7FG49QCJ2V"), 20.3700625, 2.7821875)
    assert holds(plus_cell("7FG49QCJ2VX"), 20.3701125, 2.782234375)
    assert plus_digits(Position(20.3700625, 2.7821875)) == "7FG49QCJ2V"


def test_a_locator_is_where_amateurs_have_it() -> None:
    assert holds(maidenhead_cell("JN58TD"), 48.14666, 11.60833)
    assert holds(maidenhead_cell("FN31PR"), 41.714775, -72.727260)
