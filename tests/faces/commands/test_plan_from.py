"""A trip from an earlier one's plan on the command line, and what is still to get."""

from pathlib import Path

import pytest

from tests.faces.conftest import Run

NEXT = "the-wave-shelf-at-neap-tide"


def test_the_sample_shows_a_trip_made_from_what_an_earlier_one_missed(on_demo: Run) -> None:
    shots = on_demo("shot", "list", "--trip", NEXT, "--json").data
    assert {one["slug"]: one["continues"] for one in shots} == {
        "surf-smooth-2": "surf-smooth",
        "cliff-dawn-2": "cliff-dawn",
    }
    shown = on_demo("shot", "show", "cliff-dawn-2")
    assert "planned 2024, missed because the weather was against it; planned 2031, open" in shown.out
    assert shown.out == on_demo("shot", "show", "cliff-dawn-2").out
    assert on_demo("shot", "show", "harbour-dusk", "--json").data["attempts"] == []


@pytest.mark.slow
def test_a_trip_is_made_from_an_earlier_plan_and_taken_back_at_once(on_demo: Run) -> None:
    before = on_demo("shot", "list", "--json").data
    line = ("trip", "add", "Valley again", "--from", "2027-10-01", "--plan-from", "high-valley")
    made = on_demo(*line, "--only", "to-get", "--json").data
    assert {one["continues"] for one in made["shots"]} == {
        one["slug"] for one in on_demo("shot", "list", "--trip", "high-valley", "--to-get", "--json").data
    }
    assert made["packed"] == 19
    assert {one["kind"] for one in made["check_again"]} == {"closure", "rule"}
    assert all(one["check_again"] and one["on_date"] for one in made["check_again"])
    assert on_demo("undo").status == 0
    assert on_demo("shot", "list", "--json").data == before
    said = on_demo(*line, "--only", "to-get").out
    assert "From high-valley-autumn: 9 shots, 718 days later; 19 pieces of kit on the packing list." in said
    assert "Observed then; check again:" in said
    assert "(18 Oct 2025, the sergeant at the barrier)" in said


def test_several_outcomes_may_be_asked_for(on_demo: Run) -> None:
    def listed(*line: str) -> list[str]:
        answer = on_demo("shot", "list", "--trip", "slate-coast", *line, "--json").data
        return [one["slug"] for one in answer]

    assert listed("--outcome", "missed", "--outcome", "partly") == ["surf-smooth", "cliff-dawn"]
    assert listed("--to-get", "--outcome", "missed") == ["cliff-dawn"]


def test_slips_are_one_sentence(on_demo: Run) -> None:
    lone = on_demo("trip", "add", "Again", "--only", "to-get")
    assert (lone.status, "--only goes with --plan-from" in lone.err) == (2, True)
    undated = on_demo("trip", "add", "Again", "--plan-from", "slate-coast")
    assert (undated.status, "add --from DATE" in undated.err) == (2, True)
    unknown = on_demo("trip", "add", "Again", "--from", "2027-01-01", "--plan-from", "nowhere")
    assert (unknown.status, "nowhere" in unknown.err) == (1, True)
    assert on_demo("shot", "edit", "cliff-dawn", "--continues", "cliff-dawn").status == 2


def test_the_brief_names_the_command_that_plans_what_is_left(on_demo: Run) -> None:
    command = "logbook trip add TITLE --from DATE --plan-from slate-coast-winter --only to-get"
    assert command in on_demo("before", "wave-shelf").out.splitlines()
    assert on_demo("before", "wave-shelf", "--json").data["plan_again"] == [command]


@pytest.mark.slow
def test_the_archive_alone_names_the_command_and_the_history(demo: Path, all_trips: Path) -> None:
    command = "--plan-from high-valley-autumn --only to-get"
    texts = {
        one.name: "".join(page.read_text("utf-8") for page in one.rglob("*.html")) for one in demo.iterdir()
    }
    assert [name for name, text in texts.items() if command in text] == ["archive"]
    (coast,) = (all_trips / "trips").glob("*slate-coast*")
    told = "".join(page.read_text("utf-8") for page in coast.rglob("*.html"))
    assert "planned 2024, only partly made because the water was against it; planned 2031, open" in told


def test_a_picture_that_is_planned_again_is_still_to_get_once(on_demo: Run) -> None:
    answer = on_demo("before", "wave-shelf", "--json").data["still_to_get"]
    assert [(one["shot"], one["outcome"], one["planned_again"]) for one in answer] == [
        ("cliff-dawn", "missed", "cliff-dawn-2"),
        ("surf-smooth", "partly", "surf-smooth-2"),
    ]
    said = " ".join(on_demo("before", "wave-shelf").out.split())
    assert "Planned again for 15 Feb 2031." in said
