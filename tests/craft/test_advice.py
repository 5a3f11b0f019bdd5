"""What to change in too much light or too little, in the order a photographer would try it."""

from fractions import Fraction

import pytest

from logbook.craft.advice import brighten, darken, is_brief
from logbook.craft.exposure import Settings

STOP = Settings(4, Fraction(1, 500), 800)


@pytest.mark.parametrize(
    ("over", "says"),
    [
        (1, "ISO 400 would do"),
        (3, "ISO 100 would do"),
        (5, "ISO 100 and f/8 would do"),
        (7, "ISO 100 and f/16 would do"),
        (9.5, "ISO 100, f/16 and a filter of 2.5 stops would do"),
    ],
)
def test_a_brief_time_in_too_much_light_asks_for_a_filter_last(over: float, says: str) -> None:
    """Doubling and halving in whole stops (ISO 12232, ISO 517 marks)."""
    assert darken(STOP, over) == says


def test_what_is_stopped_down_already_asks_for_a_filter_at_once() -> None:
    assert darken(Settings(22, Fraction(1, 60), 100), 2) == "a filter of 2 stops would do"


def test_too_little_light_asks_for_support_first_and_then_for_iso() -> None:
    wish = Settings(8, Fraction(1, 125), 200)
    assert brighten(wish, 3, Fraction(1, 15), "handheld") == "it takes 1/15 s on a tripod, or ISO 1600"
    assert brighten(wish, 3, Fraction(1, 15), "tripod") == "it takes 1/15 s, or ISO 1600"


def test_no_iso_that_only_grain_would_come_of_is_advised() -> None:
    assert brighten(Settings(8, Fraction(1, 125), 200), 8, Fraction(2), None) == "it takes 2 s on a tripod"


def test_brief_is_what_stops_movement() -> None:
    assert is_brief(STOP)
    assert not is_brief(Settings(8, Fraction(1, 8)))
