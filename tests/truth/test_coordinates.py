"""Coordinate text against ISO 6709:2008 (and 2022), Standard representation of geographic point location.

Annex H (string expression) and Annex D (human-readable style) vectors; values to 1e-7 degrees (1 cm). The
sexagesimal vectors are the definition degrees + minutes/60 + seconds/3600, evaluated in double precision. The
rejected ones follow the standard's ranges (latitude 90, longitude 180, minutes and seconds below 60); that a
sign and a letter exclude each other is our policy.
"""

import pytest

from logbook.domain.errors import InvalidValueError
from logbook.domain.position import parse_latitude, parse_longitude, parse_position

ANNEX_H = [
    ("+40-075CRSxxxx/", 40.0, -75.0),
    ("+40.20361-75.00417CRSxxxx/", 40.20361, -75.00417),  # two degree digits, as printed in the annex
    ("+4012-07500CRSxxxx/", 40.2, -75.0),
    ("+4012.22-07500.25CRSxxxx/", 40.20366667, -75.00416667),
    ("+401213-0750015CRSxxxx/", 40.20361111, -75.00416667),
    ("+401213.1-0750015.1CRSxxxx/", 40.20363889, -75.00419444),
    ("+40-075+350CRSxxxx/", 40.0, -75.0),
    ("+40.20361-75.00417+350.517CRSxxxx/", 40.20361, -75.00417),
    ("+4012-07500-169.2CRSxxxx/", 40.2, -75.0),
    ("+4012.22-07500.25-169.2CRSxxxx/", 40.20366667, -75.00416667),
    ("+401213-0750015+2.79CRSxxxx/", 40.20361111, -75.00416667),
    ("+401213.1-0750015.1+2.79CRSxxxx/", 40.20363889, -75.00419444),
    ("+40-075/", 40.0, -75.0),
]
ANNEX_D = [  # the heights printed behind them are left out
    ("50°40′46.461″N 95°48′26.533″W", 50.6795725, -95.80737028),
    ("50°03′46.461″S 125°48′26.533″E", -50.06290583, 125.80737028),
]
LATITUDES = [
    ("40 26 46 N", 40.44611111),
    ("40°26'46\"N", 40.44611111),
    ("N 40°26.767'", 40.44611667),
    ("33:51:35.9S", -33.85997222),
    ("-33.8599722", -33.8599722),
    ("0°00'01\"S", -0.00027778),
    ("-0 30 00", -0.5),  # the sign belongs to the whole value
]
LONGITUDES = [
    ("79°58'56\"W", -79.98222222),
    ("W079 58.933", -79.98221667),
    ("179°59'59.999\"E", 179.99999972),
]
REFUSED_LATITUDES = ["91 00 00 N", "40 60 00 N", "40 26 60 N", "-40 26 46 N", "40 26 46 X", "40.5 30 N"]


@pytest.mark.parametrize(("text", "latitude_deg", "longitude_deg"), ANNEX_H + ANNEX_D)
def test_the_standards_own_examples_are_read(text: str, latitude_deg: float, longitude_deg: float) -> None:
    found = parse_position(text)
    assert found.latitude_deg == pytest.approx(latitude_deg, abs=1e-7)
    assert found.longitude_deg == pytest.approx(longitude_deg, abs=1e-7)


@pytest.mark.parametrize(("text", "latitude_deg"), LATITUDES)
def test_sexagesimal_latitudes_are_read(text: str, latitude_deg: float) -> None:
    assert parse_latitude(text) == pytest.approx(latitude_deg, abs=1e-7)


@pytest.mark.parametrize(("text", "longitude_deg"), LONGITUDES)
def test_sexagesimal_longitudes_are_read(text: str, longitude_deg: float) -> None:
    assert parse_longitude(text) == pytest.approx(longitude_deg, abs=1e-7)


@pytest.mark.parametrize("text", REFUSED_LATITUDES)
def test_what_the_standards_ranges_exclude_is_refused(text: str) -> None:
    with pytest.raises(InvalidValueError):
        parse_latitude(text)
    with pytest.raises(InvalidValueError):
        parse_longitude("181 00 00 E")
