"""Reading day files: the same again changes nothing, an edited one changes only what was edited."""

from collections.abc import Callable
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.errors import InvalidValueError, NotFoundError, UnreadableFileError
from logbook.domain.words import (
    ConditionKind,
    Crowd,
    KitKind,
    OutcomeWord,
    Packing,
    Reason,
    Sharpness,
    Support,
)
from logbook.services import kinds, records
from logbook.services.dayfiles.days import DayRead, read_day
from logbook.services.days import DayShown, show_day
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers, show_keeper
from logbook.services.plans import outcomes, packing
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.store.book import Book
from tests.examples import first
from tests.services.adding import add_to_trip

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
ON = date(2031, 10, 14)
DAY = """---
trip: valley
date: 2031-10-14
zone: Asia/Dushanbe
---
Ice on the tent at six.

## Quarry ledge 17:20-18:45 shooting
- crowd: dozens at 17:20, none at 18:30
- wind: 4 from west
- closure: north rim road, rockfall, said the warden
- tries: 14
- shot bridge-flow: partly, light
- keepers 0412-0414: nd8 + nd8, braced
- lesson change [students]: come before the coaches
- kit pol: used

The coaches leave at six.
"""


@pytest.fixture
def write(tmp_path: Path) -> Callable[..., Path]:
    """Write a day file."""

    def to_file(text: str, name: str = "2031-10-14.md") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return to_file


Write = Callable[..., Path]


def shown(book: Book) -> DayShown:
    return show_day(book, "valley", ON)


def journal(book: Book) -> str | None:
    (day,) = shown(book).account.days
    return day.journal


def counts(read: DayRead) -> tuple[int, int, int, int]:
    return read.added, read.changed, read.unchanged, read.removed


def changed_tables(before: dict[str, Any], after: dict[str, Any]) -> set[str]:
    return {name for name in before if before[name] != after[name]}


def test_a_day_file_puts_the_whole_day_into_the_book(book: Book, keepers: Path, write: Write) -> None:
    read = read_day(book, write(DAY))
    assert (read.trip, read.on_date, read.elsewhere, read.loose) == ("valley", ON, (), ())
    day = shown(book).account
    (visit,) = day.visits
    assert (visit.arrived_at, visit.departed_at, visit.tries) == (time(17, 20), time(18, 45), 14)
    assert visit.journal == "The coaches leave at six."
    assert [one.level for one in day.conditions if one.kind == "crowd"] == [Crowd.DOZENS, Crowd.NONE]
    assert journal(book) == "Ice on the tent at six."
    shot = outcomes.show_shot(book, "bridge-flow").records[0]
    assert (shot.outcome.word, shot.outcome.reasons) == (OutcomeWord.PARTLY, (Reason.LIGHT,))
    for number in ("0412", "0413", "0414"):
        keeper = show_keeper(book, None, number).records[0]
        assert (keeper.filters, keeper.support) == (("nd8", "nd8"), Support.BRACED)
        assert keeper.viewpoint_id == visit.viewpoint_id
    packed = packing.show_kit(book, "pol").records[0].packed["valley"]
    assert (packed.packing, packed.used) == (Packing.TAKEN, True)


def test_the_same_file_again_changes_no_row_of_any_table(
    book: Book, keepers: Path, write: Write, dump: Dump
) -> None:
    first = read_day(book, write(DAY + "- shot no-such-shot: made\n"))
    before = dump()
    again = read_day(book, write(DAY + "- shot no-such-shot: made\n"))
    assert dump() == before
    assert counts(again) == (0, 0, first.added, 0)
    assert again.loose == first.loose
    assert again.elsewhere == ()


ABOUT = """---
trip: valley
date: 2031-10-14
---
## Quarry ledge ~17:20-18:45
- tries: ~14
- crowd: dozens ca 17:30
- closure: gate closes at 18:00
"""


def test_what_differs_from_what_was_written_is_said_once_and_read_again_changes_nothing(
    book: Book, write: Write, dump: Dump
) -> None:
    first = read_day(book, write(ABOUT))
    assert first.understood == (
        'line 5: "Quarry ledge ~17:20-18:45" is kept as Quarry ledge 17:20-18:45. "~14" is kept as 14.',
        'line 8: "closure: gate closes at 18:00" is kept as rule: gate closes at 18:00.',
    )
    day = shown(book).account
    assert {(str(one.kind), one.level, one.at, one.note) for one in day.conditions} == {
        ("crowd", "dozens", time(17, 30), "about 17:30"),
        ("rule", None, None, "gate closes at 18:00"),
    }
    before = dump()
    again = read_day(book, write(ABOUT))
    assert dump() == before
    assert again.understood == ()


def test_an_edited_line_that_is_about_right_changes_its_own_record_only(book: Book, write: Write) -> None:
    read_day(book, write(ABOUT))
    before = shown(book).account
    edited = read_day(book, write(ABOUT.replace("closes at 18:00", "closes at 19:00")))
    assert counts(edited) == (0, 1, 2, 0)
    assert edited.understood == (
        'line 8: "closure: gate closes at 19:00" is kept as rule: gate closes at 19:00.',
    )
    now = shown(book).account
    assert now.visits == before.visits
    kept = [one for one in before.conditions if one in now.conditions]
    assert [str(one.kind) for one in kept] == ["crowd"]
    (rule,) = (one for one in now.conditions if one not in kept)
    assert (rule.note, rule.at) == ("gate closes at 19:00", None)


@pytest.mark.parametrize("heading", ["Quarry ledge 1914-1918", "Quarry ledge 1200-1300 m"])
def test_years_and_heights_in_a_heading_are_no_stay(book: Book, write: Write, heading: str) -> None:
    read = read_day(book, write(ABOUT.replace("Quarry ledge ~17:20-18:45", heading)))
    assert read.loose[0].text == f"## {heading}"
    assert shown(book).account.visits == ()


def test_a_heading_for_which_there_was_no_room_finds_none_when_the_file_is_read_again(
    book: Book, write: Write, dump: Dump
) -> None:
    text = DAY.partition("## ")[0] + (
        "## Quarry ledge 17:20-18:45\n- tries: 3\n\n## Dune crest 17:30-18:00\n- wind: 4 from west\n"
    )
    first = read_day(book, write(text))
    assert [one.text.strip() for one in first.loose] == ["## Dune crest 17:30-18:00"]
    before = dump()
    again = read_day(book, write(text))
    assert dump() == before
    assert counts(again) == (0, 0, first.added, 0)
    assert again.loose == first.loose


def test_lines_that_only_moved_change_no_record(book: Book, keepers: Path, write: Write, dump: Dump) -> None:
    read_day(book, write(DAY))
    before = dump()
    again = read_day(book, write(DAY.replace("- tries: 14", "\n\n- tries: 14")))
    assert (again.changed, again.added, again.removed, again.elsewhere) == (0, 0, 0, ())
    assert changed_tables(before, dump()) <= {"day_line"}


def test_an_outcome_or_kit_line_under_another_heading_keeps_its_record(
    book: Book, keepers: Path, write: Write, dump: Dump
) -> None:
    read_day(book, write(DAY))
    before = dump()
    moved = ("- shot bridge-flow: partly, light\n", "- kit pol: used\n")
    text = DAY
    for line in moved:
        assert text.count(line) == 1
        text = text.replace(line, "")
    again = read_day(book, write(text + "\n## Day\n" + "".join(moved)))
    assert (again.added, again.changed, again.removed, again.elsewhere) == (0, 0, 0, ())
    assert changed_tables(before, dump()) <= {"day_line"}


@pytest.mark.parametrize(
    ("line", "edited", "table", "rows"),
    [
        ("- wind: 4 from west", "- wind: 5 from west", "condition", 1),
        ("- tries: 14", "- tries: 15", "visit", 1),
        ("partly, light", "made", "outcome", 1),
        ("nd8 + nd8, braced", "nd8, braced", "keeper", 3),
        ("come before the coaches", "come after the coaches", "lesson", 1),
        ("Ice on the tent", "Frost on the tent", "day", 1),
        ("The coaches leave", "The crowd leaves", "visit", 1),
        ("kit pol: used", "kit pol: unused, no glare", "packed", 1),
    ],
)
def test_an_edited_line_changes_its_own_record_only(
    book: Book, keepers: Path, write: Write, dump: Dump, line: str, edited: str, table: str, rows: int
) -> None:
    read_day(book, write(DAY))
    before = dump()
    assert DAY.count(line) == 1
    read = read_day(book, write(DAY.replace(line, edited)))
    after = dump()
    assert (read.changed, read.added, read.removed, read.elsewhere) == (rows, 0, 0, ())
    assert changed_tables(before, after) == {table, "day_line"}
    assert len(set(before[table]) - set(after[table])) == rows
    assert len(before[table]) == len(after[table])


@pytest.mark.slow
def test_what_was_changed_elsewhere_is_told_and_stays(book: Book, keepers: Path, write: Write) -> None:
    read_day(book, write(DAY))
    records.edit(book, kinds.VISIT, "quarry-ledge-2031-10-14", {"tries": 20})
    note_keepers(book, None, "0413", {"filters": ()})
    read = read_day(book, write(DAY))
    assert (read.changed, read.added, read.removed) == (0, 0, 0)
    assert len(read.elsewhere) == 2
    assert (
        'tries was changed elsewhere since (the file had set "14", the book now has "20")'
        in read.elsewhere[0]
    )
    assert 'the book now has "none"' in read.elsewhere[1]
    assert all("the book's value stays" in sentence for sentence in read.elsewhere)
    assert records.show(book, kinds.VISIT, "quarry-ledge-2031-10-14").records[0].tries == 20
    assert show_keeper(book, None, "0413").records[0].filters == ()


def test_an_edited_line_leaves_alone_what_it_does_not_change(book: Book, keepers: Path, write: Write) -> None:
    read_day(book, write(DAY))
    records.edit(book, kinds.VISIT, "quarry-ledge-2031-10-14", {"tries": 20})
    read = read_day(book, write(DAY.replace("17:20-18:45", "17:20-19:00")))
    visit = records.show(book, kinds.VISIT, "quarry-ledge-2031-10-14").records[0]
    assert (visit.tries, visit.departed_at) == (20, time(19))
    assert read.changed == 1


def test_an_edited_line_that_meets_an_edit_elsewhere_wins_and_says_so(
    book: Book, keepers: Path, write: Write
) -> None:
    read_day(book, write(DAY))
    records.edit(book, kinds.VISIT, "quarry-ledge-2031-10-14", {"tries": 20})
    read = read_day(book, write(DAY.replace("tries: 14", "tries: 15")))
    assert records.show(book, kinds.VISIT, "quarry-ledge-2031-10-14").records[0].tries == 15
    assert len(read.elsewhere) == 1
    assert "the edited line takes its place" in read.elsewhere[0]


def test_what_was_removed_elsewhere_stays_removed(book: Book, keepers: Path, write: Write) -> None:
    read_day(book, write(DAY))
    records.remove(book, kinds.LESSON, "come-before-the-coaches", with_dependents=False)
    read = read_day(book, write(DAY))
    assert any("lesson was removed elsewhere and stays removed" in sentence for sentence in read.elsewhere)
    assert shown(book).account.lessons == ()


def test_a_removed_line_withdraws_what_it_said(book: Book, keepers: Path, write: Write) -> None:
    read_day(book, write(DAY))
    gone = ("- wind: 4 from west\n", "- shot bridge-flow: partly, light\n", "- lesson change [students]: ")
    text = "".join(
        line for line in DAY.splitlines(keepends=True) if not line.startswith((*gone, "- keepers", "Ice"))
    )
    read = read_day(book, write(text))
    assert read.removed == 1 + 1 + 1 + 3  # the day's zone stays, so its record is edited
    assert ConditionKind.WIND not in {one.kind for one in shown(book).account.conditions}
    assert outcomes.show_shot(book, "bridge-flow").records[0].outcome is None
    keeper = show_keeper(book, None, "0412").records[0]
    assert (keeper.filters, keeper.support, keeper.viewpoint_id, keeper.iso) == (None, None, None, 200)
    assert journal(book) is None


def test_a_removed_line_whose_record_was_changed_elsewhere_withdraws_nothing(
    book: Book, keepers: Path, write: Write
) -> None:
    read_day(book, write(DAY))
    records.edit(book, kinds.LESSON, "come-before-the-coaches", {"text": "Come at dawn."})
    read = read_day(book, write(DAY.replace("- lesson change [students]: come before the coaches\n", "")))
    assert len(read.elsewhere) == 1
    assert "was removed from the file, but text was changed elsewhere" in read.elsewhere[0]
    assert [one.text for one in shown(book).account.lessons] == ["Come at dawn."]


def test_a_misspelt_viewpoint_leaves_its_lines_to_sort_out_and_keeps_the_day(
    book: Book, keepers: Path, write: Write
) -> None:
    read = read_day(book, write(DAY.replace("Quarry ledge", "Qarry legde")))
    assert len(read.loose) == 9
    assert [one.line for one in read.loose] == sorted(one.line for one in read.loose)
    assert "the nearest name is quarry-ledge" in read.loose[0].why
    assert [one.text for one in read.loose[1:] if one.line == 12] == ["- tries: 14"]
    text = journal(book)
    assert text is not None
    assert "Ice on the tent at six." in text
    assert "The coaches leave at six." in text
    assert [(one.line, one.text) for one in shown(book).account.loose_lines] == [
        (one.line, one.text) for one in read.loose
    ]
    put_right = read_day(book, write(DAY))
    assert put_right.loose == ()
    assert shown(book).account.loose_lines == ()
    assert journal(book) == "Ice on the tent at six."
    assert len(shown(book).account.visits) == 1


def test_keepers_may_be_noted_before_they_are_taken_in(
    book: Book, tmp_path: Path, write: Write, picture: Callable[..., Path]
) -> None:
    read = read_day(book, write(DAY))
    assert [one.text for one in read.loose] == ["- keepers 0412-0414: nd8 + nd8, braced"]
    assert "import them first" in read.loose[0].why
    for number in (412, 413, 414):
        picture(tmp_path / "later" / f"TRN_{number:04}.JPG", look=number)
    take_in(book, tmp_path / "later", trip=None)
    again = read_day(book, write(DAY))
    assert (again.added, again.changed, again.loose) == (3, 0, ())
    assert show_keeper(book, None, "0412").records[0].filters == ("nd8", "nd8")


def test_a_range_may_have_an_exception(book: Book, keepers: Path, write: Write, dump: Dump) -> None:
    text = DAY.replace("- lesson", '- keeper 0413: no filter, "The odd one."\n- lesson')
    read_day(book, write(text))
    keeper = show_keeper(book, None, "0413").records[0]
    assert (keeper.filters, keeper.support, keeper.caption) == ((), Support.BRACED, "The odd one.")
    before = dump()
    again = read_day(book, write(text))
    assert (again.elsewhere, again.changed) == ((), 0)
    assert dump() == before
    read_day(book, write(DAY))
    keeper = show_keeper(book, None, "0413").records[0]
    assert (keeper.filters, keeper.support, keeper.caption) == (("nd8", "nd8"), Support.BRACED, None)
    assert keeper.viewpoint_id is not None


def test_a_shot_named_twice_has_the_later_outcome_and_the_earlier_line_is_told(
    book: Book, keepers: Path, write: Write, dump: Dump
) -> None:
    text = DAY.replace("- lesson", "- shot bridge-flow: made\n- lesson")
    read = read_day(book, write(text))
    assert [(one.text, one.why) for one in read.loose] == [
        ("- shot bridge-flow: partly, light", "a later line differs; the later one is used")
    ]
    assert outcomes.show_shot(book, "bridge-flow").records[0].outcome.word is OutcomeWord.MADE
    before = dump()
    assert read_day(book, write(text)).elsewhere == ()
    assert dump() == before


def test_a_keeper_taken_elsewhere_than_its_heading_says_so(book: Book, keepers: Path, write: Write) -> None:
    read = read_day(book, write(DAY.replace("nd8 + nd8, braced", "nd8 + nd8, at dune-crest")))
    assert read.loose == ()
    with book.reading() as desk:
        crest = desk.viewpoints.first(slug="dune-crest")
    assert crest is not None
    assert show_keeper(book, None, "0412").records[0].viewpoint_id == crest.id


def test_a_heading_whose_place_was_renamed_takes_no_visit_back_however_it_is_written(
    book: Book, write: Write
) -> None:
    text = "---\ndate: 2031-10-14\n---\n## Dune Crest, 4:50pm – 5.40 pm scouting\n- tries: 3\n"
    read_day(book, write(text))
    records.edit(book, kinds.VIEWPOINT, "dune-crest", {"title": "Far ridge", "slug": "far-ridge"})
    records.edit(book, kinds.VIEWPOINT, "far-ridge", {"also_called": ()})
    again = read_day(book, write(text))
    assert again.loose[0].text == "## Dune Crest, 4:50pm – 5.40 pm scouting"
    with book.reading() as desk:
        (visit,) = desk.visits.all()
    assert (visit.tries, str(visit.arrived_at)) == (3, "16:50:00")


def test_a_heading_that_is_refused_is_kept_word_for_word(book: Book, write: Write) -> None:
    busy = "## Quarry ledge 16:00-18:00\n- tries: 9\n"
    read = read_day(book, write(f"---\ndate: 2031-10-14\n---\n{busy}\n## dune crest 5pm to 5.30 pm\n"))
    assert [one.text.strip() for one in read.loose] == ["## dune crest 5pm to 5.30 pm"]


def test_a_heading_that_is_not_understood_is_kept_word_for_word(book: Book, write: Write) -> None:
    heading = "## Nowhere rim 4:50pm – 5.40 pm, scouting"
    read = read_day(book, write(f"---\ndate: 2031-10-14\n---\n{heading}\n- tries: 3\n"))
    assert [one.text for one in read.loose] == [heading, "- tries: 3"]
    assert f'under "{heading}"' in read.loose[1].why


@pytest.mark.parametrize(
    ("line", "why"),
    first(
        [
            ("- shot bridge-flow: replaced by bridge-flow", "cannot be replaced by itself"),
            ("- shot bridge-flow: replaced by nothing-such", "another shot or a keeper"),
            ("- shot brige-flow: made", "nearest name"),
            ("- shot bridge: made", "could be more than one shot"),
            ("- kit no-such-kit: used", "No piece of kit is called"),
            ("- keeper 0412: at nowhere, braced", "No viewpoint is called"),
            ("- tries: 99999999", "one whole number"),
        ],
        2,
    ),
)
def test_a_line_that_cannot_be_so_is_left_to_sort_out_and_rejects_nothing(
    book: Book, keepers: Path, write: Write, dump: Dump, line: str, why: str
) -> None:
    text = DAY.replace("- shot bridge-flow: partly, light\n", "").replace("- tries: 14", line)
    read = read_day(book, write(text))
    assert any(line in one.text and why in one.why for one in read.loose), read.loose
    assert journal(book) == "Ice on the tent at six."
    assert len(shown(book).account.conditions) == 4
    before = dump()
    assert read_day(book, write(text)).loose == read.loose
    assert dump() == before


@pytest.mark.parametrize("zone", ["Asia/Dushanbee", "+25:00", "Mars/Base"])
def test_a_zone_that_is_none_is_left_to_sort_out(book: Book, keepers: Path, write: Write, zone: str) -> None:
    read = read_day(book, write(DAY.replace("Asia/Dushanbe", zone)))
    assert [one.text for one in read.loose] == [f"zone: {zone}"]
    (day,) = shown(book).account.days
    assert (day.zone, day.journal) == (None, "Ice on the tent at six.")


MORNING = (
    "---\ntrip: valley\ndate: 2031-10-14\n---\nA cold start.\n\n## Dune crest 06:00-07:30\n- crowd: none\n"
)


@pytest.mark.slow
def test_two_files_of_one_day_stand_side_by_side(book: Book, keepers: Path, write: Write, dump: Dump) -> None:
    evening, morning = write(DAY, "b.md"), write(MORNING, "a.md")
    read_day(book, evening)
    assert read_day(book, morning).elsewhere == ()
    assert journal(book) == "A cold start.\n\nIce on the tent at six."
    assert shown(book).account.days[0].zone == "Asia/Dushanbe"
    assert len(shown(book).account.visits) == 2
    before = dump()
    for path in (morning, evening, morning):
        read = read_day(book, path)
        assert (read.added, read.changed, read.removed, read.elsewhere) == (0, 0, 0, ())
    assert dump() == before
    read_day(book, write(MORNING.replace("A cold", "A very cold"), "a.md"))
    assert journal(book) == "A very cold start.\n\nIce on the tent at six."
    read_day(book, write(MORNING.replace("A cold start.\n", ""), "a.md"))
    assert journal(book) == "Ice on the tent at six."
    assert len(shown(book).account.visits) == 2


def test_a_second_file_of_a_stay_takes_nothing_back_by_its_silence(book: Book, write: Write) -> None:
    heading = "---\ntrip: valley\ndate: 2031-10-14\n---\n## Quarry ledge 17:20-18:45"
    first_file = write(f"{heading} shooting\n- tries: 14\n\nNice light.\n", "a.md")
    later = write(f"{heading}\n- crowd: dozens at 18:30\n", "b.md")
    for path in (first_file, later, first_file, later):
        assert read_day(book, path).elsewhere == ()
        (visit,) = shown(book).account.visits
        assert (visit.tries, visit.purpose, visit.journal) == (14, "shooting", "Nice light.")
    other = write(f"{heading}\n\nWet feet.\n", "c.md")
    assert read_day(book, other).elsewhere == (
        'line 5: journal was stated before as "Nice light."; the line takes its place.',
    )


def test_a_renamed_file_is_the_same_day(book: Book, keepers: Path, write: Write) -> None:
    read_day(book, write(DAY))
    day = shown(book).account
    read = read_day(book, write(DAY, "renamed.md"))
    assert (read.added, read.changed, read.removed, read.elsewhere) == (0, 0, 0, ())
    assert shown(book).account == day


def test_a_viewpoint_visited_twice_has_two_visits(
    book: Book, keepers: Path, write: Write, dump: Dump
) -> None:
    text = DAY + "\n## Quarry ledge 20:00-21:00\n- tries: 3\n"
    read_day(book, write(text))
    assert [one.tries for one in shown(book).account.visits] == [14, 3]
    before = dump()
    read_day(book, write(text))
    assert dump() == before


def test_a_line_that_meets_what_a_person_said_before_says_so(book: Book, keepers: Path, write: Write) -> None:
    said = OutcomeSaid(OutcomeWord.MADE, note="best of the week")
    outcomes.edit_shot(book, "bridge-flow", {}, said)
    note_keepers(book, None, "0412", {"support": Support.TRIPOD})
    read = read_day(book, write(DAY), trip=None)
    assert any(
        'outcome was stated before as "made"' in sentence and "the line takes its place" in sentence
        for sentence in read.elsewhere
    )
    assert any('support was stated before as "tripod"' in sentence for sentence in read.elsewhere)
    assert read.changed == 2
    again = read_day(book, write(DAY), trip=None)
    assert (again.added, again.changed, again.elsewhere) == (0, 0, ())


def test_a_stay_told_from_after_midnight_is_the_one_that_began_the_evening_before(
    book: Book, keepers: Path, write: Write
) -> None:
    stay = {"viewpoint": "quarry-ledge", "on_date": ON, "arrived_at": time(23), "departed_at": time(1, 30)}
    add_to_trip(book, kinds.VISIT, None, stay, None)
    read_day(
        book, write("---\ntrip: valley\ndate: 2031-10-14\n---\n## Quarry ledge 01:00-02:00\n- tries: 3\n")
    )
    (visit,) = shown(book).account.visits
    assert visit.tries == 3


def test_a_judgement_is_written_by_day_and_by_hand(book: Book, keepers: Path, write: Write) -> None:
    read_day(book, write(DAY + "\n- keeper 0412: soft\n"))
    assert show_keeper(book, None, "0412").records[0].sharpness is Sharpness.SOFT
    note_keepers(book, None, "0412", {"sharpness": Sharpness.SHARP})
    assert show_keeper(book, None, "0412").records[0].sharpness is Sharpness.SHARP


def test_a_day_file_never_touches_a_plan(book: Book, keepers: Path, write: Write, dump: Dump) -> None:
    before = dump()["shot"]
    read_day(book, write(DAY))
    read_day(book, write(DAY.replace("partly, light", "replaced by bridge-rough, closure")))
    assert dump()["shot"] == before


def test_a_line_of_a_file_that_meets_an_outcome_said_before_takes_its_place(
    book: Book, keepers: Path, write: Write
) -> None:
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.MISSED, (Reason.TIME,)))
    read_day(book, write(DAY))
    assert outcomes.show_shot(book, "bridge-flow").records[0].outcome.word is OutcomeWord.PARTLY


def test_kit_packed_before_keeps_what_was_decided(book: Book, keepers: Path, write: Write) -> None:
    packing.edit_kit(book, "pol", {}, None, {"packing": Packing.TAKEN, "why": "Glare."})
    read_day(book, write(DAY))
    packed = packing.show_kit(book, "pol").records[0].packed["valley"]
    assert (packed.packing, packed.why, packed.used) == (Packing.TAKEN, "Glare.", True)
    assert packing.list_kit(book, {"kind": KitKind.FILTER}, "valley").records


@pytest.mark.parametrize(
    ("text", "error", "sentence"),
    [
        (DAY.replace("2031-10-14", "2031-02-30"), InvalidValueError, "not a date in the calendar"),
        (DAY.replace("date: 2031-10-14\n", ""), InvalidValueError, "the day has no date"),
        (DAY.replace("trip: valley", "trip: valey"), NotFoundError, "nearest name is valley"),
    ],
)
def test_a_file_without_its_day_is_refused_whole(
    book: Book, write: Write, dump: Dump, text: str, error: type[Exception], sentence: str
) -> None:
    before = dump()
    with pytest.raises(error, match=sentence):
        read_day(book, write(text))
    assert dump() == before


def test_a_file_that_is_not_there_is_named(book: Book, tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match=r"no file \S+nowhere\.md"):
        read_day(book, tmp_path / "nowhere.md")


def test_an_outcome_is_said_or_left_open_and_never_proposed(book: Book, write: Write) -> None:
    head = "---\ntrip: valley\ndate: 2031-10-14\n---\n"
    (loose,) = read_day(book, write(f"{head}- ? shot bridge-flow: made\n- shot bridge-rough:\n")).loose
    assert loose.text == "- ? shot bridge-flow: made"
    assert "remove the ?" in loose.why
    with book.reading() as desk:
        assert desk.outcomes.all() == []
