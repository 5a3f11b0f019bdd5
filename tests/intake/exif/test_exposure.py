"""Exposure time, aperture, bias and the coded tags."""

import math
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from piexif import ExifIFD

from logbook.domain.camera import ExposureMode, Metering
from logbook.intake.exif.exposure import exposure_from_apex, f_number_from_apex, read_exposure
from logbook.intake.exif.tags import Tags

TagsOf = Callable[..., Tags]


def test_an_exposure_time_is_kept_as_the_exact_rational(tags_of: TagsOf) -> None:
    exposure = read_exposure(tags_of({ExifIFD.ExposureTime: (10, 1250), ExifIFD.FNumber: (28, 10)}))
    assert exposure.exposure_s == Fraction(1, 125)
    assert exposure.f_number == 2.8
    assert exposure.notes == ()


@pytest.mark.parametrize("raw", [(0, 0), (0, 10), (1, 0), (86_401, 1), (1, 2_000_000), (0xFFFFFFFF, 1)])
def test_an_exposure_time_that_cannot_be_is_unknown_and_noted(tags_of: TagsOf, raw: tuple[int, int]) -> None:
    exposure = read_exposure(tags_of({ExifIFD.ExposureTime: raw}))
    assert exposure.exposure_s is None
    assert len(exposure.notes) == 1
    assert exposure.notes[0].startswith("shutter speed unknown: the file says ")


@pytest.mark.parametrize("raw", [(0, 0), (0, 1), (0, 10), (4, 10), (129, 1)])
def test_an_aperture_that_cannot_be_is_unknown_and_noted(tags_of: TagsOf, raw: tuple[int, int]) -> None:
    exposure = read_exposure(tags_of({ExifIFD.FNumber: raw, ExifIFD.ApertureValue: (0, 1)}))
    assert exposure.f_number is None
    assert len(exposure.notes) == 1


def test_the_logarithmic_values_stand_in_and_are_noted(tags_of: TagsOf) -> None:
    exposure = read_exposure(
        tags_of(
            {
                ExifIFD.ExposureTime: (0, 1),
                ExifIFD.ShutterSpeedValue: (5, 1),
                ExifIFD.FNumber: (0, 0),
                ExifIFD.ApertureValue: (95, 32),
            }
        )
    )
    assert exposure.exposure_s == Fraction(1, 30)  # 2^-5 = 1/32, marked 1/30
    assert exposure.f_number == 2.8  # 2^(95/64) = 2.798
    assert any("ShutterSpeedValue" in note for note in exposure.notes)
    assert any("ApertureValue" in note for note in exposure.notes)


@given(st.fractions(min_value=-9, max_value=17, max_denominator=1000))
def test_a_time_from_its_logarithm_is_within_a_tenth_of_a_stop(speed: Fraction) -> None:
    assert abs(math.log2(float(exposure_from_apex(speed))) + float(speed)) <= 0.101


@pytest.mark.slow
@given(st.fractions(min_value=0, max_value=13, max_denominator=1000))
def test_an_aperture_from_its_logarithm_is_within_a_tenth_of_a_stop(aperture: Fraction) -> None:
    assert abs(2 * math.log2(float(f_number_from_apex(aperture))) - float(aperture)) <= 0.101


@pytest.mark.parametrize(
    ("code", "mode"),
    [
        (0, None),
        (1, ExposureMode.MANUAL),
        (2, ExposureMode.PROGRAM),
        (3, ExposureMode.APERTURE_PRIORITY),
        (4, ExposureMode.SHUTTER_PRIORITY),
        (5, ExposureMode.CREATIVE),
        (6, ExposureMode.ACTION),
        (7, ExposureMode.PORTRAIT),
        (8, ExposureMode.LANDSCAPE),
        (200, None),
    ],
)  # CIPA DC-008, ExposureProgram
def test_each_exposure_program_has_its_word(tags_of: TagsOf, code: int, mode: ExposureMode | None) -> None:
    assert read_exposure(tags_of({ExifIFD.ExposureProgram: code})).exposure_mode is mode


@pytest.mark.parametrize(
    ("code", "metering"),
    [
        (0, None),
        (1, Metering.AVERAGE),
        (2, Metering.CENTRE_WEIGHTED),
        (3, Metering.SPOT),
        (4, Metering.MULTI_SPOT),
        (5, Metering.PATTERN),
        (6, Metering.PARTIAL),
        (255, Metering.OTHER),
    ],
)  # CIPA DC-008, MeteringMode
def test_each_metering_mode_has_its_word(tags_of: TagsOf, code: int, metering: Metering | None) -> None:
    assert read_exposure(tags_of({ExifIFD.MeteringMode: code})).metering is metering


@pytest.mark.parametrize(
    ("flags", "fired"),
    [
        (0x00, False),
        (0x01, True),
        (0x05, True),
        (0x07, True),
        (0x09, True),
        (0x10, False),
        (0x18, False),
        (0x19, True),
        (0x59, True),
    ],
)  # CIPA DC-008, Flash: bit 0
def test_the_lowest_flash_bit_says_whether_it_fired(tags_of: TagsOf, flags: int, fired: bool) -> None:
    assert read_exposure(tags_of({ExifIFD.Flash: flags})).flash_fired is fired


@pytest.mark.parametrize(("mode", "bracket"), [(None, None), (0, False), (1, False), (2, True)])
def test_exposure_mode_two_is_a_bracket(tags_of: TagsOf, mode: int | None, bracket: bool | None) -> None:
    exif = {} if mode is None else {ExifIFD.ExposureMode: mode}
    assert read_exposure(tags_of(exif)).auto_bracket is bracket


def test_bias_is_signed_and_bounded(tags_of: TagsOf) -> None:
    assert read_exposure(tags_of({ExifIFD.ExposureBiasValue: (-2, 3)})).bias_stops == pytest.approx(
        -2 / 3, abs=1e-12
    )
    assert read_exposure(tags_of({ExifIFD.ExposureBiasValue: (0, 10)})).bias_stops == 0
    assert read_exposure(tags_of({ExifIFD.ExposureBiasValue: (95, 10)})).bias_stops is None


def test_missing_tags_are_unknown_without_notes() -> None:
    exposure = read_exposure(Tags())
    assert (exposure.exposure_s, exposure.f_number, exposure.flash_fired, exposure.notes) == (
        None,
        None,
        None,
        (),
    )
