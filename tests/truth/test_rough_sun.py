"""The rough sun against pvlib's SPA (NREL/TP-560-34302), 1950 to 2050; 0.03 degrees of arc."""

from datetime import UTC, datetime

import pandas as pd  # type: ignore[import-untyped]
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib.solarposition import spa_python

from logbook.craft.bearings import separation_deg
from logbook.sky.rough import rough_sun
from tests.examples import examples

SECONDS = st.integers(-631_152_000, 2_556_057_600)  # POSIX s, 1950-01-01 to 2050-12-31


@settings(max_examples=examples(0.6))
@given(SECONDS, st.floats(-85, 85), st.floats(-180, 180))
def test_the_rough_sun_stands_where_the_precise_one_does(
    seconds: int, latitude: float, longitude: float
) -> None:
    found = rough_sun(latitude, longitude, seconds)
    at = datetime.fromtimestamp(seconds, UTC)
    exact = spa_python(pd.DatetimeIndex([at]), latitude, longitude).iloc[0]
    apart = separation_deg(
        found.azimuth_deg, found.altitude_deg, float(exact["azimuth"]), float(exact["elevation"])
    )
    assert apart < 0.03
