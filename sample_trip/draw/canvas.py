"""The drawing table: a sheet of paper in floating point, noise, soft-edged masks, and the finish.

One surprising decision: positions are measured in sheet heights (y 0..1 down, x 0..aspect), so a scene keeps
its composition whatever the number of pixels.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Field = NDArray[np.floating[Any]]  # (height, width), or one row or column of it
Pixels = NDArray[np.floating[Any]]  # (height, width, 3), sRGB 0..1
Ink = tuple[float, float, float]
Stops = Sequence[tuple[float, str]]  # (position, "#rrggbb")


def ink(code: str) -> Ink:
    """Return "#rrggbb" as three numbers 0..1."""
    return (int(code[1:3], 16) / 255, int(code[3:5], 16) / 255, int(code[5:7], 16) / 255)


def mix(one: str, other: str, share: float) -> str:
    """Return the colour `share` of the way from one to the other."""
    parts = (a + (b - a) * share for a, b in zip(ink(one), ink(other), strict=True))
    return "#" + "".join(f"{round(255 * min(1.0, max(0.0, part))):02x}" for part in parts)


def ramp(where: Field, stops: Stops) -> Pixels:
    """Return the colours that a field of positions takes between the stops."""
    at = [stop for stop, _ in stops]
    inks = [ink(code) for _, code in stops]
    return np.stack([np.interp(where, at, [i[c] for i in inks]) for c in range(3)], axis=-1).astype(
        np.float32
    )


def rise(value: Field, low: float, high: float) -> Field:
    """Return 0 below `low`, 1 above `high`, and a smooth step between."""
    t = np.clip((value - low) / (high - low), 0, 1)
    return np.asarray(t * t * (3 - 2 * t), dtype=np.float32)


def resized(field: Field, width: int, height: int) -> Field:
    """Return a field scaled smoothly to another size."""
    picture = Image.fromarray(np.ascontiguousarray(field, dtype=np.float32), "F")
    return np.asarray(picture.resize((width, height), Image.Resampling.BICUBIC), dtype=np.float32)


def sample(texture: Field, u: Field, v: Field) -> Field:
    """Return the texture at (u, v) in texture lengths, mirrored at its edges, bilinear."""
    rows, columns = texture.shape
    fx = np.abs((u + 1) % 2 - 1) * (columns - 1.001)
    fy = np.abs((v + 1) % 2 - 1) * (rows - 1.001)
    ix, iy = fx.astype(np.int32), fy.astype(np.int32)
    tx, ty = fx - ix, fy - iy
    top = texture[iy, ix] * (1 - tx) + texture[iy, ix + 1] * tx
    low = texture[iy + 1, ix] * (1 - tx) + texture[iy + 1, ix + 1] * tx
    return np.asarray(top * (1 - ty) + low * ty, dtype=np.float32)


def blurred(field: Field, radius: float) -> Field:
    """Return the field blurred by about a Gaussian of `radius` pixels: three box passes, reduced."""
    height, width = field.shape
    shrink = max(1, int(radius // 6))
    small = field if shrink == 1 else resized(field, max(2, width // shrink), max(2, height // shrink))
    reach = max(1, round(radius / shrink))
    for axis in (0, 1):
        for _ in range(3):
            padded = np.pad(small, [(reach + 1, reach) if a == axis else (0, 0) for a in (0, 1)], mode="edge")
            total = np.cumsum(padded, axis=axis, dtype=np.float64)
            n = small.shape[axis]
            ahead, behind = (np.take(total, np.arange(s, s + n), axis=axis) for s in (2 * reach + 1, 0))
            small = ((ahead - behind) / (2 * reach + 1)).astype(np.float32)
    return small if shrink == 1 else resized(small, width, height)


class Sheet:
    """A sheet being printed: layers of ink go on one after the other."""

    def __init__(self, seed: int, width: int = 1800, height: int = 1200) -> None:
        self.width, self.height = width, height
        self.rng = np.random.default_rng(seed)
        self.aspect = width / height
        self.y, self.x = (
            np.asarray(a, dtype=np.float32)
            for a in np.meshgrid(
                (np.arange(height) + 0.5) / height, (np.arange(width) + 0.5) / height, indexing="ij"
            )
        )
        self.row: Field = self.x[0]
        self.rgb: Pixels = np.ones((height, width, 3), dtype=np.float32)

    def reseed(self, seed: int) -> None:
        """Start the dice anew, so that one part of a scene is the same whatever was printed before it."""
        self.rng = np.random.default_rng(seed)

    def noise(self, across: float, down: float, octaves: int = 4, fade: float = 0.5) -> Field:
        """Return value noise, mean 0, about -1..1, with so many cells across and down the sheet."""
        total = np.zeros((self.height, self.width), dtype=np.float32)
        weight, full = 1.0, 0.0
        for _ in range(octaves):
            grid = self.rng.uniform(-1, 1, (max(2, round(down) + 2), max(2, round(across) + 2)))
            total += weight * resized(grid.astype(np.float32), self.width, self.height)
            full += weight
            weight, across, down = weight * fade, across * 2, down * 2
            if max(across, down) > self.width / 2:
                break
        return np.asarray(total / full * 1.6, dtype=np.float32)

    def profile(self, cells: float, octaves: int = 6, fade: float = 0.5, sharp: float = 0.0) -> Field:
        """Return one row of noise in 0..1; `sharp` turns its swells into peaks."""
        total = np.zeros(self.width, dtype=np.float64)
        weight, full = 1.0, 0.0
        for _ in range(octaves):
            knots = self.rng.uniform(0, 1, int(cells) + 4)
            at = np.linspace(0, int(cells) + 2.5, self.width)
            left = at.astype(int)
            t = at - left
            t = t * t * (3 - 2 * t) * (1 - sharp) + t * sharp
            total += weight * (knots[left] * (1 - t) + knots[left + 1] * t)
            full += weight
            weight, cells = weight * fade, cells * 2.1
        return np.asarray(total / full, dtype=np.float32)

    def edge(self, distance: Field, soft: float = 1.0) -> Field:
        """Return a mask that is 1 where `distance` (in heights) is positive, soft over `soft` pixels."""
        return np.asarray(np.clip(distance * self.height / soft + 0.5, 0, 1), dtype=np.float32)

    def below(self, crest: Field, soft: float = 1.0) -> Field:
        """Return the mask of all that lies under a line y = crest(x)."""
        return self.edge(self.y - crest[None, :], soft)

    def wash(self, stops: Stops) -> None:
        """Cover the sheet with a gradient from top to bottom."""
        self.rgb = ramp(self.y, stops)

    def lay(self, mask: Field, colour: str | Pixels, opacity: float = 1.0) -> None:
        """Print a colour, or a picture, through a mask."""
        over = np.asarray(ink(colour), dtype=np.float32) if isinstance(colour, str) else colour
        share = (mask * opacity)[..., None]
        self.rgb = np.asarray(self.rgb * (1 - share) + over * share, dtype=np.float32)

    def shine(self, light: Field, colour: str, strength: float = 1.0) -> None:
        """Add light: bright inks screen over what is there."""
        over = np.clip(light * strength, 0, None)[..., None] * np.asarray(ink(colour), dtype=np.float32)
        self.rgb = np.asarray(1 - (1 - self.rgb) * (1 - np.clip(over, 0, 1)), dtype=np.float32)

    def shadow(self, dark: Field, colour: str, strength: float = 1.0) -> None:
        """Multiply with a dark ink, as a second pull over the first would."""
        tint = np.asarray(ink(colour), dtype=np.float32)
        share = np.clip(dark * strength, 0, 1)[..., None]
        self.rgb = np.asarray(self.rgb * (1 - share * (1 - tint)), dtype=np.float32)

    def finish(self, grain: float = 0.007, vignette: float = 0.10, exposure: float = 0.0) -> Image.Image:
        """Return the picture, with paper grain, a slight fall-off and `exposure` stops more light."""
        rgb = self.rgb
        if exposure:
            linear = np.power(np.clip(rgb, 0, 1), 2.2) * 2.0**exposure
            rgb = (
                np.power(1 - np.exp(-linear * (1 + 0.35 * linear)), 1 / 2.2)
                if exposure > 0
                else linear ** (1 / 2.2)
            )
        paper = self.rng.normal(0, 1, (self.height // 2, self.width // 2)).astype(np.float32)
        rgb = rgb + (resized(paper, self.width, self.height) * grain)[..., None]
        far = (self.x / self.aspect - 0.5) ** 2 + (self.y - 0.5) ** 2
        rgb = rgb * (1 - vignette * rise(far.astype(np.float32), 0.12, 0.55))[..., None]
        return Image.fromarray((np.clip(rgb, 0, 1) * 255 + 0.5).astype(np.uint8), "RGB")
