"""Pictures blurred by known amounts: drawn scenes and real ones, made as a camera would write them.

Stones and blocks stand still; the water below them moves from frame to frame, frozen in some and smooth in
others. Blur is a Gaussian (scipy), a disc (defocus) or a line (movement); noise grows with the root of ISO
(1 of 255 at ISO 100 in the middle tones, in each colour; 8 at ISO 6400); Pillow writes the JPEG. None of this
shares code with the program.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy import ndimage

Grey = NDArray[np.float64]
WIDTH, HEIGHT = 900, 700
SHIFTED_PX = 9  # that frames of one framing may lie apart
SHORE = 0.68  # of the height: below it is water


class Kernel(StrEnum):
    """What blurs: its amount in px is σ, a diameter or a length."""

    GAUSSIAN = "gaussian"
    DISC = "disc"
    LINE = "line"


# What a step becomes: the length of a straight ramp as steep as the steepest part of the kernel's integral.
RAMP = {Kernel.GAUSSIAN: (2 * np.pi) ** 0.5, Kernel.DISC: np.pi / 4, Kernel.LINE: 1.0}
MOST = {Kernel.GAUSSIAN: 4.0, Kernel.DISC: 16.0, Kernel.LINE: 8.0}  # px


@dataclass(frozen=True, slots=True)
class Frame:
    """One frame: its luminance as decoded, and what was done to it."""

    luminance: NDArray[np.uint8]
    kernel: Kernel
    amount_px: float
    iso: int
    quality: int

    @property
    def ramp_px(self) -> float:
        """How long a ramp the blur makes of a step that lies across it."""
        return float(RAMP[self.kernel] * self.amount_px)


def stones(rng: np.random.Generator) -> Grey:
    """Draw overlapping stones with a faint grain."""
    large = Image.new("L", (2 * WIDTH, 2 * HEIGHT), int(rng.integers(60, 150)))
    pen = ImageDraw.Draw(large)
    for _ in range(60):
        at, reach = rng.uniform(0, (2 * WIDTH, 2 * HEIGHT)), rng.uniform(0.03, 0.12) * 2 * WIDTH
        turns = np.sort(rng.uniform(0, 2 * np.pi, int(rng.integers(5, 11))))
        out = reach * rng.uniform(0.6, 1, len(turns))
        corners = np.stack([at[0] + out * np.cos(turns), at[1] + out * np.sin(turns)], 1)
        pen.polygon([(float(x), float(y)) for x, y in corners], fill=int(rng.integers(25, 225)))
    grain = ndimage.gaussian_filter(rng.normal(size=(HEIGHT, WIDTH)), 1)
    return np.asarray(halved(large, 2) + 4 * grain / grain.std())


def blocks(rng: np.random.Generator) -> Grey:
    """Draw slanted squares, each with two directions of edges."""
    large = Image.new("L", (3 * WIDTH, 3 * HEIGHT), 200)
    pen = ImageDraw.Draw(large)
    for row in range(3):
        for column in range(4):
            x, y = (column + 0.5) * 3 * WIDTH / 4, (row + 0.5) * HEIGHT
            turns = rng.uniform(0, 1.5) + np.arange(4) * np.pi / 2
            reach = 0.24 * WIDTH
            pen.polygon([(x + reach * np.cos(t), y + reach * np.sin(t)) for t in turns], fill=60)
    return halved(large, 3)


def rock_face(rng: np.random.Generator) -> Grey:
    """Draw stones with the texture of rock, whose spectrum falls as natural ones do."""
    frequency = np.hypot(*np.meshgrid(np.fft.rfftfreq(WIDTH), np.fft.fftfreq(HEIGHT)))
    frequency[0, 0] = 1
    spectrum = np.fft.rfft2(rng.normal(size=(HEIGHT, WIDTH))) / frequency**1.1
    texture = np.fft.irfft2(spectrum, (HEIGHT, WIDTH))
    texture = (texture - texture.mean()) / texture.std()
    return np.asarray(np.clip(0.7 * stones(rng) + 35 + 18 * texture, 0, 255))


def halved(large: Image.Image, by: int) -> Grey:
    """Return a drawing averaged over `by` px both ways, as a sensor does."""
    return np.asarray(np.asarray(large, float).reshape(HEIGHT, by, WIDTH, by).mean((1, 3)))


def photograph(path: Path) -> Callable[[np.random.Generator], Grey]:
    """Return what gives a real picture in grey."""

    def of_file(_rng: np.random.Generator) -> Grey:
        with Image.open(path) as opened:
            return np.asarray(opened.convert("L"), float)

    return of_file


DRAWN: dict[str, Callable[[np.random.Generator], Grey]] = {
    "stones": stones,
    "blocks": blocks,
    "rock face": rock_face,
}


def framing(
    scene: Callable[[np.random.Generator], Grey], seed: int, count: int, *, has_water: bool
) -> Iterator[Frame]:
    """Yield frames of one framing: three of them not blurred, the others by amounts at random."""
    rng = np.random.default_rng(seed)
    still = scene(rng)
    for number in range(count):
        kernel = list(Kernel)[int(rng.integers(len(Kernel)))]
        amount = 0.0 if number < 3 else float(rng.uniform(0, MOST[kernel]))
        x, y = (int(one) for one in rng.integers(0, SHIFTED_PX, 2))
        seen = still[y : still.shape[0] - SHIFTED_PX + y, x : still.shape[1] - SHIFTED_PX + x]
        seen = with_water(seen, rng) if has_water else seen
        seen = blurred(seen, kernel, amount, float(rng.uniform(0, np.pi)))
        iso, quality = int(100 * 2 ** rng.uniform(0, 6)), int(rng.integers(70, 96))
        yield Frame(
            written(seen * 2 ** rng.uniform(-0.5, 0.2), iso, quality, rng), kernel, amount, iso, quality
        )


def with_water(still: Grey, rng: np.random.Generator) -> Grey:
    """Return the scene with water in its lower part, frozen or smooth, never the same twice."""
    shore = int(SHORE * still.shape[0])
    waves = rng.normal(size=(still.shape[0] - shore, still.shape[1]))
    frozen = rng.random() < 0.5
    waves = ndimage.gaussian_filter(waves, (1, 2) if frozen else (2, 40))
    result = still.copy()
    result[shore:] = np.clip(120 + (45 if frozen else 18) * waves / waves.std(), 0, 250)
    return result


def blurred(seen: Grey, kernel: Kernel, amount_px: float, angle: float = 0.0) -> Grey:
    """Return a scene blurred by so many px; `angle` in radians is that of a line."""
    if not amount_px:
        return seen
    if kernel is Kernel.GAUSSIAN:
        return np.asarray(ndimage.gaussian_filter(seen, amount_px))
    shape = disc(amount_px) if kernel is Kernel.DISC else line(amount_px, angle)
    around = shape.shape[0] // 2
    from scipy import signal  # a second to import

    return np.asarray(signal.fftconvolve(np.pad(seen, around, mode="reflect"), shape, mode="valid"))


def disc(diameter_px: float) -> Grey:
    """Return a disc, its rim averaged over 15 by 15 parts of each px."""
    reach = int(np.ceil(diameter_px / 2)) + 1
    side = 2 * reach + 1
    at = (np.arange(side * 15) + 0.5) / 15 - side / 2
    inside = np.hypot(*np.meshgrid(at, at)) <= diameter_px / 2
    shape = inside.astype(float).reshape(side, 15, side, 15).mean((1, 3))
    return np.asarray(shape / shape.sum())


def line(length_px: float, angle: float) -> Grey:
    """Return a line through the middle, shared among the px that it passes."""
    reach = int(np.ceil(length_px / 2)) + 1
    shape = np.zeros((2 * reach + 2, 2 * reach + 2))
    for along in np.linspace(-length_px / 2, length_px / 2, 401):
        x, y = reach + along * np.cos(angle), reach + along * np.sin(angle)
        left, top = int(x), int(y)
        for right, wide in ((0, left + 1 - x), (1, x - left)):
            for down, high in ((0, top + 1 - y), (1, y - top)):
                shape[top + down, left + right] += wide * high
    return np.asarray(shape[:-1, :-1] / shape[:-1, :-1].sum())


def written(seen: Grey, iso: int, quality: int, rng: np.random.Generator) -> NDArray[np.uint8]:
    """Return the luminance of a JPEG that a camera would write: noise in each colour, then the coding."""
    noise = (iso / 100) ** 0.5 * (0.3 + 0.7 * np.clip(seen, 0, 255) / 128) ** 0.5
    colours = seen[..., None] + rng.normal(size=(*seen.shape, 3)) * noise[..., None]
    return decoded(jpeg(np.clip(colours + 0.5, 0, 255).astype(np.uint8), quality))


def jpeg(colours: NDArray[np.uint8], quality: int, **more: Any) -> bytes:
    """Return a picture as a JPEG file."""
    file = BytesIO()
    Image.fromarray(colours).save(file, "JPEG", quality=quality, **more)
    return file.getvalue()


def decoded(file: bytes) -> NDArray[np.uint8]:
    """Return the luminance of a JPEG file."""
    with Image.open(BytesIO(file)) as opened:
        return np.asarray(opened.convert("L"))
