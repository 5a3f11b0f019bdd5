"""Day files: the other entries; whatever is none of them is journal or waits to be sorted out."""

from dataclasses import replace

import pytest

from logbook.domain.words import (
    Audience,
    LessonVerb,
    OutcomeWord,
    Reason,
    Sharpness,
    Support,
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
from logbook.intake.dayfile import Section, parse_day_file
from tests.intake.dayfile.lines import CROWD, FRONT, entries, loose


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
        ("- Shot  bridge-flow: ", []),
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
        ("- crowd: none of the coaches came", "not a level of crowd"),
        ("- crowd: few to dozens", "two levels"),
        ("- water: wet", "not a level of water"),
        ("- wind: 13", "0 to 12"),
        ("- wind: strong", "not a wind force"),
        ("- shot x: splendid", "needs an outcome"),
        ("- support: rock", "not a support"),
        ("- keepers were few", "needs file numbers"),
        ("- keepers 0412: purple haze", "purple haze"),
        ("- keepers 0412: purple haze", "none, or filters:"),
        ("- keepers 0412: filters: nd8 + none", "both none and a filter"),
        ("- keepers 0412: no filter, nd8", "twice"),
        ("- lesson avoid [guides]: noon", "must name an audience"),
        ("- kit is heavy", "used or not used"),
        ("- crwod: dozens", "did you mean crowd?"),
        ("- mood: eerie", '"mood" is not a word that starts an entry'),
        ("- 10 stop", "filters need their keepers"),
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
        "> - somebody else",
        "**crowd**: none",
        "- - -",
        "1. crowded by noon",
        "14. light on the ridge",
        "- [ ] batteries",
        "> what a day",
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


@pytest.mark.parametrize(
    "mark", ["-", "*", "•", "–", "◦", "▪", "- [x]", "* [X]", "-[x]", "- ☑", "☑", "✅", "1.", "2)", "3. [x]"]
)
def test_an_entry_may_stand_behind_any_mark_of_a_list_or_a_ticked_box(mark: str) -> None:
    assert entries(f"{mark} crowd: few", f"{mark} tries: 4") == [
        ConditionEntry(CROWD, "few"),
        TriesEntry(4),
    ]


@pytest.mark.parametrize("mark", ["- [ ]", "- []", "☐", "- ☐", "* [ ]", "- [-]", "- ❌", "1. [ ]"])
def test_a_box_that_is_not_ticked_is_kept_to_sort_out(mark: str) -> None:
    assert "not ticked" in loose(f"{mark} crowd: few").why


@pytest.mark.parametrize("line", ["> crowd: few", "> - crowd: few", "- > tries: 4", ">> 0412: nd8"])
def test_what_others_wrote_is_kept_to_sort_out(line: str) -> None:
    assert "quotes somebody" in loose(line).why
