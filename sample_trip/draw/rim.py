"""The whole arch from the north rim: the gorge from above, early in the afternoon.

One surprising decision: this scene is projected, not composed. Looking down, a line of sight meets the high
ground, a wall or the water; which of them, and how far away, is reckoned in metres for each point.
"""

from dataclasses import dataclass

import numpy as np

from sample_trip.draw.canvas import Field, Sheet, mix, ramp, rise, sample
from sample_trip.draw.gorge import NOON, bridge
from sample_trip.draw.land import blocks, boulder, crest, range_of_hills, rough_water, streaks

_HORIZON = 0.20  # sheet heights
_FOCAL = 32 / 24  # focal length / height of the sensor
_GROUND_M, _RIVER_M = 30.0, 92.0  # how far below the camera the high ground and the water lie
_BRIDGE_M = 256.0  # how far away the bridge stands
_RIM_HALF_M, _RIVER_HALF_M = 62.0, 19.0  # half the width of the gorge at its rim and of the river
_LAYERS = 110  # between rim and water, in which the walls are sought
_HAZE = "#dcdfd2"


@dataclass(frozen=True)
class _Seen:
    """What each point of the sheet shows: masks 0 or 1, distances in metres."""

    ground: Field
    wall: Field
    water: Field
    far_m: Field
    aside_m: Field  # from the middle of the gorge, left is negative
    down: Field  # 0 at the rim, 1 at the water


def arch_from_rim(seed: int) -> Sheet:
    """Return the arch from above, in hard light from the right: the left wall lit, the right one dark."""
    sheet = Sheet(seed)
    sheet.wash([(0, "#6f9fb6"), (0.14, "#b9d2d4"), (_HORIZON, "#e9e4d2")])
    streaks(sheet, 0.0, 0.15, "#fbf6e8", 0.5)
    for base, tall, cells, haze in ((0.18, 0.12, 4, 0.5), (0.21, 0.07, 7, 0.3)):
        lit, shade = (mix(code, _HAZE, haze) for code in ("#d2bd98", "#7d8fa0"))
        range_of_hills(sheet, crest(sheet, base, tall, cells), lit, shade, _HAZE, base + 0.05)
    seen = _look(sheet)
    _ground(sheet, seen)
    _walls(sheet, seen)
    _water(sheet, seen)
    _arch(sheet, seen)
    _stones(sheet)
    return sheet


def _middle_m(far_m: Field | float) -> Field:
    """Return how far to the right the middle of the gorge lies at a distance."""
    away = np.asarray(far_m, dtype=np.float32) - _BRIDGE_M
    return np.asarray(6.0 - 0.20 * away + 12 * np.sin(away / 75), dtype=np.float32)


def _look(sheet: Sheet) -> _Seen:
    """Follow every line of sight down through the gorge."""
    fall = np.clip((sheet.y - _HORIZON) / _FOCAL, 1e-4, None)
    across = (sheet.x - sheet.aspect / 2) / _FOCAL
    uneven = sheet.noise(9, 9, 4) * 4.0
    far, aside = np.zeros_like(sheet.y), np.zeros_like(sheet.y)
    down, met = np.zeros_like(sheet.y), np.zeros_like(sheet.y)
    for layer in range(_LAYERS + 1):
        share = layer / _LAYERS
        reach = np.minimum((_GROUND_M + (_RIVER_M - _GROUND_M) * share) / fall, 6000)
        off = across * reach - _middle_m(reach)
        bench = (np.floor(share * 7) + (share * 7 % 1) ** 3) / 7  # steep faces between quarried benches
        half = _RIM_HALF_M + (_RIVER_HALF_M - _RIM_HALF_M) * bench + uneven
        new = (met == 0) & ((np.abs(off) > half) | (layer == _LAYERS))
        far, aside = np.where(new, reach, far), np.where(new, off, aside)
        down = np.where(new, share, down)
        met = np.where(new, 1, met)
    below = sheet.y > _HORIZON + 0.012
    return _Seen(
        *(
            np.asarray(part, dtype=np.float32)
            for part in (
                below & (down == 0),
                below & (down > 0) & (down < 1),
                below & (down == 1),
                far,
                aside,
                down,
            )
        )
    )


def _hazy(sheet: Sheet, mask: Field, far_m: Field) -> None:
    """Print the air between."""
    sheet.lay(mask * rise(far_m, 200, 2600) ** 0.6, _HAZE, 0.82)


def _ground(sheet: Sheet, seen: _Seen) -> None:
    """Print the high ground on both sides."""
    texture = sheet.noise(60, 60, 5, 0.62)
    tone = 0.60 + 0.42 * sample(texture, seen.aside_m / 420, seen.far_m / 420)
    tone = tone + 0.12 * sheet.noise(50, 40, 3, 0.6)
    sheet.lay(seen.ground, ramp(tone.astype(np.float32), [(0, "#8a7452"), (0.5, "#c2a878"), (1, "#e6d3a6")]))
    grit = sheet.noise(420, 300, 2, 0.7)
    sheet.shadow(seen.ground * rise(grit, 0.35, 0.7) * (1 - rise(seen.far_m, 120, 420)), "#6f5c40", 0.55)
    path = seen.aside_m + _RIM_HALF_M + 14 + 0.10 * (_BRIDGE_M - seen.far_m) + 5 * np.sin(seen.far_m / 40)
    worn = np.exp(-((path / 1.9) ** 2)) * (seen.far_m < _BRIDGE_M + 4)
    sheet.lay((seen.ground * worn).astype(np.float32), "#f1e4c2", 0.85)
    for far in np.sort(sheet.rng.uniform(60, 900, 260))[::-1]:
        side = float(sheet.rng.choice([-1, 1])) * (_RIM_HALF_M + 10 + float(sheet.rng.uniform(4, 420)))
        x = sheet.aspect / 2 + (float(_middle_m(float(far))) + side) / far * _FOCAL
        size = float(sheet.rng.uniform(0.5, 2.2)) / float(far)
        pale = float(rise(np.array([far], dtype=np.float32), 150, 1500)[0])
        boulder(
            sheet,
            x,
            _HORIZON + _GROUND_M / far * _FOCAL,
            size,
            mix("#6d5a42", _HAZE, pale),
            mix("#ecd9ae", _HAZE, pale),
            1.5,
        )
    _hazy(sheet, seen.ground, seen.far_m)


def _walls(sheet: Sheet, seen: _Seen) -> None:
    """Print the quarried walls: courses of blocks, the left side in the sun."""
    tone, joint = blocks(sheet, (seen.far_m / 330 % 1).astype(np.float32), seen.down, 15, 16)
    bench = seen.down * 7 % 1
    for side, level in ((-1, 0.72), (1, 0.20)):
        wall = seen.wall * (seen.aside_m * side > 0)
        lit = level + 0.18 * tone + 0.14 * sheet.noise(10, 12, 4) + 0.20 * (bench > 0.86) - 0.16 * seen.down
        sheet.lay(wall, ramp(lit.astype(np.float32), [(0, "#3d3840"), (0.35, "#6a5a50"), (1, "#e2c391")]))
        sheet.shadow(wall * joint, "#3d3840", 0.30)
    _hazy(sheet, seen.wall, seen.far_m)


def _water(sheet: Sheet, seen: _Seen) -> None:
    """Print the river, dull under a high sun, the foot of the right wall's shadow on it."""
    u = (seen.aside_m / _RIVER_HALF_M * 0.5 + 0.5).astype(np.float32)
    rough_water(sheet, seen.water, u * 0.5, (seen.far_m / 520).astype(np.float32), NOON.water, NOON.foam, 0.6)
    sheet.shadow(seen.water * rise(seen.aside_m, -2, 9), "#16343c", 0.55)
    behind = rise(seen.far_m, _BRIDGE_M, _BRIDGE_M + 6) * (
        1 - rise(seen.far_m, _BRIDGE_M + 26, _BRIDGE_M + 34)
    )
    sheet.shadow(seen.water * behind, "#16343c", 0.6)
    sheet.lay(seen.water * rise(np.abs(seen.aside_m), 14.5, 17.5), NOON.foam, 0.3)
    _hazy(sheet, seen.water, seen.far_m)
    for far in np.sort(sheet.rng.uniform(130, 250, 24))[::-1]:
        off = float(sheet.rng.uniform(-14, 14))
        x = sheet.aspect / 2 + (float(_middle_m(float(far))) + off) / far * _FOCAL
        size = float(sheet.rng.uniform(1.0, 2.6)) / float(far) * _FOCAL
        boulder(sheet, x, _HORIZON + _RIVER_M / far * _FOCAL, size, "#5f5148", "#dcc096", 1.4)


def _arch(sheet: Sheet, seen: _Seen) -> None:
    """Print the bridge where it stands: its near face between the walls, and from above its deck."""
    scale = _FOCAL / _BRIDGE_M  # sheet heights to the metre
    cx = sheet.aspect / 2 + float(_middle_m(_BRIDGE_M)) * scale
    level, spring = _HORIZON + _GROUND_M * scale, _HORIZON + _RIVER_M * scale - 0.012
    deck, rx = 0.036, 31 * scale
    ry = spring - level - deck - 0.020
    before = sheet.rgb.copy()
    mask = bridge(sheet, NOON, cx, spring, rx, ry, deck)
    dx, deep = sheet.x - cx, np.clip((sheet.y - level) / (spring - level), 0, 1)
    half = (_RIM_HALF_M + (_RIVER_HALF_M - _RIM_HALF_M) * deep**1.15 + 3) * scale
    clip = sheet.edge((np.maximum(half, rx * 1.17 * (deep > 0.25)) - np.abs(dx)).astype(np.float32), 2) * mask
    clip = (
        clip * (sheet.y < spring + 0.008) * ((seen.far_m > 0.80 * _BRIDGE_M) | (deep < 0.02))
    )  # else a wall hides it
    sheet.rgb = np.asarray(before * (1 - clip[..., None]) + sheet.rgb * clip[..., None], dtype=np.float32)
    top = spring - ry - deck - 0.045 * np.cos(np.clip(dx / (rx * 2.4), -1.5, 1.5)) + 0.02
    long = sheet.edge(((_RIM_HALF_M + 9) * scale - np.abs(dx)).astype(np.float32), 3)
    path = sheet.edge((0.011 - np.abs(sheet.y - top + 0.011)).astype(np.float32)) * long
    paving = 0.62 + 0.30 * sheet.noise(60, 80, 3)
    sheet.lay(path, ramp(paving.astype(np.float32), [(0, "#c4ab80"), (1, "#f2e1ba")]))
    sheet.lay(sheet.edge((0.0035 - np.abs(sheet.y - top + 0.0235)).astype(np.float32)) * long, "#8a7257", 0.9)
    sheet.lay(sheet.edge((0.0030 - np.abs(sheet.y - top + 0.001)).astype(np.float32)) * long, "#f7e9c8", 0.8)


def _stones(sheet: Sheet) -> None:
    """Print the row of stones that nobody may pass, along the rim at one's feet."""
    for far in np.linspace(150, 52, 17):
        off = float(_middle_m(float(far))) - _RIM_HALF_M - 7
        x, y = sheet.aspect / 2 + off / far * _FOCAL, _HORIZON + _GROUND_M / far * _FOCAL
        dark = np.exp(
            -(((sheet.x - x + 1.2 / far) * far / 2.4) ** 2) - ((sheet.y - y - 0.3 / far) * far / 0.9) ** 2
        )
        sheet.shadow(dark.astype(np.float32), "#5c4f4a", 0.5)
        boulder(sheet, x, y, float(sheet.rng.uniform(1.2, 1.8)) / far, "#7a6854", "#f3e6c8", 1.3)
