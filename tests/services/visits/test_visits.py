"""A visit has room, claims its frames, and takes what was made and seen on it along."""

from collections.abc import Callable
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.belonging import Spell, spell_of
from logbook.domain.errors import ConflictError
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind, Provenance
from logbook.services import kinds, records
from logbook.services.dayfiles.days import read_day
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.visits.room import parts_left
from logbook.services.visits.visits import VisitKept, add_visit, edit_visit
from logbook.store.book import Book
from tests.services.adding import add_to_trip
from tests.services.conftest import Dump, Picture

DAY = date(2031, 10, 14)
LEDGE, CREST = "quarry-ledge", "dune-crest"
WORKED_OUT = {"arrived_at": Provenance.INFERRED, "departed_at": Provenance.INFERRED}


def clock(text: str | None) -> time | None:
    return time.fromisoformat(text) if text else None


def add(book: Book, place: str, begins: str | None, ends: str | None, **more: Any) -> VisitKept:
    said = {"viewpoint": place, "on_date": DAY, "arrived_at": clock(begins), "departed_at": clock(ends)}
    return add_visit(book, None, said | more)


def spans(book: Book) -> dict[str, tuple[str, str]]:
    def shown(at: time | None) -> str:
        return f"{at:%H:%M}" if at else ""

    found = records.list_all(book, kinds.VISIT, {}).records
    return {one.slug: (shown(one.arrived_at), shown(one.departed_at)) for one in found}


@pytest.fixture
def frames(book: Book, tmp_path: Path, picture: Picture) -> Callable[..., None]:
    """Take in pictures named after the minutes they were made in, such as A_1402."""

    def take(*times: str) -> None:
        for look, taken in enumerate(times):
            name = f"A_{taken[:5].replace(':', '')}.JPG"
            picture(tmp_path / "in" / name, look=look, taken=f"2031:10:14 {taken}")
        take_in(book, tmp_path / "in", trip=None)

    return take


def places(book: Book) -> dict[str, tuple[str | None, Provenance | None]]:
    with book.reading() as desk:
        slugs = {one.id: one.slug for one in desk.viewpoints.all()}
        return {
            one.file.removesuffix(".JPG"): (
                slugs.get(one.viewpoint_id or ""),
                one.provenance_of("viewpoint_id"),
            )
            for one in desk.keepers.all()
        }


def test_a_stated_visit_claims_the_frames_of_its_time(book: Book, frames: Callable[..., None]) -> None:
    frames("13:59:59", "14:00:10", "14:10:50", "14:11:00")
    done = add(book, LEDGE, "14:00", "14:10")
    inferred = (LEDGE, Provenance.INFERRED)
    unknown = (None, None)
    assert list(places(book).values()) == [unknown, inferred, inferred, unknown]
    assert done.told == ("2 keepers from that time were placed at quarry-ledge (inferred).",)


def test_what_a_person_placed_elsewhere_is_left_there_and_named(
    book: Book, frames: Callable[..., None]
) -> None:
    frames("14:02:00", "14:03:00")
    note_keepers(book, None, "A_1402", {"viewpoint": CREST})
    done = add(book, LEDGE, "14:00", "14:10")
    assert places(book) == {
        "A_1402": (CREST, Provenance.STATED),
        "A_1403": (LEDGE, Provenance.INFERRED),
    }
    assert "placed elsewhere and left there: A_1402.JPG" in done.told[1]


def test_times_that_nobody_stated_claim_nothing(book: Book, frames: Callable[..., None]) -> None:
    frames("14:02:00")
    add(book, LEDGE, "14:00", "14:10", provenance=WORKED_OUT)
    add(book, CREST, "14:00", None)
    assert places(book)["A_1402"] == (None, None)


def test_a_time_put_right_claims_anew_and_lets_go(book: Book, frames: Callable[..., None]) -> None:
    frames("14:02:00", "16:02:00")
    (made,) = add(book, LEDGE, "14:00", "14:10").listing.records
    done = edit_visit(book, made.slug, {"arrived_at": time(16), "departed_at": time(16, 10)})
    assert places(book) == {"A_1402": (None, None), "A_1602": (LEDGE, Provenance.INFERRED)}
    assert "1 keeper is no longer in a visit; where it was made" in done.told[0]


def test_two_statements_that_contradict_are_refused(book: Book, dump: Dump) -> None:
    add(book, LEDGE, "17:00", "18:00")
    before = dump()
    for begins, ends in (("17:30", "18:30"), ("16:00", "17:01"), ("17:10", "17:20"), ("16:00", "19:00")):
        with pytest.raises(ConflictError, match=r"You were at quarry-ledge then .*17:00 to 18:00"):
            add(book, CREST, begins, ends)
    with pytest.raises(ConflictError, match="quarry-ledge"):
        add(book, CREST, "17:30", None)
    assert dump() == before
    add(book, CREST, "18:00", "18:30")
    with pytest.raises(ConflictError, match="You were at quarry-ledge then"):
        edit_visit(book, "dune-crest-2031-10-14", {"arrived_at": time(17, 59)})


def test_visits_at_one_place_may_overlap(book: Book) -> None:
    add(book, LEDGE, "17:00", "18:00")
    add(book, LEDGE, "17:30", "18:30")
    assert len(spans(book)) == 2


@pytest.mark.parametrize(
    ("begins", "ends", "left"),
    [
        ("16:00", "17:30", ("17:30", "18:00")),
        ("17:30", "19:00", ("17:00", "17:30")),
        ("16:00", "19:00", ("", "")),
        ("17:00", "18:00", ("", "")),
    ],
)
def test_times_that_were_worked_out_make_room(
    book: Book, begins: str, ends: str, left: tuple[str, str]
) -> None:
    add(book, LEDGE, "17:00", "18:00", provenance=WORKED_OUT)
    done = add(book, CREST, begins, ends)
    found = spans(book)
    assert found["quarry-ledge-2031-10-14"] == left
    assert found["dune-crest-2031-10-14"] == (begins, ends)
    assert "quarry-ledge-2031-10-14" in done.told[0]
    assert "only inferred" in done.told[0]


def test_a_long_visit_that_was_worked_out_is_cut_around_a_stated_one(book: Book) -> None:
    add(book, LEDGE, "08:30", "17:08", provenance=WORKED_OUT)
    done = add(book, CREST, "14:00", "14:10")
    assert spans(book) == {
        "quarry-ledge-2031-10-14": ("08:30", "14:00"),
        "dune-crest-2031-10-14": ("14:00", "14:10"),
        "quarry-ledge-2031-10-14-2": ("14:10", "17:08"),
    }
    assert "cut around it into quarry-ledge-2031-10-14 and quarry-ledge-2031-10-14-2" in done.told[0]
    words = [one.provenance for one in records.list_all(book, kinds.VISIT, {"viewpoint": LEDGE}).records]
    assert words == [WORKED_OUT, WORKED_OUT]


def test_a_visit_whose_own_times_were_worked_out_makes_room_itself(book: Book) -> None:
    add(book, CREST, "14:00", "15:00")
    done = add(book, LEDGE, "14:30", "16:00", provenance=WORKED_OUT)
    assert spans(book)["quarry-ledge-2031-10-14"] == ("15:00", "16:00")
    assert done.told == ("Its times were only inferred, and gave way to dune-crest-2031-10-14.",)


def test_a_heading_that_overlaps_a_stated_visit_is_left_to_sort_out(book: Book, tmp_path: Path) -> None:
    add(book, LEDGE, "17:00", "18:00")
    file = tmp_path / "day.md"
    file.write_text("---\ndate: 2031-10-14\n---\n## Dune crest 17:30-18:30\n- wind: 3\n", encoding="utf-8")
    done = read_day(book, file)
    assert ["You were at quarry-ledge then" in one.why for one in done.loose] == [True]
    assert spans(book) == {"quarry-ledge-2031-10-14": ("17:00", "18:00")}


def test_headings_that_swap_their_times_are_read_again(book: Book, tmp_path: Path) -> None:
    file = tmp_path / "day.md"
    head = "---\ndate: 2031-10-14\n---\n"
    file.write_text(f"{head}## Quarry ledge 17:00-18:00\n\n## Dune crest 18:00-19:00\n", encoding="utf-8")
    read_day(book, file)
    file.write_text(f"{head}## Quarry ledge 18:00-19:00\n\n## Dune crest 17:00-18:00\n", encoding="utf-8")
    assert read_day(book, file).loose == ()
    assert spans(book) == {
        "quarry-ledge-2031-10-14": ("18:00", "19:00"),
        "dune-crest-2031-10-14": ("17:00", "18:00"),
    }


@pytest.mark.slow
def test_keepers_and_conditions_follow_a_visit_to_another_viewpoint(
    book: Book, frames: Callable[..., None]
) -> None:
    frames("17:10:00", "17:20:00", "17:30:00", "19:30:00")
    note_keepers(book, None, "A_1710,A_1930", {"viewpoint": LEDGE})
    note_keepers(book, None, "A_1730", {"viewpoint": CREST})
    records.add(book, kinds.VIEWPOINT, {"title": "Rail", "site": "quarry"})
    add(book, LEDGE, "17:00", "18:00")
    add(book, LEDGE, "19:00", "20:00")
    here = {"kind": ConditionKind.WIND, "level": "3", "viewpoint": LEDGE, "on_date": DAY}
    for at in (time(17, 15), time(19, 15)):
        add_to_trip(book, kinds.CONDITION, None, here | {"at": at}, None)
    done = edit_visit(book, "quarry-ledge-2031-10-14", {"viewpoint": "rail"})
    assert places(book) == {
        "A_1710": ("rail", Provenance.STATED),
        "A_1720": ("rail", Provenance.INFERRED),
        "A_1730": (CREST, Provenance.STATED),
        "A_1930": (LEDGE, Provenance.STATED),
    }
    assert done.told == (
        "Moved with it to rail: 2 keepers and 1 condition.",
        "Made at that time, but already placed elsewhere and left there: A_1730.JPG.",
    )
    seen = records.list_all(book, kinds.CONDITION, {})
    assert [(one.at, seen.names[one.viewpoint_id]) for one in seen.records] == [
        (time(17, 15), "rail"),
        (time(19, 15), LEDGE),
    ]


def test_what_was_seen_at_no_time_follows_the_only_visit_there(book: Book) -> None:
    add(book, LEDGE, None, None)
    here = {"kind": ConditionKind.WIND, "level": "3", "viewpoint": LEDGE, "on_date": DAY}
    add_to_trip(book, kinds.CONDITION, None, here, None)
    edit_visit(book, "quarry-ledge-2031-10-14", {"viewpoint": CREST})
    seen = records.list_all(book, kinds.CONDITION, {})
    assert [seen.names[one.viewpoint_id] for one in seen.records] == [CREST]


minutes = st.integers(4 * 60, 24 * 60 - 1)
windows = st.lists(minutes, min_size=2, max_size=2, unique=True).map(sorted)


def span(window: list[int]) -> Spell:
    begins, ends = (time(minute // 60, minute % 60) for minute in window)
    return spell_of("", DAY, begins, ends, time(4))


@given(windows, windows)
def test_what_is_left_of_a_visit_shares_no_time_with_the_other_and_loses_no_more(
    one: list[int], other: list[int]
) -> None:
    own, rival = span(one), span(other)
    if not own.overlaps(rival):
        return
    left = [(begin, end) for begin, end in parts_left(own, rival) if begin and end]
    assert not any(Spell("", *part).overlaps(rival) for part in left)
    whole, shared = one[1] - one[0], min(one[1], other[1]) - max(one[0], other[0])
    assert sum((end - begin).total_seconds() / 60 for begin, end in left) == whole - shared


def test_a_visit_is_what_it_was_where_nothing_else_is(book: Book) -> None:
    (made,) = add(book, LEDGE, "17:00", "18:00").listing.records
    assert isinstance(made, Visit)
    assert made.provenance == {}
