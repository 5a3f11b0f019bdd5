"""How wide edges are: steps blurred by known Gaussians, at any angle, under noise, cut off, too few."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import ndimage

from logbook.craft.edges import COLUMNS, DIRECTIONS, ROWS, Edges, Pixels, ellipse, ramp_px
from tests.craft.whole_pictures import edges_of
from tests.examples import examples

STEP_PX = (2 * np.pi) ** 0.5  # of a perfect step through the finest filter


def discs(spread_px: float = 0.0, noise: float = 0.0, low: float = 60, high: float = 190) -> Pixels:
    """Draw round discs, whose rims have every direction, blurred and with noise."""
    y, x = np.mgrid[0:400, 0:400] / 4
    one = np.where(np.hypot(x - 50.3, y - 50.2) < 36, high, low).reshape(100, 4, 100, 4).mean((1, 3))
    seen = np.tile(one, (6, 8))
    seen = ndimage.gaussian_filter(seen, spread_px) if spread_px else seen
    seen = seen + np.random.default_rng(1).normal(size=seen.shape) * noise
    return np.clip(np.round(seen), 0, 255).astype(np.uint8)


def edge_px(picture: Pixels) -> float:
    found = edges_of(picture)
    assert found is not None
    assert found.edge_px is not None
    return found.edge_px


def test_a_step_is_as_wide_as_the_filter_that_sees_it() -> None:
    assert edge_px(discs()) == pytest.approx(STEP_PX, abs=0.35)


@pytest.mark.parametrize("spread_px", [1.0, 2.0, 4.0])
def test_the_width_of_blurred_steps_follows_from_the_blur(spread_px: float) -> None:
    # Tolerance 8 %: pixels average the step, and rims are curved.
    assert edge_px(discs(spread_px)) == pytest.approx(STEP_PX * (spread_px**2 + 1) ** 0.5, rel=0.08)


def test_noise_does_not_pass_for_sharpness() -> None:
    assert edge_px(discs(2.0, noise=8)) == pytest.approx(edge_px(discs(2.0)), rel=0.05)


def test_a_darker_exposure_has_edges_as_wide() -> None:
    assert edge_px(discs(1.5, low=20, high=70)) == pytest.approx(edge_px(discs(1.5)), rel=0.03)


@pytest.mark.slow
def test_wider_blur_is_always_wider() -> None:
    found = [edge_px(discs(spread_px)) for spread_px in (0, 0.5, 1, 1.5, 2, 3, 4, 6)]
    assert all(narrow < wide for narrow, wide in pairwise(found))


def test_edges_that_are_cut_off_at_white_are_left_out() -> None:
    found = edges_of(discs(3.0, low=60, high=600))
    assert found is None or found.edge_px is None


def test_movement_widens_the_edges_across_it_and_no_others() -> None:
    still = discs()
    moved = ndimage.uniform_filter1d(still.astype(float), 7, axis=1)
    before, after = edges_of(still), edges_of(np.round(moved).astype(np.uint8))
    assert before is not None
    assert after is not None
    was, now = (
        np.nanmedian(np.array(one.cells, float).reshape(-1, DIRECTIONS), axis=0) for one in (before, after)
    )
    assert ramp_px(now[0] - was[0]) == pytest.approx(7, rel=0.25)  # the first direction is along the rows
    assert ramp_px(now[DIRECTIONS // 2] - was[DIRECTIONS // 2]) < 1


def test_a_picture_without_edges_says_nothing() -> None:
    flat = edges_of(np.full((600, 800), 90, np.uint8))
    assert flat is not None
    assert flat.edge_px is None
    assert set(flat.cells) == {None}


def test_noise_alone_has_no_edges() -> None:
    noisy = np.clip(np.random.default_rng(2).normal(120, 8, (600, 800)), 0, 255).astype(np.uint8)
    found = edges_of(noisy)
    assert found is not None
    assert found.edge_px is None


def test_a_picture_that_is_too_small_is_not_measured() -> None:
    assert edges_of(np.zeros((100, 800), np.uint8)) is None


@settings(max_examples=examples(0.2))
@given(
    st.lists(st.none() | st.integers(-400, 10_000), min_size=ROWS * COLUMNS * DIRECTIONS, max_size=144),
    st.binary(min_size=192, max_size=192),
    st.none() | st.integers(0, 9999),
)
def test_what_was_measured_comes_back_from_its_text(
    cells: list[int | None], thumb: bytes, width: int | None
) -> None:
    edges = Edges(
        tuple(None if one is None else one / 100 for one in cells),
        thumb,
        None if width is None else width / 100,
    )
    assert Edges.of_text(edges.as_text()) == edges


@given(st.floats(0, 50), st.floats(0, 50), st.floats(0, np.pi))
def test_an_ellipse_of_blur_is_found_from_its_directions(one: float, other: float, angle: float) -> None:
    most, least = max(one, other), min(one, other)
    turned = np.arange(DIRECTIONS) * np.pi / DIRECTIONS - angle
    squares = most * np.cos(turned) ** 2 + least * np.sin(turned) ** 2
    found = ellipse(squares, np.ones(DIRECTIONS))
    assert (found.most, found.least) == pytest.approx((most, least), abs=1e-6)
    if most - least > 0.1:
        assert found.along_deg is not None
        away = abs(found.along_deg - np.degrees(angle)) % 180
        assert min(away, 180 - away) < 1e-3
