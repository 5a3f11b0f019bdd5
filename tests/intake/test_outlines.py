"""The coasts of the world are where atlases have them."""

import math

import pytest

from logbook.domain.position import Position
from logbook.faces.resources import resource
from logbook.intake.outlines import FILE, OutlineKind, outlines_near

OUTLINES = resource("templates") / "geography" / FILE


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg"),
    [
        # Headlands as atlases give them, recalled from memory to a tenth of a degree.
        (-34.8, 20.0),  # Cape Agulhas
        (50.1, -5.7),  # Land's End
        (36.0, -5.6),  # Tarifa
        (71.2, 25.8),  # North Cape
        (-55.9, -67.3),  # Cape Horn
    ],
)
def test_a_headland_lies_on_a_coast(latitude_deg: float, longitude_deg: float) -> None:
    here = Position(latitude_deg, longitude_deg)
    nearest = min(
        math.hypot((x - longitude_deg) * math.cos(math.radians(latitude_deg)), y - latitude_deg)
        for outline in outlines_near(OUTLINES, here, 1, 1)
        if outline.kind is OutlineKind.COAST
        for x, y in outline.points
    )
    assert nearest < 0.2  # degrees; the outlines are of 1:50 million and thinned to 0.03


def test_a_line_lies_on_the_side_of_the_date_line_where_it_is_asked_for() -> None:
    for longitude_deg in (179.0, -179.0):
        for outline in outlines_near(OUTLINES, Position(66.5, longitude_deg), 3, 6):
            assert min(abs(x - longitude_deg) for x, _ in outline.points) <= 6
