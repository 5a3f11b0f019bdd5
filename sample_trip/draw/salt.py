"""The salt pan, cracked into polygons or mirrored by a film of water, and the reed lake."""

import numpy as np

from sample_trip.draw.canvas import Field, Sheet, Stops, blurred, mix, ramp, rise
from sample_trip.draw.land import crest, range_of_hills, reflected, streaks, sun


def _cells(sheet: Sheet, horizon: float, scale: float) -> tuple[Field, Field, Field]:
    """Return (distance to the nearest seam, side of the seam -1..1, tone of the cell) on the ground plane."""
    below = np.clip(sheet.y - horizon, 0.004, None)
    gx, gz = (sheet.x - sheet.aspect * 0.46) / below * scale * 0.30, 0.30 * scale / below
    gx, gz = gx + 0.10 * np.sin(gz * 2.1), gz + 0.12 * np.sin(gx * 1.7)
    ix, iz = np.floor(gx), np.floor(gz)
    near = np.full(gx.shape, 9.0)
    second, lean, tone = near.copy(), np.zeros(gx.shape), np.zeros(gx.shape)
    for ox in (-1, 0, 1):
        for oz in (-1, 0, 1):
            cx, cz = ix + ox, iz + oz
            one = np.sin(cx * 127.1 + cz * 311.7) * 43758.5453
            two = np.sin(cx * 269.5 + cz * 183.3) * 43758.5453
            jx, jz = one - np.floor(one), two - np.floor(two)
            dx, dz = cx + 0.15 + 0.7 * jx - gx, cz + 0.15 + 0.7 * jz - gz
            far = np.hypot(dx, dz)
            closer = far < near
            second = np.where(closer, near, np.minimum(second, far))
            lean, tone = np.where(closer, dx / (far + 1e-6), lean), np.where(closer, jx, tone)
            near = np.where(closer, far, near)
    return (second - near).astype(np.float32), lean.astype(np.float32), tone.astype(np.float32)


def _distance(sheet: Sheet, horizon: float, hills: tuple[str, str, str], tall: float = 0.13) -> None:
    for depth, (share, cells) in enumerate(((1.0, 4), (0.6, 7))):
        lit, shade, haze = (mix(c, hills[2], 0.45 - 0.25 * depth) for c in hills)
        range_of_hills(
            sheet, crest(sheet, horizon + 0.01, tall * share, cells), lit, shade, haze, horizon + 0.02
        )


def polygons(seed: int, *, noon: bool = False) -> Sheet:
    """Return the cracked pan: early, with every seam raking light and shadow, or at noon, flat and white."""
    sheet = Sheet(seed, 1600, 1200) if noon else Sheet(seed)
    horizon = 0.40 if noon else 0.36
    if noon:
        sheet.wash([(0, "#7ea9c4"), (horizon, "#dbe6e4")])
        hills, ground, seam = (
            ("#b3b7b0", "#9aa5ab", "#d5dcd8"),
            ("#f1efe4", "#dcdad0"),
            ("#fbfaf2", "#b9b6aa"),
        )
    else:
        sheet.wash([(0, "#5f7fa6"), (0.2, "#b9b4bd"), (horizon, "#fbd9a8")])
        hills, ground, seam = (
            ("#d79c7c", "#7d7794", "#f0c49c"),
            ("#f0d6b4", "#8e93ad"),
            ("#fff2d6", "#4c5278"),
        )
        streaks(sheet, 0.02, 0.30, "#ffe3c2", 0.6)
        sun(sheet, sheet.aspect * 0.80, 0.275, 0.020, "#fff8e0", "#ffc77a", 0.75)
    _distance(sheet, horizon, hills)
    ground_mask = sheet.edge(sheet.y - horizon)
    ahead = rise(sheet.y, horizon, 1.0)
    gap, lean, tone = _cells(sheet, horizon, 2.9)
    body = 0.10 + 0.62 * ahead + 0.16 * (tone - 0.5) + 0.10 * sheet.noise(9, 22, 4)
    sheet.lay(ground_mask, ramp(body.astype(np.float32), [(0, ground[0]), (1, ground[1])]))
    width = 0.075 + 0.03 * sheet.noise(30, 30, 3)
    ridge = (1 - rise(gap / width, 0.2, 1.0)) * ground_mask * rise(ahead, 0.0, 0.06)
    if noon:
        sheet.lay(ridge, seam[1], 0.55)
        sheet.lay(ridge * rise(gap / width * -1, -0.5, 0), seam[0], 0.8)
        sheet.rgb = np.asarray(0.05 + 0.90 * sheet.rgb, dtype=np.float32)
        return sheet
    cast = (1 - rise(gap / 0.30, 0.0, 1.0)) * rise(lean, -0.1, 0.7) * ground_mask
    sheet.shadow(cast.astype(np.float32), seam[1], 0.55)
    sheet.lay((ridge * rise(-lean, -0.5, 0.6)).astype(np.float32), seam[0], 0.95)
    sheet.lay((ridge * rise(lean, 0.0, 0.8)).astype(np.float32), seam[1], 0.60)
    glare = (
        np.exp(-(((sheet.x - sheet.aspect * 0.80) / (0.10 + 0.5 * ahead)) ** 2)) * ground_mask * (1 - ahead)
    )
    sheet.shine(glare.astype(np.float32), "#ffc98a", 0.45)
    return sheet


def mirror(seed: int) -> Sheet:
    """Return the flooded edge of the pan at sunset: the sky twice, and a row of old posts."""
    sheet = Sheet(seed)
    horizon = 0.47
    sky: Stops = [
        (0, "#2d4a7d"),
        (0.16, "#6f75a3"),
        (0.30, "#d58f92"),
        (0.40, "#f7b981"),
        (horizon, "#ffe3ac"),
    ]
    sheet.wash(sky)
    for top, foot, colour in ((0.0, 0.26, "#a88aa8"), (0.10, 0.36, "#f5b08a"), (0.2, 0.42, "#fff0cc")):
        streaks(sheet, top, foot, colour, 0.85, -0.05)
    sun(sheet, sheet.aspect * 0.36, horizon - 0.022, 0.022, "#fff6d8", "#ffb562", 0.7)
    _distance(sheet, horizon, ("#b0788a", "#6a5d88", "#eeb08f"), 0.085)
    for number in range(9):
        x = sheet.aspect * (0.60 + 0.040 * number + 0.0035 * number**2)
        tall = 0.030 + 0.012 * number + 0.006 * float(sheet.rng.uniform(-1, 1))
        post = sheet.edge(
            (0.0022 + 0.00055 * number - np.abs(sheet.x - x - 0.05 * (sheet.y - horizon))).astype(np.float32)
        )
        post = post * (sheet.y > horizon - tall) * (sheet.y < horizon + 0.02)
        sheet.lay(post.astype(np.float32), "#2c2442")
    water = sheet.edge(sheet.y - horizon)
    sheet.lay(water, reflected(sheet, horizon, 1.0))
    ahead = rise(sheet.y, horizon, 1.0)
    sheet.shadow(water * (0.35 + 0.65 * ahead), "#8a90b8", 0.42)
    gap, _, tone = _cells(sheet, horizon, 2.3)
    seam = (1 - rise(gap, 0.01, 0.075)) * water * rise(ahead, 0.03, 0.4)
    sheet.lay(seam.astype(np.float32), "#ffe9cd", 0.34)
    sheet.shadow((water * (tone > 0.72) * ahead).astype(np.float32), "#7d7fae", 0.16)
    sheet.shine((np.exp(-(((sheet.y - horizon) / 0.006) ** 2))).astype(np.float32), "#ffdca0", 0.5)
    return sheet


def _crane(sheet: Sheet, x: float, y: float, size: float, colour: str, bow: bool) -> None:
    """Print one tall grey bird, with its reflection left to the water."""
    dx, dy = (sheet.x - x) / size, (sheet.y - y) / size
    parts = [
        1 - np.hypot((dx + 0.02) / 0.30, (dy + 0.02 - 0.25 * dx) / 0.135),
        1 - np.hypot((dx + 0.30) / 0.16, (dy - 0.10) / 0.10),
    ]
    bend = 0.20 + (0.34 if bow else 0.06) * rise(-dy.astype(np.float32), 0.0, 0.6)
    neck = 0.035 - np.abs(dx - bend - 0.05 * np.sin(dy * 6))
    parts.append(np.where((dy < 0.02) & (dy > -0.62), neck * 6, -1))
    head = bend.max()
    parts.append(1 - np.hypot((dx - head - 0.06) / 0.085, (dy + 0.62) / 0.048))
    parts.append(np.where(np.abs(dx - head - 0.20) < 0.10, 0.018 - np.abs(dy + 0.615), -1) * 6)
    parts += [np.where((dy > 0) & (dy < 0.72), 0.016 - np.abs(dx - leg), -1) * 6 for leg in (-0.05, 0.05)]
    sheet.lay(sheet.edge((np.max(parts, axis=0) * size * 0.14).astype(np.float32)), colour)


def mere(seed: int) -> Sheet:
    """Return the reed lake on a pale morning, two cranes small in the gap of the reeds."""
    sheet = Sheet(seed)
    shore = 0.46
    sheet.wash([(0, "#c9d3cb"), (0.28, "#efe6cc"), (shore, "#f8ecd0")])
    range_of_hills(sheet, crest(sheet, 0.42, 0.18, 5), "#d6cbb2", "#b2b9b2", "#eee5cd", 0.47)
    bank = (shore - 0.045 - 0.035 * sheet.profile(60, 6, 0.75)).astype(np.float32)
    sheet.lay(sheet.below(bank, 3), ramp(rise(sheet.y, 0.38, shore), [(0, "#b9a878"), (1, "#8d8a68")]))
    _crane(sheet, sheet.aspect * 0.50, shore + 0.015, 0.105, "#5a6267", False)
    _crane(sheet, sheet.aspect * 0.585, shore + 0.022, 0.100, "#6a7174", True)
    water = sheet.edge(sheet.y - shore - 0.085)
    sheet.lay(water, reflected(sheet, shore + 0.085, 1.0), 0.9)
    ripple = rise(np.sin(np.sqrt(np.clip(sheet.y - shore, 0, 1)) * 210 + sheet.noise(6, 20, 3) * 5), 0.4, 1.0)
    sheet.lay(water * ripple, "#fbf3dd", 0.28)
    sheet.shadow(water * rise(sheet.y, shore, 1.0), "#8ba39b", 0.7)
    haze = np.exp(-(((sheet.y - shore + 0.01) / 0.035) ** 2)).astype(np.float32)
    sheet.lay(haze, "#f7efd9", 0.45)
    for _ in range(420):
        x = float(sheet.rng.beta(0.55, 0.55)) * sheet.aspect
        tall, lean = (
            float(sheet.rng.uniform(0.16, 0.62)) * (0.35 + abs(x / sheet.aspect - 0.5) * 1.5),
            float(sheet.rng.normal(0.05, 0.06)),
        )
        up = np.clip((1.02 - sheet.y) / tall, 0, 1)
        left, right = max(0, int((x - 0.15) * sheet.height)), min(sheet.width, int((x + 0.2) * sheet.height))
        if right - left < 4:
            continue
        part = np.s_[:, left:right]
        stem = 0.0028 * (1.15 - up[part]) - np.abs(sheet.x[part] - x - lean * up[part] ** 1.8)
        head = np.where(up[part] > 0.82, 0.006 * np.sin((up[part] - 0.82) / 0.18 * np.pi), 0)
        mask = np.clip((stem + head) * sheet.height + 0.5, 0, 1) * (up[part] < 0.998)
        tone = np.asarray(
            ramp(np.array([float(sheet.rng.uniform())]), [(0, "#5d5a3c"), (0.6, "#8a7440"), (1, "#b5934f")])[
                0
            ]
        )
        sheet.rgb[part] = sheet.rgb[part] * (1 - mask[..., None]) + tone * mask[..., None]
    sheet.shine(blurred(water * ripple, 8), "#fff2d2", 0.06)
    return sheet
