"""A plan typed into as a table: every cell is kept, asked about again or refused with a reason."""

import random
from collections.abc import Callable, Mapping
from datetime import date, time
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.domain.shot import Shot
from logbook.domain.words import OutcomeWord, Priority, Reason, Support
from logbook.services import kinds, records
from logbook.services.books.undo import undo
from logbook.services.plans import outcomes
from logbook.services.plans.cells import COLUMNS, seal
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.services.plans.table import PlanRow, TableSaved, TypedRow, plan_table, save_table
from logbook.store.book import Book
from logbook.store.changes.journal import Run

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
WHOLE = {
    "title": "Mill at low water",
    "viewpoint": "quarry ledge",
    "on_date": "14.10.2031",
    "window_from": "18.10",
    "window_to": "6:50 pm",
    "focal_mm": "24 mm",
    "f_number": "f/11",
    "exposure_s": "2 s",
    "iso": "ISO 100",
    "filters": "ND8 and ND8",
    "support": "on a tripod",
    "priority": "essential",
    "technique": "smooth water",
    "notes": "two lines\nof it",
}


def rows(book: Book) -> dict[str, PlanRow]:
    """The rows by the short names of their shots."""
    return {one.shot.slug: one for one in plan_table(book, "valley").rows}


def typed(row: PlanRow, **cells: str) -> TypedRow:
    """A row as a form brings it back, with some cells typed into."""
    seen = {name: seal(text) for name, text in row.cells.items()}
    return TypedRow(row.shot.id, row.shot.id, {**row.cells, **cells}, seen)


def fresh(key: str = "new-0", **cells: str) -> TypedRow:
    """A new row."""
    return TypedRow(key, None, {one.field: "" for one in COLUMNS} | cells)


def save(book: Book, *typed: TypedRow) -> TableSaved:
    """Save a form."""
    return save_table(book, "valley", typed)


def shot(book: Book, slug: str) -> Shot:
    """A shot by its short name."""
    found: Shot = outcomes.show_shot(book, slug).records[0].shot
    return found


def test_a_new_row_is_read_as_options_and_files_are(book: Book) -> None:
    done = save(book, fresh(**WHOLE))
    assert done.refused == {}
    made = shot(book, "mill-at-low-water")
    assert done.made == {"new-0": made.id}
    assert (made.on_date, made.window_from, made.window_to) == (
        date(2031, 10, 14),
        time(18, 10),
        time(18, 50),
    )
    assert (made.focal_mm, made.f_number, made.exposure_s, made.iso) == (24, 11, Fraction(2), 100)
    assert (made.filters, made.support, made.priority) == (("nd8", "nd8"), Support.TRIPOD, Priority.ESSENTIAL)
    assert (made.technique, made.notes) == ("smooth water", "two lines\nof it")
    assert '"14.10.2031" is kept as 2031-10-14.' in done.told


def test_what_nobody_touched_changes_nothing(book: Book, dump: Dump) -> None:
    save(book, fresh(**WHOLE))
    before = dump()
    done = save(book, *(typed(one) for one in rows(book).values()), fresh())
    assert (done.made, done.changed, done.refused) == ({}, frozenset(), {})
    assert dump() == before


def test_a_row_is_a_shot_only_if_it_has_a_title(book: Book, dump: Dump) -> None:
    before = dump()
    done = save(book, fresh(), fresh("new-1", iso="100", notes="bring a rope"))
    assert done.refused == {("new-1", "title"): "A shot needs a title; type one, or empty the row."}
    assert dump() == before


def test_a_cell_that_cannot_be_read_is_refused_and_the_others_are_kept(book: Book) -> None:
    row = rows(book)["bridge-flow"]
    done = save(book, typed(row, iso="a lot", f_number="8", viewpoint="nowhere"))
    assert {field for _, field in done.refused} == {"iso", "viewpoint"}
    assert "a lot" in done.refused[row.shot.id, "iso"]
    after = shot(book, "bridge-flow")
    assert (after.iso, after.f_number, after.viewpoint_id) == (None, 8, row.shot.viewpoint_id)
    made = save(book, fresh(title="Ford", iso="a lot", f_number="8"))
    assert list(made.refused) == [("new-0", "iso")]
    assert shot(book, "ford").f_number == 8


@pytest.mark.parametrize("title", ["x" * 201, "a \x07 bell"])
def test_a_title_that_cannot_be_one_is_refused(book: Book, dump: Dump, title: str) -> None:
    before = dump()
    row = rows(book)["bridge-flow"]
    done = save(book, fresh(title=title), typed(row, title=title))
    assert set(done.refused) == {("new-0", "title"), (row.shot.id, "title")}
    assert dump() == before


def test_an_emptied_cell_is_unknown_again_and_an_emptied_title_is_refused(book: Book) -> None:
    save(book, fresh(**WHOLE))
    row = rows(book)["mill-at-low-water"]
    done = save(book, typed(row, **dict.fromkeys(WHOLE, "")))
    assert list(done.refused) == [(row.shot.id, "title")]
    after = shot(book, "mill-at-low-water")
    assert (after.viewpoint_id, after.filters, after.support, after.iso, after.notes) == (None,) * 5
    assert (after.title, after.priority) == ("Mill at low water", Priority.WANTED)


def test_a_date_outside_the_trip_is_kept_and_said(book: Book) -> None:
    records.edit(book, kinds.TRIP, "valley", {"starts_on": date(2031, 10, 13), "ends_on": date(2031, 10, 18)})
    done = save(
        book, fresh(title="Early", on_date="2013-10-14"), fresh("new-1", title="In", on_date="2031-10-14")
    )
    assert done.told == ("2013-10-14 is outside the dates of the trip.",)
    assert shot(book, "early").on_date == date(2013, 10, 14)


def test_no_filter_and_filters_unknown_are_two_texts(book: Book) -> None:
    save(book, typed(rows(book)["bridge-flow"], filters="none"))
    assert (shot(book, "bridge-flow").filters, rows(book)["bridge-flow"].cells["filters"]) == ((), "none")
    assert rows(book)["bridge-rough"].cells["filters"] == ""


def test_two_people_may_write_into_one_row(book: Book) -> None:
    first = second = rows(book)["bridge-flow"]
    save(book, typed(first, iso="100"))
    done = save(book, typed(second, f_number="8"))
    assert done.refused == {}
    after = shot(book, "bridge-flow")
    assert (after.iso, after.f_number) == (100, 8), "what the second left alone follows the book"


def test_a_cell_that_both_changed_is_asked_about_and_then_kept(book: Book) -> None:
    first = second = rows(book)["bridge-flow"]
    save(book, typed(first, iso="100"))
    done = save(book, typed(second, iso="400", f_number="8"))
    why = done.refused[second.shot.id, "iso"]
    assert why == 'Another window has since written "100" here. Save again to replace it with yours.'
    assert (shot(book, "bridge-flow").iso, shot(book, "bridge-flow").f_number) == (100, 8)
    assert save(book, typed(rows(book)["bridge-flow"], iso="400")).refused == {}
    assert shot(book, "bridge-flow").iso == 400


def test_the_same_change_twice_is_no_conflict(book: Book) -> None:
    row = rows(book)["bridge-flow"]
    assert save(book, typed(row, iso="100")).changed
    again = save(book, typed(row, iso="100"))
    assert (again.changed, again.refused) == (frozenset(), {})


@pytest.mark.parametrize("word", [one for one in OutcomeWord if one is not OutcomeWord.OPEN])
def test_a_plan_whose_outcome_is_known_stands_and_says_so(book: Book, dump: Dump, word: OutcomeWord) -> None:
    row = rows(book)["bridge-flow"]
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(word, (Reason.LIGHT,)))
    before = dump()
    done = save(book, typed(row, iso="400"))
    why = f'The outcome is "{word}", so the plan was not changed. Set the outcome to open first.'
    assert done.refused == {(row.shot.id, "iso"): why}
    assert dump() == before
    assert rows(book)["bridge-flow"].is_closed


def test_a_shot_that_is_gone_loses_nothing_that_was_typed(book: Book) -> None:
    touched, untouched = rows(book)["bridge-flow"], rows(book)["bridge-rough"]
    for slug in ("bridge-flow", "bridge-rough"):
        records.remove(book, kinds.SHOT, slug, with_dependents=True)
    done = save(book, typed(touched, iso="400"), typed(untouched))
    assert done.gone == {touched.shot.id, untouched.shot.id}
    assert list(done.refused) == [(touched.shot.id, "title")]


def test_a_shot_of_another_trip_is_none_of_this_table(book: Book, dump: Dump) -> None:
    records.add(book, kinds.TRIP, {"title": "Other"})
    outcomes.plan_shot(book, "other", {"title": "Theirs"}, None)
    theirs = shot(book, "theirs")
    before = dump()
    done = save(book, TypedRow(theirs.id, theirs.id, {"title": "Ours"}))
    assert done.gone == {theirs.id}
    assert dump() == before


def test_a_row_is_taken_out_unless_something_refers_to_it(book: Book) -> None:
    outcomes.edit_shot(book, "bridge-rough", {"fallback_for": "bridge-flow"}, None)
    flow, rough = rows(book)["bridge-flow"], rows(book)["bridge-rough"]

    def out(row: PlanRow) -> TypedRow:
        return TypedRow(row.shot.id, row.shot.id, {}, {}, is_taken_out=True)

    done = save(book, out(flow))
    assert "still referred to by" in done.refused[flow.shot.id, "title"]
    assert save(book, out(rough)).taken_out == {rough.shot.id}
    assert set(rows(book)) == {"bridge-flow"}


def test_each_save_is_one_undo(book: Book) -> None:
    before = {slug: row.cells for slug, row in rows(book).items()}
    mine = Book(book.path, book.now, create=False, run=Run("1", "plan of valley"))
    save(mine, typed(rows(book)["bridge-flow"], iso="400"), fresh(title="One"), fresh("new-1", title="Two"))
    assert len(rows(book)) == 4
    assert undo(book).change.command == "plan of valley"
    assert {slug: row.cells for slug, row in rows(book).items()} == before


def test_a_viewpoint_is_called_by_its_title_where_that_means_only_one(book: Book) -> None:
    assert rows(book)["bridge-flow"].cells["viewpoint"] == "Quarry ledge"
    records.add(book, kinds.VIEWPOINT, {"title": "Quarry ledge", "site": "quarry"}, "lower-ledge")
    save(book, typed(rows(book)["bridge-flow"], viewpoint="lower-ledge"))
    assert rows(book)["bridge-flow"].cells["viewpoint"] == "lower-ledge"


texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
odd = st.sampled_from(["1/60", "17:20", "nd8 + pol", "none", "unknown", "?", "-", "24,5", "f/8", "2 min 8 s"])


@pytest.mark.slow
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.dictionaries(st.sampled_from([one.field for one in COLUMNS]), texts | odd))
def test_whatever_is_typed_is_kept_or_refused_and_saving_again_changes_nothing(
    book: Book, cells: Mapping[str, str]
) -> None:
    row = rows(book)["bridge-rough"]
    done = save(book, typed(row, **cells))
    assert {key for key, _ in done.refused} <= {row.shot.id}
    now = plan_table(book, "valley").rows
    again = save(book, *map(typed, now))
    assert (again.changed, again.refused) == (frozenset(), {})
    assert plan_table(book, "valley").rows == now


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(20))
def test_no_window_writes_over_what_it_did_not_see(book: Book, seed: int) -> None:
    chance = random.Random(seed)
    windows = [rows(book)["bridge-flow"]] * 3
    for number in range(30):
        at, field = chance.randrange(3), chance.choice(["iso", "f_number", "notes"])
        stood = rows(book)["bridge-flow"].cells
        done = save(book, typed(windows[at], **{field: str(10 + number)}))
        is_seen = stood[field] == windows[at].cells[field]
        assert (not done.refused) == is_seen
        expected = {**stood, field: rows(book)["bridge-flow"].cells[field] if is_seen else stood[field]}
        assert rows(book)["bridge-flow"].cells == expected
        if done.refused or chance.random() < 0.5:
            windows[at] = rows(book)["bridge-flow"]


def test_a_cell_enters_a_viewpoint_at_a_site_of_the_book(book: Book) -> None:
    with book.reading() as desk:
        site = desk.sites.all()[0]
    name = f"Sluice wall at {site.slug}"
    saved = save(book, fresh(title="One", viewpoint=name))
    again = save(book, fresh(title="Two", viewpoint=name))
    assert (saved.refused, again.refused) == ({}, {})
    assert "Sluice wall is a new viewpoint in the book." in saved.told
    assert "Sluice wall is a new viewpoint in the book." not in again.told
    with book.reading() as desk:
        (made,) = (one for one in desk.viewpoints.all() if one.title == "Sluice wall")
        assert made.site_id == site.id
        placed = [one.title for one in desk.shots.all() if one.viewpoint_id == made.id]
    assert sorted(placed) == ["One", "Two"]


def test_a_viewpoint_that_is_nowhere_is_refused_with_what_would_enter_it(book: Book, dump: Dump) -> None:
    saved = save(book, fresh(title="One", viewpoint="Sluice wall"))
    assert 'to add it, write "Sluice wall at SITE"' in saved.refused["new-0", "viewpoint"]
    with book.reading() as desk:
        assert "Sluice wall" not in {one.title for one in desk.viewpoints.all()}
