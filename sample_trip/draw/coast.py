"""The winter sea coast: surf stopped and surf drawn out, snow on the cliffs, a small harbour at lamp time."""

import numpy as np

from sample_trip.draw.canvas import Field, Sheet, Stops, mix, ramp, rise
from sample_trip.draw.land import blocks, boulder, crest, lamps, range_of_hills, reflected, streaks, sun


def _cliff(sheet: Sheet, line: Field, light: str, shade: str, snow: str, foot: float) -> None:
    """Print a headland of upright slate with snow lying on its ledges."""
    mask = sheet.below(line, 1.5) * sheet.edge((foot - sheet.y).astype(np.float32), 3)
    tone, joint = blocks(
        sheet,
        (sheet.y * 1.1).astype(np.float32),
        (sheet.x / sheet.aspect + 0.16 * sheet.y).astype(np.float32),
        46,
        6,
    )
    depth = np.clip(sheet.y - line[None, :], 0, 1)
    body = 0.5 + 0.30 * tone + 0.25 * sheet.noise(10, 6, 4) - 1.1 * depth
    sheet.lay(mask, ramp(body.astype(np.float32), [(0, shade), (1, light)]))
    sheet.shadow(mask * joint, shade, 0.5)
    lying = rise(sheet.noise(16, 30, 5, 0.6) - depth * 5.0, -0.28, -0.05) * mask
    sheet.lay(lying, snow, 0.92)
    sheet.lay(mask * rise(sheet.y, foot - 0.05, foot), mix(shade, "#000000", 0.3), 0.6)


def _swell(sheet: Sheet, line: Field, deep: str, face: str, foam: str, hard: bool, size: float) -> None:
    """Print one wave: a dark face under a broken lip, foam behind it."""
    depth = (sheet.y - line[None, :]) / size
    lip = 0.10 * sheet.noise(30, 20, 5, 0.65) + 0.06 * sheet.noise(6, 3, 3)
    mask = sheet.edge(((depth + lip) * size).astype(np.float32), 2 if hard else 40)
    sheet.lay(
        mask,
        ramp(np.clip(depth, 0, 3).astype(np.float32), [(0, face), (0.9, deep), (3, mix(deep, face, 0.3))]),
    )
    broken = rise(sheet.noise(5, 2, 3) + 0.9 - depth * 1.6, 0.2, 0.9)
    torn = sheet.noise(60, 46, 5, 0.7) if hard else sheet.noise(6, 40, 4, 0.5)
    cut = rise(torn + broken * 1.1 - 0.55, -0.05, 0.25 if hard else 1.0)
    sheet.lay((mask * broken * cut).astype(np.float32), foam, 0.95 if hard else 0.6)
    lace = (
        rise(np.abs(sheet.noise(26, 34, 4, 0.6)), 0.10, 0.02) if hard else sheet.noise(3, 60, 3) * 0.3 + 0.3
    )
    sheet.lay((mask * rise(depth, 0.5, 1.2) * np.clip(lace, 0, 1)).astype(np.float32), foam, 0.35)


def surf(seed: int, *, hard: bool) -> Sheet:
    """Return the wave shelf: at a thousandth of a second, or over several seconds."""
    sheet = Sheet(seed)
    horizon = 0.40
    if hard:
        sky: Stops = [(0, "#8d9aa6"), (0.25, "#c4cac8"), (horizon, "#ece4d2")]
        deep, face, foam, rock = "#1f4a52", "#5f9a94", "#f5f4ec", ("#22262e", "#6a6a6c")
    else:
        sky = [(0, "#4d5f80"), (0.22, "#9b95a6"), (horizon, "#f1c6a6")]
        deep, face, foam, rock = "#5b6f8a", "#c9bfc0", "#f6ece4", ("#1d2030", "#5b5560")
    sheet.wash(sky)
    streaks(sheet, 0.0, 0.36, mix(sky[-1][1], "#ffffff", 0.4), 0.7, -0.1)
    u = sheet.row / sheet.aspect
    head = (0.41 - 0.24 * rise(u, 0.55, 0.98) - 0.035 * sheet.profile(9, 6)).astype(np.float32)
    if not hard:
        sun(sheet, sheet.aspect * 0.28, horizon - 0.03, 0.018, "#fff4de", "#ffc896", 0.6)
    sheet.lay(
        sheet.edge(sheet.y - horizon),
        ramp(sheet.y, [(horizon, mix(sky[-1][1], deep, 0.25)), (0.7, deep), (1, deep)]),
    )
    _cliff(
        sheet, head, mix(rock[1], sky[-1][1], 0.25), mix(rock[0], sky[-1][1], 0.2), "#eef0f2", horizon + 0.03
    )
    for base, size in ((0.45, 0.05), (0.53, 0.09), (0.66, 0.15)):
        line = (
            base
            - size * 0.42 * np.exp(-(((u - 0.35 - base * 0.3) / 0.25) ** 2))
            + 0.010 * sheet.profile(7, 4)
        )
        _swell(sheet, line.astype(np.float32), deep, face, foam, hard, size)
    stack = [
        (0.44, 0.56, 0.085),
        (0.50, 0.575, 0.06),
        (0.20, 0.74, 0.10),
        (0.28, 0.78, 0.075),
        (0.70, 0.80, 0.14),
        (0.82, 0.84, 0.11),
    ]
    for x, y, size in stack:
        boulder(sheet, sheet.aspect * x, y, size, rock[0], rock[1], 1.05)
        wet = np.exp(
            -(((sheet.y - y - size * 0.42) / (size * 0.20)) ** 2)
            - ((sheet.x - sheet.aspect * x) / (size * 1.7)) ** 2
        )
        torn = rise(sheet.noise(70, 60, 4, 0.7), -0.3, 0.2) if hard else 1 + 0 * sheet.y
        sheet.lay((wet * torn).astype(np.float32), foam, 0.95)
    if hard:
        _spray(sheet, sheet.aspect * 0.47, 0.55, foam)
    else:
        veil = (
            rise(sheet.noise(3, 12, 4), -0.5, 0.8)
            * rise(sheet.y, horizon, 0.62)
            * (1 - 0.5 * rise(sheet.y, 0.8, 1.0))
        )
        sheet.lay(veil, foam, 0.55)
        _awash(sheet, foam, rock)
    return sheet


def _awash(sheet: Sheet, foam: str, rock: tuple[str, str]) -> None:
    """Print the shelf at one's feet: slabs of slate, with the tide pouring over and off them."""
    sheet.reseed(2207)
    u = sheet.row / sheet.aspect
    line = (0.885 + 0.025 * np.floor(6 * sheet.profile(5, 4)) / 6 + 0.03 * np.abs(u - 0.4)).astype(np.float32)
    mask = sheet.below(line, 2)
    tone, joint = blocks(sheet, (sheet.x / sheet.aspect + 0.10 * sheet.y).astype(np.float32), sheet.y, 60, 6)
    body = 0.45 + 0.25 * tone + 0.20 * sheet.noise(12, 20, 4)
    sheet.lay(mask, ramp(body.astype(np.float32), [(0, rock[0]), (1, rock[1])]))
    sheet.shadow(mask * joint, rock[0], 0.5)
    sheen = rise(sheet.noise(4, 50, 4, 0.6), -0.25, 0.7)
    sheet.lay(mask * sheen, foam, 0.55)
    edge = np.exp(-(((sheet.y - line[None, :]) / 0.014) ** 2)) * rise(sheet.noise(9, 3, 4), -0.5, 0.4)
    sheet.lay(edge.astype(np.float32), foam, 0.85)
    falls = (
        rise(sheet.noise(46, 2, 3, 0.6), 0.15, 0.6) * mask * (1 - rise(sheet.y - line[None, :], 0.02, 0.06))
    )
    sheet.lay(falls.astype(np.float32), foam, 0.75)


def _spray(sheet: Sheet, x: float, y: float, foam: str) -> None:
    """Print a burst of spray above a rock: dense at its root, single drops at its edge."""
    dx, up = (sheet.x - x) / 0.26, (y - sheet.y) / 0.34
    fan = (
        np.exp(-((dx / (0.35 + 0.55 * np.clip(up, 0, 1))) ** 2))
        * rise(up, -0.05, 0.05)
        * (1 - rise(up, 0.35, 1.0))
    )
    fine = sheet.noise(90, 70, 4, 0.8) * 0.55 + sheet.noise(18, 14, 4) * 0.6
    sheet.lay(rise((fan * 1.35 + fine * 0.55 - 0.55).astype(np.float32), 0.0, 0.22), foam, 0.95)
    drops = rise(sheet.rng.normal(0, 1, (sheet.height // 2, sheet.width // 2)).astype(np.float32), 2.5, 2.8)
    big = np.repeat(np.repeat(drops, 2, axis=0), 2, axis=1)
    sheet.lay((big * rise(fan.astype(np.float32), 0.03, 0.4)).astype(np.float32), foam, 0.9)


def cliff(seed: int) -> Sheet:
    """Return the cliff from the stile: snow, slate and a heavy sea, upright."""
    sheet = Sheet(seed, 1200, 1800)
    sheet.wash([(0, "#7f8c9c"), (0.2, "#b4bbc0"), (0.42, "#dcdcd6")])
    streaks(sheet, 0.0, 0.36, "#eef0ee", 0.6, -0.1)
    sheet.lay(
        sheet.edge(sheet.y - 0.42), ramp(sheet.y, [(0.42, "#a9b4b6"), (0.6, "#51707a"), (1, "#1e3c48")])
    )
    u = sheet.row / sheet.aspect
    for k, (low, high, share) in enumerate(((0.47, 0.13, 0.6), (0.60, 0.27, 0.3), (0.88, 0.56, 0.0))):
        for base, size in ((), ((0.50, 0.025), (0.54, 0.04)), ((0.63, 0.05), (0.70, 0.07), (0.79, 0.09)))[k]:
            line = base - size * 0.4 * np.exp(-(((u - 0.3) / 0.4) ** 2)) + 0.01 * sheet.profile(5, 4)
            _swell(sheet, line.astype(np.float32), "#234a56", "#6a9396", "#f2f3ef", True, size)
        line = low + 0.03 - high * rise(u, 0.52 - 0.14 * k, 1.04 - 0.10 * k) - 0.035 * sheet.profile(7, 6)
        _cliff(
            sheet,
            line.astype(np.float32),
            mix("#767a80", "#c6cccc", share),
            mix("#23272f", "#c6cccc", share),
            mix("#f4f5f5", "#c6cccc", share * 0.6),
            low + 0.005,
        )
        foam = np.exp(-(((sheet.y - low - 0.004) / 0.012) ** 2)) * rise(
            sheet.noise(30, 30, 4, 0.7), -0.5, 0.2
        )
        sheet.lay(
            (foam * rise(sheet.x / sheet.aspect, 0.42 - 0.12 * k, 0.62)).astype(np.float32), "#f2f3ef", 0.9
        )
    front = (0.90 + 0.012 * sheet.profile(5, 4)).astype(np.float32)
    _swell(sheet, front, "#1c3f4b", "#5d888c", "#f2f3ef", True, 0.12)
    flake = rise(sheet.rng.normal(0, 1, (sheet.height // 4, sheet.width // 4)).astype(np.float32), 3.0, 3.3)
    sheet.lay(np.repeat(np.repeat(flake, 4, axis=0), 4, axis=1), "#ffffff", 0.5)
    return sheet


def harbour(seed: int, *, day: bool = False) -> Sheet:
    """Return the slip harbour from its arm, at lamp time, or on a flat grey noon with the small camera."""
    sheet = Sheet(seed, 1600, 1200) if day else Sheet(seed)
    shore = 0.55
    sky: Stops = [(0, "#16264a"), (0.25, "#3f5684"), (0.45, "#a58fa0"), (shore, "#e9b48d")]
    hills, wood = ("#6f7796", "#3b4669", "#a3949f"), "#141a30"
    if day:
        sky, hills, wood = [(0, "#a3b0b6"), (shore, "#d5d8d4")], ("#c8cccb", "#929b9f", "#c9cdcb"), "#4a4d50"
    sheet.wash(sky)
    streaks(sheet, 0.02, 0.42, mix(sky[-1][1], "#ffffff", 0.25), 0.5)
    for base, tall, cells in ((0.54, 0.20, 4), (0.55, 0.12, 7)):
        range_of_hills(sheet, crest(sheet, base, tall, cells), *hills, 0.60, 0.9)
    light = np.zeros((sheet.height, sheet.width), dtype=np.float32)
    walls = ["#8a3f3a", "#c9b48c", "#5f7480", "#d8d2c4", "#9a6b43"]
    x = 0.06
    while x < sheet.aspect * 0.80:
        wide, tall = float(sheet.rng.uniform(0.06, 0.11)), float(sheet.rng.uniform(0.05, 0.085))
        wall = mix(str(sheet.rng.choice(walls)), sky[-1][1] if day else "#1b2446", 0.35 if day else 0.6)
        gable = shore - tall - 0.055 * np.clip(1 - np.abs((sheet.x - x - wide / 2) / (wide / 2)), 0, 1)
        inside = sheet.edge((wide / 2 - np.abs(sheet.x - x - wide / 2)).astype(np.float32))
        sheet.lay(
            inside
            * sheet.edge((sheet.y - gable).astype(np.float32))
            * sheet.edge((shore - sheet.y).astype(np.float32)),
            wall,
        )
        roof = sheet.edge((0.012 - np.abs(sheet.y - gable - 0.008)).astype(np.float32)) * inside
        sheet.lay(
            roof * rise(sheet.y * -1, -(shore - tall + 0.02), -(shore - tall)),
            "#eef1f4" if day else "#8795b8",
        )
        for k in range(int(wide / 0.032)):
            r, c = int((shore - tall * 0.55) * sheet.height), int((x + 0.02 + 0.032 * k) * sheet.height)
            sheet.rgb[r - 9 : r + 9, c - 6 : c + 6] = np.array(
                ramp(np.array([0]), [(0, "#4b5358" if day else "#ffc36b")])[0]
            )
            light[r, c] += 0.0 if day else 0.7
        x += wide + float(sheet.rng.uniform(0.0, 0.05))
    sheet.lay(
        sheet.edge((0.012 - np.abs(sheet.y - shore)).astype(np.float32)) * (sheet.x < sheet.aspect * 0.84),
        wood,
    )
    for k, x in enumerate((0.32, 0.62, 0.80, 1.02)):
        _boat(
            sheet,
            x * sheet.aspect / 1.5,
            shore + 0.035 + 0.012 * k,
            0.055 + 0.012 * k,
            wood,
            ["#a8443a", "#3f6a78", "#c89b4a", "#6b7f5a"][k],
            day,
        )
    tower = sheet.edge(
        (0.018 - 0.02 * (shore - sheet.y) - np.abs(sheet.x - sheet.aspect * 0.90)).astype(np.float32)
    )
    sheet.lay(
        tower * (sheet.y > shore - 0.20) * (sheet.y < shore + 0.01),
        mix("#e8e2d6", wood, 0.2 if day else 0.55),
    )
    if not day:
        light[int((shore - 0.215) * sheet.height), int(sheet.aspect * 0.90 * sheet.height)] = 3.0
        lamps(sheet, light, "#ff9c42", "#ffedc0", 1.0)
    water = sheet.edge(sheet.y - shore - 0.075)
    mirrored = reflected(sheet, shore + 0.03, 0.9)
    ripple = sheet.noise(8, 90, 4, 0.6)
    sheet.lay(water, mirrored)
    sheet.shadow(water * (0.4 + 0.6 * rise(sheet.y, shore, 1.0)), "#5a6b90" if not day else "#a9b7ba", 0.55)
    sheet.lay(water * rise(ripple, 0.15, 0.7), mix(sky[-1][1], sky[0][1], 0.35), 0.35 if day else 0.22)
    quay = (0.93 - 0.10 * rise(sheet.row / sheet.aspect, 0.45, 1.0)).astype(np.float32)
    tone, joint = blocks(sheet, sheet.x / 2, sheet.y, 16, 9)
    arm = sheet.below(quay)
    sheet.lay(
        arm, ramp((0.4 + 0.25 * tone).astype(np.float32), [(0, wood), (1, mix(wood, sky[-1][1], 0.35))])
    )
    sheet.shadow(arm * joint, wood, 0.6)
    sheet.lay(
        sheet.edge((0.006 - np.abs(sheet.y - quay[None, :])).astype(np.float32)),
        "#f0f3f6" if day else "#7d8cb2",
    )
    return sheet


def _boat(sheet: Sheet, x: float, y: float, size: float, wood: str, paint: str, day: bool) -> None:
    dx, dy = (sheet.x - x) / size, (sheet.y - y) / size
    sheer = -0.16 - 0.22 * np.abs(dx) ** 2.2
    hull = np.minimum(np.minimum(dy - sheer, 0.24 - dy), 1.0 - np.abs(dx) - np.clip(dy, -0.2, 0.3) * 0.7)
    sheet.lay(sheet.edge((hull * size).astype(np.float32)), mix(paint, wood, 0.15 if day else 0.6))
    sheet.lay(
        sheet.edge((np.minimum(hull, 0.06 - (dy - sheer)) * size).astype(np.float32)),
        "#f0ece2" if day else "#9aa3be",
    )
    cabin = np.minimum(0.22 - np.abs(dx + 0.2), np.minimum(dy + 0.62, -0.1 - dy))
    sheet.lay(sheet.edge((cabin * size).astype(np.float32)), mix("#e4ddcd", wood, 0.1 if day else 0.55))
    mast = np.minimum(0.018 - np.abs(dx - 0.15 - 0.03 * dy), np.minimum(dy + 1.9, -0.1 - dy))
    sheet.lay(sheet.edge((mast * size).astype(np.float32)), wood)
