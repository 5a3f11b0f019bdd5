"""Day files: front matter and headings are read forgivingly; what is not understood is kept."""

from dataclasses import replace
from datetime import date, time

import pytest

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
    LessonEntry,
    ShotEntry,
    TriesEntry,
)
from logbook.intake.dayfile import Section, UnreadLine, parse_day_file, write_day_file
from tests.intake.dayfile.lines import CROWD, EVENING, FRONT, WIND


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
        ("", 'day.md: the day has no date; write "date: 2031-10-14" between --- lines at the top.'),
        (
            "Just a diary.",
            'day.md: the day has no date; write "date: 2031-10-14" between --- lines at the top.',
        ),
        (
            "---\ndate:\n---",
            'day.md:2: the day has no date; write "date: 2031-10-14" between --- lines at the top.',
        ),
        (
            "---\ntrip: x\ndate: 2031-13-40\n---",
            'day.md:3: "2031-13-40" is not a date in the calendar; write it as 2031-10-14.',
        ),
        (
            "---\ndate: 10/11/2031\n---",
            'day.md:2: "10/11/2031" is not a date in the calendar; write it as 2031-10-14.',
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
    assert day.loose == (UnreadLine(1, "---", "the front matter is not closed with ---"),)


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
        ("## Quarry ledge 5:20-6:45pm", Section("Quarry ledge", 0, time(17, 20), time(18, 45))),
        ("## Quarry ledge 5.20 – 6.45 p.m.", Section("Quarry ledge", 0, time(17, 20), time(18, 45))),
        ("## Quarry ledge 11:30-1:15pm", Section("Quarry ledge", 0, time(11, 30), time(13, 15))),
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
        ("## Weir ?-18:45", Section("Weir", 0, None, time(18, 45))),
        ("## Weir (? – 18:45)", Section("Weir", 0, None, time(18, 45))),
        ("## -18:45 Weir", Section("Weir", 0, None, time(18, 45))),
        ("## Weir - 18:45", Section("Weir", 0, time(18, 45), None)),
        ("## Weir 17:20-?", Section("Weir", 0, time(17, 20), None)),
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


@pytest.mark.parametrize(
    "said",
    [
        *("~17:20-18:45", "ca. 17:20 - 18:45", "17.20–18.45 Uhr", "von 17:20 bis ca. 18:45 Uhr"),
        *("from 17:20 to 18:45", "between 17:20 and 18:45", "1720-1845", "17h20-18h45", "de 17h20 à 18h45"),
        *("5.20pm – 6.45pm", "5:20-6:45 pm", "(17:20 → 18:45)", "17:20-18:45 hrs", "about 5:20pm to 6:45pm"),
    ],
)
def test_a_stay_is_read_however_its_times_are_written(said: str) -> None:
    day = parse_day_file(f"{FRONT}## Quarry ledge {said} shooting")
    assert day.loose == ()
    [section] = day.sections
    assert section == Section("Quarry ledge", 5, time(17, 20), time(18, 45), VisitPurpose.SHOOTING)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("~17:20", '"Ledge ~17:20" is kept as Ledge 17:20.'),
        ("17:20ish-18:45", '"Ledge 17:20ish-18:45" is kept as Ledge 17:20-18:45.'),
        ("17:20/18:45", ""),
        ("1720-1845", ""),
    ],
)
def test_times_that_are_only_about_right_are_said_back(said: str, told: str) -> None:
    section = parse_day_file(f"{FRONT}## Ledge {said} shooting").sections[0]
    assert (section.viewpoint, section.arrived, section.told) == ("Ledge", time(17, 20), told)
    assert section.departed == (None if said == "~17:20" else time(18, 45))


@pytest.mark.parametrize(
    "name", ["Fort 1914-1918", "Memorial 1939-45", "Ridge 1200-1300 m", "Pass 1200 - 1300m", "Map 1:50 000"]
)
def test_years_heights_and_scales_belong_to_the_name(name: str) -> None:
    section = parse_day_file(f"{FRONT}## {name} 17:20").sections[0]
    assert (section.viewpoint, section.arrived, section.departed) == (name, time(17, 20), None)
    section = parse_day_file(f"{FRONT}## {name}").sections[0]
    assert (section.viewpoint, section.arrived, section.departed) == (name, None, None)


@pytest.mark.parametrize("said", ["5-6pm", "between 5 and 6 pm", "17-18 Uhr", "17h-18h", "5 to 6pm"])
def test_a_stay_of_whole_hours_says_their_half_of_the_day(said: str) -> None:
    section = parse_day_file(f"{FRONT}## Ledge {said}").sections[0]
    hours = (17, 18)
    assert (section.viewpoint, section.arrived, section.departed) == ("Ledge", *map(time, hours))


@pytest.mark.parametrize(
    ("said", "arrived", "departed"),
    [("noon - 2pm", 12, 14), ("10 am to midday", 10, 12), ("from 22:00 till midnight", 22, 0)],
)
def test_noon_and_midnight_end_a_span(said: str, arrived: int, departed: int) -> None:
    for name in ("Ledge", "Noon rock"):
        section = parse_day_file(f"{FRONT}## {name} {said}").sections[0]
        assert (section.viewpoint, section.arrived, section.departed) == (name, time(arrived), time(departed))


@pytest.mark.parametrize("name", ["Midnight pier", "Ledge noon", "Midday - the rail"])
def test_noon_alone_belongs_to_the_name(name: str) -> None:
    assert parse_day_file(f"{FRONT}## {name}").sections[0].viewpoint == name


@pytest.mark.parametrize("name", ["Platform 9-12", "Mill 1845-1890", "Ledge 1720", "Rock a", "Post 5-6"])
def test_figures_that_need_not_be_times_belong_to_the_name(name: str) -> None:
    for times, arrived in (("", None), (" 17:20", time(17, 20))):
        section = parse_day_file(f"{FRONT}## {name}{times}").sections[0]
        assert (section.viewpoint, section.arrived, section.departed) == (name, arrived, None)


def test_a_number_before_a_dash_may_end_the_name() -> None:
    section = parse_day_file(f"{FRONT}## Pier 3 - 4pm").sections[0]
    assert (section.viewpoint, section.arrived, section.departed) == ("Pier 3", time(16), None)
