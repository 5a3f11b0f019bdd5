"""Plans go into the book: the same again changes nothing, an edited one only what was edited."""

import re
from collections.abc import Callable
from datetime import date, time
from pathlib import Path

import pytest

from logbook.domain.errors import WrongUseError
from logbook.domain.formats import PlanForm
from logbook.domain.shot import Shot
from logbook.domain.words import OutcomeWord, Priority, Support
from logbook.services import kinds, records
from logbook.services.books.checks import CheckArea, check_book
from logbook.services.planfiles.draft import draft_plan
from logbook.services.planfiles.taking import PlanRead, take_plan
from logbook.services.plans import outcomes
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.store.book import Book
from tests.services.conftest import Dump

PLAN = """---
trip: valley
---
## 2031-10-14
### Quarry ledge
- Mill at low water 18:10-18:50, 24 mm f/11 2 s ISO 100, nd8, tripod, must have; else mill-from-bridge
- Mill from bridge
  note: come early
"""
Write = Callable[..., Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write a plan file."""

    def to_file(text: str, name: str = "plan.md") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return to_file


def counts(read: PlanRead) -> tuple[int, int, int, int]:
    return read.added, read.changed, read.unchanged, read.removed


def shot(book: Book, slug: str) -> Shot:
    found = outcomes.show_shot(book, slug).records[0].shot
    assert isinstance(found, Shot)
    return found


def slugs(book: Book) -> set[str]:
    return {one.shot.slug for one in outcomes.list_shots(book, {}).records}


def test_a_plan_file_puts_its_shots_into_the_book(book: Book, write: Write) -> None:
    read = take_plan(book, write(PLAN))
    assert (counts(read), read.loose, read.elsewhere) == ((2, 0, 0, 0), (), ())
    mill, bridge = shot(book, "mill-at-low-water"), shot(book, "mill-from-bridge")
    assert (mill.on_date, mill.window_from) == (date(2031, 10, 14), time(18, 10))
    assert (mill.filters, mill.support, mill.priority) == (("nd8",), Support.TRIPOD, Priority.ESSENTIAL)
    assert (bridge.fallback_for_id, bridge.notes) == (mill.id, "come early")
    assert mill.viewpoint_id == bridge.viewpoint_id is not None


def test_the_same_file_again_changes_no_row_of_any_table(book: Book, write: Write, dump: Dump) -> None:
    text = f"{PLAN}- Tower, f/8, f/11\n### Nowhere\n- Gate\n"
    assert len(take_plan(book, write(text)).loose) == 3
    before = dump()
    again = take_plan(book, write(text))
    assert (counts(again), dump()) == ((0, 0, 2, 0), before)


def test_an_edited_file_changes_what_was_edited(book: Book, write: Write) -> None:
    take_plan(book, write(PLAN))
    outcomes.edit_shot(book, "mill-at-low-water", {"technique": "smooth water"}, None)
    read = take_plan(book, write(PLAN.replace("f/11", "f/8").replace(", tripod, must have", "")))
    mill = shot(book, "mill-at-low-water")
    assert counts(read) == (0, 1, 1, 0)
    assert (mill.f_number, mill.support, mill.priority) == (8, None, Priority.WANTED)
    assert mill.technique == "smooth water"


def test_what_was_changed_elsewhere_since_is_said_and_stays(book: Book, write: Write) -> None:
    take_plan(book, write(PLAN))
    outcomes.edit_shot(book, "mill-at-low-water", {"f_number": 16.0}, None)
    read = take_plan(book, write(PLAN))
    assert counts(read) == (0, 0, 2, 0)
    assert read.elsewhere == (
        'line 6: f-number was changed elsewhere since (the file had set "11.0", the book now has "16.0"); '
        "the book's value stays.",
    )
    assert shot(book, "mill-at-low-water").f_number == 16


def test_a_plan_whose_outcome_is_known_is_never_overwritten(book: Book, write: Write) -> None:
    take_plan(book, write(PLAN))
    outcomes.edit_shot(book, "mill-at-low-water", {}, OutcomeSaid(OutcomeWord.MADE))
    read = take_plan(book, write(PLAN.replace("f/11", "f/8")))
    assert [one.line for one in read.loose] == [6]
    assert 'since its outcome is "made"' in read.loose[0].why
    assert shot(book, "mill-at-low-water").f_number == 11
    assert take_plan(book, write(PLAN)).loose == ()


def test_a_shot_that_left_the_file_leaves_the_book_unless_the_book_knew_it(book: Book, write: Write) -> None:
    take_plan(book, write(PLAN + "- Bridge flow\n- Tower\n"))
    read = take_plan(book, write("## 2031-10-14\n### Quarry ledge\n- Tower\n"))
    assert counts(read) == (0, 0, 1, 3)
    assert slugs(book) == {"bridge-flow", "bridge-rough", "tower"}
    assert shot(book, "bridge-flow").on_date is None  # as before the file said one


def test_a_shot_with_an_outcome_stays_when_it_leaves_the_file(book: Book, write: Write) -> None:
    take_plan(book, write(PLAN))
    take_plan(book, write(PLAN + "- Tower\n"))
    outcomes.edit_shot(book, "mill-from-bridge", {}, OutcomeSaid(OutcomeWord.MISSED))
    read = take_plan(book, write("## 2031-10-14\n### Quarry ledge\n- Tower\n"))
    assert "mill-from-bridge" in slugs(book)
    assert any("other records refer to it; it stays" in sentence for sentence in read.elsewhere)


def test_a_line_of_the_title_of_a_planned_shot_is_about_it(book: Book, write: Write) -> None:
    read = take_plan(book, write("- Bridge flow, f/8\n"), trip="valley")
    assert counts(read) == (1, 0, 0, 0)
    assert shot(book, "bridge-flow").f_number == 8
    assert slugs(book) == {"bridge-flow", "bridge-rough"}


def test_the_same_title_on_another_day_is_another_shot(book: Book, write: Write) -> None:
    outcomes.edit_shot(book, "bridge-flow", {"on_date": date(2031, 10, 13)}, None)
    take_plan(book, write("## 2031-10-14\n- Bridge flow\n"))
    assert slugs(book) == {"bridge-flow", "bridge-flow-2", "bridge-rough"}


def test_a_name_in_brackets_is_the_shot_whatever_its_line_says(book: Book, write: Write) -> None:
    take_plan(book, write("- Other words [bridge-flow], f/8\n- New one [my-name]\n"))
    read = take_plan(book, write("- New words [my-name], f/4\n- Yet other words [bridge-flow], f/8\n"))
    assert counts(read) == (0, 2, 0, 0)
    assert (shot(book, "my-name").title, shot(book, "my-name").f_number) == ("New words", 4)
    assert shot(book, "bridge-flow").title == "Yet other words"


def test_a_name_of_another_trip_is_a_new_shot_here(book: Book, write: Write) -> None:
    records.add(book, kinds.TRIP, {"title": "Next year"}, "next")
    take_plan(
        book, write("- Bridge flow [bridge-flow]\n- Other [o]\n  fallback for: bridge-flow\n"), trip="next"
    )
    trips = {one.id: one.slug for one in records.list_all(book, kinds.TRIP, {}).records}
    assert trips[shot(book, "bridge-flow").trip_id] == "valley"
    copy = shot(book, "bridge-flow-2")
    assert (trips[copy.trip_id], shot(book, "o").fallback_for_id) == ("next", copy.id)


def test_a_viewpoint_nobody_knows_is_to_sort_out_and_one_at_a_site_is_entered(
    book: Book, write: Write
) -> None:
    read = take_plan(book, write("## Quarry edge\n- Mill\n## New edge at quarry\n- Tower\n"))
    assert [one.line for one in read.loose] == [1, 2]
    assert "the nearest name is quarry-ledge" in read.loose[0].why
    assert "New edge at SITE" not in read.loose[0].why
    assert '"Quarry edge at SITE"' in read.loose[0].why
    assert read.entered == ("new-edge",)
    assert shot(book, "tower").viewpoint_id is not None
    assert take_plan(book, write("## New edge at quarry\n- Tower\n")).entered == ()


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        ("- A\n  fallback for: nobody\n", "No shot is called"),
        ("- A, f/8; else nobody\n", "not a shot in this file"),
        ("- A; else B\n- B; else A\n", "fallback of its own fallback"),
        ("- A [x]\n- B [x]\n", "same shot"),
    ],
)
def test_references_that_lead_nowhere_are_to_sort_out(book: Book, write: Write, lines: str, why: str) -> None:
    read = take_plan(book, write(lines))
    assert read.loose
    assert any(re.search(why, one.why) for one in read.loose), read.loose


def test_of_several_trips_one_has_to_be_named(book: Book, write: Write) -> None:
    records.add(book, kinds.TRIP, {"title": "Next year"}, "next")
    with pytest.raises(WrongUseError, match="--trip"):
        take_plan(book, write("title;iso\nMill;100\n", "plan.csv"))
    assert take_plan(book, write("title;iso\nMill;100\n", "plan.csv"), trip="next").trip == "next"


def test_a_known_shot_with_an_outcome_keeps_what_a_line_that_left_had_said(book: Book, write: Write) -> None:
    take_plan(book, write("- Bridge flow, f/8\n- Bridge rough\n"))
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.MADE))
    read = take_plan(book, write("- Bridge rough\n"))
    assert shot(book, "bridge-flow").f_number == 8
    assert read.elsewhere == (
        '"- Bridge flow, f/8" was removed from the file, but its outcome is known; it stays.',
    )


def test_a_line_without_a_title_is_about_the_shot_that_it_names(book: Book, write: Write) -> None:
    read = take_plan(book, write("- [bridge-flow] 24 mm, tripod\n- [nobody] 24 mm\n"))
    assert (shot(book, "bridge-flow").title, shot(book, "bridge-flow").focal_mm) == ("Bridge flow", 24)
    assert [one.why for one in read.loose] == ['the trip has no shot called "nobody"; give it a title']
    take_plan(book, write("- Bridge of stone [bridge-flow]\n"))
    take_plan(book, write("- [bridge-flow]\n"))
    assert shot(book, "bridge-flow").title == "Bridge of stone"


def test_a_title_that_a_file_gave_stays_when_its_line_goes(book: Book, write: Write) -> None:
    take_plan(book, write("- Bridge of stone [bridge-flow], f/8\n- Bridge rough\n"))
    take_plan(book, write("- Bridge rough\n"))
    assert (shot(book, "bridge-flow").title, shot(book, "bridge-flow").f_number) == ("Bridge of stone", None)


def test_another_plan_of_the_same_name_is_added_and_takes_nothing_back(book: Book, write: Write) -> None:
    take_plan(book, write(PLAN))
    read = take_plan(book, write("## 2031-10-16\n- Tower, f/8\n- Gate\n"))
    assert (read.added, read.changed, read.removed) == (2, 0, 0)
    assert read.elsewhere == (
        "it has no line in common with the file of this name that was read before, "
        "so the earlier shots stay (2).",
    )
    assert {"mill-at-low-water", "mill-from-bridge", "tower", "gate"} <= slugs(book)
    assert take_plan(book, write("## 2031-10-16\n- Tower, f/8\n- Gate\n")).elsewhere == ()


def test_a_shot_that_is_reworded_is_the_same_and_one_that_is_replaced_is_another(
    book: Book, write: Write
) -> None:
    take_plan(book, write("## 2031-10-14\n- Tower at dusk 17:00-18:00, 24 mm, tripod\n- Gate\n"))
    read = take_plan(book, write("## 2031-10-14\n- Old tower at dusk 17:00-18:00, 24 mm, tripod\n- Gate\n"))
    assert counts(read) == (0, 1, 1, 0)
    assert shot(book, "tower-at-dusk").title == "Old tower at dusk"
    read = take_plan(book, write("## 2031-10-14\n- Boats 6:00-7:00, 100 mm, handheld\n- Gate\n"))
    assert counts(read) == (1, 0, 1, 1)
    assert {"boats", "gate"} <= slugs(book)
    assert "tower-at-dusk" not in slugs(book)


TWO = "## 2031-10-14\n- Crane, f/8\n- Buoy, f/8\n"


def test_an_edited_line_that_is_not_understood_takes_nothing_back(book: Book, write: Write) -> None:
    take_plan(book, write(TWO))
    buoy = shot(book, "buoy")
    outcomes.edit_shot(book, "buoy", {"notes": "The pilot slows down at 18:05", "iso": 400}, None)
    read = take_plan(book, write(TWO.replace("Buoy, f/8", "Buoy, f/8, f/11")))
    assert (counts(read), [one.line for one in read.loose]) == ((0, 0, 1, 0), [3])
    assert read.elsewhere == (
        'line 3 may be an edited version of "- Buoy, f/8"; what the old line said stays until '
        "the new one is sorted out.",
    )
    mended = take_plan(book, write(TWO.replace("Buoy, f/8", "Buoy, f/11")))
    after = shot(book, "buoy")
    assert (counts(mended), mended.loose, mended.elsewhere) == ((0, 1, 1, 0), (), ())
    assert (after.id, after.f_number, after.iso, after.notes) == (
        buoy.id,
        11,
        400,
        "The pilot slows down at 18:05",
    )


def test_a_shot_that_left_the_file_stays_where_somebody_said_more_of_it(book: Book, write: Write) -> None:
    take_plan(book, write(TWO))
    outcomes.edit_shot(book, "buoy", {"iso": 400}, None)
    read = take_plan(book, write(TWO.replace("- Buoy, f/8\n", "")))
    assert (counts(read), slugs(book) >= {"crane", "buoy"}) == ((0, 0, 1, 0), True)
    (said,) = read.elsewhere
    assert said.startswith('"- Buoy, f/8" was removed from the file, but ISO ')


@pytest.mark.parametrize(
    ("heading", "on_date"),
    [
        ("# Tuesday 14 October", date(2031, 10, 14)),
        ("# 2031-10-14", date(2031, 10, 14)),
        ("# Firth, 14 to 18 October 2031", None),
        ("# Plan", None),
    ],
)
def test_a_first_level_heading_is_a_day_where_it_says_nothing_else(
    book: Book, write: Write, heading: str, on_date: date | None
) -> None:
    records.edit(book, kinds.TRIP, "valley", {"starts_on": date(2031, 10, 13), "ends_on": date(2031, 10, 18)})
    assert take_plan(book, write(f"{heading}\n## Quarry ledge\n- Crane, f/8\n")).loose == ()
    assert shot(book, "crane").on_date == on_date


def test_a_first_level_heading_with_another_day_of_the_week_waits_with_its_shots(
    book: Book, write: Write
) -> None:
    text = "{0} Monday 14 October 2031\n{0}# Quarry ledge\n- Crane, f/8\n{0} 15 October 2031\n- Weir\n"
    for marks in ("#", "##"):
        read = take_plan(book, write(text.format(marks), f"{marks}.md"))
        assert [one.line for one in read.loose] == [1, 3]
        assert "which is not a known day" in read.loose[1].why
    assert shot(book, "weir").on_date == date(2031, 10, 15)


def test_rows_that_count_their_pictures_with_a_sign_are_shots(book: Book, write: Write) -> None:
    sheet = "No.;title;date\n#1;Mill;14.10.2031\n#2;Nets;14.10.2031\n# for later;Weir;14.10.2031\n#;;\n"
    read = take_plan(book, write(sheet, "plan.csv"))
    assert (counts(read), slugs(book) >= {"mill", "nets"}, "weir" in slugs(book)) == (
        (2, 0, 0, 0),
        True,
        False,
    )


def test_a_window_that_ends_before_it_begins_waits_and_one_after_midnight_does_not(
    book: Book, write: Write
) -> None:
    read = take_plan(book, write("## 2031-10-25\n- Reversed 18:50-18:10, f/8\n- Late 02:00-05:00, 20 s\n"))
    assert counts(read) == (1, 0, 0, 0)
    assert [one.why for one in read.loose] == [
        "The window ends (18:10) before it begins (18:50); did you mean 18:10-18:50?"
    ]
    assert not [one for one in check_book(book).findings if one.kind is CheckArea.VALUE]


def test_days_outside_the_trip_are_said_and_taken_in(book: Book, write: Write) -> None:
    records.edit(book, kinds.TRIP, "valley", {"starts_on": date(2031, 10, 13), "ends_on": date(2031, 10, 18)})
    read = take_plan(book, write("title;date\nA;14.10.2013\nB;day 99\nC;15.10.2031\n", "plan.csv"))
    assert counts(read) == (3, 0, 0, 0)
    assert read.remarks == (
        "2 shots are planned outside the dates of valley (2031-10-13 to 2031-10-18): 2013-10-14, 2032-01-19.",
    )


def test_what_was_deleted_from_a_drafted_line_is_said_to_stay(book: Book, write: Write) -> None:
    take_plan(book, write("## 2031-10-14\n### Quarry ledge\n- Crane 17:10-17:50, 35 mm f/8 1/2 s, tripod\n"))
    drafted = draft_plan(book, None, PlanForm.MARKDOWN).text
    assert take_plan(book, write(drafted, "drafted.md")).elsewhere == ()
    read = take_plan(book, write(drafted.replace(" 1/2 s", "").replace(", tripod", ""), "again.md"))
    assert read.elsewhere == (
        "line 8: it does not mention shutter speed, support, so the book keeps that; "
        '"logbook shot edit crane --clear FIELD" removes it.',
    )
    assert shot(book, "crane").support is Support.TRIPOD
