"""The map of all sites: each is a dot or shares one, and the words name every one of them."""

from datetime import UTC, datetime

from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.record import new_record
from logbook.domain.site import Site
from logbook.faces.report.whole.sites_map import sites_map

NOW = datetime(2026, 11, 1, tzinfo=UTC)


def site(title: str, latitude_deg: float | None, longitude_deg: float | None) -> Site:
    place = {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg}
    return Site(**new_record(NOW), slug=title.lower(), title=title, **place)  # type: ignore[arg-type]


def test_sites_without_a_position_are_not_on_it_and_none_at_all_gives_no_map() -> None:
    assert sites_map([site("Nowhere", None, None)]) == ()
    (drawn,) = sites_map([site("Nowhere", None, None), site("Somewhere", 1.0, 2.0)])
    assert [line for line in drawn.said if "Nowhere" in line] == []


def test_sites_that_fall_together_share_a_dot_and_are_named_together() -> None:
    valley = [site(f"Place {number}", 40 + number / 1000, 10.0) for number in range(4)]
    (drawn,) = sites_map([*valley, site("Far", -30.0, 120.0)])
    svg = str(drawn.wide)
    assert svg.count('class="spot"') == 2
    assert "and 2 more" in svg
    assert len(drawn.said) == 5


@given(st.lists(st.tuples(st.floats(-90, 90), st.floats(-180, 180)), min_size=1, max_size=12))
def test_every_site_is_inside_the_frame_and_in_words(
    places: list[tuple[float, float]],
) -> None:
    sites = [site(f"P{number}", *place) for number, place in enumerate(places)]
    (drawn,) = sites_map(sites)
    import re

    svg = str(drawn.wide)
    for x, y in re.findall(r'<circle cx="(-?[\d.]+)" cy="(-?[\d.]+)"', svg):
        assert 0 <= float(x) <= 326
        assert 0 <= float(y) <= 300
    assert len(drawn.said) == len(places)
