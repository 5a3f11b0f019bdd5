"""`logbook before TRIP`: one brief of all places of a trip."""

import shutil
from pathlib import Path

import pytest

from tests.faces.conftest import Run

AGAIN = ("trip", "add", "Valley again", "--from", "2031-10-13", "--to", "2031-10-18")


@pytest.fixture
def again(logbook: Run, demo_book: Path, tmp_path: Path) -> Run:
    """Run the program on the demo's book with a trip of what the main one missed."""
    shutil.copyfile(demo_book, tmp_path / "book.sqlite")
    assert logbook(*AGAIN, "--plan-from", "high-valley", "--only", "to-get").status == 0
    return logbook


@pytest.mark.slow
def test_a_trip_is_briefed_place_by_place_with_what_to_pack_and_what_to_ask(again: Run) -> None:
    answer = again("before", "valley-again")
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0] == "Before Valley again (valley-again): 9 open plans at 5 places."
    assert lines[2] == "What to pack for the most plans"
    assert any("[tripod]" in line for line in lines)
    text = " ".join(answer.out.split())
    assert "Ask the sergeant at the barrier whether this still applies: closure" in text
    assert "Ask whether a tripod is allowed there" in text
    assert "Quarry gorge (quarry-gorge), Tuesday 14 October 2031" in text
    assert "Planned again for 14 Oct 2031" in text
    data = again("before", "valley-again", "--json").data
    assert list(data) == ["trip", "title", "places", "pack", "plans", "not_as_planned", "ask"]
    assert data["places"][0]["site"] == "quarry-gorge"
    assert {one["kit"] for one in data["pack"]} >= {"tripod", "nd128"}


def test_a_site_goes_before_a_trip_that_begins_alike(again: Run) -> None:
    assert again("before", "slate-coast").out.startswith("Before going back: Slate coast")


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (("before", "river-forest-spring"), "no open shot at a viewpoint"),
        (("before", "valley-again", "--on", "2031-10-14"), "takes its days from the plan"),
        (("before", "nowhere-at-all"), "No site is called"),
    ],
)
def test_a_slip_about_a_trip_gets_one_sentence(again: Run, line: tuple[str, ...], why: str) -> None:
    answer = again(*line)
    assert answer.status in (1, 2)
    assert answer.out == ""
    assert why in " ".join(answer.err.split())
