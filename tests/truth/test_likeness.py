"""Likeness, circular means and medians in stops: definitions, a hand-worked example, other libraries."""

from datetime import date
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.bearings import circular_mean, off_axis_deg, year_angle_deg
from logbook.craft.likeness import (
    Trait,
    circular,
    likeness,
    numeric,
    ordinal,
    shared_words,
)
from logbook.craft.series import APERTURES, EXPOSURES, ISOS
from logbook.craft.statistics import aperture_spread, exposure_spread, focal_spread, iso_spread

TURN = st.floats(0, 360, exclude_max=True)


@given(st.lists(TURN, min_size=1, max_size=30))
def test_circular_means_agree_with_another_library(angles: list[float]) -> None:
    """scipy.stats.circmean, and R = 1 - circvar; 1e-6 degrees, where a mean is given at all; R to 1e-9."""
    from scipy.stats import circmean, circvar  # a second to import

    found = circular_mean(angles)
    assert found.resultant == pytest.approx(1 - circvar(angles, high=360), abs=1e-9)
    if found.mean_deg is not None:
        assert off_axis_deg(found.mean_deg, float(circmean(angles, high=360))) < 1e-6


def test_the_mean_of_a_textbook_triple() -> None:
    """Definition worked by hand: 0°, 90°, 90° give atan2(2, 1) = 63.435° and R = √5/3; 0.001."""
    found = circular_mean([0.0, 90.0, 90.0])
    assert found.mean_deg == pytest.approx(63.435, abs=0.001)
    assert found.resultant == pytest.approx(0.74536, abs=0.00001)


def test_gowers_coefficient_for_a_pair_worked_by_hand() -> None:
    """Gower (1971), S = Σ w·s / Σ w; this example is ours, worked by hand, exact to rounding.

    footing rock/rock 1; crowd dozens/few on five words 1 - 1/4 = 0.75; walk 15/40 min over a range of 120
    1 - 25/120; kinds {gorge, bridge, river}/{bridge, river, forest} 2/4 = 0.5 with weight 2; light 252°/350°
    1 - 98/180; closure seen at neither, and water unknown of one: left out.
    """
    traits = (
        Trait("kinds", shared_words, 2.0),
        Trait("footing", ordinal(("sand", "rock"))),
        Trait("crowd", ordinal(("none", "few", "dozens", "hundreds", "thousands"))),
        Trait("walk", numeric(120.0)),
        Trait("light", circular),
        Trait("closure", shared_words),
        Trait("water", ordinal(("dry", "low", "normal", "high", "flood"))),
    )
    first = {"kinds": ("gorge", "bridge", "river"), "footing": "rock", "crowd": "dozens", "walk": 15}
    second = {"kinds": ("bridge", "river", "forest"), "footing": "rock", "crowd": "few", "walk": 40}
    first |= {"light": 252.0, "closure": (), "water": "high"}
    second |= {"light": 350.0, "closure": (), "water": None}
    by_hand = (2 * 0.5 + 1 + 0.75 + 95 / 120 + 82 / 180) / 6
    assert likeness(traits, first, second).similarity == pytest.approx(by_hand, abs=1e-12)
    assert by_hand == pytest.approx(0.66620, abs=0.00001)


def test_gowers_presences_follow_his_table() -> None:
    """Gower (1971), dichotomous characters: scores + + 1, + - 0, - + 0, and - - has no weight; exact."""
    there, absent = {"closure"}, set[str]()
    pairs = ((there, there), (there, absent), (absent, there), (absent, absent))
    table = [shared_words(*pair) for pair in pairs]
    assert table == [1.0, 0.0, 0.0, None]


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(0, 100)), min_size=4, max_size=12))
def test_numbers_alone_give_one_minus_the_mean_scaled_difference(pairs: list[tuple[float, float]]) -> None:
    """Gower (1971) with quantitative characters only, against numpy; 1e-12."""
    traits = tuple(Trait(str(place), numeric(100.0)) for place in range(len(pairs)))
    first, second = ({str(i): pair[side] for i, pair in enumerate(pairs)} for side in (0, 1))
    whole = np.array(pairs)
    wanted = 1 - np.abs(whole[:, 0] - whole[:, 1]).mean() / 100
    assert likeness(traits, first, second).similarity == pytest.approx(wanted, abs=1e-12)


@given(st.lists(st.sampled_from(sorted(APERTURES)), min_size=1, max_size=25))
def test_apertures_have_numpys_median_in_stops(marks: list[float]) -> None:
    """numpy.median and numpy.ptp of 2·log2(exact N); 1e-9 stops."""
    stops = 2 * np.log2([APERTURES[mark] for mark in marks])
    found = aperture_spread({mark: marks.count(mark) for mark in marks})
    assert found is not None
    assert found.stops == pytest.approx(np.ptp(stops), abs=1e-9)
    middle = APERTURES.get(found.middle, found.middle)
    assert 2 * np.log2(middle) == pytest.approx(np.median(stops), abs=1e-9)


@given(st.lists(st.sampled_from(sorted(EXPOSURES)), min_size=1, max_size=25))
def test_times_have_numpys_median_in_stops(marks: list[Fraction]) -> None:
    """numpy.median and numpy.ptp of log2(exact s); 1e-9 stops."""
    stops = np.log2([EXPOSURES[mark] for mark in marks])
    found = exposure_spread({mark: marks.count(mark) for mark in marks})
    assert found is not None
    assert found.stops == pytest.approx(np.ptp(stops), abs=1e-9)
    marked = {float(mark): exact for mark, exact in EXPOSURES.items()}
    assert np.log2(marked.get(found.middle, found.middle)) == pytest.approx(np.median(stops), abs=1e-9)


@given(st.lists(st.sampled_from(sorted(ISOS)), min_size=1, max_size=25))
def test_speeds_have_numpys_median_in_stops(marks: list[int]) -> None:
    """numpy.median and numpy.ptp of log2(exact speed); 1e-9 stops."""
    stops = np.log2([ISOS[mark] for mark in marks])
    found = iso_spread({mark: marks.count(mark) for mark in marks})
    assert found is not None
    assert found.stops == pytest.approx(np.ptp(stops), abs=1e-9)
    assert np.log2(ISOS.get(int(found.middle), found.middle)) == pytest.approx(np.median(stops), abs=1e-9)


@given(st.lists(st.integers(8, 600), min_size=1, max_size=25))
def test_focal_lengths_have_numpys_median(focals: list[int]) -> None:
    """numpy.median; exact to rounding."""
    found = focal_spread({float(focal): focals.count(focal) for focal in focals})
    assert found is not None
    assert found.middle == pytest.approx(float(np.median(focals)))


def test_the_day_of_the_year_is_its_number_less_one_over_the_length() -> None:
    """strftime's day of the year; 1e-9 degrees."""
    for day in (date(2024, 2, 29), date(2025, 10, 16), date(2024, 12, 31)):
        length = 366 if day.year == 2024 else 365
        assert year_angle_deg(day) == pytest.approx(360 * (int(day.strftime("%j")) - 1) / length, abs=1e-9)
