"""Exposure arithmetic against APEX, Exif, the ISO marking series and the published light levels.

Facts and their sources are in exposure.json; tolerances are the entries' own unless a test states another.
"""

import json
import math
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from logbook.craft.exposure import (
    SCENES,
    Settings,
    aperture_value,
    equivalent,
    ev100,
    exif_speed_value,
    illuminance_lx,
    time_value,
)
from logbook.craft.marks import (
    exact_aperture,
    exact_exposure_s,
    exact_iso,
    marked_aperture,
    marked_exposure,
    parse_exposure,
)
from logbook.craft.series import APERTURES, APERTURES_HALF, EXPOSURES, ISOS

FACTS: dict[str, Any] = json.loads(Path(__file__).with_name("exposure.json").read_text(encoding="utf-8"))[
    "entries"
]


def test_full_stop_apertures_have_integer_aperture_values() -> None:
    """APEX and Exif Annex C, aperture table; exact Av within 1e-9, the mark's own within 0.001."""
    fact = FACTS["apex-av-table"]
    for n, av, exact, own in zip(fact["inputs"]["N_marked"], *fact["expected"].values(), strict=True):
        assert aperture_value(n) == pytest.approx(av, abs=1e-9)
        assert exact_aperture(n) == pytest.approx(exact, abs=fact["tolerance"]["N_exact"])
        assert aperture_value(n, snap=False) == pytest.approx(
            own, abs=fact["tolerance"]["Av_of_marked_number"]
        )


def test_full_stop_times_have_integer_time_values() -> None:
    """APEX and Exif Annex C, shutter-speed table; exact Tv within 1e-9, the mark's own within 0.001."""
    fact = FACTS["apex-tv-table"]
    for text, tv, exact_s, own in zip(fact["inputs"]["t_marked_s"], *fact["expected"].values(), strict=True):
        time_s = Fraction(text)
        assert time_value(time_s) == pytest.approx(tv, abs=1e-9)
        assert exact_exposure_s(time_s) == pytest.approx(exact_s, abs=fact["tolerance"]["t_exact_s"])
        assert time_value(time_s, snap=False) == pytest.approx(
            own, abs=fact["tolerance"]["Tv_of_marked_time"]
        )


def test_exif_speed_values_follow_annex_c() -> None:
    """Exif Annex C, 0.0005; and the original APEX constant 0.30, 0.001."""
    fact = FACTS["apex-sv-exif"]
    for iso, sv in zip(fact["inputs"]["iso"], fact["expected"]["Sv"], strict=True):
        assert exif_speed_value(iso) == pytest.approx(sv, abs=fact["tolerance"])
    strict = FACTS["apex-sv-strict"]
    got = exif_speed_value(strict["inputs"]["iso"], strict["inputs"]["speed_constant"])
    assert got == pytest.approx(strict["expected"]["Sv"], abs=strict["tolerance"])


def test_apex_adds_up() -> None:
    """APEX: Ev = Av + Tv, and EV100 = log2(N²/t) − log2(ISO/100), within rounding."""
    for n, time_s, iso in (
        (2.8, Fraction(1, 60), 800),
        (11.0, Fraction(1, 30), 50),
        (32.0, Fraction(4), 100),
    ):
        av, tv = aperture_value(n, snap=False), time_value(time_s, snap=False)
        assert ev100(n, time_s, snap=False) == pytest.approx(av + tv, abs=1e-12)
        formula = math.log2(n**2 / float(time_s)) - math.log2(iso / 100)
        assert ev100(n, time_s, iso, snap=False) == pytest.approx(formula, abs=1e-12)


def test_ev_zero_is_f1_at_one_second() -> None:
    """Ray, definition of EV; 1e-9."""
    fact = FACTS["ev-zero"]
    assert ev100(1, Fraction(1), 100) == pytest.approx(fact["expected"]["EV100"], abs=fact["tolerance"])


def test_f16_at_1_125_is_ev_15() -> None:
    """Ray, EV example: 15 by marks (1e-9), 14.9658 by the numbers as they stand (0.001)."""
    fact = FACTS["ev-f16-125"]["expected"]
    assert ev100(16, Fraction(1, 125)) == pytest.approx(fact["EV_marked"], abs=1e-9)
    assert ev100(16, Fraction(1, 125), snap=False) == pytest.approx(fact["EV_of_marked_numbers"], abs=0.001)


def test_the_exposure_value_table_is_reproduced() -> None:
    """Ray, exposure value table; EV within 1e-9 of the row, exact time within 1e-6 s."""
    fact = FACTS["ev-table-rows"]
    rows = zip(*fact["inputs"].values(), *fact["expected"].values(), strict=True)
    for ev, n, marked, exact_s in rows:
        time_s = Fraction(marked) if "min" not in marked else parse_exposure(marked)
        assert ev100(n, time_s) == pytest.approx(ev, abs=1e-9), (ev, n, marked)
        assert exact_exposure_s(time_s) == pytest.approx(exact_s, abs=1e-6)
        solved = equivalent(Settings(1.0, Fraction(1)), f_number=n)  # EV 0 at this aperture
        assert exact_exposure_s(solved.exposure_s) == pytest.approx(exact_s * 2**ev, rel=1e-5)


def test_ev_shifts_with_iso() -> None:
    """APEX and Ray, speed adjustment: EV = EV100 + log2(ISO/100), 1e-6."""
    fact = FACTS["ev-iso-shift"]
    for iso, ev in zip(fact["inputs"]["iso"], fact["expected"]["EV"], strict=True):
        time_s = Fraction(2) ** -round(ev)
        assert ev100(1.0, time_s, iso) == pytest.approx(fact["inputs"]["EV100"], abs=fact["tolerance"])


def test_ev100_of_numbers_as_they_stand() -> None:
    """APEX and ISO 2720, exposure equation; 0.001."""
    fact = FACTS["ev100-from-settings"]
    for n, time_s, iso, ev in zip(*fact["inputs"].values(), fact["expected"]["EV100"], strict=True):
        assert ev100(n, time_s, iso, snap=False) == pytest.approx(ev, abs=fact["tolerance"])


def test_ev_is_an_illuminance() -> None:
    """ISO 2720, meter equation with C = 250; 1e-6."""
    fact = FACTS["ev-luminance"]
    for ev, _, lx in zip(fact["inputs"]["EV100"], *fact["expected"].values(), strict=True):
        assert illuminance_lx(ev) == pytest.approx(lx, abs=fact["tolerance"])


def test_third_stop_apertures_are_the_marked_series() -> None:
    """ISO 517 markings; exact 1e-4, deviation of the marking 0.001 stop."""
    fact = FACTS["series-aperture-third"]
    allowed = fact["tolerance"]
    rows = zip(fact["inputs"]["N_marked"], *fact["expected"].values(), strict=True)
    for (mark, exact), (n, wanted, off_stops) in zip(APERTURES.items(), rows, strict=False):
        assert mark == n
        assert exact == exact_aperture(n) == pytest.approx(wanted, abs=allowed["N_exact"])
        off = aperture_value(n, snap=False) - aperture_value(n)
        assert off == pytest.approx(off_stops, abs=allowed["marked_minus_exact_stop"])
        assert marked_aperture(exact) == n
    assert len(APERTURES) >= len(fact["inputs"]["N_marked"])


def test_half_stop_apertures_are_the_marked_series() -> None:
    """ISO 517 markings; exact 1e-4."""
    fact = FACTS["series-aperture-half"]
    assert list(APERTURES_HALF) == fact["inputs"]["N_marked"]
    assert list(APERTURES_HALF.values()) == pytest.approx(fact["expected"]["N_exact"], abs=fact["tolerance"])


def test_third_stop_times_are_the_marked_series() -> None:
    """ISO 516 markings; exact 1e-5 relative, deviation of the marking 0.001 stop."""
    fact = FACTS["series-shutter-third"]
    marks = [Fraction(text) for text in fact["inputs"]["t_marked_s"]]
    dial = [mark for mark in EXPOSURES if Fraction(1, 8000) <= mark <= 30]
    assert dial == sorted(marks)
    for mark, exact_s, off_stops in zip(marks, *fact["expected"].values(), strict=True):
        assert exact_exposure_s(mark) == pytest.approx(exact_s, rel=1e-5)
        off = time_value(mark) - time_value(mark, snap=False)
        assert off == pytest.approx(off_stops, abs=fact["tolerance"]["marked_minus_exact_stop"])


def test_third_stop_speeds_are_the_marked_series() -> None:
    """ISO 12232 markings; 0.01."""
    fact = FACTS["series-iso-third"]
    marks = [mark for mark in ISOS if 100 <= mark <= 25600]
    assert marks == fact["inputs"]["iso_marked"]
    assert [exact_iso(m) for m in marks] == pytest.approx(
        fact["expected"]["iso_exact"], abs=fact["tolerance"]
    )


def test_exif_values_of_ordinary_settings() -> None:
    """Exif tags 0x9201 and 0x9202; 0.001, and a file's rounded value (0.05 stop) still reads as the mark."""
    fact = FACTS["exif-shutterspeedvalue"]
    times, apertures = fact["inputs"].values()
    for text, n, tv, av in zip(times, apertures, *fact["expected"].values(), strict=True):
        assert time_value(Fraction(text), snap=False) == pytest.approx(tv, abs=fact["tolerance"])
        assert aperture_value(n, snap=False) == pytest.approx(av, abs=fact["tolerance"])
        assert marked_exposure(Fraction(2 ** -round(tv, 1))) == Fraction(text)
        assert marked_aperture(2 ** (round(av, 1) / 2)) == n


def test_sunny_sixteen_is_ev_15_within_half_a_stop() -> None:
    """ANSI PH2.7; the formula value 14.6439 within 0.001, the table's 15 within 0.5."""
    fact = FACTS["sunny16"]
    for iso, time_s, ev in zip(fact["inputs"]["iso"], *list(fact["expected"].values())[:2], strict=True):
        assert Fraction(1, iso) == Fraction(time_s).limit_denominator(1000)
        computed = ev100(16, Fraction(1, iso), iso, snap=False)
        assert computed == pytest.approx(ev, abs=fact["tolerance"]["EV100"])
        assert computed == pytest.approx(fact["expected"]["EV100_marked"], abs=0.5)


def test_daylight_apertures_at_one_over_iso() -> None:
    """ANSI PH2.7, table of daylight conditions; 0.5 stop."""
    fact = FACTS["scene-daylight"]
    for ev, n in zip(fact["expected"]["EV100"], fact["expected"]["f_number_at_t_1_over_iso"], strict=True):
        for iso in (100, 400):
            assert ev100(float(n), Fraction(1, iso), iso) == pytest.approx(ev, abs=fact["tolerance"])


PUBLISHED_ROWS = {  # our words for the published rows; the rows not named here are not used
    "light sand or snow in full or slightly hazy sun": "light sand or snow, full or slightly hazy sun",
    "a typical scene in full or slightly hazy sun": (
        "typical scene, full or slightly hazy sun, distinct shadows"
    ),
    "a typical scene in hazy sun with soft shadows": "typical scene, hazy sun, soft shadows",
    "a typical scene, cloudy bright, no shadows": "typical scene, cloudy bright, no shadows",
    "a typical scene under heavy overcast": "typical scene, heavy overcast",
    "open shade in clear sunlight": "open shade, clear sunlight",
    "a skyline just before sunset": "skyline just before sunset",
    "a skyline at sunset": "skyline at sunset",
    "a skyline just after sunset": "skyline just after sunset",
    "a rainbow against a clear sky": "rainbow, clear sky behind",
    "a rainbow against a cloudy sky": "rainbow, cloudy sky behind",
    "a bright street at night": "bright street scene",
    "a street with window displays at night": "night street scene, window display",
    "floodlit buildings, monuments and fountains": "floodlit buildings, monuments, fountains",
    "distant lit buildings": "distant lit buildings",
    "a landscape under a full moon above 40°": "moonlit landscape, full moon, altitude > 40 deg",
    "a landscape under a gibbous moon": "moonlit landscape, gibbous moon",
    "a landscape under a quarter moon": "moonlit landscape, quarter moon",
    "a bright aurora": "aurora, bright",
    "a medium aurora": "aurora, medium",
}


def test_the_light_levels_we_name_are_the_published_ones() -> None:
    """ANSI PH2.7, daylight, natural and artificial light rows; exact."""
    published: dict[str, list[int]] = {}
    for entry in ("scene-daylight", "scene-natural", "scene-artificial"):
        expected = FACTS[entry]["expected"]
        ranges = expected.get("EV100_range") or [[ev, ev] for ev in expected["EV100"]]
        published |= dict(zip(FACTS[entry]["inputs"]["scene"], ranges, strict=True))
    for scene in SCENES:
        assert [scene.low_ev100, scene.high_ev100] == published[PUBLISHED_ROWS[scene.words]], scene.words
