"""How high the sun stands is said without a sign before it."""

import pytest

from logbook.faces.words.sun import height_text


@pytest.mark.parametrize(
    ("altitude_deg", "said"),
    [
        (4.4, "4° up"),
        (0.6, "1° up"),
        (0.4, "on the horizon"),
        (-0.4, "on the horizon"),
        (-0.6, "on the horizon"),
        (-0.83, "on the horizon"),  # its upper limb shows down to -50' (USNO)
        (-0.84, "1° below the horizon"),
        (-3.1, "3° below the horizon"),
    ],
)
def test_a_height_is_up_on_or_below_the_horizon(altitude_deg: float, said: str) -> None:
    assert height_text(altitude_deg) == said
