"""Steadiness, star drift and motion against the rule of thumb, the sidereal rate and the magnification.

Facts and their sources are in steadiness.json; tolerances are the entries' own.
"""

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from logbook.craft.optics import FULL_FRAME, equivalent_focal_mm
from logbook.craft.steadiness import (
    SIDEREAL_ARCSEC_PER_S,
    SIDEREAL_DAY_S,
    guide_s,
    smear,
    star_drift,
    steadiness,
)

FACTS: dict[str, Any] = json.loads(Path(__file__).with_name("steadiness.json").read_text(encoding="utf-8"))[
    "entries"
]


def test_the_guide_is_one_over_the_focal_length_times_stabiliser_stops() -> None:
    """Ray, rule of thumb; CIPA DC-X011 states stabilisation in steps; 1e-6 s."""
    fact = FACTS["reciprocal-rule"]
    for stops, times in fact["expected"]["t_s"].items():
        got = [guide_s(focal, float(stops)) for focal in fact["inputs"]["f_equiv_mm"]]
        assert got == pytest.approx(times, abs=fact["tolerance"])


def test_stars_trail_at_the_sidereal_rate() -> None:
    """Capitaine et al. 2003, sidereal rate; 0.01 um."""
    fact = FACTS["sidereal-drift"]
    for f, t, dec, um in zip(*fact["inputs"].values(), fact["expected"]["trail_um"], strict=True):
        drift = star_drift(f, Fraction(t), dec)
        assert drift.trail_um == pytest.approx(um, abs=fact["tolerance"])
        assert drift.per_minute_um == pytest.approx(um * 60 / t, abs=fact["tolerance"] * 60 / t)


def test_the_sidereal_day() -> None:
    """Capitaine et al. 2003, mean sidereal day (its length was recalled from memory there); 1e-5."""
    fact = FACTS["sidereal-day"]
    assert pytest.approx(fact["expected"]["sidereal_day_s"], abs=fact["tolerance"]) == SIDEREAL_DAY_S
    assert (
        pytest.approx(fact["expected"]["rate_arcsec_per_s"], abs=fact["tolerance"]) == SIDEREAL_ARCSEC_PER_S
    )


def test_a_subject_crossing_the_view_smears() -> None:
    """Ray, magnification f/(d - f); 1e-6 mm."""
    fact = FACTS["motion-blur"]
    for v, t, f, d, mm in zip(*fact["inputs"].values(), fact["expected"]["shift_mm"], strict=True):
        assert smear(v, d, t, f).shift_mm == pytest.approx(mm, abs=fact["tolerance"])


def test_a_quarter_of_a_second_at_32_mm_is_three_stops_slower_than_the_guide() -> None:
    """Common practice, no source: 32 mm on 36x24 mm, 1/4 s against 1/32 s; 1e-9 stop."""
    result = steadiness(Fraction(1, 4), equivalent_focal_mm(32, FULL_FRAME))
    assert result.guide_s == pytest.approx(1 / 32)
    assert result.margin_stops == pytest.approx(-3, abs=1e-9)
