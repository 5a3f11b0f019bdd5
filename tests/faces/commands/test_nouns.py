"""The commands of the nouns: what was typed is what stands in the book."""

from collections.abc import Callable
from typing import Any

import pytest

Run = Callable[..., Any]


def test_a_plan_holds_exact_values(stocked: Run) -> None:
    line = [
        "--focal",
        "35",
        "--f-number",
        "f/11",
        "--exposure",
        "1/60",
        "--iso",
        "100",
        "--filters",
        "nd8,nd8",
        "--support",
        "tripod",
    ]
    planned = stocked("shot", "add", "Ridge", "--window", "06:10-07:00", *line, "--json").data["planned"]
    assert (planned["focal_mm"], planned["exposure"], planned["iso"]) == (35, "1/60 s", 100)
    assert planned["f_number"] == 11
    assert (planned["filters"], planned["support"]) == (["nd8", "nd8"], "tripod")
    assert (planned["window_from"], planned["window_to"]) == ("06:10", "07:00")


@pytest.mark.parametrize(("text", "filters"), [("none", []), ("unknown", None), ("pol", ["pol"])])
def test_no_filter_and_filter_unknown_are_two_answers(stocked: Run, text: str, filters: object) -> None:
    said = stocked(
        "shot", "edit", "bridge-flow", "--filters", text, "--note", "x", "--outcome", "open", "--json"
    )
    assert said.data["planned"]["filters"] == filters


def test_a_field_can_be_made_unknown_again(stocked: Run) -> None:
    assert stocked("viewpoint", "show", "quarry", "--json").data["facing_deg"] == 315
    answer = stocked("viewpoint", "edit", "quarry", "--clear", "facing-deg", "--json")
    assert answer.data["facing_deg"] is None
    refused = stocked("site", "edit", "quarry", "--clear", "latitude_deg")
    assert refused.status == 2
    assert "both a latitude and a longitude" in refused.err


def test_an_outcome_stands_beside_the_plan(stocked: Run) -> None:
    before = stocked("shot", "show", "bridge", "--json").data["planned"]
    line = ["--outcome", "missed", "--reason", "weather", "--reason", "sunspots", "--note", "Gusts."]
    assert stocked("shot", "edit", "bridge", *line).status == 2  # none of the reasons
    line = ["--outcome", "missed", "--reason", "weather", "--note", "Gusts."]
    answer = stocked("shot", "edit", "bridge", *line, "--json").data
    assert (answer["outcome"], answer["reasons"], answer["note"]) == ("missed", ["weather"], "Gusts.")
    assert answer["planned"] == before
    assert stocked("shot", "edit", "bridge", "--iso", "100").status == 1
    listed = stocked("shot", "list", "--outcome", "missed")
    assert "missed (weather)" in listed.out
    assert stocked("shot", "list", "--outcome", "made").err.startswith("No such shot in the book;")


def test_showing_a_keeper_says_where_each_value_came_from(on_demo: Run) -> None:
    lines = on_demo("keeper", "show", "0412", "--trip", "high-valley").out.splitlines()
    assert any(line.split() == ["ISO", "1600", "(camera)"] for line in lines)
    assert any(line.startswith("zone") and line.rstrip().endswith("(assumed)") for line in lines)
    assert any(line.split() == ["support", "handheld"] for line in lines)


@pytest.mark.slow
@pytest.mark.parametrize("noun", ["trip", "site", "viewpoint", "shot", "kit", "visit", "condition", "lesson"])
def test_every_noun_can_be_listed_and_shown_for_people(on_demo: Run, noun: str) -> None:
    listed = on_demo(noun, "list")
    assert listed.status == 0
    assert max(map(len, listed.out.splitlines())) <= 100
    slug = on_demo(noun, "list", "--json").data[0]["slug"]
    assert slug in on_demo(noun, "show", slug).out


def test_an_empty_list_says_so_on_stderr(logbook: Run) -> None:
    logbook("trip", "add", "High valley")
    answer = logbook("site", "list")
    assert (answer.status, answer.out, answer.err) == (
        0,
        "",
        'No such site in the book yet; "logbook site add TITLE" adds one.\n',
    )
    assert logbook("site", "list", "--json").data == []


def test_a_trip_without_a_zone_is_told_what_it_lacks_and_how_to_mend_it(stocked: Run) -> None:
    assert "logbook trip edit salt-coast --zone" in stocked("trip", "add", "Salt coast").err
    told = stocked("trip", "add", "Dunes", "--zone", "Europe/Lisbon")
    assert (told.status, told.err) == (0, "")


def test_a_filter_that_nobody_knows_is_kept_with_a_remark_and_a_slip_refused(stocked: Run) -> None:
    kept = stocked("shot", "edit", "bridge-flow", "--filters", "a piece of tape")
    assert kept.status == 0
    assert '"a piece of tape" is kept as a name, with its strength unknown.' in kept.err
    slip = stocked("shot", "edit", "bridge-flow", "--filters", "tripod")
    assert (slip.status, slip.err.count("\n")) == (2, 1)
    assert stocked("shot", "show", "bridge-flow", "--json").data["planned"]["filters"] == ["a piece of tape"]
    assert stocked("kit", "add", "Tiny", "--kind", "filter", "--filter", "0.9", "--json").data[
        "filter_name"
    ] == ("nd8")  # density 0.9 is three stops: one stored name for one filter
    assert stocked("kit", "add", "Two", "--kind", "filter", "--filter", "nd8, pol").status == 2


def test_a_title_added_again_says_so_and_how_to_take_it_back(stocked: Run) -> None:
    again = stocked("site", "add", "Quarry", "--json")
    assert again.data["slug"] == "quarry-2"
    assert again.err == (
        'There is already a quarry; this one is quarry-2. Not intended? "logbook undo" removes it again.\n'
    )
    assert stocked("shot", "add", "Bridge flow").err.startswith("There is already a bridge-flow")
    assert stocked("undo").status == 0
    assert stocked("site", "add", "Route 66").err == ""
    assert stocked("site", "add", "Another", "--slug", "other-2").err == ""


def test_one_packing_decision_may_be_about_several_pieces(stocked: Run) -> None:
    for name in ("nd8", "nd64", "pol"):
        stocked("kit", "add", name, "--kind", "filter")
    done = stocked("kit", "edit", "nd8", "nd64", "pol", "--state", "taken")
    assert (done.status, done.out) == (0, "kit nd8, nd64, pol changed.\n")
    states = {
        row["slug"]: row["trips"]["high-valley"]["state"] for row in stocked("kit", "list", "--json").data
    }
    assert states == {"nd8": "taken", "nd64": "taken", "pol": "taken"}
    missed = stocked("kit", "edit", "nd8", "nd4000", "--state", "left")
    assert missed.status == 1
    assert stocked("kit", "show", "nd8", "--json").data["trips"]["high-valley"]["state"] == "taken"
    assert stocked("kit", "edit", "nd8", "pol", "--title", "Both").status == 2
    assert stocked("kit", "edit", "nd8", "nd64", "--state", "left", "--json").data[1]["slug"] == "nd64"


@pytest.mark.parametrize(
    "command",
    [
        ("shot", "add", "Late", "--on", "2030-10-14"),
        ("visit", "add", "--viewpoint", "quarry-ledge", "--on", "2032-10-14"),
        ("condition", "add", "wind", "--level", "4", "--viewpoint", "quarry-ledge", "--on", "2031-10-18"),
    ],
)
def test_a_date_outside_the_trip_is_kept_with_a_remark(stocked: Run, command: tuple[str, ...]) -> None:
    assert stocked(*command).err == "", "a trip without dates has no outside"
    stocked("undo")
    stocked("trip", "edit", "high", "--from", "2031-10-13", "--to", "2031-10-16")
    answer = stocked(*command)
    assert answer.status == 0
    assert "is outside the dates of high-valley (2031-10-13 to 2031-10-16)" in answer.err


@pytest.mark.slow
@pytest.mark.parametrize(("noun", "slug"), [("site", "quarry"), ("viewpoint", "quarry-ledge")])
def test_other_names_are_added_one_by_one_and_dropped_by_name(stocked: Run, noun: str, slug: str) -> None:
    def called(*line: str) -> Any:
        return stocked(noun, "edit", slug, *line, "--json").data["also_called"]

    assert stocked(noun, "show", slug, "--json").data["also_called"] == []
    assert called("--also", "The Pulpit", "--also", "Old pit") == ["The Pulpit", "Old pit"]
    assert called("--also", "old PIT", "--also", "Crag") == ["The Pulpit", "Old pit", "Crag"]
    assert called("--not-also", "the pulpit") == ["Old pit", "Crag"]
    assert "Old pit, Crag" in stocked(noun, "show", "crag").out
    assert called("--clear", "also_called", "--also", "Rim") == ["Rim"]
    assert called("--clear", "also-called") == []
    missed = stocked(noun, "edit", slug, "--not-also", "Rim")
    assert (missed.status, "it has none" in missed.err) == (1, True)
    assert stocked("undo").status == 0
    assert stocked(noun, "show", slug, "--json").data["also_called"] == ["Rim"]


def test_a_place_may_be_named_by_an_other_name_wherever_it_is_named(stocked: Run) -> None:
    assert stocked("site", "add", "Weir", "--also", "Lower falls", "--json").data["also_called"] == [
        "Lower falls"
    ]
    stocked("viewpoint", "add", "Weir steps", "--site", "lower falls", "--also", "The Stairs")
    made = stocked("shot", "add", "Steps at dusk", "--viewpoint", "the stairs", "--json").data
    assert made["viewpoint"] == "weir-steps"
    assert stocked("viewpoint", "list", "--site", "Lower falls", "--json").data[0]["slug"] == "weir-steps"
    stocked("viewpoint", "edit", "quarry-ledge", "--also", "the-stairs")
    refused = stocked("viewpoint", "show", "the stairs")
    assert (refused.status, "quarry-ledge and weir-steps" in refused.err) == (1, True)


def test_private_names_and_words_that_may_stand_add_up(stocked: Run) -> None:
    def trip(*line: str) -> Any:
        return stocked("trip", "edit", "high-valley", *line, "--json").data

    trip("--private-name", "Ilse Brand", "--may-say", "quarry")
    both = trip("--private-name", "Orrin Vale", "--may-say", "ledge")
    assert both["private_names"] == ["Ilse Brand", "Orrin Vale"]
    assert both["may_say"] == ["quarry", "ledge"]
    assert trip("--clear", "may_say")["may_say"] == []
    assert trip("--clear", "private_names")["private_names"] == []
    refused = stocked("trip", "edit", "high-valley", "--may-say", " ")
    assert (refused.status, "empty" in refused.err) == (2, True)


@pytest.mark.slow
def test_every_noun_takes_another_short_name(stocked: Run) -> None:
    for line in (
        ("kit", "add", "Old tripod", "--kind", "support"),
        ("visit", "add", "--viewpoint", "quarry-ledge", "--on", "2031-10-14"),
        ("condition", "add", "rule", "--note", "No tripods", "--viewpoint", "quarry", "--on", "2031-10-14"),
        ("lesson", "add", "keep", "Wait longer"),
    ):
        assert stocked(*line).status == 0, line
    for noun in ("trip", "site", "viewpoint", "shot", "kit", "visit", "condition", "lesson"):
        (before,) = stocked(noun, "list", "--json").data
        named = stocked(noun, "edit", before["slug"], "--slug", f"our-{noun}")
        assert named.out == f"{noun} our-{noun} changed.\n", named.err
        assert stocked(noun, "show", f"our-{noun}", "--json").data["id"] == before["id"]
        refused = stocked(noun, "edit", f"our-{noun}", "--slug", "Two Words")
        assert (refused.status, "such as two-words" in refused.err) == (2, True)
    stocked("site", "add", "Weir")
    taken = stocked("site", "edit", "weir", "--slug", "our-site")
    assert (taken.status, "There is already a site called" in taken.err) == (1, True)


@pytest.mark.slow
def test_a_viewpoint_has_a_horizon_of_its_own_and_unknown_is_not_level(stocked: Run) -> None:
    def horizon(*line: str) -> Any:
        answer = stocked("viewpoint", "edit", "quarry-ledge", *line, "--json")
        assert answer.status == 0, answer.err
        return answer.data["horizon"]

    assert stocked("viewpoint", "show", "quarry-ledge", "--json").data["horizon"] is None
    assert horizon("--horizon", "6.5°") == 6.5
    assert "6.5" in stocked("viewpoint", "show", "quarry-ledge").out
    assert horizon("--horizon", "0") == 0.0
    assert horizon("--clear", "horizon") is None
    assert stocked("undo").status == 0
    assert stocked("viewpoint", "show", "quarry-ledge", "--json").data["horizon"] == 0.0
    refused = stocked("viewpoint", "edit", "quarry-ledge", "--horizon", "85")
    assert (refused.status, "between -45 and 80, or sea" in refused.err) == (2, True)
    made = stocked("viewpoint", "add", "Pier head", "--site", "quarry", "--horizon", "sea", "--json")
    assert made.data["horizon"] == "sea"
    assert 'Add it with "logbook viewpoint edit pier-head --elevation M"' in made.err
    settled = stocked("viewpoint", "edit", "pier-head", "--elevation", "120")
    assert (settled.status, settled.err) == (0, "")


@pytest.mark.slow
def test_light_counts_with_the_viewpoints_horizon_until_another_is_asked(stocked: Run) -> None:
    stocked("viewpoint", "edit", "quarry-ledge", "--lat", "38.2", "--lon", "73.4")
    line = ("light", "quarry-ledge", "--on", "2031-10-14", "--zone", "Asia/Dushanbe")

    def sunset(*more: str) -> str:
        data = stocked(*line, *more, "--json").data
        return str(next(one["at"][11:16] for one in data["events"] if one["name"] == "sunset"))

    assert sunset() == "17:30"
    stocked("viewpoint", "edit", "quarry-ledge", "--horizon", "6")
    assert sunset() == "16:57"
    assert "Horizon: sun and moon over the 6° skyline." in stocked(*line).out
    assert sunset("--horizon", "0") == "17:30"
    told = stocked(*line, "--at", "17:10", "--json").data
    assert (told["horizon"], told["horizon_is"]) == (6.0, "the 6° skyline")
    assert told["at"]["sun_behind_skyline"]
    assert "up, behind the 6° skyline" in stocked(*line, "--at", "17:10").out
    refused = stocked(*line, "--horizon", "sea")
    assert (refused.status, "logbook viewpoint edit quarry-ledge --elevation M" in refused.err) == (2, True)
    stocked("viewpoint", "edit", "quarry-ledge", "--horizon", "sea")
    assert "Horizon: a level horizon, because the height above the sea is unknown" in stocked(*line).out
    stocked("viewpoint", "edit", "quarry-ledge", "--elevation", "120")
    assert (
        "Horizon: sun and moon over the sea horizon seen from 120 m, 0.32° below level." in stocked(*line).out
    )
    assert sunset() > "17:30"
