"""The hand-held guide, supports, moving subjects and stars."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.errors import CraftValueError
from logbook.craft.steadiness import SteadyVerdict, guide_s, smear, star_drift, steadiness


@pytest.mark.parametrize(
    ("support", "stabilisation", "verdict"),
    [
        ("tripod", 0, SteadyVerdict.STEADY),
        ("handheld", 0, SteadyVerdict.UNLIKELY),
        ("handheld", 3, SteadyVerdict.STEADY),
        ("braced", 0, SteadyVerdict.LIKELY),
        ("monopod", 0, SteadyVerdict.LIKELY),
        ("monopod", 1, SteadyVerdict.STEADY),
        ("other", 0, SteadyVerdict.UNKNOWN),
        ("unknown", 0, SteadyVerdict.UNKNOWN),
        ("unknown", 3, SteadyVerdict.STEADY),
    ],
)
def test_a_quarter_of_a_second_at_32_mm_is_judged_by_what_held_the_camera(
    support: str, stabilisation: float, verdict: SteadyVerdict
) -> None:
    """Common practice, no source: the gains of supports are typical ranges."""
    result = steadiness(Fraction(1, 4), 32, support, stabilisation_stops=stabilisation)
    assert result.verdict is verdict
    assert result.margin_stops == pytest.approx(stabilisation - 3)


def test_a_stop_beyond_what_a_support_gives_is_doubtful() -> None:
    assert steadiness(Fraction(1, 2), 32, "braced").verdict is SteadyVerdict.DOUBTFUL
    assert steadiness(Fraction(1), 32, "braced").verdict is SteadyVerdict.UNLIKELY


def test_the_working_can_be_followed() -> None:
    assert steadiness(Fraction(1, 4), 32).working == "handheld guide 1/32 s; 1/4 s is 3 stops slower"
    assert steadiness(Fraction(1, 4), 32, "braced", stabilisation_stops=2).working == (
        "handheld guide 1/32 s × 2^2 = 0.125 s; 1/4 s is 1 stop slower; bracing usually adds 1 to 3 stops"
    )
    assert "wind" in steadiness(Fraction(1, 4), 32, "tripod").working


@given(st.floats(min_value=8, max_value=800), st.floats(min_value=0, max_value=8))
def test_each_stop_of_stabilisation_doubles_the_guide(focal_mm: float, stops: float) -> None:
    assert guide_s(focal_mm, stops + 1) == pytest.approx(2 * guide_s(focal_mm, stops))


def test_a_stricter_factor_shortens_the_guide() -> None:
    assert guide_s(50, factor=2) == pytest.approx(0.01)


def test_motion_along_the_line_of_sight_does_not_smear() -> None:
    assert smear(5, 10, Fraction(1), 50, angle_deg=0).shift_mm == 0
    assert smear(5, 10, Fraction(1), 50, angle_deg=0, pixel_um=4).one_pixel_s is None
    across, slant = (smear(5, 10, Fraction(1), 50, angle_deg=angle).shift_mm for angle in (90, 30))
    assert slant == pytest.approx(across / 2)


def test_the_one_pixel_time_smears_one_pixel() -> None:
    first = smear(1.4, 10, Fraction(1, 60), 50, pixel_um=4)
    assert first.one_pixel_s is not None
    assert smear(1.4, 10, first.one_pixel_s, 50, pixel_um=4).pixels == pytest.approx(1)
    assert smear(1.4, 10, Fraction(1, 60), 50).pixels is None


def test_close_up_a_subject_moves_by_the_magnification_of_the_lens() -> None:
    """Half a millimetre at life size (f/(d - f) = 1, thin lens) is half a millimetre on the sensor."""
    assert smear(0.05, 0.2, Fraction(1, 100), 100).shift_mm == pytest.approx(0.5)
    with pytest.raises(CraftValueError, match="nearer than the focal length"):
        smear(0.05, 0.1, Fraction(1, 100), 100)


def test_the_two_pixel_time_trails_two_pixels() -> None:
    drift = star_drift(24, Fraction(20), pixel_um=4)
    assert drift.two_pixels_s is not None
    assert star_drift(24, drift.two_pixels_s, pixel_um=4).pixels == pytest.approx(2)
    assert star_drift(24, Fraction(20), 90, pixel_um=4).two_pixels_s is None  # the pole stands still


@given(st.floats(min_value=-90, max_value=90))
def test_no_star_moves_faster_than_at_the_equator(declination_deg: float) -> None:
    fastest = star_drift(24, Fraction(20)).trail_um
    assert 0 <= star_drift(24, Fraction(20), declination_deg).trail_um <= fastest


def test_impossible_values_are_refused() -> None:
    for make in (
        lambda: guide_s(0),
        lambda: guide_s(50, 99),
        lambda: guide_s(50, factor=0),
        lambda: smear(-1, 10, Fraction(1), 50),
        lambda: smear(1, 0, Fraction(1), 50),
        lambda: smear(1, 10, Fraction(1), 50, angle_deg=math.nan),
        lambda: star_drift(24, Fraction(20), 91),
        lambda: star_drift(24, Fraction(0)),
    ):
        with pytest.raises(CraftValueError, match=r"\.$"):
            make()


def test_in_a_corner_a_star_draws_a_longer_trail_than_on_the_axis() -> None:
    """Derivative of f tan θ: 1/cos² θ; at 12 mm on 36x24 mm the corner is 61 degrees off the axis."""
    trail = star_drift(12, Fraction(30))
    assert trail.corner_um / trail.trail_um == pytest.approx(1 / math.cos(math.radians(61.0)) ** 2, rel=0.01)
    assert "on the axis, up to" in trail.working


def test_round_the_pole_the_stars_of_a_corner_trail_by_their_circle() -> None:
    """At the pole the sky turns as a disc: the corner's radius times the angle turned."""
    trail = star_drift(14, Fraction(30), 90, pixel_um=6)
    assert trail.trail_um == pytest.approx(0, abs=1e-6)
    turned = 2 * math.pi * 30 / 86164.0905
    assert trail.corner_um == pytest.approx(math.hypot(18, 12) * 1000 * turned)
    assert trail.corner_pixels == pytest.approx(trail.corner_um / 6)


@pytest.mark.parametrize("focal_mm", [12, 24, 85, 400])
@pytest.mark.parametrize("declination_deg", [0, -20, 60, 80, -89, 90])
def test_the_longest_trail_of_a_corner_is_that_of_a_turned_sphere(
    focal_mm: int, declination_deg: int
) -> None:
    """Stars round the axis, as far off as the corner, turned by a small angle about the pole, projected."""
    pole, half = math.radians(declination_deg), math.hypot(18, 12) / focal_mm

    def drawn(x: float, y: float, z: float) -> tuple[float, float]:
        out = x * math.cos(pole) + z * math.sin(pole)
        return focal_mm * y / out, focal_mm * (z * math.cos(pole) - x * math.sin(pole)) / out

    longest, turn = 0.0, 1e-5
    for step in range(720):
        across, up = half * math.cos(step * math.pi / 360), half * math.sin(step * math.pi / 360)
        x, z = math.cos(pole) - up * math.sin(pole), math.sin(pole) + up * math.cos(pole)
        turned = x * math.cos(turn) - across * math.sin(turn), x * math.sin(turn) + across * math.cos(turn)
        longest = max(longest, math.dist(drawn(x, across, z), drawn(*turned, z)) / turn)
    in_a_second = 2 * math.pi / 86164.0905 * 1000
    found = star_drift(focal_mm, Fraction(1), declination_deg).corner_um
    assert found == pytest.approx(longest * in_a_second, rel=1e-3)
