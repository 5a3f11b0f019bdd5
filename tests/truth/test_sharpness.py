"""Sharpness against pictures blurred by known amounts, drawn and real.

The truth is the kernel that blurred each frame (Gaussians of scipy, discs and lines drawn by the tests), as
the length of the ramp that it makes of a step, at noise of ISO 100 to 6400 and JPEG quality 70 to 95; ranks
are compared with scipy's Spearman coefficient, which must be 0.95. A frame blurred by less than 1 px, of
whatever kernel, must never be called soft. The real picture is that of Debian's package
golang-github-rwcarlsen-goexif-dev. `python -m tests.trials.sharpness` does the same with many more frames,
and with a folder of pictures.
"""

from pathlib import Path

import pytest

from logbook.craft.softness import is_sharp, losses
from tests.craft.whole_pictures import edges_of
from tests.truth.blurred_pictures import DRAWN, Frame, framing, photograph

PHOTOGRAPH = Path("/usr/share/gocode/src/github.com/rwcarlsen/goexif/exif/sample1.jpg")
LEAST_RANK = 0.95
FRAMES = 16
BLURRED_PX = 5.0  # of ramp: called soft from here on, in all but one frame in ten


def judged(frames: list[Frame]) -> list[tuple[Frame, float, bool | None]]:
    """Return each frame with what it lost and whether it is called sharp."""
    edges = [edges_of(frame.luminance) for frame in frames]
    known = [one for one in edges if one is not None]
    assert len(known) == len(frames)
    result = []
    for frame, one, loss in zip(frames, known, losses(known), strict=True):
        assert loss is not None
        result.append((frame, loss.lost_px, is_sharp(one, loss, known[loss.sharpest])))
    return result


def check(frames: list[Frame]) -> None:
    found = judged(frames)
    from scipy.stats import spearmanr  # a second to import

    rank = spearmanr([frame.ramp_px for frame, _, _ in found], [lost for _, lost, _ in found]).statistic
    assert rank >= LEAST_RANK
    assert not [frame for frame, _, is_good in found if is_good is False and frame.amount_px < 1]
    assert not [frame for frame, _, is_good in found if is_good and frame.ramp_px > BLURRED_PX]
    blurred = [is_good is False for frame, _, is_good in found if frame.ramp_px > BLURRED_PX]
    assert sum(blurred) >= 0.9 * len(blurred)
    assert len(blurred) >= 3


@pytest.mark.slow
@pytest.mark.parametrize("name", DRAWN)
def test_frames_are_ranked_by_their_blur_while_the_water_below_them_moves(name: str) -> None:
    check(list(framing(DRAWN[name], 41, FRAMES, has_water=True)))


@pytest.mark.skipif(not PHOTOGRAPH.exists(), reason="Debian's golang-github-rwcarlsen-goexif-dev is missing")
def test_a_photograph_blurred_by_known_amounts_is_ranked_by_them() -> None:
    check(list(framing(photograph(PHOTOGRAPH), 42, FRAMES, has_water=False)))


@pytest.mark.slow
def test_frames_that_nothing_blurred_are_never_called_soft_whatever_their_noise() -> None:
    frames = [one for seed in range(4) for one in list(framing(DRAWN["stones"], seed, 3, has_water=True))[:3]]
    for begin in range(0, len(frames), 3):
        assert all(is_good is not False for _, _, is_good in judged(frames[begin : begin + 3]))
