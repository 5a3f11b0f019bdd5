"""The light under a sun has the names that photographers give it."""

import pytest

from logbook.sky.light_names import light_names
from logbook.sky.rough import RoughSun


@pytest.mark.parametrize(
    ("altitude_deg", "before_noon", "names"),
    [
        (30.0, True, {"day"}),
        (5.0, False, {"golden hour"}),
        (0.5, True, {"golden hour", "sunrise"}),
        (2.0, True, {"golden hour", "sunrise"}),
        (2.0, False, {"golden hour", "sunset"}),
        (-1.5, True, {"golden hour", "sunrise", "twilight", "dawn"}),
        (-3.0, False, {"golden hour", "twilight", "dusk"}),
        (-5.0, True, {"blue hour", "twilight", "dawn"}),
        (-9.0, False, {"nautical twilight", "twilight", "dusk", "dark"}),
        (-15.0, False, {"astronomical twilight", "night", "dark"}),
        (-40.0, True, {"night", "dark"}),
    ],
)
def test_light_has_the_names_that_photographers_give_it(
    altitude_deg: float, before_noon: bool, names: set[str]
) -> None:
    assert set(light_names(RoughSun(90.0 if before_noon else 270.0, altitude_deg))) == names
