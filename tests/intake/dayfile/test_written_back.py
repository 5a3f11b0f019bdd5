"""Day files: nothing is lost, and what was read is written back the same."""

import time as clocks
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import (
    Audience,
    ConditionKind,
    LessonVerb,
    OutcomeWord,
    Reason,
    Support,
    VisitPurpose,
)
from logbook.domain.written.entry import (
    ConditionEntry,
    KeepersEntry,
    KitEntry,
    LessonEntry,
    ShotEntry,
    SupportEntry,
    TriesEntry,
)
from logbook.domain.written.filters import stack_written
from logbook.domain.written.lines import written_entry
from logbook.intake.dayfile import DayFile, Section, parse_day_file, write_day_file
from tests.intake.dayfile.lines import CROWD, FRONT, RULE, WATER, WIND

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
@example(["- shot from the rail, settings below:"])
@example(["- shot: none :"])
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


@pytest.mark.slow
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
        begun = clocks.process_time()
        parse_day_file(text)
        return clocks.process_time() - begun

    cost_s(2)
    assert (
        cost_s(40) < 40 * 0.05
    )  # 50 ms for one line of 2000 characters would already be a hundredfold too slow
