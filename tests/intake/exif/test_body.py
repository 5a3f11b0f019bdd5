"""Camera bodies, named as people say them."""

import pytest

from logbook.intake.exif.body import join_body


@pytest.mark.parametrize(
    ("make", "model", "body"),
    [
        ("EXAMPLE CORPORATION", "EXAMPLE X1", "EXAMPLE X1"),
        ("Example Co., Ltd.", "X1", "Example X1"),
        ("EXAMPLE IMAGING CORP.", "X-1", "EXAMPLE X-1"),
        ("EXAMPLE OPTICAL CO.,LTD", "X1", "EXAMPLE X1"),
        ("Eastern Example Company", "EXAMPLE X1 ZOOM", "EXAMPLE X1 ZOOM"),
        ("Example", "Example", "Example"),
        ("Example", None, "Example"),
        (None, "X1", "X1"),
        (None, None, None),
        ("Example", "--", "Example --"),
    ],
)
def test_a_maker_is_said_once(make: str | None, model: str | None, body: str | None) -> None:
    assert join_body(make, model) == body
