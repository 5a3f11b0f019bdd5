"""Colours of wider spaces against published samples and against matrices made of published primaries.

Samples: W3C web-platform-tests, css-color (display-p3-001, -003, a98-rgb-001, prophoto-rgb-001), colours that
are #008000 or #009900 of sRGB. Primaries: IEC 61966-2-1 (sRGB), SMPTE RP 431-2 with the white and curve of
sRGB (Display P3), Adobe RGB (1998) Color Image Encoding, ISO 22028-2 (ROMM RGB). Adaptation of white to D50:
linear Bradford (ICC.1, annex E). Tolerance: two of 255 levels, as each value is rounded once going in and
once coming out, and a profile's numbers have sixteen bits.
"""

from struct import pack

import numpy as np
import pytest
from PIL import Image

from logbook.intake.colours import WIDE_COLORANTS, in_srgb, matrix_profile, wide_profile

D65, D50 = (0.3127, 0.3290), (0.3457, 0.3585)
SRGB = (((0.64, 0.33), (0.30, 0.60), (0.15, 0.06)), D65)
P3 = (((0.680, 0.320), (0.265, 0.690), (0.150, 0.060)), D65)
WIDE = (((0.64, 0.33), (0.21, 0.71), (0.15, 0.06)), D65)
ROMM = (((0.7347, 0.2653), (0.1596, 0.8404), (0.0366, 0.0001)), D50)
BRADFORD = np.array(((0.8951, 0.2664, -0.1614), (-0.7502, 1.7135, 0.0367), (0.0389, -0.0685, 1.0296)))
LEVELS = 2

Space = tuple[tuple[tuple[float, float], ...], tuple[float, float]]


def xyz(x: float, y: float) -> np.ndarray:
    return np.array((x / y, 1.0, (1 - x - y) / y))


def to_xyz_at_d50(space: Space) -> np.ndarray:
    """The matrix from linear red, green and blue to XYZ at D50."""
    primaries, white = space
    columns = np.array([xyz(*one) for one in primaries]).T
    own = columns * np.linalg.solve(columns, xyz(*white))
    scale = np.diag((BRADFORD @ xyz(*D50)) / (BRADFORD @ xyz(*white)))
    return np.asarray(np.linalg.inv(BRADFORD) @ scale @ BRADFORD @ own)


def srgb_decoded(v: np.ndarray) -> np.ndarray:
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def srgb_encoded(v: np.ndarray) -> np.ndarray:
    return np.where(v <= 0.0031308, v * 12.92, 1.055 * np.clip(v, 0, None) ** (1 / 2.4) - 0.055)


CURVES = {
    "P3": (P3, srgb_decoded),
    "wide": (WIDE, lambda v: v ** (563 / 256)),
    "ROMM": (ROMM, lambda v: np.where(v < 16 / 512, v / 16, v**1.8)),
}


def profile(name: str) -> bytes:
    """A profile made of the primaries above, with its curve as a table."""
    if name == "wide":
        return wide_profile()
    space, decode = CURVES[name]
    levels = np.round(decode(np.linspace(0, 1, 4096)) * 65535).astype(int)
    curve = pack(f">4s4xI{len(levels)}H", b"curv", len(levels), *levels)
    return matrix_profile(to_xyz_at_d50(space).T.tolist(), curve)


def shown(name: str, colour: tuple[int, ...]) -> tuple[int, ...]:
    found = in_srgb(Image.new("RGB", (8, 8), colour), profile(name)).getpixel((4, 4))
    assert isinstance(found, tuple)
    return found


def wanted(name: str, colour: tuple[int, ...]) -> np.ndarray:
    space, decode = CURVES[name]
    linear = np.linalg.solve(to_xyz_at_d50(SRGB), to_xyz_at_d50(space) @ decode(np.array(colour) / 255))
    return np.asarray(255 * np.clip(srgb_encoded(linear), 0, 1))


@pytest.mark.parametrize(
    ("name", "sample", "green"),
    [
        ("P3", (0.21604, 0.49418, 0.13151), 0x80),
        ("P3", (0.26374, 0.59085, 0.16434), 0x99),
        ("wide", (0.281363, 0.498012, 0.116746), 0x80),
        ("ROMM", (0.230479, 0.395789, 0.129968), 0x80),
    ],
)
def test_the_samples_of_the_css_tests_become_the_green_that_they_name(
    name: str, sample: tuple[float, ...], green: int
) -> None:
    """Red and blue stand at the very edge of sRGB, where one level of the sample is several of sRGB."""
    red, is_green, blue = shown(name, tuple(round(255 * one) for one in sample))
    assert abs(is_green - green) <= LEVELS
    assert max(red, blue) <= 8


@pytest.mark.slow
@pytest.mark.parametrize("name", CURVES)
def test_colours_that_srgb_has_stay_what_they_are(name: str) -> None:
    tried = [
        (r, g, b)
        for r in range(70, 240, 24)
        for g in range(70, 240, 24)
        for b in range(70, 240, 24)
        if max(r, g, b) - min(r, g, b) <= 60
    ]
    within = [one for one in tried if wanted(name, one).min() > 3 and wanted(name, one).max() < 252]
    assert len(within) > 100
    for one in within:
        assert np.abs(wanted(name, one) - shown(name, one)).max() <= LEVELS, one


@pytest.mark.parametrize("channel", range(3))
@pytest.mark.parametrize("name", CURVES)
def test_the_purest_colours_are_cut_at_the_edge_of_srgb(name: str, channel: int) -> None:
    """The red of P3 becomes the red of sRGB, and so on: nothing turns another colour."""
    pure = tuple(255 * (one == channel) for one in range(3))
    assert np.abs(wanted(name, pure) - shown(name, pure)).max() <= LEVELS
    assert shown(name, pure)[channel] >= 250


@pytest.mark.parametrize("name", CURVES)
@pytest.mark.parametrize("grey", [0, 1, 20, 128, 254, 255])
def test_white_black_and_greys_stay_grey(name: str, grey: int) -> None:
    assert np.abs(wanted(name, (grey,) * 3) - shown(name, (grey,) * 3)).max() <= LEVELS


def test_the_wide_spaces_colorants_follow_from_its_primaries() -> None:
    """To the four places that two roundings of the white's coordinates leave."""
    assert np.abs(to_xyz_at_d50(WIDE).T - np.array(WIDE_COLORANTS)).max() < 5e-4
