"""What a question tells of its frames: only numbers that are in it, how many, when and how."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest

from logbook.domain.keeper import Keeper
from logbook.domain.record import new_record
from logbook.services.night.frames_told import counted_frames, label_of, settings_of

TAKEN = datetime(2031, 10, 14, 10, 12, tzinfo=UTC)


def keeper(**fields: object) -> Keeper:
    """A keeper made at twelve past ten."""
    made = Keeper(
        **new_record(TAKEN),
        slug="one",
        trip_id="t" * 32,
        file="TRN_0412.JPG",
        path="TRN_0412.JPG",
        hash="",
        size_bytes=1,
        format="JPEG",
        taken_local=TAKEN.replace(tzinfo=None),
        exposure_s=Fraction(1, 60),
        f_number=8.0,
        iso=100,
        focal_mm=35.0,
    )
    return replace(made, **fields)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("files", "label"),
    [
        (["TRN_0472.JPG"], "TRN_0472.JPG"),
        (["TRN_0472.JPG", "TRN_0473.JPG", "TRN_0474.JPG"], "TRN_0472-0474"),
        (["TRN_0472.JPG", "TRN_0478.JPG", "TRN_0484.JPG"], "TRN_0472, 0478, 0484"),
        (["TRN_0472.JPG", "TRN_0473.JPG", "TRN_0481.JPG"], "TRN_0472-0473, 0481"),
        (["TRN_0472.JPG", "SEC_0473.JPG"], "TRN_0472, SEC_0473"),
        (["TRN_9999.JPG", "TRN_0001.JPG"], "TRN_9999, 0001"),
        (["ledge.jpg", "bridge.jpg"], "ledge, bridge"),
        ([f"TRN_{number:04}.JPG" for number in range(0, 20, 2)], "TRN_0000, 0002, 0004 … 0018"),
    ],
)
def test_a_label_covers_no_frame_that_is_not_meant(files: list[str], label: str) -> None:
    assert label_of(files) == label


def test_frames_are_counted_with_their_kind() -> None:
    assert counted_frames(5, "bracket") == "5 frames, bracket"
    assert counted_frames(1) == "1 frame"


def test_settings_are_one_short_line_even_at_their_longest() -> None:
    assert settings_of([keeper()]) == "10:12, 35 mm, f/8, 1/60 s, ISO 100"
    later = keeper(
        taken_local=TAKEN.replace(tzinfo=None) + timedelta(minutes=6),
        exposure_s=Fraction(15),
        f_number=16.0,
        iso=400,
        focal_mm=70.0,
        body="Other Clover",
    )
    line = settings_of([later, keeper(body="Halvern Thistle")])
    assert line == "10:12-10:18, 35-70 mm, f/8-f/16, 1/60 s to 15 s, ISO 100-400"
    assert settings_of([keeper(body="Halvern Thistle")], with_body=True).startswith(
        "Halvern Thistle, 10:12, "
    )


def test_what_is_not_known_is_left_out() -> None:
    bare = keeper(exposure_s=None, f_number=None, iso=None, focal_mm=None, taken_local=None)
    assert settings_of([bare]) == ""
