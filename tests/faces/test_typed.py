"""What a tired person types is read, in the same way everywhere."""

from collections.abc import Callable
from datetime import time
from typing import Any

import pytest

from logbook.domain.errors import InvalidValueError
from logbook.faces import measured, typed

Run = Callable[..., Any]


@pytest.mark.parametrize("text", ["17:00", "17.00", "5pm", "5 pm", "5:00 PM", "17h00"])
def test_a_time_of_day_may_be_of_twelve_hours(text: str) -> None:
    assert typed.a_time(text) == time(17)


@pytest.mark.parametrize("text", ["17", "25:00", "13pm", "5", "24:30", "dusk"])
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(InvalidValueError):
        typed.a_time(text)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("10-12", time(10), time(12)),
        ("17:20-18:45", time(17, 20), time(18, 45)),
        ("5-7 pm", time(17), time(19)),
        ("5:30 to 7pm", time(17, 30), time(19)),
        ("10am-2pm", time(10), time(14)),
        ("17:20", time(17, 20), None),
    ],
)
def test_a_window_may_be_of_hours_alone(text: str, first: time, last: time | None) -> None:
    assert typed.a_window(text) == {"window_from": first, "window_to": last}


def test_a_length_may_be_in_feet() -> None:
    assert measured.metres("10ft", "distance") == pytest.approx(3.048)  # the international foot, 1959


def test_dates_zones_and_counts_are_read_by_commands_and_day_files(stocked: Run, tmp_path: Any) -> None:
    assert (
        stocked("trip", "edit", "high-valley", "--zone", "europe/vienna", "--from", "14 Oct 2031").status == 0
    )
    trip = stocked("trip", "show", "high-valley", "--json").data
    assert (trip["zone"], trip["starts_on"]) == ("Europe/Vienna", "2031-10-14")
    line = ("visit", "add", "--viewpoint", "quarry-ledge", "--on", "14.10.2031", "--tries", "~20", "--json")
    assert (stocked(*line).data["tries"], stocked(*line).data["on_date"]) == (20, "2031-10-14")
    (tmp_path / "day.md").write_text(
        "---\ntrip: high-valley\ndate: 15 Oct 2031\nzone: asia/dushanbe\n---\n## Quarry ledge 5pm\n"
        "- tries: about 12\n",
        encoding="utf-8",
    )
    assert "To sort out" not in stocked("day", "read", "day.md").err
    day = stocked("day", "show", "15.10.2031", "--json").data
    assert (day["zone"], day["visits"][0]["tries"]) == ("Asia/Dushanbe", 12)
    missed = stocked("trip", "add", "X", "--zone", "europe/viena").err
    assert "Did you mean Europe/Vienna?" in missed
    assert "IANA" not in stocked("trip", "add", "--help").out


def test_several_keepers_and_a_range_typed_backwards_are_meant(on_demo: Run) -> None:
    note = ("keeper", "note", "--trip", "high-valley", "--note", "Look again.", "--json")
    files = [row["file"] for row in on_demo(*note, "0412,0415").data]
    assert files == ["TRN_0412.JPG", "TRN_0415.JPG"]
    files = [row["file"] for row in on_demo(*note, "0424-0412").data]
    assert files == ["TRN_0412.JPG", "TRN_0415.JPG", "TRN_0424.JPG"]
    files = [row["file"] for row in on_demo(*note, "0472-0474, TRN_0412.JPG, 0473").data]
    assert files == ["TRN_0412.JPG", "TRN_0472.JPG", "TRN_0473.JPG", "TRN_0474.JPG"]
    assert on_demo(*note, "0412,9999").status == 1
    assert on_demo(*note, "9998-0412").status == 1
