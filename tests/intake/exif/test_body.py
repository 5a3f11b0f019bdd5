"""Camera bodies, named as people say them."""

import pytest

from logbook.intake.exif.body import join_body


@pytest.mark.parametrize(
    ("make", "model", "body"),
    [
        ("EXAMPLE CORPORATION", "EXAMPLE Quill", "EXAMPLE Quill"),
        ("Example Co., Ltd.", "Quill", "Example Quill"),
        ("EXAMPLE IMAGING CORP.", "QUILL-2", "EXAMPLE QUILL-2"),
        ("EXAMPLE OPTICAL CO.,LTD", "Quill", "EXAMPLE Quill"),
        ("Eastern Example Company", "EXAMPLE Quill ZOOM", "EXAMPLE Quill ZOOM"),
        ("Example", "Example", "Example"),
        ("Example", None, "Example"),
        (None, "Quill", "Quill"),
        (None, None, None),
        ("Example", "--", "Example --"),
    ],
)
def test_a_maker_is_said_once(make: str | None, model: str | None, body: str | None) -> None:
    assert join_body(make, model) == body
