"""The dune: a crest that divides light from shadow, sand leaving it with the wind, and the night above."""

import numpy as np

from sample_trip.draw.canvas import Field, Sheet, blurred, mix, ramp, rise, sample
from sample_trip.draw.land import crest, range_of_hills, streaks


def _body(
    sheet: Sheet, line: Field, divide: Field, lit: tuple[str, str], dark: tuple[str, str], ripples: float
) -> None:
    """Print one dune: the lit flank left of the dividing edge, the shadow right of it."""
    mask = sheet.below(line, 1.5)
    depth = np.clip(sheet.y - line[None, :], 0, 1)
    ahead = rise(sheet.y, float(line.min()), 1.0)
    warp = sheet.noise(5, 4, 4) * 0.05
    wave = np.sin((sheet.y * 1.25 + sheet.x * 0.30 + warp) * (150 - 95 * ahead)) * rise(depth, 0.02, 0.22)
    tone = 0.20 + 0.72 * ahead + 0.10 * sheet.noise(4, 5, 4) + ripples * 0.22 * wave
    sheet.lay(mask, ramp(tone.astype(np.float32), [(0, lit[0]), (1, lit[1])]))
    side = sheet.edge((sheet.x - divide).astype(np.float32), 2.0)
    tone = 0.15 + 0.75 * depth * 1.6 + 0.10 * sheet.noise(3, 4, 3) + ripples * 0.04 * wave
    sheet.lay(mask * side, ramp(tone.astype(np.float32), [(0, dark[0]), (1, dark[1])]))


def dune(seed: int, *, slow: bool = False) -> Sheet:
    """Return the dune from its shoulder: a short time, the sand hard in the air, or a slow one, a veil."""
    sheet = Sheet(seed)
    sky = [(0, "#7e9fb0"), (0.25, "#c6cdbb"), (0.42, "#f4dca6")]
    hill = ("#cdb48f", "#9a97a0", "#e9d3a8")
    lit, dark = ("#f3c981", "#cf8a45"), ("#8a5a4c", "#4a3346")
    if slow:
        sky = [(0, "#4c5f88"), (0.22, "#a98c95"), (0.42, "#f2ab72")]
        hill, lit, dark = ("#c28d77", "#80708b", "#e8a67c"), ("#f0a663", "#b4603c"), ("#6d4355", "#2c2440")
    sheet.wash(sky)
    streaks(sheet, 0.02, 0.34, mix(sky[-1][1], "#ffffff", 0.35), 0.45)
    for depth, (base, tall, cells) in enumerate(((0.42, 0.13, 5), (0.47, 0.09, 7))):
        a, b, c = (mix(code, hill[2], 0.55 - 0.25 * depth) for code in hill)
        range_of_hills(sheet, crest(sheet, base, tall, cells), a, b, c, base + 0.06)
    u = sheet.row / sheet.aspect
    back = (
        0.47 - 0.055 * np.exp(-(((u - 0.18) / 0.16) ** 2)) - 0.03 * np.exp(-(((u - 0.93) / 0.12) ** 2))
    ).astype(np.float32)
    _body(
        sheet,
        back,
        (0.20 * sheet.aspect + 0.9 * (sheet.y - 0.42)).astype(np.float32),
        (mix(lit[0], hill[2], 0.4), mix(lit[1], hill[2], 0.2)),
        (mix(dark[0], hill[2], 0.4), dark[0]),
        0.3,
    )
    peak = 0.66 if not slow else 0.58
    line = 0.60 - 0.33 * np.exp(-(np.abs((u - peak) / 0.23) ** 1.45)) + 0.05 * np.sin(u * 5 + 1.2)
    line = line.astype(np.float32)
    top = float(line.min())
    fall = np.clip((sheet.y - top) / (1 - top), 0, 1)
    divide = (
        sheet.aspect * (peak - 0.01)
        - 0.36 * np.sin(fall * 3.1) * (1 - 0.35 * fall)
        - 0.42 * fall
        + 0.36 * fall**2.2
    )
    _body(sheet, line, divide.astype(np.float32), lit, dark, 1.0)
    _blown(sheet, divide.astype(np.float32), line, top, lit[0], slow)
    return sheet


def _blown(sheet: Sheet, divide: Field, line: Field, top: float, colour: str, slow: bool) -> None:
    """Print the sand that the wind lifts off the crest and the dividing edge."""
    up = line[None, :] - sheet.y
    right = (sheet.x - sheet.aspect * 0.40) / sheet.aspect
    grain = sheet.noise(14, 70, 5, 0.6) if slow else sheet.noise(60, 150, 4, 0.75)
    drift = sample(
        grain, (sheet.x * 0.5).astype(np.float32), (sheet.y * 1.1 + sheet.x * 0.28).astype(np.float32)
    )
    plume = (
        np.exp(-np.clip(up, 0, None) / (0.024 + 0.12 * np.clip(right, 0, 1)))
        * (up > -0.006)
        * rise(right, 0.0, 0.25)
    )
    cut = rise(drift, -0.5, 0.8) if slow else rise(drift, 0.0, 0.42)
    sheet.lay((plume * cut).astype(np.float32), mix(colour, "#fff6e0", 0.5), 0.75)
    past = sheet.x - divide
    veil = (
        np.exp(-np.clip(past, 0, None) / 0.085)
        * (past > -0.004)
        * rise(sheet.y, top, top + 0.06)
        * (sheet.y > line[None, :])
    )
    sheet.lay((veil * cut).astype(np.float32), mix(colour, "#fff6e0", 0.3), 0.62 if not slow else 0.5)


def trails(seed: int, arc_deg: float, pole: tuple[float, float] = (0.44, 0.16)) -> Sheet:
    """Return the dune from its foot at night, facing north: stars as arcs of `arc_deg` round the pole."""
    sheet = Sheet(seed)
    sheet.wash([(0, "#081129"), (0.4, "#152a52"), (0.62, "#3d5478"), (0.70, "#6d7488")])
    milky = np.exp(-(((sheet.x - 0.62 * sheet.aspect - (sheet.y - 0.3) * 0.55) / 0.20) ** 2)).astype(
        np.float32
    )
    sheet.shine(milky * (0.6 + 0.5 * sheet.noise(7, 9, 5)), "#5a6c9c", 0.22)
    px, py = sheet.aspect * pole[0], pole[1]
    light = [np.zeros((sheet.height, sheet.width), dtype=np.float32) for _ in range(3)]
    for _ in range(1500):
        radius, start = (
            1.35 * float(sheet.rng.uniform(0.0004, 1)) ** 0.5,
            float(sheet.rng.uniform(0, 2 * np.pi)),
        )
        bright = 0.10 + 0.9 * float(sheet.rng.power(0.28))
        arc = np.linspace(
            start, start - np.radians(arc_deg), max(6, int(radius * np.radians(arc_deg) * sheet.height * 1.4))
        )
        rows = np.round((py + radius * np.sin(arc)) * sheet.height).astype(int)
        columns = np.round((px + radius * np.cos(arc)) * sheet.height).astype(int)
        inside = (rows >= 0) & (rows < sheet.height) & (columns >= 0) & (columns < sheet.width)
        tint = light[int(sheet.rng.choice(3, p=[0.6, 0.25, 0.15]))]
        np.maximum.at(tint, (rows[inside], columns[inside]), bright)
    low = 1 - rise(sheet.y, 0.45, 0.70) * 0.8
    for field, colour in zip(light, ("#f2f4ff", "#a9c4ff", "#ffd9a6"), strict=True):
        sheet.shine(blurred(field, 1.0) * low, colour, 2.6)
        sheet.shine(blurred(field, 4.0) * low, colour, 0.9)
    range_of_hills(sheet, crest(sheet, 0.70, 0.08, 6), "#2c3d5e", "#1c2b4a", "#46597b", 0.78)
    u = sheet.row / sheet.aspect
    line = (0.80 - 0.30 * np.exp(-(np.abs((u - 0.70) / 0.26) ** 1.6)) + 0.03 * np.sin(u * 4)).astype(
        np.float32
    )
    fall = np.clip((sheet.y - float(line.min())) / 0.5, 0, 1)
    divide = sheet.aspect * 0.70 - 0.30 * np.sin(fall * 2.9) - 0.20 * fall
    _body(sheet, line, divide.astype(np.float32), ("#3b4a6a", "#1f2a48"), ("#16203c", "#0a1026"), 0.8)
    near = (0.93 - 0.05 * np.sin(u * 3.4 + 0.3)).astype(np.float32)
    _body(
        sheet,
        near,
        (sheet.aspect * 2 + 0 * sheet.y).astype(np.float32),
        ("#1d2846", "#0c132b"),
        ("#0c132b", "#0c132b"),
        0.6,
    )
    return sheet
