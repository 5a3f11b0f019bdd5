"""Which pictures are of one framing."""

import numpy as np

from logbook.craft.framings import FramedPicture, framings

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
