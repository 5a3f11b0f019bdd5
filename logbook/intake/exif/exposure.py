"""How the picture was exposed: time, aperture, bias, mode, metering, flash.

One surprising decision: where only the logarithmic (APEX) value was written, it is brought back to the marked
number that a camera shows when it lies within a tenth of a stop, and a note says so. Source: CIPA DC-008
(Exif 2.32), tag tables and the annex on APEX units.
"""

from dataclasses import dataclass, field
from fractions import Fraction
from math import log2

from logbook.domain.camera import ExposureMode, Metering
from logbook.intake.exif.tags import ExifRational, Tags, believed

_LEAST_EXPOSURE_S = Fraction(1, 1_000_000)  # shorter than any camera's shutter
_MOST_EXPOSURE_S = 86_400  # one day
_LEAST_F_NUMBER, _MOST_F_NUMBER = (
    Fraction(1, 2),
    128,
)  # f/0.5 is the limit in air; f/128 the end of view-camera scales
_MOST_BIAS_STOPS = 6  # dials end at 5; common practice, no source
_SNAP_STOPS = 0.1  # a marked number lies at most this far from its power of two (1/30 against 1/32)
# Marked numbers in thirds and halves of a stop; common practice, no source.
_MARKED_PARTS = (
    4,
    5,
    6,
    8,
    10,
    13,
    15,
    20,
    25,
    30,
    40,
    45,
    50,
    60,
    80,
    90,
    100,
    125,
    160,
    180,
    200,
    250,
    320,
    350,
    400,
)
_MARKED_PARTS_FAST = (
    500,
    640,
    750,
    800,
    1000,
    1250,
    1500,
    1600,
    2000,
    2500,
    3000,
    3200,
    4000,
    5000,
    6000,
    6400,
    8000,
)
_MARKED_TENTHS_S = (
    3,
    4,
    5,
    6,
    7,
    8,
    10,
    13,
    15,
    16,
    20,
    25,
    30,
    32,
    40,
    50,
    60,
    80,
    100,
    130,
    150,
    200,
    250,
    300,
)
_MARKED_S = [Fraction(1, n) for n in _MARKED_PARTS + _MARKED_PARTS_FAST] + [
    Fraction(n, 10) for n in _MARKED_TENTHS_S
]
_MARKED_F = [
    Fraction(tenths, 10)
    for tenths in (
        10,
        11,
        12,
        14,
        16,
        17,
        18,
        20,
        22,
        24,
        25,
        28,
        32,
        33,
        35,
        40,
        45,
        48,
        50,
        56,
        63,
        67,
        71,
        80,
        90,
        95,
    )
] + [
    Fraction(n) for n in (10, 11, 13, 14, 16, 18, 19, 20, 22, 25, 27, 29, 32, 36, 38, 40, 45, 51, 54, 57, 64)
]

_PROGRAMS = {
    1: ExposureMode.MANUAL,
    2: ExposureMode.PROGRAM,
    3: ExposureMode.APERTURE_PRIORITY,
    4: ExposureMode.SHUTTER_PRIORITY,
    5: ExposureMode.CREATIVE,
    6: ExposureMode.ACTION,
    7: ExposureMode.PORTRAIT,
    8: ExposureMode.LANDSCAPE,
    9: ExposureMode.BULB,  # not in the standard, but written
}
_MODES = {0: ExposureMode.AUTO, 1: ExposureMode.MANUAL}  # only when the program is not defined
_METERING = {
    1: Metering.AVERAGE,
    2: Metering.CENTRE_WEIGHTED,
    3: Metering.SPOT,
    4: Metering.MULTI_SPOT,
    5: Metering.PATTERN,
    6: Metering.PARTIAL,
    255: Metering.OTHER,
}


@dataclass(frozen=True, slots=True)
class Exposure:
    """Exposure of one picture; seconds are exact, apertures are f-numbers, bias is in stops."""

    exposure_s: Fraction | None = None
    f_number: float | None = None
    bias_stops: float | None = None
    exposure_mode: ExposureMode | None = None
    auto_bracket: bool | None = None
    metering: Metering | None = None
    flash_fired: bool | None = None
    notes: tuple[str, ...] = field(default=())


def read_exposure(tags: Tags) -> Exposure:
    """The exposure the tags give; what cannot be is None and noted."""
    notes: list[str] = []
    f_number = _f_number(tags, notes)
    bias = believed(
        tags.rational("ExposureBiasValue"),
        "exposure bias",
        notes,
        least=-_MOST_BIAS_STOPS,
        most=_MOST_BIAS_STOPS,
        unit=" stops",
    )
    mode = tags.integer("ExposureMode")
    flash = tags.integer("Flash")
    return Exposure(
        exposure_s=_exposure_s(tags, notes),
        f_number=None if f_number is None else float(f_number),
        bias_stops=None if bias is None else float(bias),
        exposure_mode=_PROGRAMS.get(tags.integer("ExposureProgram") or 0)
        or _MODES.get(-1 if mode is None else mode),
        auto_bracket=mode == 2 if mode in (0, 1, 2) else None,
        metering=_METERING.get(tags.integer("MeteringMode") or 0),
        flash_fired=None if flash is None else bool(flash & 1),
        notes=tuple(notes),
    )


def _exposure_s(tags: Tags, notes: list[str]) -> Fraction | None:
    raw = tags.rational("ExposureTime")
    value = believed(raw, "shutter speed", notes, least=_LEAST_EXPOSURE_S, most=_MOST_EXPOSURE_S, unit=" s")
    if value is not None:
        return value
    apex = _apex(tags.rational("ShutterSpeedValue"), least=-16, most=19)  # 18 hours to 2 microseconds
    if apex is None:
        return None
    seconds = exposure_from_apex(apex)
    notes.append(f"shutter speed {seconds} s worked out from ShutterSpeedValue")
    return seconds


def _f_number(tags: Tags, notes: list[str]) -> Fraction | None:
    raw = tags.rational("FNumber")
    value = believed(raw, "aperture", notes, least=_LEAST_F_NUMBER, most=_MOST_F_NUMBER)
    if value is not None:
        return value
    # 0 would be f/1, and is what cameras write beside an unknown aperture; 14 is f/128.
    apex = _apex(tags.rational("ApertureValue"), least=-2, most=14)
    if not apex:
        return None
    f_number = f_number_from_apex(apex)
    notes.append(f"aperture f/{float(f_number):g} worked out from ApertureValue")
    return f_number


def _apex(raw: ExifRational | None, *, least: int, most: int) -> Fraction | None:
    value = None if raw is None else raw.value
    return value if value is not None and least <= value <= most else None


def exposure_from_apex(speed: Fraction) -> Fraction:
    """Seconds = 2^-Tv: the marked number within a tenth of a stop, else 1/n s or hundredths of a second."""
    marked = min(_MARKED_S, key=lambda mark: abs(log2(mark) + speed))
    if abs(log2(marked) + speed) <= _SNAP_STOPS:
        return marked
    seconds = 2.0 ** -float(speed)
    return Fraction(1, round(1 / seconds)) if seconds < 0.1 else Fraction(round(seconds * 100), 100)


def f_number_from_apex(aperture: Fraction) -> Fraction:
    """N = 2^(Av/2): the marked number within a tenth of a stop, else to a hundredth."""
    marked = min(_MARKED_F, key=lambda mark: abs(2 * log2(mark) - aperture))
    if abs(2 * log2(marked) - aperture) <= _SNAP_STOPS:
        return marked
    return Fraction(round(2.0 ** (float(aperture) / 2) * 100), 100)
