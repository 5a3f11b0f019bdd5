"""Frames of one framing against each other: who lost how much, and what is beyond doubt."""

from dataclasses import replace

import numpy as np
import pytest

from logbook.craft.edges import COLUMNS, DIRECTIONS, ROWS, Edges
from logbook.craft.softness import FramedPicture, Loss, framings, is_sharp, losses

RNG = np.random.default_rng(3)
VALLEY, QUARRY = (bytes(RNG.integers(0, 255, 192, np.uint8)) for _ in range(2))
DARK_VALLEY = bytes(one // 3 + 10 for one in VALLEY)


def view(
    key: str,
    at_s: float | None = 0.0,
    thumb: bytes = VALLEY,
    made_with: str = "camera, 24 mm",
    place: str | None = None,
) -> FramedPicture:
    return FramedPicture(key, made_with, place, at_s, thumb)


def test_frames_that_look_alike_and_follow_soon_are_one_framing() -> None:
    assert framings([view("b", 60), view("a", 0), view("c", 600)]) == (("a", "b", "c"),)


def test_a_darker_frame_is_of_the_same_framing() -> None:
    assert framings([view("a"), view("b", 30, DARK_VALLEY)]) == (("a", "b"),)


def test_another_view_camera_or_place_is_another_framing() -> None:
    assert framings([view("a"), view("b", 30, QUARRY)]) == (("a",), ("b",))
    assert framings([view("a"), view("b", 30, made_with="camera, 70 mm")]) == (("a",), ("b",))
    assert framings([view("a", place="ledge"), view("b", 30, place="bridge")]) == (("a",), ("b",))
    assert framings([view("a", place="ledge"), view("b", 30)]) == (("a", "b"),)


def test_turning_away_and_back_joins_the_framing_again() -> None:
    found = framings([view("a"), view("b", 60, QUARRY), view("c", 120)])
    assert set(found) == {("a", "c"), ("b",)}


def test_a_long_pause_ends_a_framing() -> None:
    assert framings([view("a"), view("b", 4000)]) == (("a",), ("b",))


def test_frames_without_a_time_are_joined_by_what_they_show_alone() -> None:
    assert framings([view("a", None), view("b", None), view("c", 0)]) == (("c",), ("a", "b"))


def test_a_picture_without_contrast_is_like_none() -> None:
    assert framings([view("a", thumb=bytes(192)), view("b", 10, bytes(192))]) == (("a",), ("b",))


CELLS = ROWS * COLUMNS
ALL_WAYS = (1.0,) * DIRECTIONS
THUMB = bytes(192)


def made(
    added: float = 0.0,
    along: tuple[float, ...] = ALL_WAYS,
    edge_px: float | None = 2.8,
    water: float | None = None,
    seed: int = 0,
) -> Edges:
    """Return edges of places that differ among themselves, blurred by so many px² more along each direction.

    `water` is what the lower third shows instead.
    """
    own = np.random.default_rng(7).uniform(-0.5, 2.0, (CELLS, 1)) + np.zeros(DIRECTIONS)
    trembling = np.random.default_rng(seed).normal(size=own.shape) * 0.05
    squares = own + trembling + added * np.array(along)
    if water is not None:
        squares[CELLS * 2 // 3 :] = water
    return Edges(tuple(float(one) for one in squares.ravel()), THUMB, edge_px)


def test_blur_on_all_places_is_lost() -> None:
    sharp, soft = losses([made(seed=1), made(4.0, seed=2)])
    assert sharp is not None
    assert soft is not None
    assert sharp.lost_px < 0.5
    assert soft.lost_px == pytest.approx((2 * np.pi * 4) ** 0.5, rel=0.05)
    assert soft.sharpest == 0
    assert soft.along_deg is None


def test_movement_is_told_with_its_direction() -> None:
    along = tuple(float(np.cos(at * np.pi / DIRECTIONS - np.pi / 6) ** 2) for at in range(DIRECTIONS))
    _, moved = losses([made(seed=1), made(6.0, along, seed=2)])
    assert moved is not None
    assert moved.along_deg == pytest.approx(30, abs=3)


def test_water_that_moves_is_no_loss() -> None:
    frames = [made(water=water, seed=at) for at, water in enumerate((0.0, 9.0, 0.2, 8.0, 9.5))]
    assert all(loss is not None and loss.lost_px < 1 for loss in losses(frames))


def test_a_shaken_frame_among_moving_water_is_still_found() -> None:
    frames = [
        made(water=0.0, seed=1),
        made(water=9.0, seed=2),
        made(5.0, edge_px=6.0, water=5.0, seed=3),
    ]
    found = losses(frames)
    assert [is_sharp(one, loss, made()) for one, loss in zip(frames, found, strict=True)] == [
        True,
        True,
        False,
    ]


def test_frames_with_nothing_in_common_are_not_compared() -> None:
    half = CELLS * DIRECTIONS // 2
    upper = replace(made(), cells=(*made().cells[:half], *(None,) * half))
    lower = replace(made(9.0), cells=(*(None,) * half, *made(9.0).cells[half:]))
    assert losses([upper, lower]) == (None, None)


def test_a_frame_alone_loses_nothing_and_is_never_soft() -> None:
    assert losses([made(50.0)]) == (None,)
    assert is_sharp(made(50.0, edge_px=18.0), None, None) is None
    assert is_sharp(made(edge_px=None), None, None) is None
    assert is_sharp(made(edge_px=2.7), None, None) is True


def test_no_frame_is_sharp_where_all_are_soft_alike() -> None:
    frames = [made(9.0, edge_px=8.0, seed=1), made(9.0, edge_px=8.0, seed=2)]
    assert [
        is_sharp(one, loss, frames[loss.sharpest] if loss else None)
        for one, loss in zip(frames, losses(frames), strict=True)
    ] == [None, None]


@pytest.mark.parametrize(
    ("lost_px", "sure_px", "cells", "expected"),
    [
        (0.5, 0.0, 60, True),
        (2.5, 2.4, 60, None),
        (5.0, 4.0, 60, False),
        (5.0, 1.0, 60, None),
        (5.0, 4.0, 4, None),
    ],
)
def test_only_what_is_beyond_doubt_is_judged(
    lost_px: float, sure_px: float, cells: int, expected: bool | None
) -> None:
    assert is_sharp(made(edge_px=2.9), Loss(0, lost_px, sure_px, None, cells), made()) is expected


def test_a_frame_whose_own_edges_are_the_sharper_ones_is_not_called_soft() -> None:
    loss = Loss(0, 6.3, 5.8, None, 60)
    assert is_sharp(made(edge_px=2.7), loss, made(edge_px=6.0)) is None
    assert is_sharp(made(edge_px=6.0), loss, made(edge_px=None)) is None
