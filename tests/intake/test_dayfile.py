"""Day files: read forgivingly, nothing lost, written back the same."""

import time as clocks
from dataclasses import replace
from datetime import date, time
from pathlib import Path

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from logbook.domain.errors import InvalidValueError, UnreadableFileError
from logbook.domain.words import (
    Audience,
    ConditionKind,
    LessonVerb,
    OutcomeWord,
    Reason,
    Sharpness,
    Support,
    VisitPurpose,
)
from logbook.domain.written.entry import (
    ClockEntry,
    ConditionEntry,
    Entry,
    KeepersEntry,
    KitEntry,
    LessonEntry,
    ShotEntry,
    SupportEntry,
    TriesEntry,
)
from logbook.domain.written.filters import stack_written
from logbook.domain.written.lines import written_entry
from logbook.intake.dayfile import DayFile, Section, UnreadLine, parse_day_file, read_day_file, write_day_file

FRONT = "---\ntrip: high-valley-autumn\ndate: 2031-10-14\n---\n"
CROWD, WATER, WIND, RULE = ConditionKind.CROWD, ConditionKind.WATER, ConditionKind.WIND, ConditionKind.RULE

EVENING = """---
trip: high-valley-autumn
date: 2031-10-14
---
Ice on the tent at six. North rim road shut at the barrier.

## Quarry ledge 17:20-18:45 shooting
- crowd: dozens at 17:20, none at 18:30
- wind: 4 from west
- closure: north rim road, rockfall, said the warden
- tries: 14
- shot bridge-flow: partly, light
- keepers 0412-0419: nd8 + nd8, braced
- lesson change [students]: come before the coaches
"""


def entries(*lines: str) -> list[Entry]:
    """The entries of a section holding these lines, all of which must be understood."""
    day = parse_day_file(FRONT + "## Quarry ledge\n" + "\n".join(lines))
    assert day.loose == ()
    return list(day.sections[0].entries)


def loose(line: str) -> UnreadLine:
    """The one loose line that this line becomes, word for word."""
    day = parse_day_file(FRONT + "## Quarry ledge\n" + line)
    assert day.sections == (Section("Quarry ledge"),)
    assert [(entry.line, entry.text) for entry in day.loose] == [(6, line)]
    return day.loose[0]


def test_the_evening_of_the_manual_is_read_whole() -> None:
    day = parse_day_file(EVENING)
    assert (day.trip, day.on_date, day.zone, day.loose) == (
        "high-valley-autumn",
        date(2031, 10, 14),
        None,
        (),
    )
    assert day.sections == (
        Section(journal="Ice on the tent at six. North rim road shut at the barrier."),
        Section(
            "Quarry ledge",
            arrived=time(17, 20),
            departed=time(18, 45),
            purpose=VisitPurpose.SHOOTING,
            entries=(
                ConditionEntry(CROWD, "dozens", time(17, 20)),
                ConditionEntry(CROWD, "none", time(18, 30)),
                ConditionEntry(WIND, "4", direction="W"),
                ConditionEntry(ConditionKind.CLOSURE, note="north rim road, rockfall", source="the warden"),
                TriesEntry(14),
                ShotEntry("bridge-flow", OutcomeWord.PARTLY, (Reason.LIGHT,)),
                KeepersEntry("0412", "0419", ("nd8", "nd8"), True, Support.BRACED, filters_said=True),
                LessonEntry(LessonVerb.CHANGE, Audience.STUDENTS, "come before the coaches"),
            ),
        ),
    )
    section = day.sections[1]
    assert section.line == 7
    assert [entry.line for entry in section.entries] == [8, 8, 9, 10, 11, 12, 13, 14]
    assert section.entries[3].text == "- closure: north rim road, rockfall, said the warden"


# front matter


@pytest.mark.parametrize(
    "front",
    [
        "---\ndate: 2031-10-14\n---\n",
        "\ufeff\n\n---\nDate : 2031-10-14\n---\n",
        "—\ndate: 2031-10-14\n—\n",
        "---\r\ndate: '2031-10-14'\r\n---\r\n",
        "date: 14.10.2031\n",
        "---\ndate: 2031/10/14\n...\n",
    ],
)
def test_the_date_is_read_in_any_dress_a_phone_gives_it(front: str) -> None:
    day = parse_day_file(front + "Rain.\n- tries: 3")
    assert day.on_date == date(2031, 10, 14)
    assert day.sections == (Section(journal="Rain.", entries=(TriesEntry(3),)),)
    assert day.loose == ()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", 'day.md: the day has no date; write "date: 2031-10-14" between --- lines at its top.'),
        (
            "Just a diary.",
            'day.md: the day has no date; write "date: 2031-10-14" between --- lines at its top.',
        ),
        (
            "---\ndate:\n---",
            'day.md:2: the day has no date; write "date: 2031-10-14" between --- lines at its top.',
        ),
        (
            "---\ntrip: x\ndate: 2031-13-40\n---",
            'day.md:3: "2031-13-40" is no day of the calendar; write the date like 2031-10-14.',
        ),
        (
            "---\ndate: 10/11/2031\n---",
            'day.md:2: "10/11/2031" is no day of the calendar; write the date like 2031-10-14.',
        ),
    ],
)
def test_a_day_without_a_usable_date_is_one_sentence_with_file_and_line(text: str, sentence: str) -> None:
    with pytest.raises(InvalidValueError) as caught:
        parse_day_file(text, "day.md")
    assert str(caught.value) == sentence


def test_unknown_keys_a_bad_zone_and_repeats_are_loose() -> None:
    day = parse_day_file("---\nmood: fine\ndate: 2031-10-14\nzone: my place\ndate: 2031-10-15\ntrip:\n---\n")
    assert (day.trip, day.on_date, day.zone) == (None, date(2031, 10, 14), None)
    assert [(entry.line, entry.text) for entry in day.loose] == [
        (2, "mood: fine"),
        (4, "zone: my place"),
        (5, "date: 2031-10-15"),
    ]


def test_a_front_matter_that_is_never_closed_does_not_swallow_the_day() -> None:
    day = parse_day_file("---\ndate: 2031-10-14\nzone: Europe/Vienna\nRain.\n## Weir\n- tries: 2\n")
    assert (day.on_date, day.zone) == (date(2031, 10, 14), "Europe/Vienna")
    assert day.sections == (Section(journal="Rain."), Section("Weir", entries=(TriesEntry(2),)))
    assert day.loose == (UnreadLine(1, "---", "the front matter is never closed with ---"),)


# headings


@pytest.mark.parametrize(
    ("heading", "section"),
    [
        ("## Quarry ledge", Section("Quarry ledge")),
        (
            "## Quarry ledge 17:20-18:45 shooting",
            Section("Quarry ledge", 0, time(17, 20), time(18, 45), VisitPurpose.SHOOTING),
        ),
        ("## quarry-ledge scouting", Section("quarry-ledge", purpose=VisitPurpose.SCOUTING)),
        ("## Quarry ledge, 17.20 – 18.45", Section("Quarry ledge", 0, time(17, 20), time(18, 45))),
        ("## 17:20-18:45 Quarry ledge", Section("Quarry ledge", 0, time(17, 20), time(18, 45))),
        ("##Quarry ledge 17:20", Section("Quarry ledge", 0, time(17, 20))),
        ("## Quarry ledge until 18:45 ##", Section("Quarry ledge", 0, None, time(18, 45))),
        ("## Harbour bar 23:40-00:30", Section("Harbour bar", 0, time(23, 40), time(0, 30))),
        (
            "## Weir 5:20 pm to 6 pm, Scouting",
            Section("Weir", 0, time(17, 20), time(18), VisitPurpose.SCOUTING),
        ),
        ("## Weir (upper) (7h05-8h00)", Section("Weir (upper)", 0, time(7, 5), time(8))),
        ("## Shooting star ridge", Section("Shooting star ridge")),
        ("## Gate 9.45", Section("Gate 9.45")),
        ("## Weir 25:99", Section("Weir 25:99")),
        ("## Day", Section(None)),
    ],
)
def test_a_heading_opens_a_viewpoint_with_times_and_purpose(heading: str, section: Section) -> None:
    day = parse_day_file(f"{FRONT}{heading}\n- tries: 1")
    assert day.sections == (replace(section, entries=(TriesEntry(1),)),)
    assert day.loose == ()


@pytest.mark.parametrize(
    ("heading", "section"),
    [
        (
            "## Weir ? 16:40-17:50 shooting",
            Section("Weir", 0, time(16, 40), time(17, 50), VisitPurpose.SHOOTING, times_proposed=True),
        ),
        ("## ? 16:40-17:50 Weir", Section("Weir", 0, time(16, 40), time(17, 50), times_proposed=True)),
        ("## Weir ? until 18:45", Section("Weir", 0, None, time(18, 45), times_proposed=True)),
        ("## Weir? 16:40", Section("Weir?", 0, time(16, 40))),
        ("## Weir ?", Section("Weir ?")),
    ],
)
def test_a_question_mark_before_the_times_of_a_heading_says_they_are_proposed(
    heading: str, section: Section
) -> None:
    day = parse_day_file(f"{FRONT}{heading}\n- tries: 1")
    assert day.sections == (replace(section, entries=(TriesEntry(1),)),)
    assert parse_day_file(write_day_file(day)) == day


def test_other_heading_levels_are_journal() -> None:
    day = parse_day_file(FRONT + "# The valley\n### Breakfast\ntext")
    assert day.sections == (Section(journal="# The valley\n### Breakfast\ntext"),)


@pytest.mark.parametrize("heading", ["##", "## 17:20-18:45 shooting"])
def test_entries_under_a_nameless_heading_never_count_for_the_viewpoint_above(heading: str) -> None:
    day = parse_day_file(f"{FRONT}## Weir\n{heading}\n- tries: 1")
    assert [section.viewpoint for section in day.sections] == ["Weir", None]
    assert [(entry.line, entry.text) for entry in day.loose] == [(6, heading)]


def test_a_heading_with_two_visits_is_kept_to_sort_out() -> None:
    day = parse_day_file(FRONT + "## Weir 7:00-8:00, 17:00-18:00")
    assert day.sections == (Section("Weir", 0, time(7), time(8)),)
    assert day.loose[0].text == "## Weir 7:00-8:00, 17:00-18:00"


# conditions


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


# the other entries


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("- tries: 14", [TriesEntry(14)]),
        ("- Support hand-held", [SupportEntry(Support.HANDHELD)]),
        ("- support: ?", [SupportEntry(Support.UNKNOWN)]),
        ("- shot x: made", [ShotEntry("x", OutcomeWord.MADE)]),
        (
            "- shot bridge-flow: replaced by terrace-lamps, closure - the road was shut",
            [
                ShotEntry(
                    "bridge-flow", OutcomeWord.REPLACED, (Reason.CLOSURE,), "terrace-lamps",
                    "the road was shut",
                )
            ],
        ),
        (
            "- shot x: missed: closure, time",
            [ShotEntry("x", OutcomeWord.MISSED, (Reason.CLOSURE, Reason.TIME))],
        ),
        (
            "- shot Bridge flow partly, light was flat",
            [ShotEntry("Bridge flow", OutcomeWord.PARTLY, (Reason.LIGHT,), note="light was flat")],
        ),
        ("- shot made-up: made, but soft", [ShotEntry("made-up", OutcomeWord.MADE, note="but soft")]),
        (
            '- keeper 0412: no filter, tripod, for bridge-flow, "Flow under the arch, late"',
            [
                KeepersEntry(
                    "0412", "0412", (), True, Support.TRIPOD, "bridge-flow",
                    caption="Flow under the arch, late", filters_said=True,
                )
            ],
        ),
        ("- keepers A_0412–0419: filters unknown", [KeepersEntry("A_0412", "0419", filters_said=True)]),
        ("- keepers 0412 - 0419", [KeepersEntry("0412", "0419")]),
        ("- keeper 0412: Soft", [KeepersEntry("0412", "0412", sharpness=Sharpness.SOFT)]),
        (
            "- keeper 0412: soft gnd8, sharp, tripod",
            [
                KeepersEntry(
                    *("0412", "0412", ("soft gnd8",), True, Support.TRIPOD),
                    filters_said=True,
                    sharpness=Sharpness.SHARP,
                )
            ],
        ),
        ("- keepers IMG-0412-IMG-0419: at weir", [KeepersEntry("IMG-0412", "IMG-0419", viewpoint="weir")]),
        ("- keepers 0447: none, tripod", [
            KeepersEntry("0447", "0447", (), True, Support.TRIPOD, filters_said=True),
        ]),
        ("- keeper 0447: filters: nd8 + a piece of tape, braced", [
            KeepersEntry("0447", "0447", ("nd8", "a piece of tape"), True, Support.BRACED, filters_said=True),
        ]),
        ("- keeper dawn-and-dusk: uv", [
            KeepersEntry("dawn-and-dusk", "dawn-and-dusk", ("uv",), True, filters_said=True),
        ]),
        ("- keeper IMG-0412 uv", [KeepersEntry("IMG-0412", "IMG-0412", ("uv",), True, filters_said=True)]),
        (
            "- keepers 0412, 0415-0417: CPL, ND 64, gnd8, od0.9",
            [
                KeepersEntry("0412", "0412", ("pol", "nd64", "gnd8", "nd8"), True, filters_said=True),
                KeepersEntry("0415", "0417", ("pol", "nd64", "gnd8", "nd8"), True, filters_said=True),
            ],
        ),
        ("- 25 tries", [TriesEntry(25)]),
        ("- clock Halvern Thistle 7 min slow", [ClockEntry("Halvern Thistle", 420)]),
        ("- lesson learned: bring gloves", [LessonEntry(LessonVerb.CHANGE, None, "bring gloves")]),
        ("- keepers 0412-19", [KeepersEntry("0412", "0419")]),
        ("- lesson: sleep", [LessonEntry(LessonVerb.CHANGE, None, "sleep")]),
        ("- clock Thistle: 63 minutes fast", [ClockEntry("Thistle", -3780)]),
        ("- keepers 0412: 10 stop + CPL, hand held", [
            KeepersEntry("0412", "0412", ("nd1000", "pol"), True, Support.HANDHELD, filters_said=True),
        ]),
        ("- keepers 0412: ND 1,8, tripod", [
            KeepersEntry("0412", "0412", ("nd64",), True, Support.TRIPOD, filters_said=True),
        ]),
        ("- lesson keep: stay (late)", [LessonEntry(LessonVerb.KEEP, None, "stay (late)")]),
        ("- lesson: avoid [Client]: noon", [LessonEntry(LessonVerb.AVOID, Audience.CLIENT, "noon")]),
        ("- kit nd1000: used", [KitEntry("nd1000", True)]),
        ("- kit drone: not used, forbidden here", [KitEntry("drone", False, "forbidden here")]),
        ("- kit spare battery unused", [KitEntry("spare battery", False)]),
        ("- shot bridge-flow:", []),
        ("- Shot  bridge flow : ", []),
    ],
)  # fmt: skip
def test_an_entry_is_read_into_its_parts(line: str, expected: list[Entry]) -> None:
    assert entries(line) == expected


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("- ? tries: 14", TriesEntry(14, proposed=True)),
        ("* ?support tripod", SupportEntry(Support.TRIPOD, proposed=True)),
        ("- ? shot bridge-flow: made", ShotEntry("bridge-flow", OutcomeWord.MADE, proposed=True)),
        (
            "- ? keepers 0479: nd1000",
            KeepersEntry("0479", "0479", ("nd1000",), True, filters_said=True, proposed=True),
        ),
        ("- ? keeper 0478: for bridge-flow", KeepersEntry("0478", "0478", shot="bridge-flow", proposed=True)),
        ("- ? crowd: none", ConditionEntry(CROWD, "none", proposed=True)),
        ("- ? lesson keep: stay", LessonEntry(LessonVerb.KEEP, None, "stay", proposed=True)),
    ],
)
def test_an_entry_behind_a_question_mark_is_the_same_entry_proposed(line: str, expected: Entry) -> None:
    assert entries(line) == [expected]
    assert entries(line.replace("?", "", 1)) == [replace(expected, proposed=False)]
    assert entries(line) != [replace(expected, proposed=False)]


def test_a_proposed_line_that_is_not_understood_is_loose_and_one_without_a_known_word_is_journal() -> None:
    assert "whole number" in loose("- ? tries: 14 or so").why
    assert parse_day_file(FRONT + "- ? a fine day").sections == (Section(journal="- ? a fine day"),)


def test_the_programs_own_comments_are_no_part_of_the_day_and_all_others_are() -> None:
    own = "<!-- logbook: fits nearly as well: nd8 + nd128 -->"
    text = FRONT + f"{own}\nRain.\n  {own}\n<!-- mine -->\n```\n{own}\n```\n<!-- logbook: torn\nin two -->"
    (section,) = parse_day_file(text).sections
    assert section.journal == f"Rain.\n<!-- mine -->\n```\n{own}\n```\n<!-- logbook: torn\nin two -->"


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("- tries", "nothing follows tries"),
        ("- tries: 14 or so", "whole number"),
        ("- crowd: none of the coaches came", "no crowd word"),
        ("- crowd: few to dozens", "two levels"),
        ("- water: wet", "no water word"),
        ("- wind: 13", "0 to 12"),
        ("- wind: strong", "no wind force"),
        ("- shot x: splendid", "no outcome"),
        ("- support: rock", "not a support"),
        ("- keepers were few", "no file number"),
        ("- keepers 0412: purple haze", "purple haze"),
        ("- keepers 0412: purple haze", "none, or filters:"),
        ("- keepers 0412: filters: nd8 + none", "beside a filter"),
        ("- keepers 0412: no filter, nd8", "twice"),
        ("- lesson avoid [guides]: noon", "no audience"),
        ("- kit is heavy", "used or not used"),
        ("- crwod: dozens", "did you mean crowd?"),
        ("- mood: eerie", '"mood" is not a word that an entry begins with'),
        ("- 10 stop", "filters without their keepers"),
        ("- closed: nothing", "nothing was closed"),
        ("- weather: -", "nothing was noted"),
        ("- light: nothing", "nothing was noted"),
        ("- ground: n/a.", "nothing was noted"),
        ("- rule: none", "nothing was noted"),
        ("- lesson: -", "nothing was learned"),
        ("- lesson keep [students]: nothing", "nothing was learned"),
        ("- weather: \x1b[31mred", "control character"),
        ("- weather: " + "x" * 3000, "longer than"),
    ],
)
def test_what_starts_like_an_entry_but_is_not_understood_is_loose_with_a_reason(line: str, why: str) -> None:
    assert why in loose(line).why


@pytest.mark.parametrize(
    "line",
    [
        "- a fine day",
        "- crowded by noon",
        "- light-hearted guide",
        "- 17:20 the gate opens",
        "- ground floor of the museum",
        "- rule of thirds be damned",
        "- weather permitting, the rim tomorrow",
        "- https://example.org/tides",
        "- Lamp terrace: gate locked",
        "- closed path, so we walked round",
        "- water's edge",
        "crowd: none",
        "> - crowd: none",
        "**crowd**: none",
        "- - -",
        "1. crowd: none",
    ],
)
def test_everything_else_is_journal_word_for_word(line: str) -> None:
    day = parse_day_file(FRONT + line)
    assert day.sections == (Section(journal=line),)


def test_a_closed_code_fence_is_left_alone() -> None:
    journal = "```\n- crowd: none\n## not a viewpoint\n```\n\n~~~text\n- tries: 3\n~~~"
    day = parse_day_file(f"{FRONT}\n{journal}\n- tries: 4\n")
    assert day.sections == (Section(journal=journal, entries=(TriesEntry(4),)),)


def test_a_stray_code_fence_does_not_swallow_the_rest_of_the_day() -> None:
    day = parse_day_file(FRONT + "````\n- tries: 4\n## Weir\n- tries: 5\n```\n")
    assert [section.entries for section in day.sections] == [(TriesEntry(4),), (TriesEntry(5),)]


# files


def test_a_file_is_read_with_or_without_mark_and_with_any_line_ends(tmp_path: Path) -> None:
    expected = parse_day_file(EVENING)
    for encoding in ("utf-8", "utf-8-sig", "utf-16"):
        for end in ("\n", "\r\n", "\r"):
            path = tmp_path / "day.md"
            path.write_bytes(EVENING.replace("\n", end).encode(encoding))
            assert read_day_file(path) == expected


def test_a_windows_1252_file_is_read_and_says_so(tmp_path: Path) -> None:
    path = tmp_path / "day.md"
    path.write_bytes((FRONT + "Über den Steg – naß.").encode("cp1252"))
    day = read_day_file(path)
    assert day.sections[0].journal == "Über den Steg – naß."
    assert "Windows-1252" in day.loose[0].why


@pytest.mark.parametrize(
    "content", [b"\x00\x01\x02", b"\x89PNG\r\n\x1a\n\x00", b"a" * 2_000_001, b"\x81\xff"]
)
def test_what_is_no_text_is_refused_in_one_line(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "day.md"
    path.write_bytes(content)
    with pytest.raises(UnreadableFileError, match=r"^[^\n]+\.$"):
        read_day_file(path)


def test_a_missing_file_and_a_folder_are_refused_in_one_line(tmp_path: Path) -> None:
    for path in (tmp_path / "none.md", tmp_path):
        with pytest.raises(UnreadableFileError, match=r"cannot be read: [^\n]+\.$"):
            read_day_file(path)


# nothing lost, and back again

WORDS = (
    "crowd", "water", "wind", "rule", "closure", "light", "tries", "support", "shot", "keepers", "lesson",
    "kit",
)  # fmt: skip
SAID = (
    "none", "dozens", "few", "high", "4", "6", "calm", "from", "west", "at", "17:20", "9.30", "said",
    "the", "tripods", "forbidden", "not allowed", "x", "0412-0419", "nd8", "no filter", "+", "braced", "made",
    "partly", "replaced by", "used", "change", "[students]", "?", "unknown", ",", ";", ":", "-", "–", '"',
    "for",
    "gusting", "bft", "to", "time", "light", "according to",
)  # fmt: skip
FRONT_PIECES = st.sampled_from(["---", "—", "date:", "trip: x", "## A", "\n", "2031-10-14", "\r"])
NEAR_ENTRIES = st.builds(
    lambda bullet, word, colon, said: f"{bullet} {word}{colon}{' '.join(said)}",
    st.sampled_from(["-", "*", "•", "  -", "- ?", "-?"]),
    st.sampled_from(WORDS),
    st.sampled_from([": ", " ", ":"]),
    st.lists(st.sampled_from(SAID), max_size=8),
)
LINES = st.lists(
    st.one_of(
        NEAR_ENTRIES,
        st.text(max_size=40),
        st.builds("## {}".format, st.text(max_size=30)),
        st.builds(
            "## {} {}-{} {}".format,
            st.sampled_from(["Weir", "", "day", "Weir ?", "?", "Weir ? :", "? Weir ? ?", "day ?", "Weir?"]),
            st.sampled_from(["7:00", "17.20", "24:00"]),
            st.sampled_from(["8:00", "00:30"]),
            st.sampled_from(["scouting", "shooting", "", "?", "shooting ?", "Weir ?", "? scouting"]),
        ),
        st.sampled_from(
            [
                "```",
                "~~~",
                "---",
                "",
                " ",
                "🏔️ - crowd: none",
                "- crowd: none 🏔️",
                "\x00\x85\u2028\x1c",
                "<!-- logbook: x -->",
                "<!-- logbook: torn",
                "<!-- mine -->",
            ]
        ),
    ),
    max_size=14,
)


@given(LINES)
@example(["```", "- tries: 1", "````", "## Weir"])
def test_no_line_of_a_day_is_ever_lost(lines: list[str]) -> None:
    text = FRONT + "\n".join(lines)
    day = parse_day_file(text)
    kept: set[str] = {entry.text for entry in day.loose}
    for section in day.sections:
        kept.update(section.journal.split("\n"))
        kept.update(entry.text for entry in section.entries)
    in_file = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    numbered = {section.line: section for section in day.sections}
    for number, line in enumerate(in_file, 1):
        if not line.strip() or number <= 4 or line in kept:
            continue
        if line.strip().startswith("<!-- logbook: ") and line.strip().endswith("-->"):
            continue  # the program's own words
        assert line.lstrip().startswith("##")  # a heading that was understood
        assert number in numbered or line.strip("# ").lower().startswith("day")


@given(st.text(max_size=300) | st.lists(FRONT_PIECES).map("".join))
def test_any_text_is_a_day_or_one_sentence_about_its_date(text: str) -> None:
    said = "date."
    try:
        parse_day_file(text, "day.md")
    except InvalidValueError as refusal:
        said = str(refusal)
    assert "date" in said
    assert said.isprintable()


@given(LINES)
def test_what_was_read_is_written_and_read_back_the_same(lines: list[str]) -> None:
    day = parse_day_file(FRONT + "\n".join(lines))
    written = write_day_file(day)
    again = parse_day_file(written)
    assert (again.trip, again.on_date, again.zone) == (day.trip, day.on_date, day.zone)
    assert again.sections == day.sections
    assert write_day_file(again) == written


PLAIN = st.lists(
    st.sampled_from(["rail", "fog", "over", "steps", "Steg", "é", "9 lamps", "gate"]), max_size=4
).map(" ".join)
NAMED = st.sampled_from(["bridge-flow", "Terrace lamps", "x2"])
AT = st.none() | st.times().map(lambda at: at.replace(second=0, microsecond=0))
SOURCE = st.none() | st.just("the warden")
CONDITIONS = st.one_of(
    st.builds(
        ConditionEntry, st.just(CROWD), st.sampled_from(["none", "dozens"]), AT, st.none(), PLAIN, SOURCE
    ),
    st.builds(
        ConditionEntry, st.just(WATER), st.sampled_from(["dry", "flood"]), AT, st.none(), PLAIN, SOURCE
    ),
    st.builds(
        ConditionEntry, st.just(WIND), st.integers(0, 12).map(str), AT,
        st.sampled_from([None, "N", "WSW", "280°"]), PLAIN, SOURCE,
    ),
    st.builds(ConditionEntry, st.just(CROWD), st.none(), AT, st.none(), st.just("unknown"), SOURCE),
    st.builds(
        ConditionEntry, st.just(RULE), st.sampled_from(["allowed", "unknown"]), AT, st.none(), PLAIN, SOURCE
    ),
    st.builds(
        ConditionEntry, st.sampled_from([ConditionKind.WEATHER, ConditionKind.CLOSURE]), st.none(), AT,
        st.none(), PLAIN.map(lambda note: f"fog {note}".strip()), SOURCE,
    ),
)  # fmt: skip
WRITTEN_FILTERS = st.lists(
    st.sampled_from(["nd8", "cpl", "soft gnd8", "few dozens none", "a piece of tape", "7.5 stops", "nd2-400"])
    | st.text("abcdefghnox019 ", min_size=1, max_size=12),
    min_size=1, max_size=3,
).map(" + ".join)  # fmt: skip
FILTERS = st.sampled_from(
    [(None, False, False), (None, False, True), ((), True, True), (("nd8", "pol"), True, True)]
)


@given(WRITTEN_FILTERS)
def test_filters_that_the_book_takes_can_be_written_in_a_day_file(written: str) -> None:
    try:
        stack = stack_written(written)
    except InvalidValueError:
        return
    assume(stack)
    said = KeepersEntry("0412", "0412", stack, True, filters_said=True)
    assert parse_day_file(f"{FRONT}{written_entry(said)}\n").sections[0].entries == (said,)


KEEPERS = st.builds(
    lambda ends, filters, support, shot, caption: KeepersEntry(
        ends[0], ends[1], filters[0], filters[1], support, shot, caption=caption, filters_said=filters[2]
    ),
    st.sampled_from([("0412", "0412"), ("0412", "0419"), ("A-0412", "A-0419"), ("A_0412.jpg", "0419")]),
    FILTERS,
    st.none() | st.sampled_from(Support),
    st.none() | NAMED,
    st.none() | st.just("Silk, late: nd8"),
)
OTHERS = st.one_of(
    st.builds(TriesEntry, st.integers(0, 99_999)),
    st.builds(SupportEntry, st.sampled_from(Support)),
    st.builds(
        ShotEntry, NAMED, st.sampled_from([OutcomeWord.MADE, OutcomeWord.MISSED, OutcomeWord.OPEN]),
        st.lists(st.sampled_from(Reason), unique=True, max_size=3).map(tuple), st.none(), PLAIN,
    ),
    st.builds(
        ShotEntry, NAMED, st.just(OutcomeWord.REPLACED), st.just((Reason.TIME,)), st.none() | NAMED, PLAIN
    ),
    st.builds(
        LessonEntry, st.sampled_from(LessonVerb), st.none() | st.sampled_from(Audience),
        PLAIN.map(lambda said: f"go {said}".strip()),
    ),
    st.builds(KitEntry, NAMED, st.booleans(), st.none() | st.just("too heavy")),
)  # fmt: skip
PROPOSED = st.builds(
    lambda entry, proposed: replace(entry, proposed=proposed), CONDITIONS | KEEPERS | OTHERS, st.booleans()
)
SECTIONS = st.builds(
    lambda section, proposed: replace(
        section, times_proposed=proposed and bool(section.arrived or section.departed)
    ),
    st.builds(
        Section,
        st.sampled_from(["Quarry ledge", "weir-steps", "Weir (upper)"]),
        st.just(0),
        AT,
        AT,
        st.none() | st.sampled_from(VisitPurpose),
        st.sampled_from(["", "Rain.", "Rain.\n\n- a list\n- of things\n\n```\n- tries: 1\n```"]),
        st.lists(PROPOSED, max_size=6).map(tuple),
    ),
    st.booleans(),
)


@given(st.lists(SECTIONS, max_size=3).map(tuple), st.sampled_from([None, "Europe/Vienna", "+02:00"]))
def test_a_day_that_was_never_a_file_is_written_and_read_back_the_same(
    sections: tuple[Section, ...], zone: str | None
) -> None:
    day = DayFile("high-valley-autumn", date(2031, 10, 14), zone, sections)
    assert parse_day_file(write_day_file(day)) == day


def test_writers_keep_their_own_words_as_long_as_these_say_the_same() -> None:
    day = parse_day_file(FRONT + "## Weir\n*   CROWD none\n- wind: strong breeze from the west\n")
    assert write_day_file(day).endswith("*   CROWD none\n- wind: strong breeze from the west\n")
    section = day.sections[0]
    wind = section.entries[1]
    assert isinstance(wind, ConditionEntry)
    changed = replace(section, entries=(section.entries[0], replace(wind, level="7")))
    assert write_day_file(replace(day, sections=(changed,))).endswith("*   CROWD none\n- wind: 7 from W\n")


@pytest.mark.parametrize(
    "line",
    ["```a", "- weather: " + " ," * 900, "- shot " + "a " * 900, "## " + " " * 250 + "x",
     "- keepers " + "1-" * 900,
     "-" + " " * 1500,
     "- crowd: dozens" + " at" * 600, "- closure: " + ", said" * 300, "- wind: 4" + " from" * 300],
)  # fmt: skip
def test_the_cost_of_odd_lines_grows_with_their_number_only(line: str) -> None:
    def cost_s(count: int) -> float:
        text = FRONT + f"{line}\n" * count
        begun = clocks.perf_counter()
        parse_day_file(text)
        return clocks.perf_counter() - begun

    cost_s(2)
    assert (
        cost_s(40) < 40 * 0.05
    )  # 50 ms for one line of 2000 characters would already be a hundredfold too slow
