"""How wide the edges of a picture are: the blur of its sharpest strong edges, by place and by direction.

An edge that was a step and is blurred by a Gaussian of spread σ has, seen through another Gaussian of spread
s, a slope of A / sqrt(2π (σ² + s²)). The slopes at two s give σ² without knowing A (Zhuo and Sim 2011,
"Defocus map estimation from a single image", Pattern Recognition 44, section 3). Slopes are pooled over
the crests of many edges of one direction, and the part of noise is taken off, so that neither noise nor the
blocks of JPEG pass for sharpness.

One surprising decision: the square of σ is kept with its sign. Fine texture looks sharper than any step, and
a bound at 0 would hide how much of it a small blur takes away.
"""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Pixels = NDArray[np.uint8]

STEP = 4  # px between the samples of an overview
INNER = 48  # px, side of the part of a place that is measured
MARGIN = 12  # px around it: three spreads of the widest filter
SIDE = INNER + 2 * MARGIN  # px
PLACES = 80  # that are looked at; more cost more and say little more (measured)
REGIONS = (6, 8)  # rows and columns, each of which gives its best places
ROWS, COLUMNS = 4, 6  # of the cells by which pictures are compared
DIRECTIONS = 6  # of slopes, each 30° wide; the first is horizontal
SPREADS_PX = (1.0, 2.0, 4.0)  # of the filters
NOISE_PARTS = (1.0, 1 / 14, 1 / 200)  # of the finest filter's noise in each (drawn noise, measured)
CLEAR_OF_NOISE = 5.0  # standard deviations of noise that a crest rises above it
STRONG = 0.5  # of a place's strongest edges: weaker ones are left out
FAINTEST = 10.0  # of 255: an edge's least step
BLACK, WHITE = 2, 250  # of 255: beyond them an edge is cut off and looks sharper than it is
CUT_OFF_PX = 3  # px around a crest within which nothing may be cut off
FEW_IN_PLACE, FEW_IN_CELL = 8, 6  # crests of one direction; fewer say nothing
FEW_PLACES = 3  # that a direction needs to be spoken of
MOST_CRESTS = 60  # by which one place counts
SHARPEST = 0.25  # the share of places, the sharpest, by which the picture as a whole is told
COARSE_FROM, COARSE_WITHIN = 6.0, 1.5  # px²: from where the wider pair of filters decides, and how gradually
WIDEST = 100.0  # px²: wider edges are all alike
THUMB_ROWS, THUMB_COLUMNS = 12, 16


@dataclass(frozen=True, slots=True)
class Edges:
    """What was measured of one picture.

    `cells` holds σ² in px² (below 0: finer than a step) by row, column and direction, None where too little
    is seen. `thumb` is a coarse picture in grey, by which views are told apart. `edge_px` is how wide the
    sharpest quarter of the edges are, in the direction in which they are widest: the length of a straight
    ramp as steep, seen through the finest filter, so that a perfect step is 2.5; None where there are too few
    strong edges.
    """

    cells: tuple[float | None, ...]
    thumb: bytes
    edge_px: float | None

    def as_text(self) -> str:
        """Return it as JSON, with σ² in hundredths of a px²."""
        cells = [None if value is None else round(value * 100) for value in self.cells]
        return json.dumps(
            {"edge_px": self.edge_px, "cells": cells, "thumb": self.thumb.hex()}, separators=(",", ":")
        )

    @classmethod
    def of_text(cls, text: str) -> Self:
        """Return what such a text holds."""
        found = json.loads(text)
        cells = tuple(None if value is None else value / 100 for value in found["cells"])
        return cls(cells, bytes.fromhex(found["thumb"]), found["edge_px"])


def edges_at(overview: Pixels, size_px: tuple[int, int], place: Callable[[int, int], Pixels]) -> Edges | None:
    """Return the edges of a picture in grey (0 to 255); None where it is too small.

    `overview` has every fourth pixel both ways; `place` gets the places (left, top) that are wanted.
    """
    width, height = size_px
    if min(width, height) < 2 * SIDE:
        return None
    corners = _corners(overview, width, height)
    places = np.stack([place(left, top) for left, top in corners])
    cells = [
        (top + SIDE // 2) * ROWS // height * COLUMNS + (left + SIDE // 2) * COLUMNS // width
        for left, top in corners
    ]
    grid, whole = _measured(places, np.array(cells))
    widest = None
    if np.isfinite(whole).any():
        widest = round(ramp_px(ellipse(whole, np.ones(DIRECTIONS)).most + SPREADS_PX[0] ** 2), 2)
    return Edges(
        tuple(None if np.isnan(value) else round(float(value), 2) for value in grid), _thumb(overview), widest
    )


def ramp_px(square: float) -> float:
    """Return the length in px of a straight ramp as steep as an edge of this σ²; below 0 there is none.

    For movement that is the length of the trail, for a disc of blur π/4 of its diameter.
    """
    return float((2 * np.pi * max(square, 0.0)) ** 0.5)


def _corners(overview: Pixels, width: int, height: int) -> list[tuple[int, int]]:
    """Left and top of the places with the most contrast, the best of every region first."""
    grey = overview.astype(np.int16)
    across = (grey[:-2, 2:] - grey[:-2, :-2]).astype(np.int32)
    down = (grey[2:, :-2] - grey[:-2, :-2]).astype(np.int32)
    contrast = across**2 + down**2
    side = INNER // STEP
    rows, columns = contrast.shape[0] // side, contrast.shape[1] // side
    contrast = contrast[: rows * side, : columns * side].reshape(rows, side, columns, side).mean((1, 3))
    order = np.argsort(-contrast, axis=None, kind="stable")
    row, column = np.unravel_index(order, contrast.shape)
    region = row * REGIONS[0] // rows * REGIONS[1] + column * REGIONS[1] // columns
    by_region = np.argsort(region, kind="stable")
    first = np.searchsorted(region[by_region], region[by_region])
    rank = np.empty(len(order), np.intp)
    rank[by_region] = np.arange(len(order)) - first
    chosen = np.argsort(rank, kind="stable")[:PLACES]
    return [
        (
            int(min(max(c * INNER - MARGIN, 0), width - SIDE)),
            int(min(max(r * INNER - MARGIN, 0), height - SIDE)),
        )
        for r, c in zip(row[chosen], column[chosen], strict=True)
    ]


def _thumb(overview: Pixels) -> bytes:
    rows, columns = overview.shape[0] // THUMB_ROWS, overview.shape[1] // THUMB_COLUMNS
    grey = overview[: rows * THUMB_ROWS, : columns * THUMB_COLUMNS]
    means = grey.reshape(THUMB_ROWS, rows, THUMB_COLUMNS, columns).mean((1, 3))
    return bytes(means.astype(np.uint8).ravel())


def _filters(spread_px: float) -> tuple[Floats, Floats]:
    """A Gaussian and its slope as matrices that smooth, and derive, the columns of a place."""
    away = np.arange(SIDE)[:, None] - np.arange(MARGIN, SIDE - MARGIN)[None, :]
    smooth = np.exp(-0.5 * (away / spread_px) ** 2)
    smooth /= smooth.sum(0)
    slope = smooth * away
    slope /= (slope * away).sum(0)
    return smooth.astype(np.float32), slope.astype(np.float32)


_FILTERS = tuple(_filters(spread_px) for spread_px in SPREADS_PX)


def _measured(places: Pixels, cells: NDArray[np.intp]) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return σ² by cell and direction, and that of the sharpest places by direction."""
    grey = places.astype(np.float32)
    slopes = []
    for smooth, slope in _FILTERS:
        across = smooth.T @ (grey @ slope)
        down = slope.T @ (grey @ smooth)
        slopes.append((across, down))
    steep = np.hypot(*slopes[1])
    noise = _noise(slopes)
    crests = _crests(steep, *slopes[1]) & ~_cut_off(places)
    crests &= steep[:, 1:-1, 1:-1] > CLEAR_OF_NOISE * noise[1] ** 0.5

    def at_crests(values: NDArray[Any]) -> NDArray[Any]:
        found: NDArray[Any] = values[:, 1:-1, 1:-1][crests]
        return found

    which = np.nonzero(crests)[0]
    height = at_crests(steep)
    towards = at_crests(slopes[1][0]) / height, at_crests(slopes[1][1]) / height
    found = np.array([at_crests(x) * towards[0] + at_crests(y) * towards[1] for x, y in slopes])
    strong = _strong(found, which, len(places))
    which, found = which[strong], found[:, strong]
    angle = np.arctan2(towards[1], towards[0])[strong]
    direction = np.round(angle / (np.pi / DIRECTIONS)).astype(np.intp) % DIRECTIONS

    def pooled(keys: NDArray[np.intp], count: int, least: int) -> tuple[NDArray[Any], NDArray[Any]]:
        seen = np.bincount(keys, minlength=count)
        power = [
            np.maximum(np.bincount(keys, one**2, minlength=count) - seen * noise[at], 1e-6)
            for at, one in enumerate(found)
        ]
        return np.where(seen >= least, _squared_spread(power), np.nan), seen

    grid, _ = pooled(cells[which] * DIRECTIONS + direction, ROWS * COLUMNS * DIRECTIONS, FEW_IN_CELL)
    squares, seen = pooled(which * DIRECTIONS + direction, len(places) * DIRECTIONS, FEW_IN_PLACE)
    by_place = squares.reshape(-1, DIRECTIONS), np.minimum(seen, MOST_CRESTS).reshape(-1, DIRECTIONS)
    return grid, np.array([_sharpest(s, n) for s, n in zip(by_place[0].T, by_place[1].T, strict=True)])


def _noise(slopes: Sequence[tuple[Floats, Floats]]) -> list[float]:
    """The variance that noise gives each filter's slopes: a Rayleigh median where the picture is quiet."""
    coarse = np.hypot(*slopes[2])
    quiet = coarse <= np.quantile(coarse, 0.3)
    fine = np.hypot(*slopes[0])[quiet]
    variance = float(np.median(fine**2)) / (2 * np.log(2))
    return [variance * part for part in NOISE_PARTS]


def _crests(steep: Floats, across: Floats, down: Floats) -> NDArray[np.bool_]:
    """Where the slope is steeper than before and behind it, in the nearest of four directions."""
    toward = np.round(np.arctan2(down, across)[:, 1:-1, 1:-1] / (np.pi / 4)).astype(np.int8) % 4
    here = steep[:, 1:-1, 1:-1]
    crests = np.zeros(here.shape, np.bool_)
    size = steep.shape[1]
    for turn, (y, x) in enumerate(((0, 1), (1, 1), (1, 0), (1, -1))):
        before = steep[:, 1 - y : size - 1 - y, 1 - x : size - 1 - x]
        behind = steep[:, 1 + y : size - 1 + y, 1 + x : size - 1 + x]
        crests |= (toward == turn) & (here >= behind) & (here > before)
    return crests


def _cut_off(places: Pixels) -> NDArray[np.bool_]:
    """Where something near by is as black or white as a file can tell."""
    cut = (places >= WHITE) | (places <= BLACK)
    near = cut[:, MARGIN + 1 - CUT_OFF_PX : SIDE - MARGIN - 1 + CUT_OFF_PX]
    size, reach = INNER - 2, 2 * CUT_OFF_PX + 1
    rows = np.zeros((len(places), size, SIDE), np.bool_)
    for at in range(reach):
        rows |= near[:, at : at + size]
    wide = rows[:, :, MARGIN + 1 - CUT_OFF_PX : SIDE - MARGIN - 1 + CUT_OFF_PX]
    result = np.zeros((len(places), size, size), np.bool_)
    for at in range(reach):
        result |= wide[:, :, at : at + size]
    return result


def _strong(found: NDArray[Any], which: NDArray[np.intp], places: int) -> NDArray[np.bool_]:
    """The crests of a place's strong edges, by the step that the wide filters make of each.

    A step stays a step in the widest filter, fine texture cancels out: waves of water are left out by it.
    """
    wide, wider = SPREADS_PX[1] ** 2, SPREADS_PX[2] ** 2
    ratio = np.clip((found[1] / np.maximum(found[2], 1e-3)) ** 2, 1.01, wider / wide - 0.01)
    squares = np.clip((wider - wide * ratio) / (ratio - 1), 0, WIDEST)
    step = found[2] * np.sqrt(2 * np.pi * (squares + wider))
    result = np.zeros(len(which), np.bool_)
    ends = np.searchsorted(which, np.arange(places + 1))
    for begin, end in pairwise(ends):
        if end - begin >= FEW_IN_PLACE:
            steps = step[begin:end]
            result[begin:end] = steps >= max(STRONG * float(np.quantile(steps, 0.95)), FAINTEST)
    return result


def _squared_spread(power: Sequence[NDArray[Any]]) -> NDArray[Any]:
    """σ² from the power of slopes in the three filters: by the finer pair, of wide edges by the wider one."""
    fine = _from_pair(power[0], power[1], SPREADS_PX[0], SPREADS_PX[1])
    wide = _from_pair(power[1], power[2], SPREADS_PX[1], SPREADS_PX[2])
    part = 1 / (1 + np.exp(-(np.clip(fine, -1, 40) - COARSE_FROM) / COARSE_WITHIN))
    result: NDArray[Any] = (1 - part) * np.minimum(fine, WIDEST) + part * np.clip(wide, -4, WIDEST)
    return result


def _from_pair(narrow: NDArray[Any], wide: NDArray[Any], narrow_px: float, wide_px: float) -> NDArray[Any]:
    ratio = np.maximum(narrow / wide, 1 + 1e-3)
    result: NDArray[Any] = (wide_px**2 - narrow_px**2 * ratio) / (ratio - 1)
    return result


def _sharpest(squares: NDArray[Any], seen: NDArray[Any]) -> float:
    """σ² below which the sharpest quarter of the places lie; not a number where too few are seen."""
    known = ~np.isnan(squares)
    if known.sum() < FEW_PLACES:
        return float("nan")
    squares, seen = squares[known], seen[known]
    order = np.argsort(squares)
    share = (np.cumsum(seen[order]) - seen[order] / 2) / seen.sum()
    return float(np.interp(SHARPEST, share, squares[order]))


@dataclass(frozen=True, slots=True)
class Ellipse:
    """Blur by direction in px² of σ: the most, the least, and along which direction it is most.

    Degrees are counted from the picture's rows downwards, 0 to 180; None where too few directions are seen.
    """

    most: float
    least: float
    along_deg: float | None


def ellipse(squares: NDArray[Any], weights: NDArray[Any]) -> Ellipse:
    """Return the blur that explains σ² by direction: along φ it is a + b cos 2φ + c sin 2φ.

    That is what any blur's second moments give. Fewer than four directions are taken as they are.
    """
    known = ~np.isnan(squares)
    if known.sum() < 4:
        return Ellipse(float(np.nanmax(squares)), float(np.nanmin(squares)), None)
    turned = np.arange(DIRECTIONS) * 2 * np.pi / DIRECTIONS
    terms = np.stack([np.ones(DIRECTIONS), np.cos(turned), np.sin(turned)], 1)[known]
    root = np.sqrt(weights[known])
    mean, cos, sin = np.linalg.lstsq(terms * root[:, None], squares[known] * root, rcond=None)[0]
    swing = float(np.hypot(cos, sin))
    return Ellipse(
        float(mean) + swing, float(mean) - swing, float(np.degrees(np.arctan2(sin, cos)) / 2 % 180)
    )
