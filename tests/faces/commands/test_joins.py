"""Joining two records of one place on the command line: everything is said, and nothing else is done."""

from collections.abc import Callable
from typing import Any

import pytest

Run = Callable[..., Any]


@pytest.fixture
def twice(stocked: Run) -> Run:
    """A book whose quarry ledge is there twice."""
    old = ["--site", "quarry", "--facing", "N", "--tripod", "awkward", "--location", "withheld"]
    for line in (
        ("viewpoint", "add", "Old ledge", *old),
        ("shot", "add", "Ledge at dawn", "--viewpoint", "old-ledge"),
        ("visit", "add", "--viewpoint", "old-ledge", "--on", "2031-10-14"),
    ):
        assert stocked(*line).status == 0
    return stocked


def test_what_was_moved_taken_and_left_is_said(twice: Run) -> None:
    told = twice("viewpoint", "join", "old-ledge", "--into", "quarry-ledge", "--dry-run")
    assert told.out.startswith("old-ledge would be part of quarry-ledge.")
    assert twice("viewpoint", "show", "old-ledge", "--json").data["slug"] == "old-ledge"
    done = twice("viewpoint", "join", "old-ledge", "--into", "quarry-ledge")
    assert done.status == 0
    assert done.out.splitlines() == [
        "old-ledge is part of quarry-ledge now.",
        "Moved to it: shot ledge-at-dawn, visit old-ledge-2031-10-14.",
        "Taken from old-ledge: tripod rule.",
        "Also called Old ledge.",
    ]
    assert "Others now see less of quarry-ledge than before: withheld, the stricter of the two." in done.err
    assert "quarry-ledge keeps its facing: 315; old-ledge had 0." in done.err
    assert twice("viewpoint", "show", "old ledge", "--json").data["slug"] == "quarry-ledge"
    assert twice("undo").status == 0
    assert twice("viewpoint", "show", "old-ledge", "--json").data["slug"] == "old-ledge"


def test_json_has_what_was_done(twice: Run) -> None:
    done = twice("viewpoint", "join", "old-ledge", "--into", "quarry-ledge", "--json").data
    assert {one["noun"] for one in done["moved"]} == {"shot", "visit"}
    assert done["differing"] == [{"field": "facing_deg", "stays": 315.0, "said": 0.0}]
    assert (done["location_shown"], done["also_called"], done["dry_run"]) == (
        "withheld",
        ["Old ledge"],
        False,
    )


def test_sites_with_spots_of_one_title_are_told(twice: Run) -> None:
    twice("site", "add", "Pit", "--position", "38.3 N 73.4 E")
    twice("viewpoint", "add", "Old ledge", "--site", "pit")
    done = twice("site", "join", "pit", "--into", "quarry")
    assert "logbook viewpoint join old-ledge-2 --into old-ledge" in done.err
    assert "quarry keeps its position: 38.2, 73.4; pit had 38.3, 73.4." in done.err


def test_one_place_is_refused_in_one_sentence(twice: Run) -> None:
    refused = twice("site", "join", "quarry", "--into", "quarry")
    assert (refused.status, refused.err.count("\n")) == (2, 1)
    assert "cannot be joined into itself" in refused.err
