import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.bearings import separation_deg
from logbook.craft.errors import CraftValueError
from logbook.craft.polarisation import (
    CLEAR_SKY_CEILING,
    Evenness,
    PolariserEffect,
    brewster_angle_deg,
    rayleigh_degree,
    sky_polarisation,
)
from logbook.craft.view import View

ANGLES = st.floats(0.0, 180.0)


@given(ANGLES)
def test_polarisation_is_the_same_towards_and_away_from_the_sun(angle_deg: float) -> None:
    degree = rayleigh_degree(angle_deg)
    assert 0.0 <= degree <= CLEAR_SKY_CEILING
    assert rayleigh_degree(180.0 - angle_deg) == pytest.approx(degree, abs=1e-12)


def test_a_real_sky_never_reaches_the_ideal() -> None:
    assert rayleigh_degree(90.0) == pytest.approx(CLEAR_SKY_CEILING)
    assert rayleigh_degree(90.0, ceiling=1.0) == pytest.approx(1.0)


@given(st.floats(0.0, 360.0), st.floats(-6.0, 90.0))
def test_the_strongest_band_is_a_quarter_turn_from_the_sun(
    sun_azimuth_deg: float, sun_altitude_deg: float
) -> None:
    sky = sky_polarisation(View(0.0, 60.0, 40.0, 10.0), sun_azimuth_deg, sun_altitude_deg)
    assert sky is not None
    for azimuth_deg, altitude_deg in (
        (sky.band_azimuths_deg[0], 0.0),
        (sky.band_azimuths_deg[1], 0.0),
        (sky.band_top_azimuth_deg, sky.band_top_altitude_deg),
    ):
        away_deg = separation_deg(azimuth_deg, altitude_deg, sun_azimuth_deg, sun_altitude_deg)
        assert away_deg == pytest.approx(90.0, abs=1e-6)


def test_a_long_lens_across_the_sun_has_an_even_strong_sky_and_a_wide_one_does_not() -> None:
    long = sky_polarisation(View(0.0, 12.0, 8.0, 5.0), 90.0, 10.0)
    wide = sky_polarisation(View(0.0, 100.0, 75.0, 15.0), 90.0, 10.0)
    assert long is not None
    assert wide is not None
    assert (long.effect, long.evenness) == (PolariserEffect.STRONG, Evenness.EVEN)
    assert wide.evenness is Evenness.UNEVEN
    assert wide.spread > long.spread


def test_a_sky_towards_the_sun_gains_little() -> None:
    sky = sky_polarisation(View(90.0, 20.0, 14.0, 10.0), 90.0, 10.0)
    assert sky is not None
    assert sky.effect is PolariserEffect.WEAK


def test_a_frame_without_sky_or_a_sun_far_down_gives_no_advice() -> None:
    assert sky_polarisation(View(0.0, 30.0, 20.0, -45.0), 90.0, 20.0) is None
    assert sky_polarisation(View(0.0, 30.0, 20.0, 10.0), 90.0, -10.0) is None


def test_an_impossible_ceiling_or_index_is_refused() -> None:
    with pytest.raises(CraftValueError):
        rayleigh_degree(90.0, ceiling=1.2)
    with pytest.raises(CraftValueError):
        brewster_angle_deg(0.0)


@pytest.mark.parametrize(
    ("sun_altitude_deg", "all_round"), [(30.0, False), (58.0, False), (64.0, True), (89.5, True)]
)
def test_under_a_high_sun_the_whole_horizon_is_strongly_polarised(
    sun_altitude_deg: float, all_round: bool
) -> None:
    """Lord Rayleigh 1871: a horizon's point is no nearer to the sun, or its opposite, than its altitude."""
    sky = sky_polarisation(View(70.0, 60.0, 40.0, 10.0), 10.0, sun_altitude_deg)
    assert sky is not None
    horizon = [separation_deg(azimuth, 0.0, 10.0, sun_altitude_deg) for azimuth in range(360)]
    assert (min(map(rayleigh_degree, horizon)) >= 0.5) is all_round
    assert sky.all_round is all_round


@pytest.mark.parametrize(("sun_deg", "band_deg"), [(40.0, (310.0, 130.0)), (350.0, (260.0, 80.0))])
def test_the_strongest_band_meets_the_horizon_square_to_the_sun_on_either_side(
    sun_deg: float, band_deg: tuple[float, float]
) -> None:
    """Single scattering is strongest at 90 degrees from the sun (Lord Rayleigh 1871)."""
    sky = sky_polarisation(View(0.0, 74.0, 53.0), sun_deg, 12.0)
    assert sky is not None
    assert sky.band_azimuths_deg == pytest.approx(band_deg)
    for azimuth_deg in sky.band_azimuths_deg:
        assert separation_deg(azimuth_deg, 0.0, sun_deg, 12.0) == pytest.approx(90.0)
