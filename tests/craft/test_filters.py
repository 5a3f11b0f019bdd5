"""Filters as people write them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.errors import CraftValueError
from logbook.craft.filter_types import Filter, FilterKind
from logbook.craft.filters import parse_filter, parse_stack, stack_stops, stack_text, vignetting_warning

NAMES = ["nd8", "nd1000", "od0.9", "1.5 stops", "pol", "gnd8", "soft gnd0.9", "uv", "nd2-400", "fog", "nd"]


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ("nd8 + nd8", "nd8 + nd8"),
        ("nd16,nd16", "nd16 + nd16"),
        ("ND16; ND16", "nd16 + nd16"),
        ("2x nd16", "nd16 + nd16"),
        ("nd8 x2", "nd8 + nd8"),
        ("nd8 and polarizer", "nd8 + pol"),
        ("nd64 +", "nd64"),
        ("ND-8", "nd8"),
        ("3 stops", "nd8"),
        ("10-stop nd", "nd1024"),
        ("nd 3 stops", "nd8"),
        ("0,9 density", "od0.9"),
        ("ND 0.9", "od0.9"),
        ("0.9", "od0.9"),
        ("64", "nd64"),
        ("8", "8"),  # eight stops or a factor of eight: nobody knows
        ("1,5 stops", "1.5 stops"),
        ("od1,8", "od1.8"),
        ("nd0,9", "od0.9"),
        ("nd8,nd64", "nd8 + nd64"),
        ("nd4,2x nd8", "nd4 + nd8 + nd8"),
        ("CPL", "pol"),
        ("grad8", "gnd8"),
        ("graduated nd 3 stops", "gnd8"),
        ("soft grad 0.9", "soft gnd0.9"),
        ("nd2 to nd400", "nd2-400"),
        ("UV", "uv"),
        ("Home-made fog glass", "home-made fog glass"),
        ("none", "none"),
        ("No filters", "none"),
        ("unknown", "unknown"),
        ("", "unknown"),
        ("?", "unknown"),
        ("+", "unknown"),
    ],
)
def test_written_filters_get_their_canonical_names(text: str, canonical: str) -> None:
    stack = parse_stack(text)
    assert stack_text(stack) == canonical
    assert parse_stack(stack_text(stack)) == stack


def test_none_and_unknown_are_two_things() -> None:
    assert parse_stack("none") == ()
    assert parse_stack("unknown") is None
    assert stack_stops(()).typical_stops == 0
    assert stack_stops(None).typical_stops is None


@pytest.mark.parametrize(
    ("text", "kind", "stops"),
    [
        ("nd8", FilterKind.ND, 3.0),
        ("nd", FilterKind.ND, None),
        ("pol", FilterKind.POLARISER, 1.5),
        ("nd2-400", FilterKind.VARIABLE, None),
        ("gnd8", FilterKind.GRADUATED, 0.0),
        ("uv", FilterKind.CLEAR, 0.0),
        ("fog", FilterKind.OTHER, None),
        ("8", FilterKind.OTHER, None),
    ],
)
def test_a_filter_knows_its_kind_and_typical_stops(text: str, kind: FilterKind, stops: float | None) -> None:
    written = parse_filter(text)
    assert written.kind is kind
    assert written.typical_stops == stops


def test_a_graduated_filter_keeps_its_strength_but_takes_nothing_from_the_scene() -> None:
    grad = parse_filter("gnd8")
    assert grad.dark_stops == 3
    assert (grad.low_stops, grad.typical_stops, grad.high_stops) == (0, 0, 0)
    assert grad.working == "gnd8: 3 stops in its dark part, 0 for the whole scene"
    assert parse_filter("gnd").dark_stops is None


def test_a_factor_of_1000_and_ten_stops_are_sold_as_the_same() -> None:
    thousand, exact = parse_filter("nd1000").typical_stops, parse_filter("10 stops").typical_stops
    assert thousand is not None
    assert exact == 10
    assert thousand == pytest.approx(9.9658, abs=1e-4)


def test_one_unknown_filter_makes_the_stack_unknown() -> None:
    stops = stack_stops(parse_stack("nd8 + fog"))
    assert stops.typical_stops is None
    assert stops.transmission is None
    assert stops.working == "nd8 + fog: 3 + ? = unknown stops"


def test_a_variable_filter_leaves_a_range_without_a_typical_value() -> None:
    stops = stack_stops(parse_stack("nd8 + nd2-32"))
    assert (stops.low_stops, stops.typical_stops, stops.high_stops) == (4, None, 8)


@pytest.mark.parametrize(
    "text",
    [
        "nd0",
        "nd1",
        "nd8 + none",
        "nd99999999999",
        "40 stops",
        "0 stops",
        "od12",
        "nd8+" * 10,
        "x" * 500,
        "nd0-8",
    ],
)
def test_an_impossible_filter_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(CraftValueError) as refused:
        parse_stack(text)
    assert str(refused.value).endswith(".")
    assert len(str(refused.value)) < 200


@pytest.mark.slow
@given(st.text(max_size=130))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        stack = parse_stack(text)
    except CraftValueError:
        return
    assert isinstance(stack_stops(stack).working, str)


@given(st.lists(st.sampled_from(NAMES), min_size=1, max_size=4))
def test_a_written_stack_reads_back(names: list[str]) -> None:
    stack = parse_stack(" + ".join(names))
    assert stack == tuple(parse_filter(name) for name in names)
    assert parse_stack(stack_text(stack)) == stack


@given(st.lists(st.floats(min_value=0.1, max_value=10), max_size=4))
def test_the_light_that_passes_is_the_product(stops: list[float]) -> None:
    stack = tuple(Filter(f"f{i}", FilterKind.ND, s, s, s) for i, s in enumerate(stops))
    passed = stack_stops(stack).transmission
    assert passed == pytest.approx(math.prod(2**-s for s in stops), rel=1e-9)


def test_stacked_filters_warn_at_short_focal_lengths() -> None:
    """Common practice, no source."""
    stack = parse_stack("nd64 + nd8")
    warning = vignetting_warning(stack, 20)
    assert warning is not None
    assert "corners" in warning
    assert vignetting_warning(stack, 50) is None
    assert vignetting_warning(parse_stack("nd8"), 20) is None
    assert vignetting_warning(None, 20) is None


def test_stops_are_read_in_words() -> None:
    words = ("one", "two", "three", "four", "five", "six", "eight", "ten")
    read = [parse_filter(f"{word} stop").typical_stops for word in words]
    assert read == [1, 2, 3, 4, 5, 6, 8, 10]
