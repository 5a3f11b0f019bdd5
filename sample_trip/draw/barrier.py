"""The barrier of the rim road, as the small camera saw it: flat morning light, a pole, a hut."""

import numpy as np

from sample_trip.draw.canvas import Field, Sheet, mix, ramp, rise
from sample_trip.draw.land import blocks, boulder, crest, range_of_hills

_ROAD = 0.60  # where the gravel begins, sheet heights


def barrier(seed: int) -> Sheet:
    """Return the barrier with its hut, the road climbing away behind it, 4:3."""
    sheet = Sheet(seed, 1600, 1200)
    sheet.wash([(0, "#a9bcc4"), (0.45, "#e2e2d6")])
    range_of_hills(sheet, crest(sheet, 0.42, 0.22, 4), "#e4e2da", "#97a6ad", "#d3d8d2", 0.50)
    range_of_hills(sheet, crest(sheet, 0.50, 0.12, 6), "#bcb49f", "#95a0a0", "#d0d3ca", 0.58)
    _slope(sheet)
    sheet.lay(
        sheet.edge(sheet.y - _ROAD, 6),
        ramp(0.5 + 0.5 * sheet.noise(40, 30, 4, 0.6), [(0, "#98907f"), (1, "#b7ad98")]),
    )
    _road(sheet)
    for _ in range(26):
        y, side = float(sheet.rng.uniform(0.62, 0.98)), float(sheet.rng.uniform(-1, 1))
        x = sheet.aspect * 0.5 + np.sign(side) * (0.30 + 0.60 * (y - _ROAD) / 0.4 + 0.25 * abs(side))
        boulder(sheet, x, y, 0.008 + 0.030 * (y - _ROAD), "#6d6153", "#dcc6a0", 1.3)
    _hut(sheet, 0.99, 0.742, 0.34, 0.30)
    _pole(sheet)
    sheet.rgb = np.asarray(0.05 + 0.90 * sheet.rgb, dtype=np.float32)
    sheet.lay(np.ones_like(sheet.y), mix("#dcddd2", "#b3c1c4", 0.5), 0.06)
    return sheet


def _slope(sheet: Sheet) -> None:
    """Print the rock that the road climbs round, and the line of the road in it."""
    u = sheet.row / sheet.aspect
    line = (0.16 + 0.50 * rise(u, 0.02, 0.62) + 0.03 * sheet.profile(9, 6)).astype(np.float32)
    mask = sheet.below(line) * (sheet.y < _ROAD + 0.01)
    tone, joint = blocks(
        sheet, (sheet.x / 1.4).astype(np.float32), (sheet.y + 0.12 * sheet.x).astype(np.float32), 15, 9
    )
    body = 0.55 + 0.22 * tone + 0.20 * sheet.noise(8, 8, 4) - 0.35 * rise(sheet.y, 0.2, 0.8)
    sheet.lay(mask, ramp(body.astype(np.float32), [(0, "#6f665c"), (1, "#c4b294")]))
    sheet.shadow(mask * joint, "#6f665c", 0.45)
    lying = rise(sheet.noise(14, 22, 5, 0.6) - (sheet.y - line[None, :]) * 3.2, 0.05, 0.25) * mask
    sheet.lay(lying, "#eef0ec", 0.85)
    climb = (0.555 - 0.20 * rise(0.62 - u, 0.0, 0.62)).astype(np.float32)
    cut = sheet.edge((0.010 - np.abs(sheet.y - climb[None, :])).astype(np.float32), 2) * mask
    sheet.lay(cut, "#cfc4ac", 0.9)
    sheet.shadow(
        sheet.edge((0.004 - np.abs(sheet.y - climb[None, :] - 0.013)).astype(np.float32)) * mask,
        "#5d564e",
        0.7,
    )


def _road(sheet: Sheet) -> None:
    """Print the lane from the foot of the sheet to the bend."""
    ahead = np.clip((sheet.y - _ROAD) / (1 - _ROAD), 0, 1)
    middle = sheet.aspect * (0.42 + 0.08 * ahead)
    lane = sheet.edge((0.10 + 0.66 * ahead**1.1 - np.abs(sheet.x - middle)).astype(np.float32), 5) * (
        ahead > 0
    )
    tone = 0.5 + 0.3 * sheet.noise(5, 40, 4)
    sheet.lay(lane.astype(np.float32), ramp(tone, [(0, "#8e8b86"), (1, "#aca89e")]))
    for side in (-0.45, 0.45):
        rut = np.exp(-(((sheet.x - middle - side * (0.10 + 0.66 * ahead)) / (0.012 + 0.05 * ahead)) ** 2))
        sheet.shadow((lane * rut).astype(np.float32), "#6d675e", 0.35)


def _box(sheet: Sheet, left: float, right: float, top: float, foot: float) -> Field:
    """Return the mask of an upright rectangle, in sheet heights."""
    across = np.minimum(sheet.x - left, right - sheet.x)
    return sheet.edge(np.minimum(across, np.minimum(sheet.y - top, foot - sheet.y)).astype(np.float32))


def _hut(sheet: Sheet, left: float, foot: float, wide: float, tall: float) -> None:
    """Print the guard's hut: two walls, a tin roof with old snow, one window, a stove pipe."""
    turn, top = left + wide * 0.62, foot - tall
    dark = np.exp(-(((sheet.x - left - wide * 0.55) / (wide * 0.6)) ** 2) - ((sheet.y - foot) / 0.02) ** 2)
    sheet.shadow(dark.astype(np.float32), "#4f4c48", 0.6)
    sheet.lay(_box(sheet, left + wide * 0.74, left + wide * 0.77, top - 0.16, top), "#5a5853")
    planks = np.clip(1 - np.abs((sheet.x / 0.030) % 1 - 0.5) * 14, 0, 1).astype(np.float32)
    for a, b, colour in ((left, turn, "#7f9a93"), (turn, left + wide, "#5f7771")):
        wall = _box(sheet, a, b, top, foot)
        sheet.lay(
            wall,
            ramp(
                (0.5 + 0.35 * sheet.noise(10, 8, 4)).astype(np.float32),
                [(0, mix(colour, "#3f4a48", 0.3)), (1, colour)],
            ),
        )
        sheet.shadow(wall * planks, "#3f4a48", 0.35)
    roof = top - 0.085 * (1 - np.abs(sheet.x - left - wide * 0.5) / (wide * 0.5 + 0.03)) + 0.012
    over = _box(sheet, left - 0.025, left + wide + 0.025, 0.0, top + 0.014) * sheet.edge(
        (sheet.y - roof).astype(np.float32)
    )
    sheet.lay(over, "#8c5a48")
    sheet.lay(over * sheet.edge((0.026 - (sheet.y - roof)).astype(np.float32), 3), "#eef0ec", 0.9)
    pane = _box(sheet, left + wide * 0.16, left + wide * 0.44, top + tall * 0.26, top + tall * 0.54)
    sheet.lay(
        _box(sheet, left + wide * 0.14, left + wide * 0.46, top + tall * 0.23, top + tall * 0.57), "#e4dfd0"
    )
    sheet.lay(pane, ramp(sheet.y, [(top + tall * 0.26, "#4a5a62"), (top + tall * 0.54, "#8fa3a8")]))
    sheet.lay(pane * (np.abs(sheet.x - left - wide * 0.30) < 0.004), "#e4dfd0")
    door = _box(sheet, turn + wide * 0.10, turn + wide * 0.28, top + tall * 0.30, foot)
    sheet.lay(door, "#4c4f4b")


def _pole(sheet: Sheet) -> None:
    """Print the striped pole across the lane, its posts, its weight and the board below it."""
    for x in (0.17, 0.70):
        sheet.lay(_box(sheet, sheet.aspect * x - 0.014, sheet.aspect * x + 0.014, 0.735, 0.905), "#4f4c48")
    level = 0.765 + 0.012 * (sheet.x / sheet.aspect - 0.4)
    bar = sheet.edge((0.016 - np.abs(sheet.y - level)).astype(np.float32)) * sheet.edge(
        np.minimum(sheet.x - sheet.aspect * 0.13, sheet.aspect * 0.78 - sheet.x).astype(np.float32)
    )
    red = ((sheet.x + sheet.y * 0.8) / 0.09 % 1 > 0.5).astype(np.float32)
    sheet.lay(bar, ramp(red, [(0, "#ece7da"), (1, "#b8493a")]))
    sheet.shadow(bar * rise(sheet.y, 0.765, 0.785), "#6d6153", 0.4)
    weight = _box(sheet, sheet.aspect * 0.745, sheet.aspect * 0.785, 0.735, 0.815)
    sheet.lay(weight, "#3f3d3a")
    board = _box(sheet, sheet.aspect * 0.36, sheet.aspect * 0.50, 0.795, 0.875)
    sheet.lay(_box(sheet, sheet.aspect * 0.355, sheet.aspect * 0.505, 0.787, 0.883), "#8a857a")
    sheet.lay(board, "#ece7da")
    for line, share in ((0.815, 0.80), (0.835, 0.62), (0.855, 0.72)):
        words = _box(
            sheet, sheet.aspect * 0.37, sheet.aspect * (0.37 + 0.12 * share), line - 0.004, line + 0.004
        )
        sheet.lay(words, "#6d6153", 0.9)
