"""A hidden place is found in whatever notation, near it and not far from it.

A distance and a direction from a place that others know tell where a withheld one is.
"""

import random
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.domain.discretion.codes import encode_plus_code, projected, zone_of
from logbook.domain.discretion.folding import seen
from logbook.domain.discretion.positions import HiddenPlace, HiddenPositions, offsets
from logbook.domain.position import Position
from tests.domain.discretion.test_names import harmless
from tests.examples import examples

HERE = Position(55.12345, -3.45678)  # 55 07 24 N 3 27 24 W
WITHHELD = HiddenPositions((HiddenPlace(HERE, True),))
AREA = HiddenPositions((HiddenPlace(HERE, False),))
LEDGE = Position(55.05, 3.30)
SECRET = Position(55.0754, 3.3443)  # 4.0 km north-east of the ledge
KNOWN = HiddenPositions((HiddenPlace(SECRET, True),), (LEDGE, Position(47.0, 12.0)))


def struck(positions: HiddenPositions, text: str) -> str:
    """Return a text with what was found replaced, and what touches replaced once."""
    left = list(text)
    for begin, end in positions.find(seen(text)):
        left[begin:end] = ["#"] * (end - begin)
    return "".join(left)


WRITTEN = [
    "55°.12345 3°.45678",
    "550724.4N0032724.4W",
    "N5507.407 W00327.407",
    "55 stopni 7 minut N, 3 stopnie 27 minut W",
    "55 градусов 7 минут, 3 градуса 27 минут",
    "北緯55度7分24秒 西経3度27分24秒",
    "５５．１２３４５，３．４５６７８",
    "5512345, 345678",
    "latitudeE7=551234500 longitudeE7=-34567800",
    "55.**123**45, 3.45678",
    "**55**.12345, 3.45678",
    f"plus {encode_plus_code(HERE)}",
    f"{encode_plus_code(HERE)[:4]} {encode_plus_code(HERE)[4:8]}+{encode_plus_code(HERE)[8:]} when",
    f"{encode_plus_code(HERE)[:6]}00+ when",
    "55.12345, -3.45678",
    "55,12345 / 3,45678",
    "55.12345N3.45678W",
    "N55.12345 W003.45678",
    "lon=-3.45678&lat=55.12345",
    "55.12°N, 3.46°W",
    "55 07 24 N 3 27 24 E",
    "55 07 24, -3 27 24",
    "55 07 24 3 27 24",
    "55 7.407 / 3 27.407",
    "55-07-24N 003-27-24W",
    "55.07.24 N; 3.27.24 W",
    "55:07:24 3:27:24",
    "55° 07′ 24″ N, 3° 27′ 24″ W",
    "55º7'N 3º27'W",
    "55°7.4' N, 3°27.4' W",
    "55 degrees 7 minutes 24 seconds north, 3 degrees 27 minutes west",
    "fifty-five degrees seven minutes north, three degrees twenty-seven minutes west",
    "fifty-five point one two three four, three point four five six",
    "55 Grad 7 Minuten Nord, 3 Grad 27 Minuten West",
    "55 deg 07 min 24 sec N",
    "latitude 55° 7.4'",
    "+55.12345-003.45678/",
    "+550724-0032724/",
    "550724N 0032724W",
    "5507.407,N,00327.407,W",
    "geo:55.12345,-3.45678;u=10",
    "https://maps.example/@55.12345,-3.45678,15z",
    "https://maps.example/?q=55.12345%2C-3.45678",
    "!3d55.12345!4d-3.45678",
    "[-3.45678, 55.12345]",
    "30U 470870 6108624",
    "30U 470870E 6108624N",
    "UTM zone 30, E 470 870, N 6 108 624",
    "easting 470870 ... northing 6108624",
    "30UVG7087008624",
    "30U VG 70870 08624",
    "30UVG 708 086",
    "VG 7087 0862",
    "gcv99",
    "GCV996FV",
    "IO85gc",
    "IO85gc59",
    "9C7R4GFV+97",
    "9c7r4gfv+97x",
    "4GFV+97 in the glen",
    "55.12345\u00a0N",
    "５５.１２３４５",
    "&#53;5.1234",
    "55 point 12345, 3 point 45678",
    "+055.12345-0003.45678/",
]


def test_the_notations_that_need_no_marks_are_found_as_they_stand() -> None:
    easting_m, northing_m = projected(HERE, zone_of(HERE))
    assert (round(easting_m), round(northing_m)) == (470870, 6108624)
    assert encode_plus_code(HERE) == "9C7R4GFV97"


@pytest.mark.parametrize("text", WRITTEN)
def test_a_position_is_found_in_whatever_notation(text: str) -> None:
    left = struck(WITHHELD, f"the hide ({text}), at dusk")
    assert left.startswith("the hide (")
    assert left.endswith("), at dusk")
    assert "#" in left
    assert sum(letter.isdigit() for letter in left) <= 2  # a zone, a zoom, an uncertainty


def test_latitude_and_longitude_far_apart_in_a_text_are_both_found() -> None:
    text = "Latitude 55.12, says the old map; the warden who walked with us read a longitude of 3.46 west."
    assert struck(WITHHELD, text).count("#") >= 9
    assert "55" not in struck(WITHHELD, text)
    assert "3.46" not in struck(WITHHELD, text)


@pytest.mark.parametrize(
    "text",
    [
        "55.32, -3.45",  # 20 km north of it
        "55 27 24 3 27 24",
        "30UVG7087028624",
        "30U 470870 6128624",
        "gcvd6",
        "IO85gi",
        "9C7R8GFV+97",
        "55.1 s at f/3.4, ISO 1600, 24 mm",
        "12:55, 15:07, 24 frames from 0412 to 0427; EUR 55.12",
        "f/2.8 for 47.3 s at 1013.251 hPa",
        "12.5 km in 3 h 27 min, 55 frames",
        "nd8 + nd8, 2031-10-14 17:20",
    ],
)
def test_what_is_far_away_or_no_position_is_left(text: str) -> None:
    assert struck(WITHHELD, text) == text


@pytest.mark.parametrize("text", ["near 55.1° N, 3.5° W", "IO85", "55° N, 3° W"])
def test_what_is_shown_of_an_area_may_be_written_of_it(text: str) -> None:
    assert struck(AREA, text) == text
    assert struck(WITHHELD, text) != text


def test_a_northing_of_few_figures_is_found_near_the_equator() -> None:
    here = HiddenPositions((HiddenPlace(Position(0.5123, -78.2511), True),))
    assert struck(here, "17N 806216 56526") == "#" * 10 + " " + "#" * 5


def test_harmless_lines_of_a_trip_lose_nothing_to_its_own_hidden_places() -> None:
    hidden = HiddenPositions(
        (HiddenPlace(Position(38.2140, 73.5030), True), HiddenPlace(Position(17.33, 12.98), True))
    )
    assert [line for line in harmless() if struck(hidden, line) != line] == []


def _sexagesimal(value: float, parts: int) -> list[str]:
    seconds = round(abs(value) * 3600)
    degrees, minutes = seconds // 3600, seconds // 60 % 60
    if parts == 2:
        return [str(degrees), f"{abs(value) * 60 % 60:.3f}"]
    return [str(degrees), f"{minutes:02d}", f"{seconds % 60:02d}"]


@st.composite
def notations(draw: st.DrawFn) -> str:
    """A position near HERE in a notation put together by chance."""
    latitude = HERE.latitude_deg + draw(st.floats(-0.02, 0.02))
    longitude = HERE.longitude_deg + draw(st.floats(-0.03, 0.03))
    halves = []
    marks = draw(
        st.sampled_from([("°", "'", '"'), ("º ", "′ ", "″"), (" ", " ", ""), (":", ":", ""), ("-", "-", "")])
        | st.sampled_from(
            [(" deg ", " min ", " sec"), (" degrees ", " minutes ", " seconds"), ("d ", "m ", "s")]
        )
    )
    style = draw(st.sampled_from(["decimal", "comma", "two", "three"]))
    letters = draw(st.sampled_from(["before", "after", "word", "none"]))
    for value, letter, word in ((latitude, "N", " north"), (longitude, "W", " west")):
        if style in ("decimal", "comma"):
            told = f"{abs(value):.{draw(st.integers(2, 7))}f}"
            told = told.replace(".", ",") if style == "comma" else told
        else:
            parts = _sexagesimal(value, 2 if style == "two" else 3)
            told = "".join(part + mark for part, mark in zip(parts, marks, strict=False)).strip(" :-")
        halves.append(
            {"before": f"{letter} {told}", "after": f"{told} {letter}", "word": f"{told}{word}"}.get(
                letters, told
            )
        )
    if draw(st.booleans()):
        halves.reverse()
    return draw(st.sampled_from([", ", " / ", "; ", " and ", "   ", " | ", " by "])).join(halves)


@pytest.mark.slow
@settings(max_examples=examples(3))
@given(notations())
def test_no_mixture_of_marks_and_separators_gets_through(text: str) -> None:
    left = struck(WITHHELD, f"at {text}!")
    assert not any(letter.isdigit() for letter in left), left


@given(st.text(alphabet="0123456789.,°'\" NSEWabcdegh+-:/", max_size=80))
def test_no_text_makes_it_fail(text: str) -> None:
    assert all(0 <= begin < end <= len(text) for begin, end in WITHHELD.find(seen(text)))


@pytest.mark.slow
def test_a_hostile_text_and_two_thousand_ordinary_ones_take_no_time() -> None:
    dice = random.Random(5)
    many = HiddenPositions(
        tuple(
            HiddenPlace(Position(dice.uniform(50, 60), dice.uniform(-10, 10)), at % 2 == 0)
            for at in range(40)
        )
    )
    begun = time.process_time()
    for line in [line for _ in range(12) for line in harmless()][:2000]:
        struck(many, line)
    struck(many, "55.12 " * 1000 + "3.45 " * 1000)
    assert time.process_time() - begun < 4  # s of the processor; about one


@pytest.mark.parametrize(
    "text",
    [
        "# of the ledge|4 km NE of the ledge",
        "it lies # of here|it lies 4 kilometres to the north-east of here",
        "# from the ledge|four kilometres northeast from the ledge",
        "#|4.1 km on a bearing of 45\u00b0",
        "go #|go 4000 m, 47 deg",
        "# away|NE of the ledge, about 4 km away",
        "#|2.5 miles NE",
        "we see the ledge's hide # of it|we see the ledge's hide 4 km NE of it",
        "in the west, #|in the west, 4 km northeast",
    ],
)
def test_a_distance_and_a_direction_that_lead_there_are_struck(text: str) -> None:
    left, _, typed = text.partition("|")
    told = struck(KNOWN, typed)
    assert "#" in told
    assert told.replace("#", "") == left.replace("#", "")


@pytest.mark.parametrize(
    "text",
    [
        "4 km SW of the ledge",
        "40 km NE of the ledge",
        "300 m north along the river",
        "wind NE, 4 on the lower rail",
        "f/4 at 24 mm, NE light",
        "4 km of sand, then east",
    ],
)
def test_other_ways_stand(text: str) -> None:
    assert struck(KNOWN, text) == text


def test_without_a_place_that_others_know_it_leads_nowhere() -> None:
    assert (
        struck(HiddenPositions((HiddenPlace(SECRET, True),)), "4 km NE of the ledge")
        == "4 km NE of the ledge"
    )


_PIECES = ("north", "south", "east", "west", " ", "-", "N", "NE", "4 km", "45", "°", " of the ledge", ".")


@given(st.lists(st.sampled_from(_PIECES)).map("".join))
def test_no_text_makes_reading_offsets_fail(text: str) -> None:
    for told in offsets(text):
        assert 0 <= told.begin < told.end <= len(text)
