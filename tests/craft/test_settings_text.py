"""Settings are written by one writer, in the order that is asked for."""

from dataclasses import dataclass
from fractions import Fraction

import pytest

from logbook.craft.settings_text import (
    APERTURE_FIRST,
    LENS_FIRST,
    TIME_FIRST,
    exposed_text,
    setting_text,
    settings_told,
)


@dataclass(frozen=True, slots=True)
class Made:
    """What is known of one picture."""

    exposure_s: Fraction | None = Fraction(1, 120)
    f_number: float | None = 3.6
    iso: int | None = 200
    focal_mm: float | None = 24.5


def test_the_order_is_asked_for_and_values_stand_as_they_were_written() -> None:
    assert settings_told(Made(), TIME_FIRST) == ["1/120 s", "f/3.6", "ISO 200", "24.5 mm"]
    assert settings_told(Made(), APERTURE_FIRST) == ["f/3.6", "1/120 s", "ISO 200"]
    assert settings_told(Made(), LENS_FIRST) == ["24.5 mm", "f/3.6", "1/120 s", "ISO 200"]


def test_a_dial_has_marks() -> None:
    assert settings_told(Made(), APERTURE_FIRST, dialled=True) == ["f/3.5", "1/125 s", "ISO 200"]
    assert exposed_text(Made()) == "1/125 s at f/3.5, ISO 200"


def test_what_is_unknown_is_left_out() -> None:
    assert settings_told(Made(f_number=None, iso=None)) == ["1/120 s", "24.5 mm"]


@pytest.mark.parametrize(
    ("name", "value", "text"),
    [("f_number", 0.0, "f/0"), ("exposure_s", Fraction(1, 3_000_000), "1/3000000 s"), ("iso", 0, "ISO 0")],
)
def test_what_no_camera_has_is_written_as_it_stands(name: str, value: object, text: str) -> None:
    assert setting_text(name, value) == setting_text(name, value, dialled=True) == text
