"""The river forest in spring: a fall drawn out and stopped, a footbridge in mist, a still pool."""

import numpy as np

from sample_trip.draw.canvas import Field, Sheet, Stops, mix, ramp, rise, sample
from sample_trip.draw.land import boulder, reflected, rough_water, smooth_water

DEEP, MOSS, LEAF, MIST = "#10251f", "#3f6b3a", "#9bbf63", "#dfe9d3"


def _trees(sheet: Sheet, base: float, count: int, near: float, colour: str, leaf: str) -> None:
    """Print one rank of trunks and the leaves that hang between them."""
    for _ in range(count):
        x = float(sheet.rng.uniform(0, sheet.aspect))
        wide = float(sheet.rng.uniform(0.006, 0.016)) * (0.6 + 2.0 * near)
        lean = float(sheet.rng.normal(0, 0.05))
        foot = base + float(sheet.rng.uniform(-0.02, 0.03))
        up = np.clip(foot - sheet.y, 0, 2)
        middle = x + lean * up + 0.006 * np.sin(up * 11 + x * 30)
        trunk = sheet.edge(
            (wide * (1.25 - 0.45 * up + 0.9 * np.exp(-up * 28)) - np.abs(sheet.x - middle)).astype(
                np.float32
            ),
            1.5,
        )
        sheet.lay(trunk * sheet.edge((foot - sheet.y).astype(np.float32), 3), colour)
        side = sheet.edge((sheet.x - middle - wide * 0.35).astype(np.float32), 3) * trunk * (sheet.y < foot)
        sheet.lay(side.astype(np.float32), mix(colour, leaf, 0.35), 0.6)
    crown = sheet.noise(9 / (0.4 + near), 7 / (0.4 + near), 6, 0.68) - (sheet.y - base + 0.42) * 2.1
    sheet.lay(rise(crown, 0.05, 0.22), mix(leaf, colour, 0.35), 0.92)
    lit = sheet.noise(50 / (0.5 + near), 40 / (0.5 + near), 4, 0.7)
    sheet.lay(rise(crown, 0.1, 0.3) * rise(lit, 0.12, 0.5), leaf, 0.75)


def _wood(sheet: Sheet, base: float, ranks: int = 4) -> None:
    """Cover the sheet with mist and ranks of trees, each nearer and darker."""
    sheet.wash([(0, "#cfe0c4"), (0.35, MIST), (1, "#b9cfb0")])
    for k in range(ranks):
        near = k / max(1, ranks - 1)
        _trees(
            sheet,
            base - 0.06 + 0.06 * near,
            int(26 - 14 * near),
            near,
            mix("#a9c2a6", "#1b3026", near),
            mix("#c6dba9", "#5f9148", near),
        )
        sheet.lay(np.exp(-(((sheet.y - base) / 0.16) ** 2)).astype(np.float32), MIST, 0.5 * (1 - near))


def _bank(sheet: Sheet, line: Field, light: str, dark: str) -> None:
    """Print a mossy bank."""
    depth = np.clip(sheet.y - line[None, :], 0, 1)
    tone = 0.95 - depth * 3.4 + 0.35 * sheet.noise(34, 26, 5, 0.65)
    sheet.lay(sheet.below(line, 3), ramp(tone.astype(np.float32), [(0, DEEP), (0.5, dark), (1, light)]))


def falls(seed: int, *, smooth: bool) -> Sheet:
    """Return the falls from the lower pool, upright: drawn out over seconds, or torn at a five-hundredth."""
    sheet = Sheet(seed, 1200, 1800)
    lip, pool, cx = 0.30, 0.68, sheet.aspect * 0.52
    _wood(sheet, 0.27)
    u = sheet.row / sheet.aspect
    rim = lip - 0.075 + 0.05 * np.exp(-(((sheet.row - cx) / 0.11) ** 4)) + 0.03 * sheet.profile(7, 5)
    _bank(sheet, rim.astype(np.float32), LEAF, MOSS)
    back = (
        lip - 0.005 + 0.03 * sheet.profile(6, 5) * (1 - np.exp(-(((sheet.row - cx) / 0.12) ** 4)))
    ).astype(np.float32)
    tone = 0.30 + 0.30 * sheet.noise(14, 9, 5, 0.6) + 0.20 * np.floor(sheet.noise(4, 14, 3) * 4) / 4
    sheet.lay(
        sheet.below(back, 2),
        ramp(tone.astype(np.float32), [(0, "#0d1a19"), (0.6, "#2f4a3c"), (1, "#5d7f4c")]),
    )
    down = np.clip((sheet.y - lip) / (pool - lip), 0, 1)
    swing = 0.012 * np.sin(down * 9)
    half = 0.075 + 0.10 * down + 0.05 * down + 0.012 * sheet.noise(8, 16, 4)
    v = down * 0.8
    across = (sheet.x - cx - swing) / half
    curtain = (
        sheet.edge(((1 - np.abs(across)) * half).astype(np.float32), 8 if smooth else 2)
        * (sheet.y > lip - 0.045 + 0.03 * across**2)
        * (sheet.y < pool + 0.02)
    )
    thread = sample(
        sheet.noise(40, 3, 4, 0.65), (across * 0.5 + 0.5).astype(np.float32), v.astype(np.float32)
    )
    if not smooth:
        thread = 0.6 * thread + 0.9 * sample(
            sheet.noise(40, 46, 3, 0.6), (across * 0.5 + 0.5).astype(np.float32), v.astype(np.float32)
        )
    edge_low, edge_high = (-1.15, 0.55) if smooth else (-0.2, 0.3)
    sheet.lay(curtain.astype(np.float32), "#7fa39b", 0.55)
    sheet.lay((curtain * rise(thread, edge_low, edge_high)).astype(np.float32), "#f6faf3", 0.95)
    sheet.reseed(seed + 1)
    for side, reach in ((-1, 0.36), (1, 0.34)):
        line = 0.40 + 0.42 * rise((u if side < 0 else 1 - u), 0.0, reach) + 0.05 * sheet.profile(8, 5)
        _bank(sheet, line.astype(np.float32), LEAF if side < 0 else "#7fa552", MOSS)
    sheet.reseed(seed + 3)
    water = sheet.edge(sheet.y - pool - 0.02 * np.cos((sheet.x - cx) * 4), 3)
    ahead = np.clip((sheet.y - pool) / (1 - pool), 0, 1)
    stops: Stops = [(pool, "#b9cfc0"), (pool + 0.1, "#3f6f66"), (1, "#0f2a2c")]
    uu = ((sheet.x - cx) / (0.5 + 0.8 * ahead) * 0.5 + 0.5).astype(np.float32)
    draw = smooth_water if smooth else rough_water
    draw(
        sheet, water, uu, (0.14 / (0.15 + ahead)).astype(np.float32), stops, "#eef5ec", 0.5 if smooth else 0.7
    )
    spray = np.exp(-(((sheet.y - pool) / 0.045) ** 2) - ((sheet.x - cx) / 0.34) ** 2).astype(np.float32)
    if smooth:
        sheet.lay(spray, "#f2f7ef", 0.9)
    else:
        torn = rise(spray + sheet.noise(50, 60, 3, 0.6) * 0.6 - 0.55, 0.0, 0.25) * rise(spray, 0.04, 0.3)
        sheet.lay(torn, "#f6faf3", 0.9)
    sheet.reseed(seed + 7)
    for _ in range(16):
        x, k = float(sheet.rng.uniform(0, sheet.aspect)), float(sheet.rng.uniform(0.12, 1.0))
        if abs(x - cx) > 0.10:
            boulder(
                sheet,
                x,
                pool + (1 - pool) * k,
                0.022 + 0.055 * k,
                "#0e1c1a",
                mix("#7fa552", "#6c7468", float(sheet.rng.uniform())),
            )
    return sheet


def footbridge(seed: int, *, mist: float, small: bool = False) -> Sheet:
    """Return the footbridge over the ford, more or less of it in mist."""
    sheet = Sheet(seed, 1600, 1200) if small else Sheet(seed)
    shore = 0.66
    _wood(sheet, 0.60)
    u = sheet.row / sheet.aspect
    for side in (-1, 1):
        line = 0.56 + 0.34 * rise((u if side < 0 else 1 - u), 0.02, 0.46) + 0.03 * sheet.profile(9, 5)
        _bank(sheet, line.astype(np.float32), LEAF, MOSS)
    sheet.lay(np.exp(-(((sheet.y - 0.56) / 0.13) ** 2)).astype(np.float32), MIST, mist)
    deck = 0.555 + 0.035 * np.cos((sheet.x - sheet.aspect / 2) / sheet.aspect * 2 * np.pi) * 1.0
    rail = deck - 0.085
    wood_light, wood_dark = mix("#a98a5e", MIST, 0.25 * mist), mix("#3a2c22", MIST, 0.30 * mist)
    inside = sheet.edge((sheet.aspect * 0.40 - np.abs(sheet.x - sheet.aspect / 2)).astype(np.float32))
    spacing = 0.062
    post = sheet.edge((0.0042 - np.abs((sheet.x / spacing) % 1 - 0.5) * spacing).astype(np.float32))
    sheet.lay((post * inside * (sheet.y > rail - 0.012) * (sheet.y < deck)).astype(np.float32), wood_dark)
    for line, thick, colour in (
        (rail, 0.006, wood_light),
        (rail + 0.042, 0.0035, wood_dark),
        (deck, 0.010, wood_light),
        (deck + 0.018, 0.010, wood_dark),
    ):
        sheet.lay(
            (sheet.edge((thick - np.abs(sheet.y - line)).astype(np.float32)) * inside).astype(np.float32),
            colour,
        )
    for x in (0.24, 0.42, 0.58, 0.76):
        leg = (
            sheet.edge((0.009 - np.abs(sheet.x - sheet.aspect * x)).astype(np.float32))
            * (sheet.y > deck)
            * (sheet.y < shore + 0.03)
        )
        sheet.lay(leg.astype(np.float32), wood_dark)
    ahead = np.clip((sheet.y - shore) / (1 - shore), 0, 1)
    half = 0.34 + 0.55 * ahead
    mask = sheet.edge(
        ((1 - np.abs((sheet.x - sheet.aspect / 2) / half)) * half + 0.02 * sheet.noise(14, 9, 4)).astype(
            np.float32
        ),
        2,
    ) * sheet.edge(sheet.y - shore)
    mirrored = reflected(sheet, shore, 0.9)
    uu = ((sheet.x - sheet.aspect / 2) / half * 0.5 + 0.5).astype(np.float32)
    smooth_water(
        sheet,
        mask,
        uu,
        (0.14 / (0.15 + ahead)).astype(np.float32),
        [(shore, "#cfdcc8"), (0.85, "#4d7a6c"), (1, "#17362f")],
        "#f0f5ea",
        0.6,
    )
    sheet.lay(mask * (1 - 0.8 * rise(sheet.y, shore, 1.0)), mirrored, 0.45)
    sheet.lay(
        np.exp(-(((sheet.y - shore + 0.01) / 0.05) ** 2)).astype(np.float32)
        * rise(sheet.noise(4, 9, 4), -0.6, 0.6),
        MIST,
        0.85 * mist,
    )
    for _ in range(14):
        left_or_right, k = float(sheet.rng.choice([-1, 1])), float(sheet.rng.uniform(0.15, 1.0))
        x = sheet.aspect / 2 + left_or_right * (0.30 + 0.55 * k) * float(sheet.rng.uniform(0.7, 1.1))
        boulder(
            sheet,
            x,
            shore + (1 - shore) * k,
            0.02 + 0.05 * k,
            "#12221d",
            mix("#8caf62", "#777d70", float(sheet.rng.uniform())),
        )
    if small:
        sheet.rgb = np.asarray(0.09 + 0.82 * sheet.rgb, dtype=np.float32)
    return sheet


def pool(seed: int) -> Sheet:
    """Return the still pool under the alders, the wood hanging upside down in it."""
    sheet = Sheet(seed)
    shore = 0.50
    _wood(sheet, 0.46)
    line = (0.455 + 0.02 * sheet.profile(12, 6)).astype(np.float32)
    _bank(sheet, line, LEAF, MOSS)
    mirrored = reflected(sheet, shore, 1.0)
    water = sheet.edge(sheet.y - shore)
    sheet.lay(water, mirrored)
    sheet.shadow(water * (0.3 + 0.7 * rise(sheet.y, shore, 1.0)), "#6f9183", 0.75)
    ring = np.zeros_like(sheet.y)
    for _ in range(9):
        x, y = float(sheet.rng.uniform(0.15, 1.35)), float(sheet.rng.uniform(0.60, 0.95))
        far = np.hypot(sheet.x - x, (sheet.y - y) * 3.4)
        ring += np.exp(-((far - float(sheet.rng.uniform(0.02, 0.07))) ** 2) / 0.00002) * 0.6
    sheet.lay(np.clip(ring, 0, 1).astype(np.float32), "#e9f2dd", 0.5)
    sheet.lay(water * rise(sheet.noise(5, 60, 3), 0.55, 0.9), MIST, 0.35)
    for _ in range(9):
        k = float(sheet.rng.uniform(0.05, 1.0))
        boulder(
            sheet, float(sheet.rng.uniform(0, 1.5)), shore + 0.5 * k, 0.016 + 0.05 * k, "#12221d", "#86a860"
        )
    return sheet
