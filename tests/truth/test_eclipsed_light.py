"""The light of an eclipse against what was measured, and its range against the published limb darkening.

Sources: Neckel and Labs, Solar Physics 153 (1994), pp. 91-114, table 1, as copied into the programs of a
solar telescope; Technical University of Darmstadt, lighting group, "Sonnenfinsternis 2015", 7 April 2015;
"Measuring Darkness During Totality", 27 August 2017, readings of the sky overhead at Lowman, Idaho; "Welt –
Türkei (2006)", an observer's report of the eclipse of 29 March 2006; Sharp, Silverman and Lloyd, "Summary of
Sky Brightness Measurements During Eclipses of the Sun", Applied Optics 10 (1971), p. 1207, abstract.
"""

from datetime import UTC, datetime
from math import log2, pi

import numpy as np
import pytest
from numpy.typing import NDArray

from logbook.craft.eclipsed import eclipsed_range
from logbook.craft.expected_light import ExpectedLight, expected_light
from logbook.sky.eclipses import discs_covered
from logbook.sky.observer import Observer
from logbook.sky.position import sun_position

# Coefficients of 1, mu, mu^2 ... at 541.76 and 559.95 nm, where mu is the cosine of the heliocentric angle
NECKEL_LABS = {
    541.76: (0.26073, 1.27428, -1.30352, 1.47085, -0.96618, 0.26384),
    559.95: (0.26892, 1.34319, -1.58427, 1.91271, -1.31350, 0.37295),
}
AWAY = 180.0  # degrees between the view and the sun's bearing


def by_the_law(mu: NDArray[np.float64]) -> NDArray[np.float64]:
    """How bright the sun's disc is at 550 nm by Neckel and Labs, between their two wavelengths."""
    share = (550 - 541.76) / (559.95 - 541.76)
    low, high = (np.array(row) for row in NECKEL_LABS.values())
    found: NDArray[np.float64] = np.polynomial.polynomial.polyval(mu, low + share * (high - low))
    return found


def light(place: Observer, at: datetime) -> tuple[float, ExpectedLight]:
    """What is covered of the sun at an instant, and the light to expect of a view away from it."""
    (covered,) = discs_covered(place, [at], 0.0)
    sun = sun_position(place, at)
    return covered.sun, expected_light(sun.altitude_deg, AWAY, sun_covered=covered.sun)


@pytest.mark.parametrize("moon", [0.93, 0.95, 1.0, 1.06])  # radius over the sun's
def test_the_range_holds_what_the_limb_gives_and_little_more(moon: float) -> None:
    """Neckel and Labs at 550 nm, summed over the part of the disc that is left; crescents, and rings.

    The range reaches up to 0.4 stops lower, as one table serves crescent and ring, and 0.03 less high.
    """
    across = (np.arange(1200) + 0.5) / 600 - 1
    x, y = np.meshgrid(across, across)
    disc = x**2 + y**2 < 1
    mu = np.sqrt(np.clip(1 - x**2 - y**2, 0, 1))
    bright = by_the_law(mu) * disc
    for apart in np.arange(1.9, 0.0, -0.05):
        left = disc & ((x - apart) ** 2 + y**2 > moon**2)
        area = left.sum() / disc.sum()
        if area < 2e-3:
            continue
        stops = log2(bright[left].sum() / bright.sum() / area)
        darker, brighter = eclipsed_range(1 - area, 0.0)
        assert -darker - 0.01 <= stops <= brighter + 0.03, (apart, area)
        assert stops <= -darker + 0.4, (apart, area)


@pytest.mark.parametrize("apart_deg", [1.6, 1.4, 1.2, 1.0, 0.9, 0.8, 0.7, 0.6, 0.5])
def test_the_range_holds_what_the_limb_takes_of_the_moonlight(apart_deg: float) -> None:
    """Neckel and Labs at 550 nm, summed over sun and moon; what is left lies between its square and itself.

    Where less than a thousandth is left, starlight hides it. The earth, sun and moon are 0.96, 0.267 and 0.26
    degrees in radius; 3 % of what is left.
    """
    across = (np.arange(160) + 0.5) / 80 - 1
    x, y = (one.ravel() for one in np.meshgrid(across, across))
    inside = x**2 + y**2 < 1
    x, y = x[inside], y[inside]
    bright = by_the_law(np.sqrt(1 - x**2 - y**2))
    evenly, by_limb = [], []
    for away in np.hypot(apart_deg + 0.26 * x[::37], 0.26 * y[::37]):
        seen = (0.267 * x - away) ** 2 + (0.267 * y) ** 2 > 0.96**2
        evenly.append(seen.mean())
        by_limb.append(bright[seen].sum() / bright.sum())
    left, limb = np.mean(evenly), np.mean(by_limb)
    assert left < 1e-3 or 0.97 * left**2 <= limb <= 1.03 * left, (left, limb)


def test_a_partial_eclipse_leaves_the_light_that_was_measured() -> None:
    """Darmstadt, 49°52'40" N 8°39'21" E, 20 March 2015, 10:38 CET: 74.0 % covered, 13,000 lx on level ground.

    Half a percent; a third of a stop, of which the limb takes 0.22.
    """
    covered, found = light(Observer(49.8778, 8.6558), datetime(2015, 3, 20, 9, 38, tzinfo=UTC))
    assert covered == pytest.approx(0.740, abs=0.005)
    assert log2(found.ground_lx / 13_000) == pytest.approx(0, abs=1 / 3)


def test_the_last_minute_before_totality_is_as_a_camera_metered_it() -> None:
    """38°31'48" N 33°51' E, 29 March 2006: EV 15 at first contact, 1/60 s at f/2.8 a minute before."""
    place = Observer(38.53, 33.85)
    _, before = light(place, datetime(2006, 3, 29, 9, 44, tzinfo=UTC))
    _, late = light(place, datetime(2006, 3, 29, 10, 59, 30, tzinfo=UTC))
    assert before.scene_ev100 == pytest.approx(15, abs=0.5)
    metered = log2(2.8**2 * 60)
    assert late.scene_ev100 == pytest.approx(metered, abs=1.0)
    assert late.low_ev100 < metered < late.high_ev100


def test_totality_is_as_bright_as_the_skies_that_were_measured_overhead() -> None:
    """Lowman, Idaho, 21 August 2017: 12.4 to 13.33 mag per square arcsecond, which an even sky makes lx.

    108,000 cd/m2 is magnitude 0 (common practice). The sky low all round is brighter than overhead, and a
    meter pointed at the corona reads more: a stop darker to two stops brighter.
    """
    covered, found = light(Observer(44.08, -115.6), datetime(2017, 8, 21, 17, 28, tzinfo=UTC))
    assert covered == 1.0
    brightest, darkest = (pi * 108_000 * 10 ** (-0.4 * mag) for mag in (12.4, 13.33))
    assert darkest <= found.ground_lx <= 4 * brightest
    assert found.low_ev100 <= found.scene_ev100 + log2(darkest / found.ground_lx)
    assert found.high_ev100 >= found.scene_ev100 + log2(brightest / found.ground_lx)
    assert found.high_ev100 - found.low_ev100 == pytest.approx(4.0, abs=0.01)


def test_light_is_attenuated_sunlight_until_nearly_all_is_covered() -> None:
    """Sharp, Silverman and Lloyd: at least to 99.8 % covered; a twentieth of a stop."""
    clear = expected_light(45.0, AWAY)
    for covered in (0.1, 0.5, 0.9, 0.99, 0.998):
        found = expected_light(45.0, AWAY, sun_covered=covered)
        assert clear.scene_ev100 - found.scene_ev100 == pytest.approx(-log2(1 - covered), abs=0.05)
