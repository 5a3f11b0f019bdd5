"""Viewpoints near some places: all within reach and few others, across the date line and at the poles."""

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.placing import nearest_spot
from logbook.craft.stays import REACH_M
from logbook.services.places import viewpoints
from logbook.store.comparisons import StandLine

latitudes, longitudes = st.floats(-90, 90), st.floats(-180, 180)
nudges = st.floats(-0.004, 0.004)


@dataclass
class Somewhere:
    latitude_deg: float
    longitude_deg: float


def stand(slug: str, latitude_deg: float, longitude_deg: float) -> StandLine:
    return StandLine(slug, slug, slug, "site", latitude_deg, longitude_deg, None, "unknown", None)


@given(latitudes, longitudes, st.lists(st.tuples(nudges, nudges), max_size=5))
def test_whatever_lies_within_reach_is_found(
    latitude_deg: float, longitude_deg: float, around: list[tuple[float, float]]
) -> None:
    stands = [
        stand(
            str(index), max(-90.0, min(90.0, latitude_deg + north)), (longitude_deg + east + 180) % 360 - 180
        )
        for index, (north, east) in enumerate(around)
    ]
    found = {spot.key for spot in viewpoints.near(stands, [(latitude_deg, longitude_deg)])}
    for one in stands:
        spot = viewpoints.Spot(one.slug, one.latitude_deg or 0.0, one.longitude_deg or 0.0)
        away = nearest_spot(latitude_deg, longitude_deg, [spot])
        assert away is not None
        if away.distance_m <= REACH_M:
            assert one.slug in found


@pytest.mark.parametrize(("latitude_deg", "east_deg"), [(0.0, 0.01), (47.0, 0.01), (47.01, 0.0)])
def test_what_lies_far_is_left_out(latitude_deg: float, east_deg: float) -> None:
    assert viewpoints.near([stand("a", latitude_deg, 12.0 + east_deg)], [(47.0, 12.0)]) == ()
