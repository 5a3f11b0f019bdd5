"""Day files: what was observed, in the words that people use."""

from dataclasses import replace
from datetime import time

import pytest

from logbook.domain.words import (
    ConditionKind,
)
from logbook.domain.written.entry import (
    ConditionEntry,
    Entry,
)
from logbook.domain.written.lines import written_entry
from logbook.domain.written.observations import observations_written
from tests.intake.dayfile.lines import CROWD, RULE, WATER, WIND, entries, loose


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("- crowd: none", [ConditionEntry(CROWD, "none")]),
        ("* CROWD nobody", [ConditionEntry(CROWD, "none")]),
        ("- crowd: ?", [ConditionEntry(CROWD, note="unknown")]),
        ("- crowd: unknown at 17:20", [ConditionEntry(CROWD, None, time(17, 20), note="unknown")]),
        ("+ crowd: few people, mostly anglers", [ConditionEntry(CROWD, "few", note="mostly anglers")]),
        ("• crowd: dozens, none of them moved", [ConditionEntry(CROWD, "dozens", note="none of them moved")]),
        (
            "- crowd: 17:20 dozens on the rail; 18.30 none",
            [
                ConditionEntry(CROWD, "dozens", time(17, 20), note="on the rail"),
                ConditionEntry(CROWD, "none", time(18, 30)),
            ],
        ),
        (
            "- crowd: hundreds at 9:00, few at 10:00, said the guard",
            [
                ConditionEntry(CROWD, "hundreds", time(9), source="the guard"),
                ConditionEntry(CROWD, "few", time(10), source="the guard"),
            ],
        ),
        ("- water: high and rising at 9:15", [ConditionEntry(WATER, "high", time(9, 15), note="and rising")]),
        ("- water: low at 1.20 m", [ConditionEntry(WATER, "low", note="at 1.20 m")]),
        ("- wind: 4 from west", [ConditionEntry(WIND, "4", direction="W")]),
        ("- wind: bft 5 gusting from NW", [ConditionEntry(WIND, "5", direction="NW", note="gusting")]),
        ("- wind: 12 bft", [ConditionEntry(WIND, "12")]),
        ("- wind: calm", [ConditionEntry(WIND, "0")]),
        ("- wind: 3 from 280°", [ConditionEntry(WIND, "3", direction="280°")]),
        ("- wind: from west", [ConditionEntry(WIND, direction="W", note="from west")]),
        ("- wind: 4 m/s", [ConditionEntry(WIND, note="4 m/s")]),
        ("- wind: 5-6 SW", [ConditionEntry(WIND, direction="SW", note="5-6 SW")]),
        ("- wind: 4-5 from west", [ConditionEntry(WIND, direction="W", note="4-5 from west")]),
        ("- wind: 4, dropping to 2 at 18:20", [ConditionEntry(WIND, "4", note="dropping to 2 at 18:20")]),
        ("- wind: SW 5", [ConditionEntry(WIND, "5", direction="SW")]),
        ("- crowd: ~20 people", [ConditionEntry(CROWD, "dozens", note="~20 people")]),
        ("- crowd: dozens of tourists", [ConditionEntry(CROWD, "dozens", note="dozens of tourists")]),
        (
            "- crowd: a few at 17:20, then 50 at 18:30",
            [
                ConditionEntry(CROWD, "few", time(17, 20)),
                ConditionEntry(CROWD, "dozens", time(18, 30), note="50"),
            ],
        ),
        ("- light breeze from the west", [ConditionEntry(WIND, "2", direction="W")]),
        ("- wind: W4", [ConditionEntry(WIND, "4", direction="W")]),
        (
            "- crowd: few at 17:00, dozens 17:30",  # a time behind a level is its time, with or without "at"
            [ConditionEntry(CROWD, "few", time(17)), ConditionEntry(CROWD, "dozens", time(17, 30))],
        ),
        (
            "- wind: 4 SW 17:20, 2 18:40",
            [ConditionEntry(WIND, "4", time(17, 20), "SW"), ConditionEntry(WIND, "2", time(18, 40))],
        ),
        ("- few people", [ConditionEntry(CROWD, "few")]),
        ("- crowd: few at 17:20.", [ConditionEntry(CROWD, "few", time(17, 20))]),  # a full stop is no note
        ("- crowd: few.", [ConditionEntry(CROWD, "few")]),
        ("- wind: 4 from west!", [ConditionEntry(WIND, "4", direction="W")]),
        ("- crowd: 30.", [ConditionEntry(CROWD, "dozens", note="30")]),
        ("- a few people at 17:20", [ConditionEntry(CROWD, "few", time(17, 20))]),
        ("- few people at 5pm", [ConditionEntry(CROWD, "few", time(17))]),
        ("- nobody", [ConditionEntry(CROWD, "none")]),
        ("- crowd: few 17:00-17:30", [ConditionEntry(CROWD, "few", note="17:00-17:30")]),
        ("- closed - gate locked", [ConditionEntry(ConditionKind.CLOSURE, note="gate locked")]),
        ("- tide 4,2 m", [ConditionEntry(WATER, note="tide 4,2 m")]),
        ("- tide: high at 9:15", [ConditionEntry(WATER, "high", time(9, 15), note="tide high")]),
        ("- closed: north path", [ConditionEntry(ConditionKind.CLOSURE, note="north path")]),
        ("- ~20 people", [ConditionEntry(CROWD, "dozens", note="~20 people")]),
        ("- 5-6 SW", [ConditionEntry(WIND, direction="SW", note="5-6 SW")]),
        (
            "- light rain from 3pm",
            [ConditionEntry(ConditionKind.WEATHER, None, time(15), note="light rain from 3pm")],
        ),
        (
            "- wind: 4 NW, 6 at 18:00",
            [ConditionEntry(WIND, "4", direction="NW"), ConditionEntry(WIND, "6", time(18))],
        ),
        (
            "- rule: tripods forbidden, sign at the gate",
            [ConditionEntry(RULE, "forbidden", note="sign at the gate")],
        ),
        ("- rule: tripods not allowed", [ConditionEntry(RULE, "forbidden")]),
        ("- rule: no tripods", [ConditionEntry(RULE, "forbidden")]),
        ("- rule: no drones", [ConditionEntry(RULE, note="no drones")]),
        ("- rule: drones forbidden", [ConditionEntry(RULE, note="drones forbidden")]),
        ("- rule: ?", [ConditionEntry(RULE, "unknown")]),
        (
            "- weather: fog lifted at 8:10 over the gorge",
            [ConditionEntry(ConditionKind.WEATHER, None, time(8, 10), note="fog lifted over the gorge")],
        ),
        (
            "- light: flat until 17:20, gold at 17:40",
            [ConditionEntry(ConditionKind.LIGHT, note="flat until 17:20, gold at 17:40")],
        ),
        (
            "- ground: 7:05 ice on the boards",
            [ConditionEntry(ConditionKind.GROUND, None, time(7, 5), note="ice on the boards")],
        ),
    ],
)
def test_a_condition_is_read_with_level_time_direction_note_and_source(
    line: str, expected: list[Entry]
) -> None:
    assert entries(line) == expected


def test_none_differs_from_unknown() -> None:
    (none,), (unknown,) = entries("- crowd: none"), entries("- crowd: unknown")
    assert isinstance(none, ConditionEntry)
    assert isinstance(unknown, ConditionEntry)
    assert (none.level, unknown.level) == ("none", None)


BEAUFORT = [  # WMO-No. 306, Manual on Codes, Vol. I.1, Section E: the official names of forces 0 to 12
    "calm", "light air", "light breeze", "gentle breeze", "moderate breeze", "fresh breeze", "strong breeze",
    "near gale", "gale", "strong gale", "storm", "violent storm", "hurricane",
]  # fmt: skip


def test_every_official_beaufort_name_is_its_force() -> None:
    for force, name in enumerate(BEAUFORT):
        for line in (f"- wind: {name}", f"- wind: {force}", f"- wind: {name.upper()} from the south-west"):
            (entry,) = entries(line)
            assert isinstance(entry, ConditionEntry)
            assert entry.level == str(force)


@pytest.mark.parametrize(
    "line",
    [
        *("wind: 4 hours of it", "wind: 4h", "wind: up to 4 hours", "wind: 4-5 hours", "wind: W 4 hours"),
        *(
            "crowd: dozens of geese",
            "crowd: hundreds of sheep",
            "crowd: a couple of hours",
            "crowd: few cars",
        ),
        *("crowd: few minutes only", "crowd: few km away", "crowd: several tour buses"),
        *(
            "wind: 2 layers needed",
            "wind: 3 C",
            "wind: 4°C",
            "wind: 4 °",
            "crowd: 10 minutes wait",
            "crowd: 2 km queue",
        ),
        *("tries: 2 hours", "tries: 3 or 4", "tries: 5 of 10"),
    ],
)
def test_a_number_of_something_else_is_no_level(line: str) -> None:
    assert loose(f"- {line}").why


@pytest.mark.parametrize("said", ["20 km/h", "15 knots", "5 m/s", "4-5"])
def test_a_speed_is_kept_in_its_words(said: str) -> None:
    assert entries(f"- wind: {said}") == [ConditionEntry(WIND, None, note=said)]


@pytest.mark.parametrize("rest", ["in the hide", "all day", "gusting 6", "at the top", "with gusts"])
def test_a_force_may_say_where_and_how_it_blew(rest: str) -> None:
    assert entries(f"- wind: 4 {rest}") == [ConditionEntry(WIND, "4", note=rest)]


@pytest.mark.parametrize(
    "said",
    [
        *(
            "path closed tomorrow",
            "lower steps may close",
            "opens again Friday",
            "probably shut",
            "if it rains",
        ),
        *("pier, from tomorrow", "will be closed next week", "path reopens friday", "closing soon"),
        *("was closed yesterday", "path closed last week, open now", "reopened", "to be closed in winter"),
    ],
)
def test_a_plan_or_a_guess_is_no_closure_that_was_seen(said: str) -> None:
    assert "a forecast or a guess" in loose(f"- closure: {said}").why
    assert observations_written(f"closed: {said}")[0].conditions == ()


@pytest.mark.parametrize(
    "said",
    [
        *("road closed, opens again Friday", "closed until tomorrow", "lower steps, could not be reached"),
        *("closed May to October", "steps roped off, perhaps ice", "road closed for planned works"),
        *("closed since yesterday", "closed last winter, still shut", "road shut again at three"),
    ],
)
def test_a_closure_that_was_seen_may_say_how_long_it_lasts(said: str) -> None:
    assert entries(f"- closure: {said}") == [ConditionEntry(ConditionKind.CLOSURE, note=said)]


@pytest.mark.parametrize("said", ["?", "path?", "barrier down at 09:35?"])
def test_a_closure_in_question_is_none_that_was_seen(said: str) -> None:
    assert "leaves it open" in loose(f"- closure: {said}").why


def test_a_rule_from_tomorrow_is_not_yet_one() -> None:
    assert loose("- rule: no tripods from tomorrow").why
    assert entries("- rule: no drones if birds nest")


@pytest.mark.parametrize(
    "said",
    [
        *("gate closes at 18:00", "park shuts at dusk", "opens 9-17", "closed Mondays", "last entry 16:30"),
        *("gate locked at night", "mill closed in winter", "gate shuts 6pm sharp"),
    ],
)
def test_opening_hours_are_a_rule_and_nothing_seen_at_that_time(said: str) -> None:
    (entry,) = entries(f"- closure: {said}")
    assert entry == ConditionEntry(ConditionKind.RULE, note=said)
    assert entry.told == f'"closure: {said}" is kept as rule: {said}.'
    assert entries(f"- rule: {said}") == [entry]
    assert entries(written_entry(replace(entry, text=""))) == [entry]


@pytest.mark.parametrize(
    "said", ["gate shut early, closes at 18:00", "north path shut, opens 9-17", "road closed until Monday"]
)
def test_a_closure_that_was_seen_stays_one_beside_opening_hours(said: str) -> None:
    (entry,) = entries(f"- closure: {said}")
    assert isinstance(entry, ConditionEntry)
    assert (entry.kind, entry.at) == (ConditionKind.CLOSURE, None)


@pytest.mark.parametrize(
    ("line", "kind", "level", "note"),
    [
        ("crowd: dozens ~17:20", CROWD, "dozens", "about 17:20"),
        ("crowd: ca 17:20 dozens, loud", CROWD, "dozens", "loud, about 17:20"),
        ("tide: low around 17:20", ConditionKind.WATER, "low", "tide low, about 17:20"),
        ("light: lamps on 17:20", ConditionKind.LIGHT, None, "lamps on 17:20"),
        ("light: lamps on at 17:20ish", ConditionKind.LIGHT, None, "lamps on, about 17:20"),
        ("closure: ~17:20 gate shut", ConditionKind.CLOSURE, None, "gate shut, about 17:20"),
    ],
)
def test_a_time_that_is_about_right_is_kept_and_so_is_that(
    line: str, kind: ConditionKind, level: str | None, note: str
) -> None:
    (entry,) = entries(f"- {line}")
    at = None if "on 17:20" in line else time(17, 20)
    assert entry == ConditionEntry(kind, level, at, note=note)
    assert entries(written_entry(replace(entry, text=""))) == [entry]
