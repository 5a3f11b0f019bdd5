"""Marked numbers: snapping, the written form, and what people type."""

import math
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.errors import CraftValueError
from logbook.craft.marks import (
    NEAR_MARK_STOPS,
    aperture_text,
    checked_aperture,
    checked_exposure,
    checked_iso,
    counted_stops,
    digits_text,
    exact_aperture,
    exact_exposure_s,
    exact_iso,
    exposure_text,
    iso_text,
    marked_exposure,
    nearest_aperture,
    number_text,
    parse_aperture,
    parse_exposure,
    parse_iso,
    stops_text,
    written_aperture,
    written_exposure,
)
from logbook.craft.series import APERTURES, EXPOSURES, EXPOSURES_HALF, ISOS

TIMES = st.fractions(min_value=Fraction(1, 1_000_000), max_value=86_400, max_denominator=1_000_000)
NUMBERS = st.floats(min_value=0.5, max_value=512)


def test_a_marked_aperture_snaps_to_its_exact_power() -> None:
    assert exact_aperture(22) == pytest.approx(2**4.5)
    assert exact_aperture(1.2) == pytest.approx(2 ** (1 / 3))  # third-stop reading of an ambiguous mark
    assert exact_aperture(9.5) == pytest.approx(2**3.25)  # only a half-stop mark


def test_a_number_near_no_mark_stays_as_it_is() -> None:
    assert exact_aperture(0.95) == 0.95
    assert exact_aperture(1.7001) == 1.7001
    assert exact_iso(112) == 112
    assert exact_exposure_s(Fraction(1, 70)) == pytest.approx(1 / 70)


@pytest.mark.parametrize(
    ("time_s", "text"),
    [
        (Fraction(1, 124), "1/125 s"),
        (Fraction(10, 1250), "1/125 s"),
        (Fraction(1, 64), "1/60 s"),
        (Fraction(1, 70), "1/70 s"),
        (Fraction(1, 45), "1/45 s"),
        (Fraction(1, 2), "1/2 s"),
        (Fraction(1, 3), "1/3 s"),
        (Fraction(3, 10), "0.3 s"),
        (Fraction(3, 5), "0.6 s"),
        (Fraction(35, 100), "0.35 s"),
        (Fraction(28, 100), "0.28 s"),
        (Fraction(2121, 10000), "1/5 s"),
        (Fraction(1), "1 s"),
        (Fraction(3, 2), "1.5 s"),
        (Fraction(21), "21 s"),
        (Fraction(32), "30 s"),
        (Fraction(45), "45 s"),
        (Fraction(119, 2), "1 min"),
        (Fraction(128), "2 min 8 s"),
        (Fraction(3840), "1 h 4 min"),
    ],
)
def test_a_time_reads_as_photographers_write_it(time_s: Fraction, text: str) -> None:
    assert exposure_text(time_s) == text


@pytest.mark.parametrize("mark", [*EXPOSURES, *EXPOSURES_HALF], ids=str)
def test_every_marked_time_survives_writing_and_reading(mark: Fraction) -> None:
    assert marked_exposure(mark) == mark
    assert parse_exposure(exposure_text(mark)) == mark


@pytest.mark.parametrize("series", [EXPOSURES, APERTURES, ISOS], ids=["times", "apertures", "isos"])
def test_marks_are_a_third_of_a_stop_apart(series: dict[Fraction | float | int, float]) -> None:
    exact = list(series.values())
    steps = {round(math.log2(b / a), 9) for a, b in pairwise(exact)}
    assert steps in ({round(1 / 3, 9)}, {round(1 / 6, 9)})  # an f-number is the square root of its stops


@given(TIMES)
def test_the_written_time_is_near_the_time(time_s: Fraction) -> None:
    written = parse_exposure(exposure_text(time_s))
    apart = abs(math.log2(written / time_s))
    # a snap to a mark, and rounding to the digits shown on top of it
    assert apart <= NEAR_MARK_STOPS + 0.08
    assert exposure_text(written) == exposure_text(time_s)


@given(TIMES)
def test_snapping_a_time_twice_changes_nothing(time_s: Fraction) -> None:
    assert marked_exposure(marked_exposure(time_s)) == marked_exposure(time_s)


@given(NUMBERS)
def test_snapping_an_aperture_moves_it_less_than_a_sixth_of_a_stop(number: float) -> None:
    assert abs(2 * math.log2(exact_aperture(number) / number)) <= 1 / 6
    assert nearest_aperture(number) in APERTURES


@given(NUMBERS)
def test_the_nearest_aperture_is_no_farther_than_half_a_third_of_a_stop_within_the_series(n: float) -> None:
    if min(APERTURES) <= n <= max(APERTURES):
        assert abs(2 * math.log2(n / APERTURES[nearest_aperture(n)])) <= 1 / 6 + 0.01


@pytest.mark.parametrize(
    ("number", "text"), [(0.07564, "0.0756"), (0.5, "0.5"), (31.24, "31.2"), (1240.4, "1240"), (0, "0")]
)
def test_three_digits_that_count_are_shown(number: float, text: str) -> None:
    assert digits_text(number) == text


@given(TIMES, TIMES)
def test_a_longer_time_never_reads_as_more_than_a_click_shorter(a: Fraction, b: Fraction) -> None:
    short, long = sorted((a, b))
    assert math.log2(exact_exposure_s(long) / exact_exposure_s(short)) >= -1 / 3


@pytest.mark.parametrize(
    ("text", "time_s"),
    [
        ("1/125", Fraction(1, 125)),
        ("1/125 s", Fraction(1, 125)),
        (" 1 / 125 sec ", Fraction(1, 125)),
        ("0.6s", Fraction(3, 5)),
        ("0,6 s", Fraction(3, 5)),
        (".5", Fraction(1, 2)),
        ("2s", Fraction(2)),
        ("2 seconds", Fraction(2)),
        ("2 min 8 s", Fraction(128)),
        ("2m8s", Fraction(128)),
        ("1.5 min", Fraction(90)),
        ("1 h 4 min", Fraction(3840)),
        ("1/2", Fraction(1, 2)),
        ("½ s", Fraction(1, 2)),
        ('30"', Fraction(30)),
        ("125 s", Fraction(125)),
    ],
)
def test_a_typed_time_is_understood(text: str, time_s: Fraction) -> None:
    assert parse_exposure(text) == time_s


@pytest.mark.parametrize("text", ["f/8", "8", "f8", "F/8", "F 8", "ƒ/8", " f / 8 "])
def test_a_typed_aperture_is_understood(text: str) -> None:
    assert parse_aperture(text) == 8.0


def test_a_typed_decimal_comma_is_understood() -> None:
    assert parse_aperture("f/5,6") == 5.6


@pytest.mark.parametrize("text", ["200", "ISO 200", "iso200"])
def test_a_typed_speed_is_understood(text: str) -> None:
    assert parse_iso(text) == 200


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "1/0 s",
        "0",
        "0 s",
        "-1 s",
        "nan",
        "inf",
        "1e3",
        "9" * 30 + " s",
        "9" * 300,
        "1½ s",
        "1//2",
        "s",
        "125",
        "25 h",
        "1/125/2",
        "١",
        "1 2",
    ],
)
def test_an_impossible_time_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(CraftValueError) as refused:
        parse_exposure(text)
    _one_sentence(refused.value)


@pytest.mark.parametrize("text", ["f/0", "", "f/", "-8", "nan", "f/1000", "f/8/8", "9" * 400, "f/0.1"])
def test_an_impossible_aperture_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(CraftValueError) as refused:
        parse_aperture(text)
    _one_sentence(refused.value)


@pytest.mark.parametrize("text", ["0", "", "iso", "-100", "1e3", "100.5", "9" * 20, "9" * 400, "²"])
def test_an_impossible_speed_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(CraftValueError) as refused:
        parse_iso(text)
    _one_sentence(refused.value)


@pytest.mark.slow
@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    for parse in (parse_exposure, parse_aperture, parse_iso):
        try:
            assert parse(text) > 0
        except CraftValueError as refused:
            _one_sentence(refused)


def test_numbers_that_are_not_finite_are_refused() -> None:
    for number in (math.nan, math.inf, -math.inf):
        for check in (checked_aperture, checked_exposure, checked_iso):
            with pytest.raises(CraftValueError):
                check(number)
        with pytest.raises(CraftValueError):
            stops_text(number)


@pytest.mark.parametrize(
    ("stops", "text"),
    [(4 / 3, "+1⅓"), (-2 / 3, "−⅔"), (0.04, "0"), (9.966, "+10"), (0.5, "+½"), (-1, "−1"), (-0.99, "−1")],
)
def test_stops_read_in_thirds_and_halves(stops: float, text: str) -> None:
    assert stops_text(stops) == text


def test_stops_can_be_written_without_a_sign() -> None:
    assert stops_text(8.644, signed=False) == "8⅔"
    assert counted_stops(1.0) == "1 stop"
    assert counted_stops(2.5) == "2.5 stops"


def test_apertures_and_speeds_read_as_written() -> None:
    assert [aperture_text(n) for n in (8.0, 5.6569, 22.6, 0.95, 256.0)] == [
        "f/8",
        "f/5.6",
        "f/22",
        "f/0.95",
        "f/256",
    ]
    assert iso_text(12800) == "ISO 12800"
    assert number_text(-0.001) == "0"
    assert number_text(-1.5) == "−1.5"
    assert number_text(120.0, 0) == "120"


def _one_sentence(error: CraftValueError) -> None:
    text = str(error)
    assert text.endswith(".")
    assert "\n" not in text
    assert len(text) < 200


@pytest.mark.parametrize(
    ("f_number", "text"),
    [(3.6, "f/3.6"), (3.5, "f/3.5"), (1.78, "f/1.78"), (8.0, "f/8"), (0.95, "f/0.95"), (7.3, "f/7.3"),
     (5.656854249, "f/5.6"), (22.627417, "f/22"), (3.5635948, "f/3.5"), (2.4000000953674316, "f/2.4"),
     (6.123456, "f/6.12")],
)  # fmt: skip
def test_an_aperture_is_told_as_its_file_has_it(f_number: float, text: str) -> None:
    assert written_aperture(f_number) == text


@pytest.mark.parametrize(
    ("time_s", "text"),
    [("1/120", "1/120 s"), ("1/1848", "1/1848 s"), ("1/125", "1/125 s"), ("10/1250", "1/125 s"),
     ("3/5", "0.6 s"), ("1/3", "1/3 s"), ("2/5", "0.4 s"), ("13/10", "1.3 s"), ("319/10", "31.9 s"),
     ("32", "32 s"), ("128", "2 min 8 s"), ("3/200", "1/67 s"), ("1", "1 s"), ("3840", "1 h 4 min")],
)  # fmt: skip
def test_a_time_is_told_as_its_file_has_it(time_s: str, text: str) -> None:
    assert written_exposure(Fraction(time_s)) == text


@given(st.integers(1, 100_000))
def test_a_part_of_a_second_is_never_told_as_another(part: int) -> None:
    assert written_exposure(Fraction(1, part)) == ("1 s" if part == 1 else f"1/{part} s")
