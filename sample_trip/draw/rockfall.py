"""The closed road below the north rim, as the small camera saw it: flat light, a barrier, the fall."""

import numpy as np

from sample_trip.draw.canvas import Sheet, mix, ramp, rise
from sample_trip.draw.land import blocks, boulder, crest, range_of_hills


def rockfall(seed: int) -> Sheet:
    """Return the barrier and the blocks on the road, 4:3."""
    sheet = Sheet(seed, 1600, 1200)
    sheet.wash([(0, "#b3c1c4"), (0.45, "#dcddd2")])
    range_of_hills(sheet, crest(sheet, 0.44, 0.16, 5), "#bcb49f", "#95a0a0", "#d0d3ca", 0.52)
    u = sheet.row / sheet.aspect
    slope = (0.02 + 0.62 * rise(u, 0.16, 0.95) + 0.04 * sheet.profile(9, 6)).astype(np.float32)
    tone, joint = blocks(
        sheet, (sheet.x / 1.4).astype(np.float32), (sheet.y + 0.12 * sheet.x).astype(np.float32), 15, 9
    )
    body = 0.55 + 0.22 * tone + 0.20 * sheet.noise(8, 8, 4) - 0.35 * rise(sheet.y, 0.2, 0.8)
    sheet.lay(sheet.below(slope), ramp(body.astype(np.float32), [(0, "#6f665c"), (1, "#c4b294")]))
    sheet.shadow(sheet.below(slope) * joint, "#6f665c", 0.45)
    scar = rise(
        sheet.noise(5, 3, 5, 0.6) + 0.9 - np.abs(u[None, :] - 0.36 - 0.14 * (sheet.y - 0.3)) * 7, 0.4, 0.7
    )
    sheet.lay(
        sheet.below(slope) * scar * (1 - rise(sheet.y, 0.60, 0.75)),
        ramp(0.5 + 0.5 * sheet.noise(14, 20, 4), [(0, "#b58f6d"), (1, "#e2cda9")]),
        0.85,
    )
    road = np.maximum(0.60, 0.60 + 0 * sheet.row).astype(np.float32)
    sheet.lay(
        sheet.below(road, 6), ramp(0.5 + 0.5 * sheet.noise(40, 30, 4, 0.6), [(0, "#98907f"), (1, "#b7ad98")])
    )
    ahead = np.clip((sheet.y - 0.60) / 0.40, 0, 1)
    lane = sheet.edge((0.16 + 0.62 * ahead - np.abs(sheet.x - sheet.aspect * 0.52)).astype(np.float32), 5) * (
        ahead > 0
    )
    sheet.lay(
        lane.astype(np.float32), ramp(0.5 + 0.3 * sheet.noise(5, 40, 4), [(0, "#8e8b86"), (1, "#a9a59c")])
    )
    places = sorted(
        (float(sheet.rng.uniform(0.57, 0.75)), float(sheet.rng.normal(0.46, 0.13))) for _ in range(36)
    )
    for y, x in places:
        size = float(sheet.rng.uniform(0.014, 0.085)) * (0.6 + (y - 0.57) * 3)
        dark = np.exp(
            -(((sheet.x - x * sheet.aspect - size * 0.2) / (size * 1.3)) ** 2)
            - ((sheet.y - y - size * 0.32) / (size * 0.25)) ** 2
        )
        sheet.shadow(dark.astype(np.float32), "#5d564e", 0.6)
        boulder(sheet, x * sheet.aspect, y, size, "#6d6153", "#dcc6a0", 1.25)
    for x in (0.20, 0.82):
        leg = (
            sheet.edge((0.012 - np.abs(sheet.x - sheet.aspect * x)).astype(np.float32))
            * (sheet.y > 0.74)
            * (sheet.y < 0.90)
        )
        sheet.lay(leg.astype(np.float32), "#4f4c48")
    bar = sheet.edge((0.017 - np.abs(sheet.y - 0.765)).astype(np.float32)) * sheet.edge(
        (sheet.aspect * 0.35 - np.abs(sheet.x - sheet.aspect * 0.51)).astype(np.float32)
    )
    red = ((sheet.x + sheet.y * 0.8) / 0.09 % 1 > 0.5).astype(np.float32)
    sheet.lay(bar, ramp(red, [(0, "#ece7da"), (1, "#b8493a")]))
    sheet.shadow(bar * rise(sheet.y, 0.765, 0.785), "#6d6153", 0.4)
    sheet.rgb = np.asarray(0.05 + 0.90 * sheet.rgb, dtype=np.float32)
    sheet.lay(np.ones_like(sheet.y), mix("#dcddd2", "#b3c1c4", 0.5), 0.06)
    return sheet
