"""Moving keepers on the command line: what is moved, let go and changed is said, and undo takes it back."""

from collections.abc import Callable
from typing import Any

import pytest

Run = Callable[..., Any]
MOVE = ("keeper", "move", "0412-0413", "--trip", "high-valley", "--to-trip", "slate-coast")


def files(run: Run, trip: str) -> list[str]:
    return [row["file"] for row in run("keeper", "list", "--trip", trip, "--json").data]


@pytest.fixture
def serving(on_demo: Run) -> Run:
    """The demo, of whose pictures one at least serves a shot of its trip."""
    shot = on_demo("shot", "list", "--trip", "high-valley", "--json").data[0]["slug"]
    assert on_demo("keeper", "note", "0412", "--trip", "high-valley", "--shot", shot).status == 0
    return on_demo


def test_shots_that_they_serve_are_named_before_anything_is_done(serving: Run) -> None:
    before = files(serving, "high-valley")
    refused = serving(*MOVE)
    assert (refused.status, refused.err.count("\n")) == (1, 1)
    assert "--drop-shots" in refused.err
    told = serving(*MOVE, "--dry-run")
    assert told.out.startswith("Would move from high-valley")
    assert "would no longer be linked to" in told.err
    assert files(serving, "high-valley") == before


def test_they_are_moved_and_undo_brings_them_back(serving: Run) -> None:
    before = files(serving, "high-valley")
    done = serving(*MOVE, "--drop-shots")
    assert (done.status, "TRN_0412" in done.out) == (0, True)
    assert "is no longer linked to" in done.err
    left = files(serving, "high-valley")
    assert len(left) < len(before)
    assert set(before) - set(left) <= set(files(serving, "slate-coast"))
    assert serving("undo").status == 0
    assert files(serving, "high-valley") == before


@pytest.mark.slow
def test_taking_the_folder_in_again_says_where_they_are(serving: Run) -> None:
    serving(*MOVE, "--drop-shots")
    moved = len(files(serving, "high-valley"))
    folder = "sample_trip/high-valley-autumn/pictures"
    done = serving("keeper", "import", folder, "--trip", "high-valley")
    assert done.out == "25 already known.\n"
    assert "was moved to slate-coast" in done.err
    assert len(files(serving, "high-valley")) == moved
    assert serving("keeper", "import", folder, "--trip", "high-valley", "--json").data["left"]


def test_json_has_what_was_done(serving: Run) -> None:
    done = serving(*MOVE, "--drop-shots", "--json").data
    assert done["new"].startswith("slate-coast")
    assert done["dropped"][0].keys() == {"file", "shot"}
    assert done["dry_run"] is False
