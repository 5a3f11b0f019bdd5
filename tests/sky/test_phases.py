"""Kinds of light by the sun's height, by custom and as somebody chose them."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.sky.errors import SkyValueError
from logbook.sky.events import EventName, sky_day, sun_crossings
from logbook.sky.observer import Observer
from logbook.sky.phases import CUSTOMARY, LightLimits, PhaseKind, light_names, phase_at
from logbook.sky.rough import RoughSun

DAY = datetime(2031, 10, 14, tzinfo=UTC)
HERE = Observer(38.2, 10.0)
HEIGHTS = st.lists(st.integers(-18, 15), min_size=4, max_size=4, unique=True).map(sorted)


def chosen(heights: list[int]) -> LightLimits:
    blue_from, blue_to, golden_from, golden_to = heights
    return LightLimits(golden_from, golden_to, blue_from, blue_to)


def test_custom_leaves_no_room_for_civil_twilight() -> None:
    assert CUSTOMARY.floors_deg == (
        (6.0, PhaseKind.DAY),
        (-4.0, PhaseKind.GOLDEN),
        (-6.0, PhaseKind.BLUE),
        (-12.0, PhaseKind.NAUTICAL),
        (-18.0, PhaseKind.ASTRONOMICAL),
    )


@pytest.mark.parametrize(
    ("height_deg", "kind"),
    [
        (8.0, PhaseKind.DAY),
        (7.9, PhaseKind.GOLDEN),
        (1.0, PhaseKind.GOLDEN),
        (0.9, PhaseKind.DAY),  # the sun is up, and it is golden no more
        (-1.0, PhaseKind.CIVIL),
        (-5.0, PhaseKind.CIVIL),
        (-5.1, PhaseKind.BLUE),
        (-8.0, PhaseKind.BLUE),
        (-8.1, PhaseKind.NAUTICAL),
        (-18.1, PhaseKind.NIGHT),
    ],
)
def test_between_chosen_limits_the_twilights_have_their_own_names(height_deg: float, kind: PhaseKind) -> None:
    assert phase_at(height_deg, LightLimits(1, 8, -8, -5)) is kind


@given(HEIGHTS, st.floats(-25, 25))
def test_golden_and_blue_are_exactly_where_they_were_put(heights: list[int], height_deg: float) -> None:
    blue_from, blue_to, golden_from, golden_to = heights
    kind = phase_at(height_deg, chosen(heights))
    assert (kind is PhaseKind.GOLDEN) == (golden_from <= height_deg < golden_to)
    assert (kind is PhaseKind.BLUE) == (blue_from <= height_deg < blue_to)


@pytest.mark.parametrize(
    ("limits", "says"),
    [
        ((6, -4, -8, -6), "lower height first"),
        ((3, 3, -8, -6), "lower height first"),
        ((-4, 16, -8, -6), "from -18° to 15°"),
        ((-4, 6, -18.5, -6), "from -18° to 15°"),
        ((-4, float("nan"), -8, -6), "from -18° to 15°"),
        ((-4, 6, -6, -3), "blue ends below golden"),
    ],
)
def test_limits_that_make_no_light_are_refused(limits: tuple[float, float, float, float], says: str) -> None:
    with pytest.raises(SkyValueError, match=says):
        LightLimits(*limits)


@pytest.mark.parametrize("heights", [(-8, -5, 1, 8), (-6, -4, -4, 6), (-17, -13, -12, 15), (-5, -3, -3, -2)])
def test_a_day_is_divided_where_the_sun_stands_at_the_chosen_heights(heights: tuple[int, ...]) -> None:
    limits = chosen(list(heights))
    seen = sky_day(HERE, DAY, DAY + timedelta(days=1), limits)
    assert (seen.phases[0].start, seen.phases[-1].end) == (seen.start, seen.end)
    assert all(one.end == after.start and one.kind is not after.kind for one, after in pairwise(seen.phases))
    blue, golden = (
        [(one.start, one.end) for one in seen.phases if one.kind is kind]
        for kind in (PhaseKind.BLUE, PhaseKind.GOLDEN)
    )
    for spans, (low, high) in ((blue, heights[:2]), (golden, heights[2:])):
        bottom, top = sun_crossings(HERE, DAY, DAY + timedelta(days=1), [float(low), float(high)])
        edges = [*zip(bottom.rising, top.rising, strict=True), *zip(top.falling, bottom.falling, strict=True)]
        for got, wanted in zip(spans, edges, strict=True):
            assert all(abs(a - b) < timedelta(seconds=1) for a, b in zip(got, wanted, strict=True))


def test_the_blue_hour_has_events_of_its_own_only_where_no_other_stands_there() -> None:
    blue = {EventName.MORNING_BLUE_BEGINS, EventName.MORNING_BLUE_ENDS}
    names = {event.name for event in sky_day(HERE, DAY, DAY + timedelta(days=1)).events}
    assert not names & blue
    seen = sky_day(HERE, DAY, DAY + timedelta(days=1), LightLimits(-2, 8, -8, -5))
    assert {event.name for event in seen.events} >= names | blue
    starts = {phase.start: phase.kind for phase in seen.phases}
    begins, ends = (seen.first(name) for name in sorted(blue))
    assert begins is not None
    assert ends is not None
    assert starts[begins.at] is PhaseKind.BLUE
    assert starts[ends.at] is PhaseKind.CIVIL


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
