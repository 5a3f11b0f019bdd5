"""Filters against the definition of optical density, published density tables and makers' factors.

Facts and their sources are in filters.json; tolerances are the entries' own.
"""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from logbook.craft.filter_types import POLARISER_HIGH, POLARISER_LOW, density_stops, factor_stops
from logbook.craft.filters import parse_filter, parse_stack, stack_stops, stops_density, transmission
from logbook.craft.marks import stops_text

FACTS: dict[str, Any] = json.loads(Path(__file__).with_name("filters.json").read_text(encoding="utf-8"))[
    "entries"
]
GLYPHS = {"1/3": "⅓", "2/3": "⅔"}


def test_densities_give_the_stops_and_transmittance_of_the_table() -> None:
    """Kodak Photographic Filters Handbook, density table; 0.001 in factor, stops and percent."""
    fact = FACTS["nd-density-table"]
    allowed = fact["tolerance"]
    for density, marked, factor, stops, percent in zip(
        fact["inputs"]["density"], *fact["expected"].values(), strict=True
    ):
        written = parse_filter(f"od{density}")
        assert written.typical_stops == density_stops(density) == pytest.approx(stops, abs=allowed["stops"])
        assert 2 ** density_stops(density) == pytest.approx(factor, abs=allowed["factor"])
        wanted = allowed["transmittance_percent"]
        assert 100 * transmission(density_stops(density)) == pytest.approx(percent, abs=wanted)
        whole, _, third = marked.rpartition(" ") if " " in marked else ("", "", marked)
        assert stops_text(stops, signed=False) == whole + GLYPHS.get(third, third)


def test_a_nd_number_is_a_factor() -> None:
    """Kodak Photographic Filters Handbook, filter factor; 0.001 in stops and density."""
    fact = FACTS["nd-factor-labels"]
    for label, factor, stops, density in zip(
        *fact["inputs"].values(), *fact["expected"].values(), strict=True
    ):
        written = parse_filter(label)
        assert written.typical_stops == factor_stops(factor) == pytest.approx(stops, abs=0.001)
        assert stops_density(factor_stops(factor)) == pytest.approx(density, abs=0.001)
        assert written.name == label.lower()


def test_one_stop_has_its_exact_density() -> None:
    """Hecht, Optics, definition; 1e-6."""
    fact = FACTS["nd-one-stop-exact"]
    assert stops_density(1) == pytest.approx(fact["expected"]["density"], abs=fact["tolerance"])
    assert factor_stops(fact["expected"]["factor"]) == 1


def test_density_factor_and_transmittance_are_one_thing() -> None:
    """Hecht, Optics: factor = 10^d = 2^stops, transmittance 10^-d; within rounding."""
    for density in (0.3, 0.9, 1.8, 3.0):
        assert factor_stops(10**density) == pytest.approx(density * 3.321928, abs=1e-5)
        assert transmission(density_stops(density)) == pytest.approx(10**-density, rel=1e-12)


def test_stacked_filters_add_their_stops() -> None:
    """Hecht, Optics, product of transmittances; 0.001 (0.01 in the factor of 65536, as printed)."""
    fact = FACTS["nd-stack"]
    expected = fact["expected"]
    for densities, stops in zip(fact["inputs"]["densities"], expected["density_stack_stops"], strict=True):
        stack = parse_stack(" + ".join(f"od{density}" for density in densities))
        assert stack_stops(stack).typical_stops == pytest.approx(stops, abs=fact["tolerance"])
        assert stops_density(stops) == pytest.approx(math.fsum(densities), abs=fact["tolerance"])
    for parts, total, factor in zip(
        fact["inputs"]["stops"], expected["stops_sum"], expected["stops_sum_factor"], strict=True
    ):
        sums = stack_stops(parse_stack(" + ".join(f"{stops} stops" for stops in parts)))
        assert sums.typical_stops == pytest.approx(total, abs=fact["tolerance"])
        assert sums.transmission == pytest.approx(1 / factor, rel=1e-5)


def test_an_ideal_polariser_is_the_least_a_polariser_takes() -> None:
    """Hecht, Optics, ch. 8: unpolarised light loses one stop; 1e-6."""
    fact = FACTS["polariser-ideal"]
    ideal = fact["expected"]["unpolarised_loss_stop"]
    assert parse_filter("pol").low_stops == pytest.approx(ideal, abs=fact["tolerance"])
    assert transmission(ideal) == pytest.approx(fact["expected"]["unpolarised_transmittance"], abs=1e-6)


def test_a_polariser_covers_the_makers_range() -> None:
    """Ray, polarising filters: factors 2.3-2.8 (0.001 stop) inside our range, the range as allowed."""
    fact = FACTS["polariser-loss-range"]["expected"]
    for factor, stops in zip(fact["filter_factor"], fact["loss_stop_from_factor"], strict=True):
        assert factor_stops(factor) == pytest.approx(stops, abs=0.001)
        assert POLARISER_LOW <= factor_stops(factor) <= POLARISER_HIGH
    assert fact["loss_stop_range_allow"] == [POLARISER_LOW, POLARISER_HIGH]
    typical = parse_filter("pol").typical_stops
    assert typical is not None
    assert POLARISER_LOW < typical < POLARISER_HIGH
