"""Which pictures are of one framing, and which of its frames lost sharpness: edges compared place by place.

Surprising decisions: what the pictures show decides whether they are of one framing, by a coarse thumbnail;
focal length and place only exclude. A tripod may be carried on without a word, and a camera of a pocket
writes no direction. A frame is never compared with an ideal, but with the others of its framing at the same
places. Places that change from frame to frame, such as water, leaves and people, count little; what all still
places lost alike is the frame's loss.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from logbook.craft.edges import DIRECTIONS, SPREADS_PX, Edges, Ellipse, ellipse, ramp_px

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


SOFT_PX = 3.5  # lost: soft from here on (a trail of 3.5 px, a disc of 4.5); own convention
SURE_PX = 3.25  # that even the places which lost least must have lost: a Gaussian of 1 px takes 2.5
SHARP_PX = 1.75  # lost at most by a frame called sharp; own convention
SHARP_EDGE_PX = 3.5  # of edges that are about as sharp as pixels can show (2.5 is a step); own convention
LONE_EDGE_PX = 3.25  # the same for a frame that nothing can be compared with
FEW_CELLS = 3  # that two frames must share for a direction to be compared
SURE_CELLS = 6  # places and directions that must agree before a frame is called soft
ROUNDS = 8  # of fitting; more change nothing (measured)
STEADY_PX2 = 0.3  # px² by which still places differ from frame to frame by noise alone (measured)
NOW_AND_THEN = 0.2  # of the frames: what fewer show tells nothing of its place
COMES_AND_GOES = 4  # the power by which a place counts less that shows its edges now and then (measured)
CAUTIOUS = 0.3  # the share of places that may have lost less than what is believed
ONE_WAY = 0.5  # of the blur along its direction: with less across, it is one way only


@dataclass(frozen=True, slots=True)
class Loss:
    """What a frame lost against the sharpest of its framing, in px of a straight ramp as steep as its edges.

    A trail of movement loses its length, a disc of blur π/4 of its diameter, a Gaussian 2.5 σ. `along_deg` is
    the direction of a blur that goes one way, downwards from the picture's rows; None for one that goes all
    ways. `sure_px` is what even the places that lost least say.
    """

    sharpest: int  # which frame it is compared with
    lost_px: float
    sure_px: float
    along_deg: float | None
    cells: int  # places and directions that both frames show


def losses(frames: Sequence[Edges]) -> tuple[Loss | None, ...]:
    """Return what each frame of one framing lost; None where it shows too little of what the others show."""
    if len(frames) < 2:
        return tuple(None for _ in frames)
    squares = np.array([_squares(one) for one in frames])
    blur, weights = _fitted(squares)
    sharpest = _sharpest(blur)
    if sharpest is None:
        return tuple(None for _ in frames)
    return tuple(_loss(at, sharpest, squares, blur, weights) for at in range(len(frames)))


def is_sharp(edges: Edges, loss: Loss | None, sharpest: Edges | None) -> bool | None:
    """Return whether a frame may be called sharp, or soft (False); None where neither is beyond doubt.

    `sharpest` is what `loss` compares with. A frame alone is never called soft: mist has no edges either.
    """
    if loss is None or sharpest is None:
        alone = edges.edge_px is not None and edges.edge_px <= LONE_EDGE_PX
        return True if alone and _is_seen_well(edges) else None
    if loss.lost_px >= SOFT_PX and loss.sure_px >= SURE_PX and loss.cells >= SURE_CELLS:
        return False if _is_wider(edges, sharpest) else None
    good = sharpest.edge_px is not None and sharpest.edge_px <= SHARP_EDGE_PX
    return True if loss.lost_px <= SHARP_PX and good else None


def _is_wider(edges: Edges, sharpest: Edges) -> bool:
    """Whether a frame's own edges are the wider ones too: much blur takes edges away, and leaves others."""
    if edges.edge_px is None or sharpest.edge_px is None:
        return False
    return edges.edge_px > sharpest.edge_px


def _is_seen_well(edges: Edges) -> bool:
    """Whether strong edges of most directions are seen in several places."""
    seen = (~np.isnan(_squares(edges))).sum(0)
    return bool((seen >= FEW_CELLS).sum() >= 4)


def _squares(edges: Edges) -> NDArray[Any]:
    cells = np.array([np.nan if value is None else value for value in edges.cells])
    return cells.reshape(-1, DIRECTIONS)


def _fitted(squares: NDArray[Any]) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return σ² by frame and direction, beside what each place has of its own; and the weights of places.

    A median polish (Tukey 1977, "Exploratory Data Analysis", chapter 11) in which places that change from
    frame to frame, in any direction, weigh little.
    """
    often = (~np.isnan(squares)).mean(0)
    shared = often * len(squares) >= max(2, len(squares) / 2)
    steady = _steady(often)
    blur = np.zeros((len(squares), DIRECTIONS))
    weights = shared * steady
    for _ in range(ROUNDS):
        own = _middle(squares - blur[:, None], np.ones_like(squares), 0)
        away = np.abs(squares - own - blur[:, None]) / (1 + np.maximum(blur, 0))[:, None]
        away = np.where(shared & ~np.isnan(away), away, np.nan)
        by_place = np.moveaxis(away, 1, 0).reshape(away.shape[1], -1)
        restless = _middle(by_place, np.ones_like(by_place), 1)
        restless = np.where(np.isnan(restless), np.inf, restless)[:, None]
        weights = shared * steady * STEADY_PX2**2 / (restless**2 + STEADY_PX2**2)
        blur = np.nan_to_num(_middle(squares - own, np.broadcast_to(weights, squares.shape), 1))
    seen = (~np.isnan(squares) & (weights > 0)).sum(1)
    return np.where(seen >= FEW_CELLS, blur, np.nan), weights


def _steady(often: NDArray[Any]) -> NDArray[Any]:
    """How much a place counts because what it shows is there in every frame: waves come and go."""
    counted = often >= NOW_AND_THEN
    share = (often * counted).sum(1, keepdims=True) / np.maximum(counted.sum(1, keepdims=True), 1)
    result: NDArray[Any] = share**COMES_AND_GOES
    return result


def _middle(values: NDArray[Any], weights: NDArray[Any], axis: int, share: float = 0.5) -> NDArray[Any]:
    """The value below which a share of the weights lies, along an axis; unknown ones weigh nothing."""
    values = np.moveaxis(values, axis, 0)
    weights = np.where(np.isnan(values), 0.0, np.moveaxis(weights, axis, 0))
    order = np.argsort(values, 0)
    values, weights = np.take_along_axis(values, order, 0), np.take_along_axis(weights, order, 0)
    total = weights.sum(0)
    reached = np.cumsum(weights, 0) - weights / 2 >= share * total - 1e-12
    at = np.where(reached.any(0), np.argmax(reached, 0), _last(weights))
    found = np.take_along_axis(values, at[None], 0)[0]
    result: NDArray[Any] = np.where(total > 0, found, np.nan)
    return result


def _last(weights: NDArray[Any]) -> NDArray[Any]:
    """The last place along the first axis that weighs anything."""
    result: NDArray[Any] = len(weights) - 1 - np.argmax(weights[::-1] > 0, 0)
    return result


def _sharpest(blur: NDArray[Any]) -> int | None:
    """The frame that lies nowhere far above the least blur, among those that show most directions."""
    seen = (~np.isnan(blur)).sum(1)
    if not seen.any():
        return None
    least = np.array([np.nan if np.isnan(one).all() else np.nanmin(one) for one in blur.T])
    above = [
        np.inf if count < max(1, seen.max() - 1) else float(np.nanmax(one - least))
        for one, count in zip(blur, seen, strict=True)
    ]
    return int(np.argmin(above))


def _loss(
    at: int, sharpest: int, squares: NDArray[Any], blur: NDArray[Any], weights: NDArray[Any]
) -> Loss | None:
    both = ~np.isnan(squares[at]) & ~np.isnan(squares[sharpest]) & (weights > 0)
    cells = both.sum(0)
    lost = np.where(cells >= FEW_CELLS, blur[at] - blur[sharpest], np.nan)
    if np.isnan(lost).all():
        return None
    trust = (weights * both).sum(0)
    found = ellipse(lost, trust)
    direct = _middle(np.where(both, squares[at] - squares[sharpest], np.nan), weights, 0, CAUTIOUS)
    sure = ellipse(np.where(np.isnan(lost), np.nan, direct), trust)
    return Loss(
        sharpest,
        round(ramp_px(found.most), 2),
        round(ramp_px(sure.most), 2),
        _one_way(found),
        int(cells.sum()),
    )


def _one_way(found: Ellipse) -> float | None:
    is_one_way = found.most > SPREADS_PX[0] ** 2 and found.least < ONE_WAY * found.most
    return None if found.along_deg is None or not is_one_way else float(round(found.along_deg))
