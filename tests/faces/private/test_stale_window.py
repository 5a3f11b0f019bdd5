"""A window that still shows the day as it was: what is pressed there is done to what it shows, or not at all.

Each test cuts or joins stays in another window first. Nothing may then be noted of pictures or stays that the
old window does not show at that place, and a sentence says so.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from pathlib import Path

import pytest

from logbook.domain.keeper import Keeper
from logbook.domain.words import Provenance, Sharpness, Support
from logbook.services import kinds
from logbook.services.night.cards import StayCard, WholeEvening
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night
from logbook.services.night.whole import whole_evening
from logbook.services.records import the_trip
from logbook.store.book import Book
from tests.faces.private.routes import Elements
from tests.faces.private.visitor import Answer, Visitor, plain
from tests.services.adding import add_to_trip
from tests.services.night.scripted_day import DAY, TRIP
from tests.services.night.sittings import dump_of, now

PAGE = f"/trip/{TRIP}/evening/{DAY}"
CHANGED = "That stay has changed since this page was opened; look again."


@pytest.fixture
def book_path(scripted_book: Path) -> Path:
    """The scripted day, with nothing written down."""
    return scripted_book


@dataclass(frozen=True)
class OldWindow:
    """A page as it was loaded; everything pressed in it sends what it showed."""

    visitor: Visitor
    shown: list[tuple[str, str]]
    buttons: list[str]
    fields: list[str]
    stays: tuple[StayCard, ...]

    def press(self, do: str, *more: tuple[str, str]) -> Answer:
        """Press a button that stands on the page."""
        assert do in self.buttons, f"{do} is not on the page: {self.buttons[:20]}"
        return self.visitor.send_pairs(PAGE, [*self.shown, *more, ("do", do)])

    def button(self, begin: str, end: str = "") -> str:
        """The first button whose value begins and ends so."""
        return next(one for one in self.buttons if one.startswith(begin) and one.endswith(end))


@dataclass(frozen=True)
class Desk:
    """The book of the day and whoever looks at it."""

    path: Path
    visitor: Visitor

    def evening(self) -> WholeEvening:
        """The evening as the book has it."""
        book = Book(self.path, now, create=False)
        with book.reading() as desk:
            trip = the_trip(desk, TRIP)
        return whole_evening(Night(book, trip, DAY))

    def open(self) -> OldWindow:
        """Load the page in a window of its own."""
        (form,) = (one for one in Elements(self.visitor.ask(PAGE).text).forms if one.typed)
        shown = [(name, value) for name, value in form.fields if name not in ("token", "tick")]
        return OldWindow(
            replace(self.visitor),
            shown,
            [value for _, value in form.buttons],
            form.typed,
            self.evening().stays,
        )

    def cut(self, stay: int, at: int) -> None:
        """Let a new stay begin with a picture of a stay, in another window."""
        begin = self.evening().stays[stay].keepers[at].id
        answer = self.visitor.send(PAGE, do=f"cut:{begin}")
        assert answer.status == 303, plain(answer)

    def key(self, stay: int, asks: Asks) -> str:
        """The key of a question about a stay."""
        return next(
            one.question.key for one in self.evening().stays[stay].all_items if one.question.asks is asks
        )

    def keepers(self, is_so: Callable[[Keeper], bool]) -> list[str]:
        """The files of which something is so in the book."""
        with Book(self.path, now, create=False).reading() as desk:
            return sorted(one.file for one in desk.keepers.all() if is_so(one))


@pytest.fixture
def desk(visitor: Visitor, book_path: Path) -> Desk:
    """The day with its clock put right."""
    found = Desk(book_path, visitor)
    clock = next(one for one in found.evening().opening if one.question.asks is Asks.CLOCK)
    visitor.send(PAGE, do=f"pick:{clock.question.key}=1 h slow")
    assert len(found.evening().stays) >= 4
    return found


def files(stay: StayCard) -> list[str]:
    """The files of a stay."""
    return sorted(one.file for one in stay.keepers)


@pytest.mark.slow
@pytest.mark.parametrize("what", ["sharpness", "support", "filters"])
def test_a_button_of_a_stay_is_for_the_pictures_that_it_stands_beside(desk: Desk, what: str) -> None:
    old = desk.open()
    said = {"sharpness": "soft", "support": "braced", "filters": "none"}[what]
    second = old.stays[1]
    desk.cut(0, 2)  # from now on the second stay of the day is another one
    old.press(f"of:{what}:{second.sign}={said}")
    noted: dict[str, Callable[[Keeper], bool]] = {
        "sharpness": lambda one: one.sharpness is Sharpness.SOFT,
        "support": lambda one: one.support is Support.BRACED,
        "filters": lambda one: one.filters == () and one.provenance_of("filters") is Provenance.STATED,
    }
    assert desk.keepers(noted[what]) == files(second)


@pytest.mark.slow
@pytest.mark.parametrize("what", ["of:support", "picked", "state"])
def test_nothing_is_noted_of_a_stay_that_was_cut_since_it_was_shown(desk: Desk, what: str) -> None:
    old = desk.open()
    first = old.stays[0]
    desk.cut(0, 2)
    before = dump_of(desk.path)
    if what == "picked":
        answer = old.press("keep", (f"picked:{first.sign}", "nd8"))
        assert "You wrote: <q>nd8</q>" in answer.text, "what was typed is not lost"
    else:
        answer = old.press(old.button(f"{what}:{first.sign}"))
    assert answer.status == 422
    assert CHANGED in plain(answer)
    assert dump_of(desk.path) == before


@pytest.mark.slow
@pytest.mark.parametrize("asks", [Asks.TIMES, Asks.VIEWPOINT])
def test_a_yes_to_what_a_stay_showed_is_not_given_to_what_it_is_now(desk: Desk, asks: Asks) -> None:
    key = desk.key(0, asks)
    old = desk.open()
    desk.cut(0, 2)
    before = dump_of(desk.path)
    answer = old.press(f"take:{key}")
    assert answer.status == 422
    assert CHANGED in plain(answer)
    assert dump_of(desk.path) == before


@pytest.mark.slow
def test_a_line_about_a_stay_that_was_cut_since_stays_in_its_field_until_it_is_sent_again(desk: Desk) -> None:
    key = desk.key(0, Asks.TRIES)
    old = desk.open()
    desk.cut(0, 2)
    before = dump_of(desk.path)
    answer = old.press("keep", (f"line:{key}", "14"))
    assert answer.status == 422
    assert CHANGED in plain(answer)
    assert 'value="14"' in answer.text
    assert dump_of(desk.path) == before
    desk.open().press("keep", (f"line:{key}", "14"))
    (item,) = (one for one in desk.evening().items if one.question.key == key)
    assert (item.value, item.word) == ("14", Provenance.STATED)


@pytest.mark.slow
def test_stays_are_joined_only_while_both_are_the_ones_that_were_shown(desk: Desk) -> None:
    old = desk.open()
    desk.cut(1, 1)  # the first stay's neighbour is now a part of it
    before = dump_of(desk.path)
    answer = old.press(old.button("join:"))
    assert answer.status == 422
    assert CHANGED in plain(answer)
    assert dump_of(desk.path) == before
    now_open = desk.open()
    now_open.press([one for one in now_open.buttons if one.startswith("join:")][1])
    assert len(desk.evening().stays) == len(old.stays)


@pytest.mark.slow
def test_ticks_in_another_stay_are_no_word_about_this_one(desk: Desk) -> None:
    old = desk.open()
    before = dump_of(desk.path)
    ticked = ("tick", old.stays[0].keepers[0].id)
    for more in ((ticked,), (ticked, (f"picked:{old.stays[1].sign}", "nd8"))):
        answer = old.press(f"of:sharpness:{old.stays[1].sign}=soft", *more)
        assert answer.status == 422
        assert "The ticked pictures belong to another stay." in plain(answer)
        assert dump_of(desk.path) == before
    old.press(f"of:sharpness:{old.stays[0].sign}=soft", ticked)
    assert desk.keepers(lambda one: one.sharpness is Sharpness.SOFT) == [old.stays[0].keepers[0].file]


@pytest.mark.slow
def test_everything_shown_is_stated_and_what_reads_differently_now_is_not(desk: Desk) -> None:
    old = desk.open()
    shown = {one.question.key: one.shown for one in desk.evening().to_state}
    desk.cut(0, 2)
    old.press("state")
    after = desk.evening()
    stated = {one.question.key: one.value for one in after.stated}
    assert stated
    assert {key: shown.get(key) for key in stated} == stated, "stated is what the old window showed"
    parts = {one.visit.key for one in after.stays[:2] if one.visit}
    assert not [key for key in stated if key.rpartition(".")[0] in parts]
    assert "Not stated, because new or changed since this page was opened:" in plain(desk.visitor.ask(PAGE))


@pytest.mark.slow
def test_a_picture_that_came_in_since_gets_nothing_that_was_said_of_all(desk: Desk) -> None:
    counted = {one.id for one in desk.evening().stays[0].keepers}
    with Book(desk.path, now, create=False).writing() as shelves:
        late = next(one for one in shelves.keepers.all() if one.id in counted)
        shelves.keepers.remove([late.id])
    old = desk.open()
    with Book(desk.path, now, create=False).writing() as shelves:
        shelves.keepers.add(late)
    before = dump_of(desk.path)
    answer = old.press(old.button(f"of:sharpness:{old.stays[0].sign}", "=soft"))
    assert (answer.status, dump_of(desk.path)) == (422, before)
    old.press(old.button("bare:"))
    assert late.file not in desk.keepers(lambda one: one.filters == ())


@pytest.mark.slow
def test_a_stay_without_a_picture_is_known_by_its_times(desk: Desk) -> None:
    visit = {"viewpoint": "north-gate", "on_date": DAY, "arrived_at": time(12), "departed_at": time(13)}
    book = Book(desk.path, now, create=False)
    add_to_trip(book, kinds.VISIT, TRIP, visit, None)
    number = next(at for at, one in enumerate(desk.evening().stays, 1) if not one.keepers)
    key = desk.key(number - 1, Asks.TRIES)
    old = desk.open()
    Night(book, desk.evening().trip, date(2025, 10, 14)).say("changes", f"cut {number} at 12:30")
    answer = old.press("keep", (f"line:{key}", "3"))
    assert (answer.status, CHANGED in plain(answer)) == (422, True)


@pytest.mark.slow
def test_every_button_about_a_stay_names_what_it_stands_beside(desk: Desk) -> None:
    """A number of a stay, in a button or a field, is whatever stay has that number when it arrives."""
    old = desk.open()
    numbered = [
        one
        for one in [*old.buttons, *old.fields]
        if re.fullmatch(r"(of:\w+|state|picked|join):\d{1,3}\b.*", one)
    ]
    assert not numbered


def test_an_undo_takes_back_the_change_that_was_shown_and_no_other(desk: Desk) -> None:
    def change() -> str:
        return str(re.findall(r'name="change" value="([^"]*)"', desk.visitor.ask(PAGE).text)[0])

    desk.cut(0, 2)
    shown = change()
    add_to_trip(
        Book(desk.path, now, create=False), kinds.LESSON, TRIP, {"verb": "keep", "text": "Early."}, None
    )
    before = dump_of(desk.path)
    answer = desk.visitor.send("/undo", here=PAGE, change=shown)
    assert answer.status == 303
    assert "Nothing was undone: the book has changed" in plain(desk.visitor.ask(PAGE))
    assert dump_of(desk.path) == before
    for stays in (5, 4):  # the lesson, then the cut
        desk.visitor.send("/undo", here=PAGE, change=change())
        assert len(desk.evening().stays) == stays


@pytest.mark.slow
def test_a_change_that_came_in_place_of_an_undone_one_is_another(desk: Desk) -> None:
    def change() -> str:
        return str(re.findall(r'name="change" value="([^"]*)"', desk.visitor.ask(PAGE).text)[0])

    desk.cut(0, 2)
    shown = change()
    desk.visitor.send("/undo", here=PAGE, change=shown)
    desk.cut(0, 2)
    assert change() != shown
    desk.visitor.send("/undo", here=PAGE, change=shown)
    assert len(desk.evening().stays) == 5


def move(path: Path, file: str, seconds: int) -> None:
    """Let a picture have been taken some seconds later."""
    with Book(path, now, create=False).writing() as shelves:
        (keeper,) = (one for one in shelves.keepers.all() if one.file == file)
        assert keeper.taken_utc is not None
        assert keeper.taken_local is not None
        by = timedelta(seconds=seconds)
        shelves.keepers.put(
            replace(keeper, taken_utc=keeper.taken_utc + by, taken_local=keeper.taken_local + by)
        )


def in_time(stay: StayCard) -> list[Keeper]:
    """The pictures of a stay in order of time."""
    return [one for frame in stay.frames for one in frame.keepers]


@pytest.mark.slow
def test_a_new_stay_begins_between_two_pictures_of_one_minute(desk: Desk) -> None:
    first, second, *rest = in_time(desk.evening().stays[0])
    move(desk.path, second.file, -200)  # at 08:00:40, 40 s after the first
    desk.open().press(f"cut:{second.id}")
    early, late, *_ = desk.evening().stays
    assert files(early) == [first.file]
    assert files(late) == sorted(one.file for one in (second, *rest))


@pytest.mark.slow
def test_a_visit_that_the_book_knows_by_the_minute_is_not_offered_to_be_cut_within_one(desk: Desk) -> None:
    _, second, *_, last = in_time(desk.evening().stays[0])
    move(desk.path, second.file, -200)
    desk.open().press(f"pick:{desk.key(0, Asks.VIEWPOINT)}=weir-steps")
    page = desk.open()
    assert f"cut:{second.id}" not in page.buttons
    before = dump_of(desk.path)
    answer = desk.visitor.send(PAGE, do=f"cut:{second.id}")
    assert (answer.status, dump_of(desk.path)) == (422, before)
    assert "tells stays apart by the minute" in plain(answer)
    page.press(f"cut:{last.id}")
    assert files(desk.evening().stays[1]) == [last.file]


@pytest.mark.slow
def test_a_button_is_done_though_a_line_elsewhere_is_not_understood(desk: Desk) -> None:
    tries = desk.key(0, Asks.TRIES)
    old = desk.open()
    second = old.stays[1]
    answer = old.press(f"of:support:{second.sign}=braced", (f"line:{tries}", "quite a few"))
    assert answer.status == 422
    assert 'value="quite a few"' in answer.text
    assert "1 line not kept; the reason is beside it." in plain(answer)
    assert desk.keepers(lambda one: one.support is Support.BRACED) == files(second)


@pytest.mark.slow
@pytest.mark.parametrize("do", ["state", "take:{tries}"])
def test_a_button_about_what_was_not_understood_waits_and_says_so(desk: Desk, do: str) -> None:
    tries = desk.key(0, Asks.TRIES)
    before = dump_of(desk.path)
    answer = desk.open().visitor.send_pairs(
        PAGE, [(f"line:{tries}", "quite a few"), ("tick", "some"), ("do", do.format(tries=tries))]
    )
    assert answer.status == 422
    assert "The button was not used" in plain(answer)
    assert dump_of(desk.path) == before


@pytest.mark.slow
def test_ticks_stay_without_script_where_nothing_was_done(desk: Desk) -> None:
    old = desk.open()
    ticked = old.stays[0].keepers[0].id
    answer = old.press(f"of:sharpness:{old.stays[1].sign}=soft", ("tick", ticked))
    assert re.findall(r'value="(\w+)" checked', answer.text) == [ticked]
