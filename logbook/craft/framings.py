"""Which pictures are of one framing: one camera, one focal length, soon after each other, and looking alike.

One surprising decision: what the pictures show decides, by a coarse thumbnail; focal length and place only
exclude. A tripod may be carried on without a word, and a camera of a pocket writes no direction.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np

PAUSE_S = 1800.0  # between two frames of one framing; light and tide change the edges (own convention)
ALIKE = 0.8  # correlation of two thumbnails of one framing (measured: waves and blur leave 0.9)
UNDATED_ALIKE = 0.9  # the same where no time tells the frames apart


@dataclass(frozen=True, slots=True)
class FramedPicture:
    """One picture: `made_with` is what must be equal (camera, focal length, size); `at_s` None is unknown."""

    key: str
    made_with: Hashable
    place: str | None
    at_s: float | None
    thumb: bytes


def framings(views: Sequence[FramedPicture]) -> tuple[tuple[str, ...], ...]:
    """Return the keys of each framing, its frames in order of time; a picture alone is one too."""
    groups: list[list[FramedPicture]] = []
    latest: dict[Hashable, list[list[FramedPicture]]] = {}
    for view in sorted(views, key=lambda one: (one.at_s is None, one.at_s or 0.0, one.key)):
        near = latest.setdefault(view.made_with, [])
        if view.at_s is not None:
            near[:] = [one for one in near if _soon(one[-1], view)]
        group = max(
            (one for one in near if _is_one_view(one, view)),
            key=lambda one: _likeness(one[0], view),
            default=None,
        )
        if group is None:
            group = []
            groups.append(group)
            near.append(group)
        group.append(view)
    return tuple(tuple(one.key for one in group) for group in groups)


def _soon(last: FramedPicture, view: FramedPicture) -> bool:
    return last.at_s is not None and view.at_s is not None and view.at_s - last.at_s <= PAUSE_S


def _is_one_view(group: Sequence[FramedPicture], view: FramedPicture) -> bool:
    if (group[-1].at_s is None) != (view.at_s is None):
        return False
    if len({one.place for one in (*group, view)} - {None}) > 1:
        return False
    return _likeness(group[0], view) >= (ALIKE if view.at_s is not None else UNDATED_ALIKE)


def _likeness(one: FramedPicture, other: FramedPicture) -> float:
    """The correlation of two thumbnails; a picture without any contrast is like none."""
    first, second = (np.frombuffer(view.thumb, np.uint8).astype(float) for view in (one, other))
    first, second = first - first.mean(), second - second.mean()
    norm = float(np.sqrt((first**2).sum() * (second**2).sum()))
    return float((first * second).sum()) / norm if norm else 0.0
