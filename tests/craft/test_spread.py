"""The middle and the range of settings, counted in stops."""

from fractions import Fraction

import pytest

from logbook.craft.marks import exposure_text
from logbook.craft.spread import aperture_spread, exposure_spread, focal_spread, iso_spread


def test_the_middle_of_two_times_lies_half_way_in_stops() -> None:
    found = exposure_spread({Fraction(1, 250): 1, Fraction(1, 4): 1})
    assert found is not None
    assert exposure_text(found.middle) == "1/30 s"
    assert (found.least, found.most, found.stops) == (0.004, 0.25, 6.0)


def test_settings_that_occur_often_pull_the_middle() -> None:
    found = aperture_spread({8.0: 3, 16.0: 1, 5.6: 1})
    assert found is not None
    assert (found.middle, found.count) == (8.0, 5)
    assert found.stops == pytest.approx(3.0)


def test_a_middle_that_is_a_mark_keeps_the_marks_own_number() -> None:
    found = iso_spread({100: 1, 125: 1, 160: 1})
    assert found is not None
    assert found.middle == 125


def test_focal_lengths_have_no_stops() -> None:
    found = focal_spread({24.0: 1, 70.0: 1})
    assert found is not None
    assert (found.middle, found.least, found.most, found.stops) == (47.0, 24.0, 70.0, None)


def test_nothing_known_has_no_middle() -> None:
    assert aperture_spread({}) is None
    assert focal_spread({}) is None
