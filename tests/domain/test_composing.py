"""Rows of pictures: no holes, no enlarging, whatever is mixed."""

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from logbook.domain.composing import FULL_ENOUGH, LOWEST_PX, Line, PictureRow, Shape, composed, is_long

WIDE = Line(width_px=1300, usual_px=200, highest_px=650, gap_px=18, least_px=108)
PHONE = Line(width_px=324, usual_px=125, highest_px=480, gap_px=18, least_px=84)
CAMERA = Shape(1.5, 1600)
UPRIGHT, TOWER, PANORAMA = Shape(2 / 3, 1600), Shape(0.2, 400), Shape(7.0, 1600)
TINY, SPECK = Shape(4 / 3, 50), Shape(0.2, 2)

lines = st.sampled_from([WIDE, PHONE, Line(640, 220, 420, 18, 130), Line(340, 120, 420, 18, 84)])
anything = st.builds(Shape, st.floats(0.1, 12), st.floats(2, 1600))
usual = st.builds(Shape, st.sampled_from([0.5, 2 / 3, 0.75, 1, 4 / 3, 1.5, 16 / 9, 2.39]), st.just(1600.0))


def room(row: PictureRow, line: Line) -> float:
    return line.width_px - line.gap_px * (len(row.cells) - 1)


@given(st.lists(anything, max_size=60), lines)
def test_every_picture_stands_once_and_in_its_order(shapes: list[Shape], line: Line) -> None:
    """Each cell is as its own picture allows, so no two have changed places."""
    rows = composed(shapes, line)
    cells = [(cell, row) for row in rows for cell in row.cells]
    assert len(cells) == len(shapes)
    for shape, (cell, row) in zip(shapes, cells, strict=True):
        assert cell.picture_px <= shape.most_px + 1e-6  # never larger than its file
        assert cell.picture_px / shape.ratio <= row.height_px + 1e-6
        assert 0 < cell.picture_px <= cell.width_px + 1e-6
        filled = min(cell.picture_px / shape.most_px, 1) > 1 - 1e-6
        high = cell.picture_px / shape.ratio > row.height_px - 1e-6
        across = cell.picture_px > cell.width_px - 1e-6
        assert filled or high or across  # and never smaller than it might be


@given(st.lists(anything, min_size=1, max_size=60), lines)
def test_no_line_has_a_hole(shapes: list[Shape], line: Line) -> None:
    """A third of a line at most is left, and of a line of several nothing; else words stand there."""
    for row in composed(shapes, line):
        taken = sum(cell.width_px for cell in row.cells)
        assert taken <= room(row, line) + 1e-6
        if len(row.cells) > 1:
            assert taken == pytest.approx(room(row, line))
        assert row.is_short == (taken < FULL_ENOUGH * line.width_px - 1e-6) or len(row.cells) == 1
        if not row.is_short:
            assert taken >= 2 / 3 * line.width_px - line.gap_px * (len(row.cells) - 1)


@pytest.mark.slow
@given(st.lists(usual, min_size=3, max_size=60), lines)
def test_a_mix_of_usual_pictures_leaves_little_ground_and_keeps_about_one_height(
    shapes: list[Shape], line: Line
) -> None:
    """As many as fill two lines; fewer uprights may be too narrow for any."""
    assume(sum(one.ratio for one in shapes) * line.usual_px >= 2 * line.width_px)
    rows = composed(shapes, line)
    for row in rows:
        gaps = line.gap_px * (len(row.cells) - 1)
        assert sum(cell.picture_px for cell in row.cells) + gaps >= 2 / 3 * line.width_px
    heights = [row.height_px for row in rows if len(row.cells) > 1]
    assert all(0.5 * line.usual_px <= high <= line.highest_px for high in heights)


@pytest.mark.slow
@given(st.integers(4, 200))
def test_pictures_of_one_camera_stand_in_rows_of_nearly_one_height(count: int) -> None:
    """Also the last: of nine pictures it is not four, four and one."""
    rows = composed([CAMERA] * count, WIDE)
    heights = [row.height_px for row in rows]
    assert max(heights) / min(heights) < 1.7
    assert all(abs(len(a.cells) - len(b.cells)) <= 2 for a, b in pairwise(rows))


@given(st.lists(anything, max_size=20), st.lists(anything, max_size=20), lines)
def test_a_panorama_has_a_row_of_its_own(before: list[Shape], after: list[Shape], line: Line) -> None:
    rows = composed([*before, PANORAMA, *after], line)
    at = 0
    for row in rows:
        if at <= len(before) < at + len(row.cells):
            assert len(row.cells) == 1
            assert row.cells[0].picture_px == pytest.approx(min(line.width_px, PANORAMA.most_px))
        at += len(row.cells)


def test_a_panorama_of_few_pixels_stands_among_others() -> None:
    small = Shape(7.0, 300)
    assert not is_long(small, WIDE)
    row = next(row for row in composed([CAMERA, small, CAMERA], WIDE) if len(row.cells) > 1)
    assert any(cell.picture_px == pytest.approx(300) for cell in row.cells)


@pytest.mark.parametrize("odd", [TOWER, TINY, SPECK])
def test_what_is_narrow_or_tiny_stands_on_ground_in_a_row_of_others(odd: Shape) -> None:
    (row,) = composed([CAMERA, CAMERA, odd, CAMERA], WIDE)
    assert row.cells[2].width_px == pytest.approx(WIDE.least_px, rel=0.3)
    assert row.cells[2].picture_px < row.cells[2].width_px
    assert all(row.cells[at].picture_px == pytest.approx(row.cells[at].width_px) for at in (0, 1, 3))


def test_one_upright_picture_alone_has_its_words_beside_it() -> None:
    (row,) = composed([UPRIGHT], WIDE)
    assert row.is_short
    assert row.height_px == pytest.approx(2 * WIDE.usual_px)
    assert not composed([CAMERA], WIDE)[0].is_short


def test_towers_alone_share_the_line() -> None:
    (row,) = composed([TOWER] * 5, WIDE)
    assert len({round(cell.width_px) for cell in row.cells}) == 1
    assert row.height_px == pytest.approx(2 * WIDE.usual_px)


def test_a_row_of_specks_is_still_high_enough_for_a_finger() -> None:
    assert [row.height_px for row in composed([SPECK] * 3, PHONE)] == [LOWEST_PX]


def test_no_pictures_are_no_rows() -> None:
    assert composed([], WIDE) == ()
