"""Light of the open sky over the height of the sun."""

from itertools import pairwise

import pytest

from logbook.craft.exposure import illuminance_lx
from logbook.craft.inference.daylight import open_sky_ev100


def test_light_rises_with_the_sun_and_has_no_step() -> None:
    heights = [h / 10 for h in range(-180, 900)]
    lights = [open_sky_ev100(height) for height in heights]
    steps = [b - a for a, b in pairwise(lights)]
    assert min(steps) >= 0
    assert max(steps) < 0.5


@pytest.mark.parametrize(
    ("height", "low", "high"), [(-0.83, 410, 585), (-6.0, 2.0, 3.5), (60.0, 60e3, 120e3)]
)
def test_light_lies_where_the_glossary_of_meteorology_puts_it(height: float, low: float, high: float) -> None:
    """AMS Glossary of Meteorology, "civil twilight", twice; for a high sun common practice, no source."""
    assert low <= illuminance_lx(open_sky_ev100(height)) <= high
