"""Bows, Brewster's angle and the polarisation of the sky against published optics.

Facts and their sources are in sky_optics.json; tolerances are the entries' own.
"""

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from logbook.craft.bearings import separation_deg
from logbook.craft.bow import PRIMARY_RADIUS_DEG, SECONDARY_RADIUS_DEG, BowOrder, bow, bow_radius_deg
from logbook.craft.polarisation import WATER_INDEX, brewster_angle_deg, rayleigh_degree, water_glare
from logbook.craft.view import View

FACTS: dict[str, Any] = json.loads(Path(__file__).with_name("sky_optics.json").read_text())["entries"]
ANY_VIEW = View(facing_deg=0.0, horizontal_fov_deg=60.0, vertical_fov_deg=40.0)


def test_newtons_bows_have_the_radii_he_printed() -> None:
    """Newton, Opticks, Book I Part II, Prop. IX; 0.02 and 0.05 deg (his own rounding)."""
    fact = FACTS["newton-bows"]
    for colour in ("red", "violet"):
        index = float(Fraction(fact["inputs"][f"n_{colour}"]))
        for order in BowOrder:
            key = f"{order}_{colour}_deg"
            allowed = fact["tolerance"].get(key, fact["tolerance"]["*"])
            assert bow_radius_deg(index, order) == pytest.approx(fact["expected"][key], abs=allowed)


def test_bow_radii_follow_the_refractive_index() -> None:
    """Walker 1976, minimum deviation; 0.001 deg."""
    fact = FACTS["rainbow-radius"]
    for i, index in enumerate(fact["inputs"]["n"]):
        for order in BowOrder:
            wanted_deg = fact["expected"][f"{order}_deg"][i]
            assert bow_radius_deg(index, order) == pytest.approx(wanted_deg, abs=fact["tolerance"])


def test_the_rounded_radii_are_those_of_green_light_in_water() -> None:
    """Hale and Querry 1973, n at 550 nm; the rounded 42 and 51 deg are within 0.15 deg of it."""
    water = FACTS["water-index"]
    green = water["expected"]["n"][water["inputs"]["wavelength_nm"].index(550)]
    assert green == WATER_INDEX
    assert bow_radius_deg(green) == pytest.approx(PRIMARY_RADIUS_DEG, abs=0.15)
    assert bow_radius_deg(green, BowOrder.SECONDARY) == pytest.approx(SECONDARY_RADIUS_DEG, abs=0.15)


def test_the_top_of_a_bow_falls_as_the_sun_rises_until_it_is_gone() -> None:
    """Geometry round the antisolar point; 1e-9 deg; null where nothing is above the horizon."""
    fact = FACTS["rainbow-visibility"]
    for i, sun_deg in enumerate(fact["inputs"]["sun_alt_deg"]):
        for order in BowOrder:
            seen = bow(ANY_VIEW, 200.0, sun_deg, order)
            assert seen is not None
            assert seen.centre_azimuth_deg == pytest.approx(20.0)
            wanted_deg = fact["expected"][f"{order}_top_deg"][i]
            if wanted_deg is None:
                assert seen.top_altitude_deg < 0.0
                assert seen.foot_offset_deg is None
            else:
                assert seen.top_altitude_deg == pytest.approx(wanted_deg, abs=fact["tolerance"])


def test_the_feet_of_a_bow_stand_where_spherical_geometry_puts_them() -> None:
    """acos(cos r / cos h); 0.002 deg."""
    fact = FACTS["rainbow-foot"]
    for sun_deg, wanted_deg in zip(
        fact["inputs"]["sun_alt_deg"], fact["expected"]["foot_offset_deg"], strict=True
    ):
        seen = bow(ANY_VIEW, 0.0, sun_deg)
        assert seen is not None
        assert seen.foot_offset_deg == pytest.approx(wanted_deg, abs=fact["tolerance"])


def test_brewsters_angle_is_the_arctangent_of_the_index() -> None:
    """Hecht, Optics, sec. 8.6; 0.001 deg."""
    fact = FACTS["brewster"]
    for index, from_normal_deg, grazing_deg in zip(
        fact["inputs"]["n"], fact["expected"]["from_normal_deg"], fact["expected"]["grazing_deg"], strict=True
    ):
        assert brewster_angle_deg(index) == pytest.approx(from_normal_deg, abs=fact["tolerance"])
        assert water_glare(grazing_deg, index).degree == pytest.approx(1.0, abs=1e-6)


def test_the_sky_is_polarised_as_rayleigh_found() -> None:
    """Lord Rayleigh 1871, single scattering; 1e-6."""
    fact = FACTS["rayleigh-polarisation"]
    for angle_deg, wanted in zip(
        fact["inputs"]["scattering_angle_deg"], fact["expected"]["degree"], strict=True
    ):
        assert rayleigh_degree(angle_deg, ceiling=1.0) == pytest.approx(wanted, abs=fact["tolerance"])


def test_the_angle_between_two_points_of_the_sky_is_meeus() -> None:
    """Meeus, Astronomical Algorithms, ch. 17; 1e-5 deg."""
    fact = FACTS["angular-separation"]
    given = fact["inputs"]
    for (alt1, az1), (alt2, az2), wanted in zip(
        given["alt1_az1_deg"], given["alt2_az2_deg"], fact["expected"]["separation_deg"], strict=True
    ):
        assert separation_deg(az1, alt1, az2, alt2) == pytest.approx(wanted, abs=fact["tolerance"])
