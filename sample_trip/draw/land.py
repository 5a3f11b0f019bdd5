"""What several scenes share: skies, ranges in haze, the sun, water with and without texture, stars."""

import numpy as np

from sample_trip.draw.canvas import Field, Pixels, Sheet, Stops, blurred, ramp, rise, sample


def sun(sheet: Sheet, x: float, y: float, radius: float, disc: str, halo: str, strength: float = 0.6) -> None:
    """Print a sun or a moon with its halo."""
    far = np.hypot(sheet.x - x, sheet.y - y).astype(np.float32)
    sheet.shine(np.exp(-far / (radius * 7)).astype(np.float32), halo, strength)
    sheet.lay(sheet.edge(radius - far, 2), disc)


def streaks(sheet: Sheet, top: float, foot: float, colour: str, opacity: float, cover: float = 0.1) -> None:
    """Print long flat clouds between two heights."""
    clouds = sheet.noise(3, 26, 5, 0.55)
    band = rise(sheet.y, top, (top + foot) / 2) * (1 - rise(sheet.y, (top + foot) / 2, foot))
    sheet.lay(rise(clouds, cover, cover + 0.55) * band, colour, opacity)


def crest(
    sheet: Sheet, base: float, height: float, cells: float, sharp: float = 0.7, fade: float = 0.48
) -> Field:
    """Return a skyline: y of each column, `height` tall at most, standing on `base`."""
    shape = sheet.profile(cells, 7, fade, sharp)
    shape = (shape - shape.min()) / (np.ptp(shape) + 1e-6)
    return np.asarray(base - height * shape, dtype=np.float32)


def range_of_hills(
    sheet: Sheet,
    line: Field,
    light: str,
    shade: str,
    haze: str,
    foot: float,
    facets: float = 0.8,
    lean: float = 0.9,
) -> None:
    """Print one range: a lit and a shaded side that fall away from each summit, dissolving in haze below."""
    mask = sheet.below(line)
    depth = np.clip(sheet.y - line[None, :], 0, None)
    slope = (
        np.gradient(np.convolve(np.pad(line, 12, mode="edge"), np.ones(25) / 25, mode="valid")) * sheet.height
    )
    texture = sheet.noise(26, 9, 5, 0.6)
    across = (sheet.x + depth * lean * 0.5) / sheet.aspect
    side = np.interp(np.clip(across, 0, 1) * (sheet.width - 1), np.arange(sheet.width), slope).astype(
        np.float32
    )
    lit = rise(side * 1.1 + sample(texture, across, depth * 1.3 + 0.1) * facets, -0.14, 0.14)
    body = ramp(lit, [(0, shade), (1, light)])
    thick = rise(depth / max(1e-3, foot - float(line.min())), 0.05, 0.95)[..., None]
    sheet.lay(
        mask, np.asarray(body * (1 - thick) + ramp(thick[..., 0] * 0, [(0, haze)]) * thick, dtype=np.float32)
    )


def flow(sheet: Sheet, u: Field, v: Field, long: float, across: float, octaves: int = 4) -> Field:
    """Return noise drawn out along v (the current): the tracks that a long exposure leaves."""
    texture = sheet.noise(across, 3, octaves, 0.6)
    return sample(texture, u, v * long)


def smooth_water(
    sheet: Sheet, mask: Field, u: Field, v: Field, stops: Stops, veil: str, amount: float
) -> None:
    """Print water as seconds record it: a glaze of the sky, with pale threads along the current."""
    sheet.lay(mask, ramp(sheet.y, stops))
    threads = flow(sheet, u, v, 0.35, 16) * 0.65 + flow(sheet, u, v, 0.9, 46) * 0.35
    sheet.lay(mask * rise(threads, -0.05, 0.75), veil, amount)
    sheet.shadow(mask * rise(-threads, 0.1, 0.9), stops[-1][1], amount * 0.5)


def rough_water(
    sheet: Sheet, mask: Field, u: Field, v: Field, stops: Stops, foam: str, amount: float
) -> None:
    """Print water as a short time records it: facets, dark hollows and hard flecks of foam."""
    sheet.lay(mask, ramp(sheet.y, stops))
    chop = sample(sheet.noise(46, 60, 4, 0.65), u, v)
    fleck = sample(sheet.noise(90, 110, 3, 0.7), u * 1.3 + 0.1, v * 1.2)
    sheet.shadow(mask * rise(chop, 0.0, 0.25), stops[-1][1], 0.42)
    sheet.lay(mask * rise(-chop, 0.12, 0.36), foam, amount * 0.22)
    sheet.lay(mask * rise(fleck - chop * 0.8, 0.60, 0.78), foam, amount * 0.8)


def stars(sheet: Sheet, count: int, horizon: float, strength: float = 1.0) -> Field:
    """Return a field of star points, brighter ones larger."""
    field = np.zeros((sheet.height, sheet.width), dtype=np.float32)
    for _ in range(count):
        column, line = (
            sheet.rng.integers(1, sheet.width - 1),
            sheet.rng.integers(1, int(sheet.height * horizon)),
        )
        light = float(sheet.rng.power(0.4)) * strength
        field[line, column] += light
        if light > 0.55:
            field[line - 1 : line + 2, column - 1 : column + 2] += light * 0.35
    return field


def lamps(sheet: Sheet, field: Field, colour: str, core: str, reach: float = 1.0, wide: float = 1.0) -> None:
    """Print points of light: a core, a halo, and the warmth they give to what stands near."""
    sheet.shine(blurred(field, 60 * reach), colour, 420 * wide * reach * reach)
    sheet.shine(blurred(field, 16 * reach), colour, 130 * reach * reach)
    sheet.shine(blurred(field, 5 * reach), colour, 60 * reach * reach)
    sheet.lay(np.clip(blurred(field, 1.6 * reach) * 26 * reach, 0, 1), core)


def blocks(
    sheet: Sheet, u: Field, v: Field, rows: int, columns: int, seed_shift: int = 0
) -> tuple[Field, Field]:
    """Return (tone -1..1 of each block, joint mask) for masonry or quarried rock over u, v in 0..1."""
    rng = np.random.default_rng(int(sheet.rng.integers(1 << 30)) + seed_shift)
    tops = np.sort(np.concatenate(([0.0], rng.uniform(0, 1, rows - 1), [1.0])))
    row = np.clip(np.searchsorted(tops, np.clip(v, 0, 0.9999)) - 1, 0, rows - 1)
    shift = rng.uniform(0, 1, rows)[row]
    wide = rng.uniform(0.6, 1.6, rows)[row]
    at = u * columns * wide + shift * 7
    column = np.floor(at).astype(np.int64)
    tone = np.sin(column * 127.1 + row * 311.7) * 43758.5453
    tone = (tone - np.floor(tone)) * 2 - 1
    in_row = (np.clip(v, 0, 0.9999) - tops[row]) * sheet.height
    in_column = (at - column) / (columns * wide) * sheet.height
    joint = np.maximum(1 - in_row / 2.2, 1 - in_column / 2.2)
    return tone.astype(np.float32), np.clip(joint, 0, 1).astype(np.float32)


def reflected(sheet: Sheet, shore: float, depth: float = 1.0) -> Pixels:
    """Return the picture mirrored at the shore line, for printing into water."""
    line = int(shore * sheet.height)
    rows = np.clip(2 * line - line - (np.arange(sheet.height) - line) / depth, 0, sheet.height - 1).astype(
        int
    )
    return np.asarray(sheet.rgb[rows], dtype=np.float32)


def boulder(
    sheet: Sheet, x: float, y: float, size: float, shade: str, light: str, flat: float = 1.55
) -> None:
    """Print one boulder as a cut solid: planes around a lump, each taking the light from the upper left."""
    reach = int(size * 1.9 * sheet.height)
    row, column = int(y * sheet.height), int(x * sheet.height)
    rows = slice(max(0, row - reach), min(sheet.height, row + reach))
    columns = slice(max(0, column - reach), min(sheet.width, column + reach))
    normals = sheet.rng.normal(0, 1, (15, 3))
    normals[:, 2] = np.abs(normals[:, 2]) + 0.15
    around = np.linspace(0, 2 * np.pi, 8, endpoint=False) + float(sheet.rng.uniform(0, 1))
    skirt = np.stack(
        [np.cos(around), np.sin(around), np.full(8, 0.22)], axis=1
    )  # closes the lump on all sides
    normals = np.concatenate([normals, skirt])
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    if rows.start >= rows.stop or columns.start >= columns.stop:
        return
    dx = (sheet.x[rows, columns] - x) / size / 1.35
    dy = (sheet.y[rows, columns] - y) / size * flat / 1.35
    tops = np.stack([(1 - n[0] * dx - n[1] * dy) / n[2] for n in normals])
    z = tops.min(axis=0)
    toward = normals @ np.array([-0.45, -0.80, 0.40])
    tone = np.clip(0.30 + 0.55 * toward[tops.argmin(axis=0)], 0, 1)
    rim = np.clip(z / 1.2 * size * sheet.height / 4, 0, 1) * np.clip(
        (0.42 - dy) * size * sheet.height / flat, 0, 1
    )
    body = ramp(tone.astype(np.float32), [(0, shade), (1, light)])
    part = sheet.rgb[rows, columns]
    sheet.rgb[rows, columns] = part * (1 - rim[..., None]) + body * rim[..., None]
