"""The sun's place against published worked examples and an independent implementation of NREL's SPA.

Facts and their sources are in sun.json; tolerances stand beside each check.
"""

import json
from datetime import UTC, datetime, timedelta
from math import cos, radians
from pathlib import Path
from typing import Any

import pytest

from logbook.sky.ephemeris import Body, from_earths_centre, to_seconds_array
from logbook.sky.events import EventName, sky_day
from logbook.sky.observer import Observer
from logbook.sky.position import Air, refraction_deg, sun_position, sun_positions

FACTS: dict[str, Any] = json.loads(Path(__file__).with_name("sun.json").read_text())["entries"]
PLACES = [name for name in FACTS if name.startswith("sunpos-")]
AU_KM = 149_597_870.7  # IAU 2012 Resolution B2
TT_LESS_UTC_1992_S = 32.184 + 27  # IERS Bulletin C: TAI - UTC was 27 s from 1992-07-01
ALTITUDE_TOLERANCE_DEG = 0.01


def from_tt(tt: str, tt_less_utc_s: float) -> datetime:
    return datetime.fromisoformat(tt).replace(tzinfo=UTC) - timedelta(seconds=tt_less_utc_s)


def test_the_published_spa_example_is_met_to_a_hundredth_of_a_degree() -> None:
    """Reda and Andreas, NREL/TP-560-34302, Table A5.1."""
    given, wanted = FACTS["spa-example"]["inputs"], FACTS["spa-example"]["expected"]
    observer = Observer(given["lat_deg"], given["lon_deg"], given["elev_m"])
    at = datetime.fromisoformat(given["local"])
    air = Air(given["pressure_hPa"], given["temperature_C"])
    bare, refracted = sun_position(observer, at), sun_position(observer, at, air)
    assert bare.altitude_deg == pytest.approx(wanted["true_alt_deg"], abs=0.01)
    assert bare.azimuth_deg == pytest.approx(wanted["azimuth_deg"], abs=0.01)
    assert bare.distance_km / AU_KM == pytest.approx(
        wanted["R_au"], abs=1e-4
    )  # topocentric against geocentric
    assert refracted.altitude_deg == pytest.approx(wanted["apparent_alt_deg"], abs=0.01)
    assert refraction_deg(wanted["true_alt_deg"], air) == pytest.approx(wanted["refraction_deg"], abs=1e-6)


def test_the_suns_longitude_and_distance_are_those_of_meeus_example_25() -> None:
    """Meeus, Astronomical Algorithms, examples 25.a (0.01 deg) and 25.b, VSOP87 (0.0001 deg)."""
    at = from_tt(FACTS["meeus-25b"]["inputs"]["TT"], TT_LESS_UTC_1992_S)
    vector_km, longitude_deg = from_earths_centre(Body.SUN, to_seconds_array([at]))
    low, high = FACTS["meeus-25a"]["expected"], FACTS["meeus-25b"]["expected"]
    assert longitude_deg[0] == pytest.approx(low["apparent_longitude_deg"], abs=0.01)
    assert longitude_deg[0] == pytest.approx(high["vsop87_apparent_longitude_deg"], abs=1e-4)
    distance_au = float((vector_km[:, 0] ** 2).sum() ** 0.5) / AU_KM
    assert distance_au == pytest.approx(high["vsop87_R_au"], abs=1e-5)


@pytest.mark.parametrize("year", FACTS["meeus-27a"]["expected"]["VSOP87_TD"])
def test_the_sun_stands_at_ninety_degrees_at_the_published_solstice(year: str) -> None:
    """Meeus, Table 27.E; a minute of time is 0.0007 deg of longitude."""
    tt_less_utc_s = 32.184 + 32  # IERS Bulletin C: TAI - UTC was 32 s from 1999 to 2005
    at = from_tt(f"{year}-{FACTS['meeus-27a']['expected']['VSOP87_TD'][year]}", tt_less_utc_s)
    _, longitude_deg = from_earths_centre(Body.SUN, to_seconds_array([at]))
    assert longitude_deg[0] == pytest.approx(90.0, abs=0.0007)


def test_solar_noon_at_greenwich_gives_the_published_equation_of_time() -> None:
    """Meeus, examples 28.a and 28.b, for 0h, between two noons; 1.2 s, as UT1 - UTC may be 0.9 s."""
    start = datetime(1992, 10, 12, tzinfo=UTC)
    day = sky_day(Observer(51.4779, 0.0), start, start + timedelta(days=2))
    early_s, late_s = (
        43_200.0 - (noon.at - noon.at.replace(hour=0, minute=0, second=0, microsecond=0)).total_seconds()
        for noon in day.every(EventName.SOLAR_NOON)
    )
    assert (early_s + late_s) / 2 == pytest.approx(FACTS["meeus-28"]["expected"]["accurate_s"], abs=1.2)


def test_refraction_is_saemundssons() -> None:
    """Meeus, example 16.a; 1010 hPa and 10 C; 0.002 arcmin."""
    fact = FACTS["meeus-16a"]
    lifted_deg = refraction_deg(fact["inputs"]["true_alt_arcmin"] / 60.0, Air(1010.0, 10.0))
    assert lifted_deg * 60.0 == pytest.approx(fact["expected"]["saemundsson_arcmin"], abs=0.002)


@pytest.mark.parametrize("name", PLACES)
def test_the_sun_stands_where_spa_puts_it(name: str) -> None:
    """51 places by SPA (NREL/TP-560-34302); 0.01 deg in altitude, azimuth as each entry states."""
    given, wanted, allowed = (FACTS[name][key] for key in ("inputs", "expected", "tolerance"))
    observer = Observer(given["lat_deg"], given["lon_deg"], given["elev_m"])
    at = datetime.fromisoformat(given["utc"])
    bare = sun_position(observer, at)
    refracted = sun_position(observer, at, Air(given["pressure_hPa"], given["temperature_C"]))
    assert bare.altitude_deg == pytest.approx(wanted["true_alt_deg"], abs=allowed["true_alt_deg"])
    if wanted["apparent_alt_deg"] is not None:
        apparent_deg = pytest.approx(wanted["apparent_alt_deg"], abs=allowed["apparent_alt_deg"])
        assert refracted.altitude_deg == apparent_deg
    if wanted["azimuth_deg"] is not None:
        off_deg = (bare.azimuth_deg - wanted["azimuth_deg"] + 180.0) % 360.0 - 180.0
        assert abs(off_deg) <= allowed["azimuth_deg"]


@pytest.mark.slow
def test_ten_thousand_random_suns_agree_with_an_independent_spa() -> None:
    """pvlib's SPA, 500 random places, 20 random instants each, 1975 to 2030; 0.01 deg (measured: 0.0031).

    SPA takes UTC for UT1 (up to 0.9 s, which is 0.004 deg), so TT - UTC is passed as its delta T.
    """
    spa = pytest.importorskip("pvlib.spa", reason="pvlib is not installed: no outside SPA to compare with")
    import numpy as np

    random = np.random.default_rng(20310914)
    largest_altitude = largest_azimuth = 0.0
    first = datetime(1975, 1, 1, tzinfo=UTC)
    for _ in range(500):
        latitude = float(np.degrees(np.arcsin(random.uniform(-1.0, 1.0))))
        longitude = float(random.uniform(-180.0, 180.0))
        instants = [first + timedelta(seconds=float(s)) for s in random.uniform(0, 55 * 365.25 * 86_400, 20)]
        ours = sun_positions(Observer(latitude, longitude), instants)
        seconds = np.array([at.timestamp() for at in instants])
        tt_less_utc = np.array([32.184 + leap_seconds(at) for at in instants])
        theirs = spa.solar_position_numpy(
            seconds, latitude, longitude, 0.0, 1013.25, 12.0, tt_less_utc, 0.5667, 1
        )
        for position, altitude, azimuth in zip(ours, theirs[3], theirs[4], strict=True):
            off = (position.azimuth_deg - azimuth + 180.0) % 360.0 - 180.0
            largest_altitude = max(largest_altitude, abs(position.altitude_deg - altitude))
            largest_azimuth = max(largest_azimuth, abs(off) * cos(radians(altitude)))
    assert largest_altitude < ALTITUDE_TOLERANCE_DEG
    assert largest_azimuth < ALTITUDE_TOLERANCE_DEG


def leap_seconds(at: datetime) -> int:
    """TAI - UTC, from IERS Bulletin C."""
    steps = [
        "1975-01-01",
        "1976-01-01",
        "1977-01-01",
        "1978-01-01",
        "1979-01-01",
        "1980-01-01",
        "1981-07-01",
        "1982-07-01",
        "1983-07-01",
        "1985-07-01",
        "1988-01-01",
        "1990-01-01",
        "1991-01-01",
        "1992-07-01",
        "1993-07-01",
        "1994-07-01",
        "1996-01-01",
        "1997-07-01",
        "1999-01-01",
        "2006-01-01",
        "2009-01-01",
        "2012-07-01",
        "2015-07-01",
        "2017-01-01",
    ]
    return 13 + sum(at >= datetime.fromisoformat(step).replace(tzinfo=UTC) for step in steps)


@pytest.mark.parametrize("year", [1905, 1925, 1950, 1968])
def test_before_utc_had_leap_seconds_clocks_followed_the_earth(year: int) -> None:
    """astronomy-engine, whose instants are UT1, on a spring day; 0.02 deg (13 s of time are 0.054)."""
    astronomy = pytest.importorskip(
        "astronomy", reason="astronomy-engine is not installed: nothing to compare with"
    )
    at = datetime(year, 4, 10, 14, 0, tzinfo=UTC)
    when = astronomy.Time.Make(year, 4, 10, 14, 0, 0)
    place = astronomy.Observer(48.0, 11.0, 0.0)
    seen = astronomy.Equator(astronomy.Body.Sun, when, place, True, True)
    wanted = astronomy.Horizon(when, place, seen.ra, seen.dec, astronomy.Refraction.Airless)
    found = sun_position(Observer(48.0, 11.0), at)
    assert found.azimuth_deg == pytest.approx(wanted.azimuth, abs=0.02)
    assert found.altitude_deg == pytest.approx(wanted.altitude, abs=0.02)
