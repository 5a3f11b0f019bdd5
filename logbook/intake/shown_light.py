"""How bright a picture came out: its mean linear light, in stops from a middle grey.

One surprising decision: the tone curve that is undone is the standard one of sRGB alone. What a camera or a
person did beyond it differs from picture to picture, and is the doubt with which the figure is used.
"""

from functools import cache
from math import log2
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image as Pillow

GREY_SHARE = 0.18  # of the light of white; a middle grey
LONG_PX = 256  # longer side of the small copy that is averaged; every so-many-th pixel, nothing blended
DARKEST_STOPS = -12.0  # stops; a black picture has no logarithm, and 8 bits tell no less


def shown_stops(picture: "Pillow.Image") -> float | None:
    """Return how much brighter than a middle grey a picture is on average; None where it has no tones.

    The transfer curve of IEC 61966-2-1 (sRGB) is undone on its luminance.
    """
    from PIL import Image as Pillow

    share = LONG_PX / max(picture.size)
    if share < 1:
        size = (max(1, round(picture.width * share)), max(1, round(picture.height * share)))
        picture = picture.resize(size, Pillow.Resampling.NEAREST)
    if picture.mode not in ("L", "RGB"):
        picture = picture.convert("RGB")
    counts = picture.convert("L").histogram()
    total = sum(counts)
    if not total:
        return None
    light = sum(count * linear for count, linear in zip(counts, _linear(), strict=True)) / total
    return DARKEST_STOPS if light <= 0 else max(DARKEST_STOPS, log2(light / GREY_SHARE))


@cache
def _linear() -> tuple[float, ...]:
    """The light of each of 256 steps, as a share of white (IEC 61966-2-1)."""
    steps = [step / 255 for step in range(256)]
    return tuple(one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in steps)
