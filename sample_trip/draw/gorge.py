"""The quarry gorge: an old stone bridge between quarried walls, in several lights and waters."""

from dataclasses import dataclass

import numpy as np

from sample_trip.draw.canvas import Field, Sheet, Stops, mix, ramp, rise
from sample_trip.draw.land import (
    blocks,
    boulder,
    crest,
    lamps,
    range_of_hills,
    rough_water,
    smooth_water,
    stars,
    streaks,
    sun,
)


@dataclass(frozen=True)
class Light:
    """The inks of one hour in the gorge."""

    sky: Stops
    far: tuple[str, str, str]  # lit, shaded, haze
    wall: tuple[str, str]  # lit, shaded
    stone: tuple[str, str]
    water: Stops
    foam: str
    cloud: str
    glow: str


NOON = Light(
    [(0, "#8fb4bd"), (0.30, "#c9dad4"), (0.5, "#f0e6cf")],
    ("#c9b593", "#8fa09a", "#dcdcc8"),
    ("#c7a578", "#6f5f52"),
    ("#dcc096", "#8a7257"),
    [(0.4, "#9fb5a8"), (0.7, "#4f7d7c"), (1, "#234a52")],
    "#f4f0e2",
    "#fbf6e8",
    "#fff3d6",
)
SUNSET = Light(
    [(0, "#3f4a73"), (0.18, "#8b6f8f"), (0.34, "#e08e6d"), (0.46, "#f7cf8f")],
    ("#c77a66", "#6d5577", "#eba77c"),
    ("#8d5a57", "#2d2740"),
    ("#c58a6c", "#4b3a52"),
    [(0.4, "#f3c48c"), (0.62, "#b7788a"), (1, "#332c4e")],
    "#fbe3c4",
    "#f2a98a",
    "#ffb970",
)
BLUE = Light(
    [(0, "#0f1d3d"), (0.3, "#284a7c"), (0.5, "#86a3bd")],
    ("#3f5f8a", "#22395f", "#6d8bab"),
    ("#2f4266", "#0b1429"),
    ("#5b6f90", "#1a2846"),
    [(0.4, "#8aa6c0"), (0.65, "#3c5c8b"), (1, "#0d1a36")],
    "#c4d5e4",
    "#7c95b5",
    "#ffc777",
)
LATE = Light(
    [(0, "#6f9cae"), (0.28, "#bccfbf"), (0.46, "#f7e2b0")],
    ("#d8a66a", "#7f8f86", "#ecd9b0"),
    ("#b98a58", "#4d4a4c"),
    ("#d9a869", "#6b594c"),
    [(0.4, "#d9cfa6"), (0.66, "#5e8580"), (1, "#1f3d45")],
    "#fbf3dc",
    "#fdf0d2",
    "#ffdc96",
)
VIOLET = Light(
    [(0, "#20224a"), (0.14, "#5a467e"), (0.28, "#c47b86"), (0.40, "#f6bd8c")],
    ("#7f5a7c", "#43375f", "#b27c86"),
    ("#6a4f6c", "#1b1833"),
    ("#a67d86", "#33294a"),
    [(0.4, "#d79a88"), (0.64, "#6e5484"), (1, "#191836")],
    "#e9c6bb",
    "#c98a8f",
    "#ffbb70",
)


_LEDGE, _BAR = 103, 101  # seeds of the land itself: the same place on every day


def _walls(sheet: Sheet, light: Light, left: float, right: float, foot: float, steps: int) -> None:
    """Print the quarried walls: benches stepping down towards the water on both sides."""
    for side, reach in ((-1, left), (1, right)):
        tops = np.sort(sheet.rng.uniform(0.0, foot, steps))
        widths = np.sort(sheet.rng.uniform(0.25, 1.0, steps + 1)) * reach
        bench = widths[np.searchsorted(tops, sheet.y[:, 0])]
        wobble = (
            sheet.profile(9, 5)[: sheet.height]
            if sheet.width >= sheet.height
            else np.resize(sheet.profile(9, 5), sheet.height)
        )
        inner = (bench + (wobble - 0.5) * 0.035).astype(np.float32)[:, None]
        from_edge = sheet.x if side < 0 else sheet.aspect - sheet.x
        mask = sheet.edge(inner - from_edge, 1.5)
        tone, joint = blocks(sheet, from_edge / 1.1, sheet.y, 17, 9)
        lit = 0.5 + 0.20 * tone + 0.25 * sheet.noise(5, 7, 4) + (0.22 if side > 0 else -0.16)
        lit = lit * (1 - 0.55 * rise(sheet.y, 0.25, 1.0)) + 0.35 * rise(from_edge / inner, 0.80, 1.0) * (
            side > 0
        )
        sheet.lay(mask, ramp(lit.astype(np.float32), [(0, light.wall[1]), (1, light.wall[0])]))
        sheet.shadow(mask * joint, light.wall[1], 0.55)
        sheet.lay(mask * rise(from_edge / inner, 0.985, 1.0), light.wall[0], 0.35)


def bridge(sheet: Sheet, light: Light, cx: float, spring: float, rx: float, ry: float, deck: float) -> Field:
    """Print the bridge and return the mask of its opening."""
    dx, dy = sheet.x - cx, sheet.y - spring
    ring = np.hypot(dx / rx, dy / ry).astype(np.float32)
    top = spring - ry - deck - 0.045 * np.cos(np.clip(dx / (rx * 2.4), -1.5, 1.5)) + 0.02
    mask = sheet.edge((sheet.y - top).astype(np.float32)) * sheet.edge(0.10 + spring - sheet.y)
    hole = sheet.edge((1 - ring) * ry) * sheet.edge((spring + 0.10 - sheet.y).astype(np.float32))
    hole = np.where(dy > 0, sheet.edge((rx - np.abs(dx)).astype(np.float32)), hole)
    body = (mask * (1 - hole)).astype(np.float32)
    tone, joint = blocks(sheet, sheet.x / 1.2, (sheet.y - 0.2) / 0.6, 18, 26)
    lit = 0.62 + 0.22 * tone - 0.35 * rise(sheet.y, spring - ry, spring + 0.06) + 0.12 * sheet.noise(8, 6, 3)
    sheet.lay(body, ramp(lit.astype(np.float32), [(0, light.stone[1]), (1, light.stone[0])]))
    sheet.shadow(body * joint, light.stone[1], 0.45)
    angle = np.arctan2(-dy / ry, dx / rx)
    wedge = angle / np.pi * 27
    collar = sheet.edge((1.15 - ring) * ry) * (dy < 0) * body
    tone = np.sin(np.floor(wedge) * 91.7) * 0.5 + 0.5
    sheet.lay(
        collar.astype(np.float32),
        ramp(tone.astype(np.float32), [(0, mix(*light.stone, 0.45)), (1, light.stone[0])]),
    )
    gap = np.clip(1 - np.minimum(wedge % 1, 1 - wedge % 1) * 22, 0, 1)
    sheet.shadow((collar * gap).astype(np.float32), light.stone[1], 0.8)
    sheet.shadow((collar * rise(ring, 1.13, 1.15)).astype(np.float32), light.stone[1], 0.7)
    course = sheet.edge((0.009 - np.abs(sheet.y - top - 0.035)).astype(np.float32))
    sheet.lay((course * body).astype(np.float32), light.stone[0], 0.75)
    sheet.shadow(
        (body * rise(sheet.y - top, 0.043, 0.045) * (1 - rise(sheet.y - top, 0.05, 0.075))).astype(
            np.float32
        ),
        light.stone[1],
        0.45,
    )
    return np.asarray(mask, dtype=np.float32)


def gorge(
    seed: int, light: Light, *, smooth: bool, ledge: bool = False, portrait: bool = False, lamp: bool = False,
    sun_at: tuple[float, float] | None = None, sluice_open: bool = False,
) -> Sheet:  # fmt: skip
    """Return the gorge from the gravel bar (near, low) or from the ledge (the bridge small in the gap)."""
    sheet = Sheet(seed, 1200, 1800) if portrait else Sheet(seed)
    cx = sheet.aspect * (0.52 if ledge else 0.5)
    scale = (0.62 if ledge else 1.0) * (0.62 if portrait else 1.0)
    shore = 0.60 if ledge else 0.63
    sheet.wash(light.sky)
    if light is BLUE:
        sheet.shine(stars(sheet, 160, 0.28), "#dfe8ff", 0.9)
    streaks(sheet, 0.02, 0.36, light.cloud, 0.55)
    sheet.reseed(_LEDGE if ledge else _BAR)
    if sun_at:
        sun(sheet, sheet.aspect * sun_at[0], sun_at[1], 0.024, "#fff3cf", light.glow, 0.8)
    for depth, (base, tall, cells) in enumerate(((0.46, 0.20, 4), (0.52, 0.15, 6), (0.56, 0.10, 9))):
        lit, shade, haze = (mix(c, light.far[2], 0.50 - 0.22 * depth) for c in light.far)
        range_of_hills(sheet, crest(sheet, base, tall, cells), lit, shade, haze, base + 0.10)
    sheet.lay(rise(sheet.y, shore - 0.04, shore), mix(light.far[1], light.wall[1], 0.5))
    rx, ry = 0.30 * scale, 0.27 * scale
    bridge(sheet, light, cx, shore - 0.01, rx, ry, 0.055 * scale)
    if ledge or portrait:
        _walls(sheet, light, sheet.aspect * 0.36, sheet.aspect * 0.34, shore + 0.04, 7)
    else:
        _walls(sheet, light, sheet.aspect * 0.26, sheet.aspect * 0.24, shore + 0.04, 6)
    _river(sheet, light, cx, shore, rx, smooth, ledge)
    if not ledge and not portrait:
        _gravel(sheet, light, sluice_open)
    if lamp:
        field = np.zeros((sheet.height, sheet.width), dtype=np.float32)
        top = int((shore - 0.01 - ry - 0.055 * scale - 0.03) * sheet.height)
        for offset in (-0.42, -0.14, 0.14, 0.42):
            field[top + int(abs(offset) * 18), int((cx + offset * rx * 2.1) * sheet.height)] = 4.0
        lamps(sheet, field, "#ff9a3d", "#fff0c8", 0.9)
    return sheet


def _river(sheet: Sheet, light: Light, cx: float, shore: float, rx: float, smooth: bool, ledge: bool) -> None:
    """Print the river from the arch to the foot of the sheet, its stones, and the bridge's reflection."""
    ahead = np.clip((sheet.y - shore) / (1 - shore), 0, 1)
    bend = (0.16 * np.sin(ahead * 3.0) * (1 - ahead) if ledge else 0.05 * np.sin(ahead * 2.6)) - 0.05 * ahead
    half = rx * 0.95 + (sheet.aspect * 0.62 - rx * 0.95) * ahead**1.25
    bank = sheet.noise(14, 10, 4) * 0.02 * (0.3 + ahead)
    u = (sheet.x - cx - bend) / half
    mask = sheet.edge(((1 - np.abs(u)) * half + bank).astype(np.float32), 1.5) * sheet.edge(sheet.y - shore)
    ground = sheet.edge((sheet.y - shore + 0.012 * sheet.noise(16, 2, 4)).astype(np.float32)) * (1 - mask)
    slab = np.floor((sheet.noise(5, 22, 4, 0.55) + ahead * 1.2) * 5) / 5 - ahead * 1.2
    tone = 0.30 + 0.42 * slab + 0.30 * ahead + 0.08 * sheet.noise(50, 40, 3)
    sheet.lay(ground, ramp(tone.astype(np.float32), [(0, light.wall[1]), (1, mix(*light.wall, 0.3))]))
    depth = (1 / (0.12 + ahead)).astype(np.float32)
    across = (u * 0.5 + 0.5).astype(np.float32)
    draw = smooth_water if smooth else rough_water
    mirror = sheet.rgb[np.clip((2 * shore - sheet.y[:, 0]) * sheet.height, 0, sheet.height - 1).astype(int)]
    draw(
        sheet,
        mask.astype(np.float32),
        across,
        depth * 0.14,
        light.water,
        light.foam,
        0.62 if smooth else 0.85,
    )
    fade = (mask * (1 - rise(ahead, 0.0, 0.75))).astype(np.float32)
    sheet.lay(fade, np.asarray(mirror, dtype=np.float32), 0.62 if smooth else 0.22)
    sheet.lay((mask * rise(np.abs(u).astype(np.float32), 0.90, 1.0)).astype(np.float32), light.foam, 0.25)
    sheet.reseed((_LEDGE if ledge else _BAR) + 7)
    _stones(sheet, light, shore, smooth)


def _gravel(sheet: Sheet, light: Light, awash: bool) -> None:
    """Print the bar that one stands on; with the sluice open most of it shows through the water only."""
    sheet.reseed(_BAR + 11)
    u = sheet.row / sheet.aspect
    dry = (0.77 + 0.27 * rise(u, 0.18, 0.78) + 0.010 * sheet.profile(9, 4)).astype(np.float32)
    mask = sheet.below(dry, 16 if awash else 3)
    tone = 0.40 + 0.25 * sheet.noise(60, 40, 4, 0.65) + 1.3 * np.clip(sheet.y - dry[None, :], 0, 0.3)
    sheet.lay(mask, ramp(tone.astype(np.float32), [(0, light.wall[1]), (1, mix(*light.wall, 0.25))]))
    places = sorted(
        (float(sheet.rng.uniform(0.76, 1.03)), float(sheet.rng.uniform(0, 1))) for _ in range(420)
    )
    for y, x in places:
        size = (0.005 + 0.060 * (y - 0.74)) * float(sheet.rng.uniform(0.5, 1.15))
        light_side = mix(*light.stone, float(sheet.rng.uniform(0.05, 0.55)))
        if y > float(dry[min(sheet.width - 1, int(x * sheet.width))]) + 0.006:
            boulder(sheet, x * sheet.aspect, y, size, light.wall[1], light_side, 1.9)
    wet = np.exp(-np.clip(sheet.y - dry[None, :], 0, None) / 0.025).astype(np.float32)
    sheet.shadow(mask * wet, light.wall[1], 0.6)
    rim, soft = dry, 0.004
    if awash:
        rim, soft = (dry + 0.150 - 0.06 * u).astype(np.float32), 0.014
        over = mask * (1 - sheet.below(rim, 14))
        sheet.lay(over, ramp(sheet.y, light.water), 0.72)
        along = sheet.noise(5, 46, 4, 0.6)
        sheet.lay(over * rise(along, 0.05, 0.8), light.foam, 0.40)
        sheet.shadow(over * rise(-along, 0.1, 0.8), light.water[-1][1], 0.35)
    foam = np.exp(-(((sheet.y - rim[None, :] + soft) / soft) ** 2)).astype(np.float32)
    sheet.lay(foam * rise(sheet.noise(14, 6, 4), -0.1, 0.7), light.foam, 0.7 if not awash else 0.45)


def _stones(sheet: Sheet, light: Light, shore: float, smooth: bool) -> None:
    """Print boulders, larger towards the foot, each in a collar of water."""
    places = sorted(
        (float(sheet.rng.uniform(0.12, 1.04)), float(sheet.rng.uniform(-0.62, 0.62))) for _ in range(34)
    )
    for ahead, side in places:
        if abs(side) < 0.17:
            continue
        x = sheet.aspect * 0.5 + side * (0.42 + ahead) * sheet.aspect * 0.62
        y = shore + (1 - shore) * ahead
        size = 0.010 + 0.058 * ahead * float(sheet.rng.uniform(0.35, 1.15))
        far = np.hypot((sheet.x - x) / size * 0.75, (sheet.y - y - size * 0.18) / size * 3.4)
        collar = sheet.edge((1.2 - far) * size / 3, 18 if smooth else 4)
        sheet.lay(collar, light.foam, 0.5 if smooth else 0.65)
        boulder(sheet, x, y, size, light.wall[1], mix(*light.stone, 0.15 if light in (NOON, LATE) else 0.55))
