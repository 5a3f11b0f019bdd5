"""What looks like a setting in a plan and is none waits to be sorted out, whole."""

import pytest

from logbook.domain.written.plans import shot_written
from logbook.domain.written.understanding import NotUnderstoodError


@pytest.mark.parametrize(
    "line",
    [
        "Rowers, f/8-16, 1/60",
        "Rowers, f/8-11, 1/60",
        "Rowers f/8–16, tripod",
        "Ferry wake, f/8, ISO 100-400",
        "Ferry wake, f/8 to 16",
        "Ferry wake, ISO 100 or 400",
        "Star stack, 10 x 30 s, f/2.8",
        "Star stack, 30 s × 10, f/2.8",
        "Star stack 10x 30 s, f/2.8",
        "Star stack 15 to 30 s, f/2.8",
    ],
)
def test_a_number_joined_to_a_setting_mixes_settings_whatever_number_it_is(line: str) -> None:
    with pytest.raises(NotUnderstoodError, match="mixes settings"):
        shot_written([line])


@pytest.mark.parametrize(
    "part",
    ["64", "1.8", "3x", "1.4x", "+1 stop", "-1 stop", "±2/3", "1/125 - 500", "4x5", "nd8 + 64", "nd8 64"],
)
def test_figures_that_no_word_explains_wait(part: str) -> None:
    with pytest.raises(NotUnderstoodError, match=r'is not understood; write settings as .* or put "note:"'):
        shot_written([f"Long lens, {part}, f/8"])


@pytest.mark.parametrize(
    "part",
    ["ISO 1600/3200", "5-10 min", "about 5-10 min", "25.30pm", "f/8/11", "8.800 mm", "ISO 50 125", "2-3h"],
)
def test_a_setting_that_is_not_understood_waits_and_is_no_note(part: str) -> None:
    with pytest.raises(NotUnderstoodError, match=f'"{part}" (?:is not understood|mixes settings)'):
        shot_written([f"Surf blur, {part}, tripod"])


def test_a_setting_that_is_not_understood_is_no_part_of_a_title() -> None:
    for title in ("Surf ISO 1600/3200", "Surf 5-10 min", "Surf f/8/11"):
        with pytest.raises(NotUnderstoodError, match="is not understood"):
            shot_written([f"{title}, tripod"])


def test_figures_alone_behind_a_setting_are_no_part_of_the_title() -> None:
    with pytest.raises(NotUnderstoodError, match='"Pier f/8 64" is not understood'):
        shot_written(["Pier f/8 64, tripod"])
    assert shot_written(["Portrait 85mm of 2 millers, f/2"]).said["title"] == "Portrait of 2 millers"


def test_a_dash_that_parts_a_title_from_a_setting_makes_no_range() -> None:
    read = shot_written(["Pier 7 – 30 s – f/8"]).said
    assert (read["title"], read["exposure_s"], read["f_number"]) == ("Pier 7", 30, 8)


@pytest.mark.parametrize(
    "note",
    [
        "all 14 of them",
        "keep 100 m away",
        "10 min walk",
        "wait 5-10 min for the tide",
        "10 %",
        "16:9",
        "70-200 mm",
        "bracket 2 stops apart",
    ],
)
def test_words_about_a_figure_and_what_is_no_setting_stay_a_note(note: str) -> None:
    assert shot_written([f"Mill, f/8, {note}"]).said["notes"] == note


@pytest.mark.parametrize(
    "line", ["don't shoot the bridge", "same as yesterday but with pol", "Bridge silk ditto", "ditto, tripod"]
)
def test_what_names_no_shot_of_its_own_plans_none(line: str) -> None:
    with pytest.raises(NotUnderstoodError, match="names no shot of its own"):
        shot_written([line])
