"""The terrace town: stacked houses above a valley, by day, in fog, and with hundreds of lanterns."""

from enum import Enum

import numpy as np

from sample_trip.draw.canvas import Field, Sheet, blurred, mix, ramp, rise
from sample_trip.draw.land import blocks, crest, lamps, range_of_hills, stars, streaks


class Hour(Enum):
    """When the town is seen."""

    DAY = "day"
    DUSK = "dusk"
    FOG = "fog"


_SKY = {
    Hour.DAY: [(0, "#a9bfc6"), (0.5, "#dfe0d4")],
    Hour.DUSK: [(0, "#172048"), (0.2, "#3d3d74"), (0.36, "#8a5f87"), (0.5, "#e2a07c")],
    Hour.FOG: [(0, "#b8c4c8"), (0.3, "#e3dccb"), (0.5, "#f6e7cb")],
}
_HILLS = {
    Hour.DAY: ("#b9b59f", "#98a3a2", "#ccd0c6"),
    Hour.DUSK: ("#6d5a86", "#40406f", "#b98592"),
    Hour.FOG: ("#cbbfae", "#a9aeb0", "#efe4d0"),
}
_HOUSE = {
    Hour.DAY: ("#cfbf9f", "#95897a"),
    Hour.DUSK: ("#6a5274", "#2a2548"),
    Hour.FOG: ("#b19d88", "#6f6c70"),
}
_GROUND = {Hour.DAY: "#7d7a66", Hour.DUSK: "#1c1a38", Hour.FOG: "#8b8781"}


def _slope(sheet: Sheet, tier: float) -> Field:
    """Return the line of one terrace, tier 0 highest and farthest to 1 nearest."""
    u = sheet.row / sheet.aspect
    high = 0.36 + 0.50 * tier - (0.20 - 0.16 * tier) * rise(u, 0.30, 0.95) + 0.10 * (1 - u) * (1 - tier)
    return np.asarray(high + 0.012 * np.sin(u * 7 + tier * 9), dtype=np.float32)


def town(seed: int, hour: Hour) -> Sheet:
    """Return the town from the upper terrace."""
    sheet = Sheet(seed, 1600, 1200) if hour is Hour.DAY else Sheet(seed)
    sheet.wash(_SKY[hour])
    if hour is Hour.DUSK:
        sheet.shine(stars(sheet, 90, 0.2), "#e8ecff", 0.7)
    streaks(sheet, 0.03, 0.32, mix(_SKY[hour][-1][1], "#ffffff", 0.3), 0.3 if hour is Hour.DAY else 0.5)
    sheet.reseed(seed)
    for depth, (base, tall, cells) in enumerate(((0.36, 0.22, 4), (0.42, 0.17, 5), (0.47, 0.11, 8))):
        lit, shade, haze = (mix(c, _HILLS[hour][2], 0.5 - 0.22 * depth) for c in _HILLS[hour])
        range_of_hills(sheet, crest(sheet, base, tall, cells), lit, shade, haze, base + 0.12)
    light = np.zeros((sheet.height, sheet.width), dtype=np.float32)
    tiers = 9
    for number in range(tiers):
        tier = number / (tiers - 1)
        line = _slope(sheet, tier)
        haze = mix(_HILLS[hour][2], _GROUND[hour], 0.40 + 0.60 * tier)
        sheet.lay(sheet.below(line), mix(haze, _GROUND[hour], tier))
        _bench(sheet, hour, line, tier)
        sheet.reseed(seed * 100 + number)
        _houses(sheet, hour, line, tier, light)
        sheet.reseed(seed * 100 + 50 + number)
        if hour is Hour.DUSK:
            _strings(sheet, line, tier, light)
        if hour is Hour.FOG:
            bank = rise(sheet.noise(4, 7, 5, 0.55) + 0.35 * np.sin(tier * 8), -0.45, 0.75)
            over = np.exp(-(((sheet.y - line[None, :] - 0.045) / 0.065) ** 2)).astype(np.float32)
            sheet.lay(over * bank, mix("#f4ead6", "#dfe0dc", tier), 0.95 - 0.35 * tier)
    if hour is Hour.DAY:
        sheet.reseed(seed + 900)
        drift = rise(
            sheet.noise(5, 16, 5, 0.55) + 0.25 * sheet.noise(30, 40, 3), -0.15, 0.65
        )  # dust in the wind
        low = np.exp(-(((sheet.y - 0.50 - 0.16 * sheet.x / sheet.aspect) / 0.15) ** 2))
        sheet.lay((drift * low * (1 - 0.6 * sheet.x / sheet.aspect)).astype(np.float32), "#d9c9a6", 0.75)
    _wall(sheet, hour)
    if hour is Hour.DUSK:
        lamps(sheet, light, "#ff8422", "#ffdf9a", 0.9, 0.55)
    return sheet


def _bench(sheet: Sheet, hour: Hour, line: Field, tier: float) -> None:
    """Print the retaining wall of one terrace: courses of stone under a pale edge, darker to its foot."""
    scale = 0.55 + 1.1 * tier
    lit, shade = (mix(_HILLS[hour][2], c, 0.5 + 0.5 * tier) for c in _HOUSE[hour])
    depth = sheet.y - line[None, :] - 0.008 * scale
    wall = sheet.edge(depth) * (1 - rise(depth, 0.030 * scale, 0.034 * scale))
    tone, joint = blocks(sheet, sheet.x / 1.6, sheet.y, int(110 / scale), int(60 / scale))
    shadow = rise(depth, 0.0, 0.034 * scale)
    sheet.lay(wall, ramp(0.35 + 0.22 * tone + 0.45 * shadow, [(0, mix(lit, shade, 0.35)), (1, shade)]), 0.75)
    sheet.shadow(wall * joint, shade, 0.35 * tier)
    sheet.lay(sheet.edge(0.0016 * scale - np.abs(depth)), lit, 0.8)
    sheet.shadow(
        rise(depth, 0.034 * scale, 0.036 * scale) * (1 - rise(depth, 0.036 * scale, 0.07 * scale)), shade, 0.5
    )


def _houses(sheet: Sheet, hour: Hour, line: Field, tier: float, light: Field) -> None:
    """Print one row of flat-roofed houses that stand on a terrace."""
    lit, shade = (mix(_HILLS[hour][2], c, 0.45 + 0.55 * tier) for c in _HOUSE[hour])
    at, scale = -0.02, 0.55 + 1.1 * tier
    panes = np.random.default_rng(
        int(tier * 1000)
    )  # dice of their own: lit or not, the houses stay where they are
    while at < sheet.aspect:
        wide, tall = (float(sheet.rng.uniform(*r)) * scale for r in ((0.042, 0.088), (0.030, 0.060)))
        left, right = int(max(0.0, at) * sheet.height), int(min(sheet.aspect, at + wide) * sheet.height)
        at += wide + float(sheet.rng.choice([-0.006, 0.0, 0.0, 0.012, 0.03])) * scale
        if right - left < 6 or sheet.rng.uniform() < 0.06:
            continue
        foot = int(float(line[min(sheet.width - 1, (left + right) // 2)]) * sheet.height) + int(10 * scale)
        top, turn = foot - int(tall * sheet.height), left + int((right - left) * 0.66)
        tone = float(sheet.rng.uniform(0.0, 0.35))
        sheet.rgb[top:foot, left:turn] = np.array(ramp(np.array([tone]), [(0, lit), (1, shade)])[0])
        sheet.rgb[top:foot, turn:right] = np.array(ramp(np.array([tone * 0.5]), [(0, shade), (1, lit)])[0])
        fall = np.linspace(1.0, 0.80, foot - top, dtype=np.float32)[:, None, None]
        sheet.rgb[top:foot, left:right] *= fall
        lip = max(2, int(3 * scale))
        sheet.rgb[top : top + lip, left:right] = ramp(np.array([0.25]), [(0, lit), (1, "#fff3df")])[0]
        _windows(sheet, hour, (top, foot, left, turn), scale, light, panes)
        if sheet.rng.uniform() < 0.16 and hour is not Hour.DUSK:
            _poplar(sheet, right / sheet.height, foot / sheet.height, tall * 1.5, mix(shade, "#b08a3c", 0.55))


def _windows(sheet: Sheet, hour: Hour, box: tuple[int, int, int, int], scale: float, light: Field,
             panes: np.random.Generator) -> None:  # fmt: skip
    top, foot, left, right = box
    size = max(3, int(5.5 * scale))
    for row in range(top + 2 * size, foot - 2 * size, int(size * 3.0)):
        for column in range(left + size, right - size - 2, int(size * 2.7)):
            if panes.uniform() < 0.45:
                continue
            glow = panes.uniform() < 0.4 and hour is Hour.DUSK
            pane = "#ffbf63" if glow else mix(_HOUSE[hour][1], "#000000", 0.30)
            sheet.rgb[row : row + int(size * 1.4), column : column + size] = ramp(np.array([0]), [(0, pane)])[
                0
            ]
            if glow:
                light[row + size // 2, column + size // 2] += 0.10 * scale


def _poplar(sheet: Sheet, x: float, foot: float, tall: float, colour: str) -> None:
    dx, up = (sheet.x - x) / (tall * 0.13), (foot - sheet.y) / tall
    body = 1 - np.abs(dx) / np.clip(1.25 * np.sin(np.pi * np.clip(up, 0, 1) ** 0.75), 1e-3, None)
    sheet.lay(sheet.edge((body * tall * 0.13).astype(np.float32), 3) * (up > 0) * (up < 1), colour)


def _strings(sheet: Sheet, line: Field, tier: float, light: Field) -> None:
    """Hang lanterns along one terrace, from post to post."""
    scale = 0.5 + 1.0 * tier
    post, gap = float(sheet.rng.uniform(-0.05, 0.0)), 0.085 * scale
    while post < sheet.aspect:
        count = int(8 + 2 * tier)
        for k in range(count):
            t = k / count
            x = post + gap * t
            column = int(x * sheet.height)
            if 0 <= column < sheet.width and sheet.rng.uniform() < 0.9:
                sag = 0.016 * scale * 4 * t * (1 - t)
                row = int((float(line[column]) - 0.020 * scale + sag) * sheet.height)
                if 0 < row < sheet.height:
                    light[row, column] += float(sheet.rng.uniform(0.5, 1.0)) * (0.45 + 1.9 * tier)
        post += gap


def _wall(sheet: Sheet, hour: Hour) -> None:
    """Print the dark parapet that the tripod stands behind, and a bare branch or two."""
    top = 0.955 - 0.03 * sheet.row / sheet.aspect + 0.004 * sheet.profile(40, 3)
    dark = mix(_GROUND[hour], "#000000", 0.35)
    sheet.lay(sheet.below(top.astype(np.float32)), dark)
    sheet.lay(
        sheet.edge((0.004 - np.abs(sheet.y - top[None, :] - 0.003)).astype(np.float32)),
        mix(dark, _SKY[hour][-1][1], 0.35),
    )


def steps(seed: int, small: bool = False) -> Sheet:
    """Return the lantern steps on festival night: a stair between walls, lanterns, people as shadows."""
    sheet = Sheet(seed, 1600, 1200) if small else Sheet(seed)
    cx, vy = sheet.aspect * 0.5, 0.36
    sheet.wash(
        [(0, "#141a3a"), (0.30, "#3a2f5e"), (0.42, "#7b4a62")]
        if not small
        else [(0, "#2c2f45"), (0.42, "#5d4c58")]
    )
    range_of_hills(sheet, crest(sheet, 0.40, 0.16, 5), "#4a3c68", "#2a2850", "#6d4a66", 0.5)
    away = np.clip((sheet.y - vy) / (1 - vy), 0, 1)
    half = 0.07 + 0.52 * away
    for side in (-1, 1):
        from_mid = (sheet.x - cx) * side
        roof = vy - 0.02 - (from_mid - 0.07) * 0.62
        roof = np.floor(roof * 9 + 0.22 * side) / 9
        mask = sheet.edge((from_mid - half).astype(np.float32)) * sheet.edge(
            (sheet.y - roof).astype(np.float32)
        )
        mask = np.maximum(
            mask,
            sheet.edge((from_mid - 0.07).astype(np.float32))
            * sheet.edge((sheet.y - roof).astype(np.float32))
            * (sheet.y < vy),
        )
        tone = rise((from_mid / 0.75).astype(np.float32), 0, 1) + 0.12 * sheet.noise(9, 14, 4)
        sheet.lay(mask.astype(np.float32), ramp(tone, [(0, "#7a4a4c"), (0.5, "#3f2b48"), (1, "#191630")]))
    stair = sheet.edge((half - np.abs(sheet.x - cx)).astype(np.float32)) * sheet.edge(sheet.y - vy)
    tread = (1 / (0.10 + away)) * 5.2
    riser = (tread % 1 > 0.55).astype(np.float32)
    sheet.lay(
        stair, ramp((0.5 + 0.35 * riser - 0.4 * away).astype(np.float32), [(0, "#2b1f3d"), (1, "#b8734f")])
    )
    for side in (-1, 1):
        for near in (0.10, 0.20, 0.34, 0.54, 0.82):
            for storey in (0.42, 0.95):
                far, deep = near * 1.22, vy + (1 - vy) * near
                xs = [cx + side * (0.075 + 0.52 * d + 0.02 * d) for d in (near, far)]
                inside = sheet.edge((sheet.x - min(xs)).astype(np.float32)) * sheet.edge(
                    (max(xs) - sheet.x).astype(np.float32)
                )
                t = (sheet.x - xs[0]) / (xs[1] - xs[0])
                foot, tall = (
                    deep - (storey - 0.1 * t) * (0.08 + 0.5 * near),
                    (0.30 + 0.07 * t) * (0.08 + 0.5 * near),
                )
                pane = (
                    inside
                    * sheet.edge((foot - sheet.y).astype(np.float32))
                    * sheet.edge((sheet.y - foot + tall).astype(np.float32))
                )
                lit = storey < 0.5 or sheet.rng.uniform() < 0.5
                sheet.lay(pane.astype(np.float32), "#e08a45" if lit else "#241a35", 0.85)
                bars = np.maximum(
                    1 - np.abs(t - 0.5) / 0.05, 1 - np.abs((foot - sheet.y) / tall - 0.62) / 0.035
                )
                sheet.shadow((pane * np.clip(bars, 0, 1)).astype(np.float32), "#4a2a36", 0.9)
                sheet.shine(blurred(pane.astype(np.float32), 30), "#c8622c", 0.5 if lit else 0.0)
    light = np.zeros((sheet.height, sheet.width), dtype=np.float32)
    for depth in np.linspace(0.02, 1.0, 15):
        wide, high = 0.08 + 0.72 * depth, vy - 0.05 - 0.30 * depth
        for t in np.linspace(0, 1, 11):
            x, y = cx + (t * 2 - 1) * wide, high + 0.10 * (0.2 + depth) * 4 * t * (1 - t)
            row, column = int(y * sheet.height), int(x * sheet.height)
            if 0 <= row < sheet.height and 0 <= column < sheet.width:
                light[row, column] += 0.25 + 1.6 * depth**1.4
    _crowd(sheet, cx, vy, light, blur=not small)
    lamps(sheet, light, "#ff8427", "#ffe0a0", 0.95)
    if small:
        sheet.rgb = np.asarray(
            0.06 + 0.82 * sheet.rgb + 0.06 * sheet.rgb.mean(axis=2, keepdims=True), dtype=np.float32
        )
    return sheet


def _crowd(sheet: Sheet, cx: float, vy: float, light: Field, blur: bool) -> None:
    """Print people as shadows, far ones first; on a long time they smear and their lanterns draw lines."""
    for ahead in np.sort(sheet.rng.uniform(0.03, 1.15, 150 if blur else 210)):
        x = cx + float(sheet.rng.uniform(-0.92, 0.92)) * (0.07 + 0.52 * ahead)
        foot, tall = vy + (1 - vy) * ahead, 0.035 + 0.26 * ahead * float(sheet.rng.uniform(0.85, 1.1))
        dx, dy = (sheet.x - x) / tall, (sheet.y - foot) / tall
        body = np.maximum(
            1 - np.hypot(dx / 0.075, (dy + 0.90) / 0.095),
            1 - np.hypot(dx / (0.145 - 0.05 * dy), (dy + 0.36) / 0.46),
        )
        soft = (5 + 26 * ahead) if blur else 1.5
        tone = mix("#5a3a4c", "#120f22", min(1.0, 0.3 + float(ahead)))
        sheet.lay(sheet.edge((body * tall * 0.10).astype(np.float32), soft), tone, 0.80 if blur else 1.0)
        if sheet.rng.uniform() < 0.42:
            row, column = int((foot - tall * 0.55) * sheet.height), int((x + tall * 0.16) * sheet.height)
            for step in range(int(3 + 40 * ahead) if blur else 1):
                r, c = row - int(step * 0.35 + 3 * np.sin(step / 5)), column + step
                if 0 <= r < sheet.height and 0 <= c < sheet.width:
                    light[r, c] += (0.10 if blur else 0.9) * (0.25 + float(ahead))


def lantern(seed: int) -> Sheet:
    """Return one paper lantern, close, upright."""
    sheet = Sheet(seed, 1200, 1800)
    sheet.wash([(0, "#15173a"), (0.5, "#2d2148"), (1, "#120e22")])
    for _ in range(70):
        x, y = float(sheet.rng.uniform(0, sheet.aspect)), float(sheet.rng.normal(0.42, 0.20))
        size = float(sheet.rng.uniform(0.012, 0.042))
        disc = sheet.edge((size - np.hypot(sheet.x - x, sheet.y - y)).astype(np.float32), 5)
        rim = disc * rise(np.hypot(sheet.x - x, sheet.y - y).astype(np.float32) / size, 0.75, 1.0)
        sheet.shine(
            disc * 0.75 + rim * 0.25,
            str(sheet.rng.choice(["#e8762c", "#f0a04a", "#c9523a", "#f4c878"])),
            float(sheet.rng.uniform(0.12, 0.5)),
        )
    cx, cy, wide, tall = sheet.aspect * 0.46, 0.47, 0.185, 0.235
    dx, dy = (sheet.x - cx) / wide, (sheet.y - cy) / tall
    sheet.shine(np.exp(-np.hypot(dx, dy) * 1.1).astype(np.float32), "#ff8a30", 0.75)
    shape = 1 - np.hypot(dx / 1.0, np.abs(dy) ** 1.25)
    body = sheet.edge((shape * wide * 0.6).astype(np.float32), 2)
    core = np.exp(-(dx**2 + (dy - 0.20) ** 2) * 1.5).astype(np.float32)
    paper = core + 0.05 * sheet.noise(14, 20, 4)
    sheet.lay(body, ramp(paper, [(0, "#8f2f1c"), (0.35, "#dd5f22"), (0.7, "#fba23c"), (1, "#fff0b8")]))
    bow = dy * 9 + 0.35 * dx**2 * np.sign(dy)
    rib = np.clip(1 - np.abs(bow - np.round(bow)) * 9, 0, 1).astype(np.float32)
    sheet.shadow(body * rib, "#7a2413", 0.55)
    for sign in (-1, 1):
        cap = sheet.edge((0.062 - np.abs(sheet.x - cx)).astype(np.float32)) * sheet.edge(
            (0.011 - np.abs(sheet.y - cy - sign * tall * 0.985)).astype(np.float32)
        )
        sheet.lay(cap, "#2a1418")
    cord = sheet.edge((0.0022 - np.abs(sheet.x - cx - 0.004 * np.sin(sheet.y * 20))).astype(np.float32)) * (
        sheet.y < cy - tall
    )
    sheet.lay(cord.astype(np.float32), "#4a2a2a")
    for k in range(-4, 5):
        sway = cx + k * 0.007 + k * 0.02 * np.clip(sheet.y - cy - tall, 0, 0.12)
        thread = (
            sheet.edge((0.0018 - np.abs(sheet.x - sway)).astype(np.float32))
            * (sheet.y > cy + tall)
            * (sheet.y < cy + tall + 0.11 - abs(k) * 0.006)
        )
        sheet.lay(thread.astype(np.float32), "#e05f2a")
    sheet.shine(blurred(body * core, 40), "#ffb45a", 0.35)
    return sheet
