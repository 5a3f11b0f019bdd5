"""Positions: typed, written, measured and made coarse."""

import math
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import InvalidValueError
from logbook.domain.position import (
    COMPASS,
    Position,
    bearing_deg,
    compass_word,
    distance_m,
    parse_bearing,
    parse_latitude,
    parse_longitude,
    parse_position,
    position_text,
    rounded_to_area,
)

POSITIONS = st.builds(Position, st.floats(-90, 90), st.floats(-180, 180))


@pytest.mark.parametrize(
    "text",
    [
        "47.5, 12.25",
        "47.5 12.25",
        "47.5,12.25",
        "47.5; 12.25",
        "47.5 / 12.25",
        "+47.5 +12.25",
        "47.5 N 12.25 E",
        "47.5N,12.25E",
        "N 47.5, E 12.25",
        "12.25 E 47.5 N",
        "47.5 north, 12.25 east",
        "47.5° N, 12.25° E",
        "47°30'00\"N 12°15'00\"E",
        "47°30′00″N 12°15′00″E",
        "47°30’00”N 12°15’00”E",
        "47° 30' 0'' N 12° 15' 0'' E",
        "47º30'N 12º15'E",
        "47 30 0 N, 12 15 0 E",
        "47 30 0 12 15 0",
        "47 30 12 15",
        "47:30:00 12:15:00",
        "47 deg 30' N, 12 deg 15' E",
        "N47° 30.0' E12° 15.0'",
        "n47 30 e12 15",
        "+47.5+012.25/",
        "+4730+01215/",
        "+473000+0121500+812.5CRSWGS_84/",
        "47,5 N 12,25 E",
        "47,5 12,25",
        "47,5; 12,25",
        "47,5, 12,25",
        "47 30,0 N 12 15,0 E",
        "\u00a047.5,\u00a012.25\n",
    ],
)
def test_a_position_is_read_the_way_people_have_it(text: str) -> None:
    found = parse_position(text)
    assert (found.latitude_deg, found.longitude_deg) == pytest.approx((47.5, 12.25), abs=1e-12)


@pytest.mark.parametrize(
    ("text", "latitude_deg", "longitude_deg"),
    [
        ("47.5 -12.25", 47.5, -12.25),
        ("−47.5, −12.25", -47.5, -12.25),
        ("47.5 S 12.25 W", -47.5, -12.25),
        ("0 30 S, 0 15 W", -0.5, -0.25),
        ("-0 30 0, 12", -0.5, 12.0),
        ("90, 180", 90.0, 180.0),
        ("-90, -180", -90.0, -180.0),
        ("47,12", 47.0, 12.0),
    ],
)
def test_south_and_west_come_from_a_letter_or_a_sign(
    text: str, latitude_deg: float, longitude_deg: float
) -> None:
    assert parse_position(text) == Position(latitude_deg, longitude_deg)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("95, 12", "Latitude 95 is outside -90 to 90 degrees."),
        ("95,5 N 12,25 E", "Latitude 95.5 is outside -90 to 90 degrees."),
        ("47, 200", "Longitude 200 is outside -180 to 180 degrees."),
        ("+9130+01215/", "Latitude 91.5 is outside -90 to 90 degrees."),
        ("47 60 0 N, 12 E", "Minutes 60 of the latitude must be below 60."),
        ("47 30 N, 12 15 60 E", "Seconds 60 of the longitude must be below 60."),
        ("+4760+01215/", "Minutes 60 of the latitude must be below 60."),
        ("-47.5 S, 12", 'Latitude in "-47.5 S, 12" has both a sign and the letter S; keep one.'),
        (
            "47.5 30 N, 12 E",
            'Latitude in "47.5 30 N, 12 E" has a fraction before its last part; only the last may have one.',
        ),
        ("47 N, 12 S", '"47 N, 12 S" gives two latitudes; give one latitude and one longitude.'),
    ],
)
def test_a_wrong_part_is_named_in_one_sentence(text: str, sentence: str) -> None:
    with pytest.raises(InvalidValueError) as caught:
        parse_position(text)
    assert str(caught.value) == sentence


@pytest.mark.parametrize(
    "text",
    [
        "", " ", "here", "47.5", "47.5 N", "47.5, 12.25, 300", "47-30, 12-15", "47.5 - 12.25", "47-12",
        "inf, nan", "1e1, 2", "47.5 O 12", "N 47 12 E", "47' 12'", "47:, 12:", ",", ",,", "N, E", "+, -",
        "٤٧, ١٢", "x" * 10_000,
    ],
)  # fmt: skip
def test_nonsense_is_refused_with_an_example_of_how_to_write_it(text: str) -> None:
    with pytest.raises(InvalidValueError, match=r"write it as") as caught:
        parse_position(text)
    assert len(str(caught.value)) < 250


def test_commas_that_can_be_read_in_two_ways_are_refused() -> None:
    with pytest.raises(InvalidValueError, match="can be read in two ways"):
        parse_position("47,30 12")


@given(st.text(max_size=60) | st.text(alphabet="0123456789.,;/ +-NSEWnsew°'\":", max_size=40))
def test_any_text_is_a_position_or_one_clear_sentence(text: str) -> None:
    for parse in (parse_position, parse_latitude, parse_longitude, parse_bearing):
        said = "."
        try:
            parse(text)
        except InvalidValueError as refusal:
            said = str(refusal)
        assert said.endswith(".")
        assert said.isprintable()


@pytest.mark.parametrize(
    "bad", [(91, 0), (-91, 0), (0, 181), (0, -181), (math.nan, 0), (0, math.nan), (math.inf, 0)]
)
def test_a_position_that_is_not_on_the_earth_cannot_be_made(bad: tuple[float, float]) -> None:
    with pytest.raises(InvalidValueError, match="is outside"):
        Position(*bad)


def test_a_single_latitude_refuses_the_letter_of_a_longitude() -> None:
    assert parse_latitude("47,5 N") == 47.5
    assert parse_longitude("12°15'") == 12.25
    with pytest.raises(InvalidValueError, match="belongs to the other half"):
        parse_latitude("47.5 E")


@given(POSITIONS)
def test_what_people_read_is_read_back_to_a_metre(p: Position) -> None:
    back = parse_position(position_text(p))
    assert back.latitude_deg == pytest.approx(p.latitude_deg, abs=5.1e-6)
    assert back.longitude_deg == pytest.approx(p.longitude_deg, abs=5.1e-6)
    assert "-" not in position_text(p)


@given(
    st.tuples(st.integers(0, 89), st.integers(0, 59), st.integers(0, 59_999), st.sampled_from("NS")),
    st.tuples(st.integers(0, 179), st.integers(0, 59), st.integers(0, 59_999), st.sampled_from("EW")),
    st.sampled_from(["{0}°{1}′{2}″{3}", "{0} {1} {2} {3}", "{3}{0}°{1}'{2}\"", "{0}:{1}:{2}{3}"]),
    st.sampled_from([" ", ", ", "; "]),
)
def test_degrees_minutes_and_seconds_in_any_dress_mean_the_same(
    latitude: tuple[int, int, int, str], longitude: tuple[int, int, int, str], form: str, between: str
) -> None:
    text = between.join(
        form.format(d, m, f"{ms / 1000:.3f}", letter) for d, m, ms, letter in (latitude, longitude)
    )
    found = parse_position(text)
    for got, (d, m, ms, letter) in zip(
        (found.latitude_deg, found.longitude_deg), (latitude, longitude), strict=True
    ):
        sign = -1 if letter in "SW" else 1
        assert got == pytest.approx(sign * (d + m / 60 + ms / 3_600_000), abs=1e-12)


def test_positions_are_written_as_people_read_them() -> None:
    assert position_text(Position(47.5, 12.25)) == "47.50000° N, 12.25000° E"
    assert position_text(Position(-33.9, -70.000004)) == "33.90000° S, 70.00000° W"
    assert position_text(Position(-0.000001, -0.0)) == "0.00000° N, 0.00000° E"


@pytest.mark.parametrize(
    ("text", "bearing"),
    [
        ("NW", 315), ("nw", 315), ("north-west", 315), ("North West", 315), ("nne", 22.5),
        ("west-northwest", 292.5), ("315", 315), ("315°", 315), ("315.5 degrees", 315.5),
        ("12,5°", 12.5), ("090", 90), ("360", 0), ("0", 0), ("45° true", 45),
    ],
)  # fmt: skip
def test_a_bearing_is_read_from_a_compass_point_or_degrees(text: str, bearing: float) -> None:
    assert parse_bearing(text) == bearing


@pytest.mark.parametrize("text", ["", "NX", "-5", "361", "45° magnetic", "north-ish", "NNN", "1e2"])
def test_what_is_no_bearing_is_refused(text: str) -> None:
    with pytest.raises(InvalidValueError):
        parse_bearing(text)


def test_every_compass_point_names_its_own_bearing() -> None:
    assert [compass_word(parse_bearing(word)) for word in COMPASS] == list(COMPASS)
    assert compass_word(11.24) == "N"
    assert compass_word(11.25) == "NNE"
    assert compass_word(348.75) == "N"
    assert compass_word(-90) == "W"
    assert compass_word(720) == "N"


@given(st.floats(-1e6, 1e6))
def test_a_compass_point_is_never_more_than_half_a_point_away(bearing: float) -> None:
    away = abs((parse_bearing(compass_word(bearing)) - bearing + 180) % 360 - 180)
    assert away <= 11.25 + 1e-6


def test_a_bearing_is_never_360_and_coincident_points_have_none() -> None:
    assert bearing_deg(Position(0, 0), Position(1, -1e-17)) == 0.0
    assert bearing_deg(Position(10, 20), Position(10, 20)) == 0.0


@given(POSITIONS, POSITIONS)
def test_distance_is_the_same_both_ways_and_bearings_stay_in_their_range(a: Position, b: Position) -> None:
    assert distance_m(a, b) == pytest.approx(distance_m(b, a), abs=1e-6)
    assert 0 <= distance_m(a, b) <= 20_003_932  # half a meridian of WGS84, rounded up
    assert 0 <= bearing_deg(a, b) < 360


@given(POSITIONS, st.sampled_from([0.01, 0.1, 0.25, 1.0]))
def test_an_area_is_near_the_point_and_rounding_again_changes_nothing(p: Position, cell_deg: float) -> None:
    area = rounded_to_area(p, cell_deg)
    assert abs(area.latitude_deg - p.latitude_deg) <= cell_deg / 2 + 1e-9
    assert abs(area.longitude_deg - p.longitude_deg) <= cell_deg / 2 + 1e-9
    assert rounded_to_area(area, cell_deg) == area


def test_two_points_of_one_area_cannot_be_told_apart() -> None:
    assert rounded_to_area(Position(47.4567, 12.3449)) == Position(47.5, 12.3)
    assert rounded_to_area(Position(47.5321, 12.2511)) == Position(47.5, 12.3)


@pytest.mark.parametrize("cell_deg", [0, -1, 91, math.nan])
def test_an_area_of_no_size_is_refused(cell_deg: float) -> None:
    with pytest.raises(InvalidValueError, match="not between"):
        rounded_to_area(Position(0, 0), cell_deg)


def test_importing_positions_does_not_load_the_geodesic_library() -> None:
    import subprocess

    code = (
        "import sys, logbook.domain.position; sys.exit(bool({'geopy', 'geographiclib'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
