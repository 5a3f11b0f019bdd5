"""A free line becomes conditions of the kinds it says, or nothing noted, or stays words."""

from datetime import time

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from logbook.domain.words import ConditionKind
from logbook.domain.written.entry import ConditionEntry
from logbook.domain.written.lines import read_entries, written_entry
from logbook.domain.written.observations import (
    Observation,
    kind_said,
    observations_written,
    seen_at_stay,
)

CLOSURE, WATER, WEATHER = ConditionKind.CLOSURE, ConditionKind.WATER, ConditionKind.WEATHER
WIND, GROUND, RULE, LIGHT = ConditionKind.WIND, ConditionKind.GROUND, ConditionKind.RULE, ConditionKind.LIGHT
PLACES = {
    "lamp-terrace": "lamp-terrace",
    "Lamp terrace": "lamp-terrace",
    "Weir": "weir",
    "Weir steps": "weir-steps",
}


def only(text: str) -> Observation:
    """The one observation that a text is."""
    (observation,) = observations_written(text, PLACES)
    return observation


@pytest.mark.parametrize(
    "text", ["nothing", "no", "none", "all open", "-", "n/a", "closure: nothing", "not closed"]
)
def test_nothing_noted_is_no_condition(text: str) -> None:
    observation = only(text)
    assert (observation.is_nothing, observation.conditions, observation.words) == (True, (), None)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "north rim road shut",
            "Chain across the path",
            "tape across the lower steps",
            "gate locked",
            "path roped off",
            "steps cordoned off since 9am",
            "bridge washed away",
        ),
        *(
            "the bridge is gone",
            "no access to the pier",
            "pier fenced off",
            "closed",
            "all paths closed",
            "barred gate",
        ),
        *(
            "steps not open yet",
            "path closed because of ice",
            "trail blocked",
        ),
        *("path closed, rockfall", "boardwalk sealed", "the stairs weren't accessible"),
    ],
)
def test_what_is_said_to_be_closed_is_a_closure_in_its_words(text: str) -> None:
    (entry,) = only(text).conditions
    assert (entry.kind, entry.level, entry.note) == (CLOSURE, None, text)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "north rim road",
            "the path is open again",
            "stairs no longer closed",
            "gate unlocked",
            "the cafe is new",
        ),
        *("view blocked by a bus", "close to the water's edge we ate", "shutter trouble", "coach park moved"),
        *("none of the paths were closed", "the gate was not locked"),
    ],
)
def test_what_nobody_said_was_closed_is_no_closure(text: str) -> None:
    assert all(entry.kind is not CLOSURE for entry in only(text).conditions)


@pytest.mark.parametrize(
    "text", ["north rim road", "no tripod", "gate unlocked", "the cafe is new", "coach park moved"]
)
def test_what_fits_no_kind_stays_words(text: str) -> None:
    observation = only(text)
    assert (observation.conditions, observation.is_nothing, observation.words) == ((), False, text)


@pytest.mark.parametrize(
    ("text", "entry"),
    [
        ("none, rain from 3pm", ConditionEntry(WEATHER, None, time(15), note="rain from 3pm")),
        ("everything open but the gate is locked", ConditionEntry(CLOSURE, note="the gate is locked")),
        ("light fading early", ConditionEntry(LIGHT, note="light fading early")),
        ("rain from 3pm", ConditionEntry(WEATHER, None, time(15), note="rain from 3pm")),
        ("fog until 10", ConditionEntry(WEATHER, note="fog until 10")),
        ("tide high", ConditionEntry(WATER, "high", note="tide high")),
        ("tide 4,2 m", ConditionEntry(WATER, note="tide 4,2 m")),
        ("flood on the lower stairs", ConditionEntry(WATER, "flood", note="flood on the lower stairs")),
        ("flood warning", ConditionEntry(WATER, note="flood warning")),
        ("low tide at 9:15", ConditionEntry(WATER, "low", time(9, 15), note="low tide")),
        ("low tide 16:20", ConditionEntry(WATER, "low", time(16, 20), note="low tide")),
        (
            "high tide 7.45pm, deck wet",
            ConditionEntry(WATER, "high", time(19, 45), note="high tide, deck wet"),
        ),
        ("water: high", ConditionEntry(WATER, "high")),
        ("strong wind from 3pm", ConditionEntry(WIND, None, time(15), note="strong wind from 3pm")),
        ("wind: 4 from west", ConditionEntry(WIND, "4", direction="W")),
        ("5-6 SW", ConditionEntry(WIND, direction="SW", note="5-6 SW")),
        ("ice and loose stones", ConditionEntry(GROUND, note="ice and loose stones")),
        ("mud on the path", ConditionEntry(GROUND, note="mud on the path")),
        ("no tripods", ConditionEntry(RULE, "forbidden")),
        ("drones forbidden", ConditionEntry(RULE, note="drones forbidden")),
        ("permit needed", ConditionEntry(RULE, note="permit needed")),
        ("lamps off at 22:00", ConditionEntry(LIGHT, None, time(22), note="lamps off")),
        (
            "north rim road shut, said the warden",
            ConditionEntry(CLOSURE, note="north rim road shut", source="the warden"),
        ),
    ],
)
def test_each_line_goes_to_its_kind_and_keeps_its_words(text: str, entry: ConditionEntry) -> None:
    assert only(text).conditions == (entry,)


def test_clauses_of_different_kinds_part_and_lines_are_observations_of_their_own() -> None:
    kinds = [entry.kind for entry in only("gate locked, rain from 3pm and tide high").conditions]
    assert kinds == [CLOSURE, WEATHER, WATER]
    road, tide, nothing = observations_written("- road closed\n- tide low; nothing else")
    assert (road.conditions[0].kind, tide.conditions[0].level, nothing.is_nothing) == (CLOSURE, "low", True)


@pytest.mark.parametrize(
    ("text", "place", "note"),
    [
        ("lamp terrace, gate locked", "lamp-terrace", "gate locked"),
        ("at the Lamp Terrace: gate locked", "lamp-terrace", "gate locked"),
        ("lamp, gate locked", "lamp-terrace", "gate locked"),
        ("gate locked at the weir", "weir", "gate locked at the weir"),
        ("weir steps closed", "weir-steps", "weir steps closed"),
        ("Lamp terrace: closed", "lamp-terrace", "Lamp terrace: closed"),
        ("north rim road, closed", None, "north rim road, closed"),
    ],
)
def test_a_known_place_is_named_by_the_line(text: str, place: str | None, note: str) -> None:
    observation = only(text)
    assert (observation.place, observation.conditions[0].note) == (place, note)


def test_nothing_at_a_place_is_nothing_noted_there() -> None:
    assert (only("weir: nothing").place, only("weir: nothing").is_nothing) == ("weir", True)


SPOKEN = (
    *(
        "gate",
        "locked",
        "not",
        "tide",
        "high",
        "flood",
        "rain",
        "from",
        "3pm",
        ",",
        "and",
        "wind",
        "4",
        "at",
        "9:15",
    ),
    *(
        "no",
        "tripods",
        "weir",
        ";",
        "closed",
        "open",
        "ice",
        "water",
        ":",
        "light",
        "nothing",
        "said",
        "warden",
    ),
)
SAID = st.lists(
    st.sampled_from(SPOKEN),
    max_size=9,
).map(" ".join)


@example("gate , flood")
@given(SAID | st.text(max_size=80))
def test_no_line_is_lost_and_every_condition_reads_back_from_its_own_line(text: str) -> None:
    for observation in observations_written(text, PLACES):
        assert observation.conditions or observation.is_nothing or observation.words == observation.text
        for entry in observation.conditions:
            (again,) = read_entries(written_entry(entry))
            assert again == entry


@given(st.text(max_size=80))
def test_a_kind_is_said_or_not(text: str) -> None:
    assert kind_said(text) in (None, *ConditionKind)


@pytest.mark.parametrize(
    ("text", "kind", "levels"),
    [
        ("dozens", "crowd", ["dozens"]),
        ("dozens at 17:20, none at 18:30", "crowd", ["dozens", "none"]),
        ("low", "water", ["low"]),
        ("crowd: few", "crowd", ["few"]),
    ],
)
def test_a_level_alone_is_of_the_only_kind_that_has_it(text: str, kind: str, levels: list[str]) -> None:
    (one,) = seen_at_stay(text)
    assert [(str(each.kind), each.level) for each in one.conditions] == [(kind, level) for level in levels]


@pytest.mark.parametrize("text", ["4", "a few coaches on the lower lot", "a dog ran past", "unknown"])
def test_what_may_be_a_level_of_two_kinds_or_something_else_is_no_condition(text: str) -> None:
    (one,) = seen_at_stay(text)
    assert one.words == text
