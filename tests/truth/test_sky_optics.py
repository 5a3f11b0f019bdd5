"""Bows, Brewster's angle and the polarisation of the sky against published optics.

Facts and their sources are in sky_optics.json; tolerances are the entries' own.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from logbook.craft.bearings import separation_deg
from logbook.craft.bow import PRIMARY_RADIUS_DEG, SECONDARY_RADIUS_DEG, BowOrder, bow
from logbook.craft.polarisation import brewster_angle_deg, rayleigh_degree
from logbook.craft.view import View

FACTS: dict[str, Any] = json.loads(Path(__file__).with_name("sky_optics.json").read_text())["entries"]
ANY_VIEW = View(facing_deg=0.0, horizontal_fov_deg=60.0, vertical_fov_deg=40.0)


def test_the_rounded_radii_lie_between_those_that_newton_printed_for_red_and_violet() -> None:
    """Newton, Opticks, Book I Part II, Prop. IX; 0.05 deg (his own rounding)."""
    wanted = FACTS["newton-bows"]["expected"]
    assert wanted["primary_violet_deg"] < PRIMARY_RADIUS_DEG < wanted["primary_red_deg"] + 0.05
    assert wanted["secondary_red_deg"] - 0.05 < SECONDARY_RADIUS_DEG < wanted["secondary_violet_deg"]


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
    for index, from_normal_deg in zip(fact["inputs"]["n"], fact["expected"]["from_normal_deg"], strict=True):
        assert brewster_angle_deg(index) == pytest.approx(from_normal_deg, abs=fact["tolerance"])


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
