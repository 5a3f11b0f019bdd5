"""A map tells the truth about directions, angles and lengths, and nothing about hidden places."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import atan2, degrees, hypot
from typing import Any
from xml.etree import ElementTree

import pytest
from geopy.distance import geodesic
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.account import TripAccount
from logbook.domain.discretion import account_for
from logbook.domain.position import Position
from logbook.domain.track import Fix
from logbook.domain.words import Audience, Disclosure
from logbook.faces.report.drawings.cones import angle_across, sun_lines
from logbook.faces.report.drawings.furniture import scale_bar
from logbook.faces.report.drawings.ground import Ground, ground_for, round_length_m, towards
from logbook.faces.report.drawings.map import cone_path, maps
from logbook.faces.report.drawings.places import ShownPlace
from logbook.faces.report.models import Candidate, Drawing, Figure, Image
from logbook.faces.report.order import put_in_order

AT = datetime(2031, 10, 14, 9, tzinfo=UTC)
PLACES = st.builds(Position, st.floats(-75, 75), st.floats(-180, 180))


def mapped(account: TripAccount, audience: Audience = Audience.STUDENTS) -> str:
    """Everything that the maps show, as text."""
    order = put_in_order(account_for(account, audience))
    return repr(maps(order, with_sun=True))


@pytest.fixture
def placed(account: TripAccount) -> TripAccount:
    """The trip with an exact viewpoint at the quarry, and a track past it in the early day."""
    ledge = replace(account.viewpoints["ledge"], latitude_deg=47.1235, longitude_deg=12.7346)
    shelf = replace(account.viewpoints["shelf"], latitude_deg=61.2351, longitude_deg=-7.6539)
    track = tuple(Fix(AT + timedelta(seconds=60 * i), 47.1230 + i * 1e-4, 12.7340) for i in range(12))
    return replace(
        account,
        viewpoints={**account.viewpoints, "ledge": ledge, "shelf": shelf},
        visits=account.visits[:1],
        keepers=tuple(
            replace(k, taken_utc=AT)
            if k.viewpoint_id != "shelf"
            else replace(k, taken_utc=None, taken_local=None)  # a day at a withheld place hides its track
            for k in account.keepers
        ),
        tracks=(track,),
    )


def test_a_bearing_of_90_degrees_draws_to_the_right() -> None:
    assert towards(10, 10, 90, 5) == pytest.approx((15, 10))
    assert towards(10, 10, 0, 5) == pytest.approx((10, 5))


@given(PLACES, st.floats(0, 359), st.floats(5, 2000))
def test_a_place_in_a_direction_lies_in_that_direction_on_the_drawing(
    middle: Position, bearing_deg: float, length_m: float
) -> None:
    # Geodesic on WGS84: Karney, Algorithms for geodesics (2013). Tolerance: 1 degree, 1 % of the length.
    start = (middle.latitude_deg, middle.longitude_deg)
    there = geodesic(meters=length_m).destination(start, bearing_deg)
    ground = Ground(middle, 10.0, 0, 0)
    x, y = ground.xy(Position(there.latitude, there.longitude))
    turn = (degrees(atan2(x, -y)) - bearing_deg + 180) % 360 - 180
    assert abs(turn) < 1
    assert hypot(x, y) * 10 == pytest.approx(length_m, rel=0.01)


@given(PLACES, st.floats(0.0005, 0.1))
def test_the_scale_bar_is_as_long_on_the_ground_as_it_says(middle: Position, across_deg: float) -> None:
    other = Position(middle.latitude_deg + across_deg, middle.longitude_deg)
    ground = ground_for([middle, other], 200, 170, 150)
    length_m, left, right = scale_bar(ground)
    first, second = ground.place(left, ground.y), ground.place(right, ground.y)
    ends = ((one.latitude_deg, one.longitude_deg) for one in (first, second))
    assert geodesic(*ends).meters == pytest.approx(length_m, rel=0.01)


@given(PLACES, st.floats(0, 300), st.floats(0, 300))
def test_drawing_a_place_and_reading_it_back_gives_the_place(middle: Position, x: float, y: float) -> None:
    ground = Ground(middle, 5.0, 150, 150)
    assert ground.xy(ground.place(x, y)) == pytest.approx((x, y), abs=1e-4)


@pytest.mark.parametrize(("most_m", "length_m"), [(1.0, 1), (99, 50), (100, 100), (4999, 2000)])
def test_a_scale_bar_has_a_round_length(most_m: float, length_m: float) -> None:
    assert round_length_m(most_m) == length_m


@given(st.floats(0, 359), st.floats(1, 170))
def test_a_cone_opens_half_its_angle_to_each_side(facing_deg: float, angle_deg: float) -> None:
    numbers = [float(n) for n in re.findall(r"-?\d+\.\d\d", cone_path(0, 0, facing_deg, angle_deg, 1000))]
    for (x, y), half in ((numbers[2:4], -angle_deg / 2), (numbers[4:6], angle_deg / 2)):
        turn = (degrees(atan2(x, -y)) - facing_deg + 180) % 360 - 180
        assert turn == pytest.approx(half, abs=0.01)


def test_the_angle_is_that_of_the_picture_as_it_is_shown(account: TripAccount) -> None:
    # 2 atan(36 / (2 x 50)) = 39.6 degrees, 2 atan(24 / (2 x 50)) = 27.0 degrees (Ray, Applied Photographic
    # Optics, field of view of 24x36 mm; recalled and worked out by hand)
    order = put_in_order(account_for(account, Audience.ARCHIVE))
    lying = replace(account.keepers[0], focal_35mm=50.0, width_px=720, height_px=480, orientation=1)
    upright = replace(lying, orientation=6)
    across = [angle_across(order, one) for one in (lying, upright)]
    assert across == [pytest.approx(39.6, abs=0.05), pytest.approx(27.0, abs=0.05)]


def test_an_unknown_format_gives_no_angle(account: TripAccount) -> None:
    keeper = replace(account.keepers[0], focal_35mm=None, focal_mm=50.0, body="nobody's")
    assert angle_across(put_in_order(account_for(account, Audience.ARCHIVE)), keeper) is None


def test_an_exact_place_is_drawn_with_cone_track_and_sun(placed: TripAccount) -> None:
    shown = mapped(placed)
    assert "Quarry ledge" in shown
    assert 'class="track"' in shown
    assert 'class="sunline"' in shown
    assert 'class="cone"' in shown or 'class="facing"' in shown


def test_a_night_of_midnight_sun_is_one_day_of_sun_lines(account: TripAccount) -> None:
    """Only the first and the last picture of a day have one, and the day goes on after midnight."""
    ledge = replace(account.viewpoints["ledge"], latitude_deg=70.0, longitude_deg=25.0)
    begins = datetime(2031, 6, 14, 20, 30, tzinfo=UTC)  # half past ten at night on its clocks
    keepers = tuple(
        replace(
            account.keepers[0], id=f"k{hour}", slug=f"k{hour}", viewpoint_id="ledge",
            taken_utc=begins + timedelta(hours=hour), zone="Europe/Oslo",
        )
        for hour in range(4)
    )  # fmt: skip
    order = put_in_order(account_for(replace(account, keepers=keepers), Audience.ARCHIVE))
    position = Position(70.0, 25.0)
    lines = sun_lines(order, ShownPlace(ledge, "Ledge", "Quarry", position, is_area=False))
    assert [line.text.split(",")[0] for line in lines] == ["22:30", "01:30"]


@pytest.mark.parametrize("audience", [Audience.CLIENT, Audience.STUDENTS])
def test_of_a_withheld_place_the_maps_hold_nothing(placed: TripAccount, audience: Audience) -> None:
    shown = mapped(placed, audience)
    for told in ("Hollow", "Otter", "owl-wood", "heron-seat", "61.2", "7.65", "123°", "eyrie", "withheld"):
        assert told not in shown


def test_the_archive_sees_the_withheld_place(placed: TripAccount, changed: Callable[..., Any]) -> None:
    near = changed(placed, "viewpoints", "shelf", latitude_deg=47.1238, longitude_deg=12.7350)
    assert "Otter Shelf" in mapped(near, Audience.ARCHIVE)
    assert "Otter Shelf" not in mapped(near)


def test_moving_a_withheld_place_changes_no_byte(placed: TripAccount, changed: Callable[..., Any]) -> None:
    moved = changed(placed, "sites", "withheld", latitude_deg=61.4, longitude_deg=-7.1)
    moved = changed(moved, "viewpoints", "shelf", latitude_deg=61.41, longitude_deg=-7.11, facing_deg=10)
    assert mapped(moved) == mapped(placed)


def test_an_area_is_drawn_at_its_rounded_cell_without_cone_track_or_sun(
    placed: TripAccount, changed: Callable[..., Any]
) -> None:
    area = with_far_areas(changed(placed, "sites", "quarry", location_shown=Disclosure.AREA))
    shown = mapped(area)
    assert 'class="area"' in shown
    for mark in (
        'class="cone"',
        'class="facing"',
        'class="track"',
        'class="sunline"',
        "225",
        "47.12",
        "12.73",
    ):
        assert mark not in shown
    inside_cell = changed(area, "viewpoints", "ledge", latitude_deg=47.0801, longitude_deg=12.6604)
    assert mapped(inside_cell) == shown


def with_far_areas(account: TripAccount) -> TripAccount:
    """The trip with two more areas far from the others: a map of fewer than three says nothing."""
    gorge = account.sites["gorge"]
    far = {
        name: replace(gorge, id=name, slug=name, title=name.title(), latitude_deg=latitude_deg)
        for name, latitude_deg in (("moor", 47.9), ("tarn", 46.6))
    }
    return replace(account, sites={**account.sites, **far})


def beside(account: TripAccount, count: int) -> TripAccount:
    """The trip without a track, and with so many places near the ledge, which were visited."""
    ledge, seen = account.viewpoints["ledge"], account.visits[0]
    names = [f"spot{number}" for number in range(count)]
    spots = {
        name: replace(ledge, id=name, slug=name, title=name, latitude_deg=47.124 + number / 1000)
        for number, name in enumerate(names)
    }
    visits = (replace(seen, id=f"at-{name}", slug=f"at-{name}", viewpoint_id=name) for name in names)
    return replace(
        account, tracks=(), viewpoints={**account.viewpoints, **spots}, visits=(*account.visits, *visits)
    )


@pytest.mark.parametrize("audience", Audience)
def test_fewer_than_three_places_without_a_track_are_no_map(placed: TripAccount, audience: Audience) -> None:
    for others, drawn in ((0, 0), (1, 0), (2, 1)):
        order = put_in_order(account_for(beside(placed, others), audience))
        shown = [one for one in maps(order, with_sun=True) if "Quarry ledge" in str(one.wide)]
        assert len(shown) == drawn
    assert "Quarry ledge" in mapped(placed, audience), "a track is worth a map"


@pytest.mark.parametrize(("north_deg", "outlines"), [(0.1, 6), (0.2, 4)])
def test_touching_cells_of_one_site_are_one_area_with_one_name(
    placed: TripAccount, changed: Callable[..., Any], north_deg: float, outlines: int
) -> None:
    area = with_far_areas(changed(placed, "sites", "quarry", location_shown=Disclosure.AREA))
    ledge = area.viewpoints["ledge"]
    far = replace(
        ledge, id="far", slug="far", title="Far ledge", latitude_deg=(ledge.latitude_deg or 0) + north_deg
    )
    visit = replace(area.visits[0], id="at-far", slug="at-far", viewpoint_id="far")
    both = replace(area, viewpoints={**area.viewpoints, "far": far}, visits=(*area.visits, visit))
    drawn = maps(put_in_order(account_for(both, Audience.CLIENT)), with_sun=False)
    shown = "".join(str(one.wide) for one in drawn)
    edges = [edge.count("M") for edge in re.findall(r'd="([^"]*)" class="edge"', shown)]
    names = re.findall(r'class="name"[^>]*>([^<]*)<', shown)
    touching = north_deg == 0.1
    assert names.count("Quarry bridge") == (1 if touching else 2)
    assert outlines in edges
    assert edges.count(4) == len(names) - touching, "each other area is one square"


@pytest.mark.parametrize("away_m", [100, 1900, 4900])
def test_a_day_that_comes_near_a_withheld_place_loses_its_whole_track(
    placed: TripAccount, changed: Callable[..., Any], away_m: float
) -> None:
    there = geodesic(meters=away_m).destination((47.1230, 12.7340), 200)
    near = changed(placed, "sites", "withheld", latitude_deg=there.latitude, longitude_deg=there.longitude)
    assert account_for(near, Audience.STUDENTS).tracks == ()
    assert account_for(near, Audience.ARCHIVE).tracks == placed.tracks


def test_a_day_with_a_visit_to_a_withheld_place_loses_its_track_wherever_that_lies(
    placed: TripAccount, account: TripAccount
) -> None:
    visited = replace(placed, visits=account.visits)
    assert account_for(visited, Audience.CLIENT).tracks == ()


def test_no_time_of_the_track_is_drawn(placed: TripAccount) -> None:
    shown = mapped(replace(placed, keepers=()))
    assert "09:0" not in shown
    assert "2031" not in shown


def test_the_drawing_is_well_formed_and_the_same_again(placed: TripAccount) -> None:
    order = put_in_order(account_for(placed, Audience.STUDENTS))
    first = maps(order, with_sun=True)
    assert first == maps(order, with_sun=True)
    for one in first:
        root = ElementTree.fromstring(str(one.wide))
        assert root.attrib["role"] == "img"
        ids = [found.attrib["id"] for found in root.iter() if "id" in found.attrib]
        assert root.attrib["aria-labelledby"] in ids
        assert len(ids) == len(set(ids))


def test_a_hostile_name_is_escaped(placed: TripAccount, changed: Callable[..., Any]) -> None:
    hostile = changed(placed, "viewpoints", "ledge", title='"><script>x</script>')
    for one in maps(put_in_order(account_for(hostile, Audience.STUDENTS)), with_sun=True):
        assert "<script" not in str(one.wide)
        ElementTree.fromstring(str(one.wide))


def a_figure(number: int) -> Figure:
    """A picture in two widths."""
    files = tuple(Candidate(f"pictures/{number:020x}-{px}.jpg", px) for px in (480, 1080))
    shown = Image(files, 1080, 720, "r150")
    where = "Quarry ledge"
    return Figure(
        number, f"picture-{number}", f"pages/{number}.html", shown, "Water", "Slow water.", where, "", ""
    )


def with_pictures(account: TripAccount, audience: Audience = Audience.STUDENTS) -> tuple[Drawing, ...]:
    order = put_in_order(account_for(account, audience))
    pictures = {key: a_figure(number) for number, key in enumerate(sorted(account.viewpoints), 1)}
    return maps(order, with_sun=True, pictures=pictures)


def test_a_view_carries_its_smallest_picture_and_says_so_in_words(placed: TripAccount) -> None:
    drawn = next(one for one in with_pictures(placed) if "Quarry ledge" in str(one.wide))
    root = ElementTree.fromstring(str(drawn.wide))
    (image,) = (one for one in root if one.tag == "image")
    assert image.attrib["href"].endswith("-480.jpg")
    assert float(image.attrib["width"]) / float(image.attrib["height"]) == pytest.approx(1.5, abs=0.02)
    assert any("beside it, picture 2, Slow water" in line for line in drawn.said)
    assert "small picture" in drawn.note


def test_a_small_picture_covers_no_name_no_dot_and_no_other(placed: TripAccount) -> None:
    drawn = next(one for one in with_pictures(beside(placed, 3)) if "Quarry ledge" in str(one.wide))
    root = ElementTree.fromstring(str(drawn.wide))
    boxes = [
        (
            float(one.attrib["x"]),
            float(one.attrib["y"]),
            float(one.attrib["width"]),
            float(one.attrib["height"]),
        )
        for one in root
        if one.tag == "image"
    ]
    assert boxes
    dots = [one for one in root if one.attrib.get("class") == "spot"]
    points = [(float(one.attrib["cx"]), float(one.attrib["cy"])) for one in dots]
    points += [(float(one.attrib["x"]), float(one.attrib["y"])) for one in root if one.tag == "text"]
    for left, top, width, height in boxes:
        assert 0 < left < left + width < 326
        assert 0 < top < top + height < 300
        assert not any(left < x < left + width and top < y < top + height for x, y in points)
    for number, (left, top, width, height) in enumerate(boxes):
        for other, below, wide, high in boxes[number + 1 :]:
            apart = left + width <= other or other + wide <= left
            assert apart or top + height <= below or below + high <= top


def test_where_it_is_crowded_pictures_are_left_out(placed: TripAccount) -> None:
    drawn = next(
        one for one in with_pictures(beside(placed, 14)) if "Quarry ledge" in str(one.wide) + one.note
    )
    shown = str(drawn.wide).count("<image")
    assert shown < 15
    assert sum("beside it, picture" in line for line in drawn.said) == shown


def test_neither_an_area_nor_a_withheld_place_carries_a_picture(
    placed: TripAccount, changed: Callable[..., Any]
) -> None:
    area = with_far_areas(changed(placed, "sites", "quarry", location_shown=Disclosure.AREA))
    assert with_pictures(area)
    assert "<image" not in repr(with_pictures(area))
    near = changed(placed, "viewpoints", "shelf", latitude_deg=47.1238, longitude_deg=12.7350)
    assert repr(with_pictures(near)).count("<image") <= 1
