"""A place that nobody planned is written down at night like any other."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from logbook.domain.errors import InvalidValueError, LogbookError, NotFoundError
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Provenance
from logbook.services import kinds, records
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night
from logbook.store.book import Book
from tests.services.night.sittings import LAST_DAY, UNPLACED, Dump, Sitting, next_question


def viewpoint(sitting: Sitting, slug: str) -> Viewpoint | None:
    """A viewpoint of the book."""
    with sitting.book.reading() as desk:
        return desk.viewpoints.first(slug=slug)


def site_of(sitting: Sitting, slug: str) -> str:
    """The slug of a viewpoint's site."""
    found = viewpoint(sitting, slug)
    assert found is not None
    with sitting.book.reading() as desk:
        site = desk.sites.get(found.site_id)
    assert site is not None
    return site.slug


@pytest.mark.slow
def test_an_unplanned_place_becomes_a_viewpoint_and_all_of_its_visit_is_asked(sitting: Sitting) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    sitting.type("Broken gate")
    question = sitting.ask()
    assert (question.asks, question.text) == (
        Asks.NEW_VIEWPOINT,
        'Add "Broken gate" as a new viewpoint at quarry-gorge',
    )
    assert question.why[0].startswith('No viewpoint is called "Broken gate"')
    assert viewpoint(sitting, "broken-gate") is None
    sitting.enter()
    made = viewpoint(sitting, "broken-gate")
    assert made is not None
    assert (made.title, site_of(sitting, "broken-gate")) == ("Broken gate", "quarry-gorge")
    asked = set()
    while (following := sitting.next()) is not None:
        asked.add(following.asks)
        sitting.enter()
    assert {Asks.TIMES, Asks.CROWD, Asks.TRIES} <= asked
    with sitting.book.reading() as desk:
        _, visit = desk.visits.all(on_date=LAST_DAY)
        keeper = desk.keepers.first(file="TRN_0479.JPG")
    assert visit.viewpoint_id == made.id
    assert visit.provenance_of("viewpoint_id") is Provenance.STATED
    assert keeper is not None
    assert keeper.viewpoint_id == made.id


@pytest.mark.slow
def test_a_session_left_between_the_name_and_the_yes_goes_on_there(sitting: Sitting) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    sitting.type("Broken gate")
    other = Night(Book(sitting.book.path, sitting.book.now, create=False), sitting.night.trip, LAST_DAY)
    assert next_question(other) == sitting.next()


def test_saying_yes_again_enters_nothing_again(sitting: Sitting, dump: Callable[..., Dump]) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    sitting.type("Broken gate")
    question = sitting.type("y")
    before = dump("night_answer")
    sitting.night.say(question.key, "y")
    assert dump("night_answer") == before
    sitting.back()
    sitting.back()
    assert sitting.type("Broken gate").asks is Asks.VIEWPOINT
    assert sitting.ask().asks is Asks.TIMES
    assert dump("night_answer") == before


def test_no_asks_for_the_viewpoint_again_and_leaves_nothing_behind(
    sitting: Sitting, dump: Callable[..., Dump]
) -> None:
    first = sitting.until(Asks.VIEWPOINT, UNPLACED)
    before = dump("night_answer")
    sitting.type("Broken gate")
    sitting.type("n")
    assert sitting.ask() == first
    assert dump("night_answer") == before


@pytest.mark.slow
def test_a_slip_is_not_entered_by_enter_and_goes_again_when_one_names_the_right_place(
    sitting: Sitting,
) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    sitting.type("Quary ledge")
    assert "quarry-ledge" in sitting.ask().why[0]
    sitting.enter()
    assert viewpoint(sitting, "quary-ledge") is None
    sitting.type("Quary ledge")
    sitting.type("y")
    assert viewpoint(sitting, "quary-ledge") is not None
    sitting.back()
    sitting.back()
    sitting.type("quarry-ledge")
    assert viewpoint(sitting, "quary-ledge") is None
    assert sitting.ask().asks is Asks.TIMES


def test_an_answer_may_name_the_site_too(sitting: Sitting) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    with pytest.raises(NotFoundError, match="No site is called"):
        sitting.type("Gate at nowhere at all")
    sitting.type("Gate at white pan")
    sitting.enter()
    assert site_of(sitting, "gate") == "white-pan"


def forget_positions_and_plans(sitting: Sitting) -> None:
    """Leave the frames and shots of the book without a place."""
    with sitting.book.writing() as desk:
        for shot in desk.shots.all():
            desk.shots.put(replace(shot, viewpoint_id=None))
        for keeper in desk.keepers.all():
            desk.keepers.put(replace(keeper, latitude_deg=None, longitude_deg=None))


def test_where_frames_do_not_tell_the_site_is_that_of_the_visit_before(sitting: Sitting) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    forget_positions_and_plans(sitting)
    sitting.type("Gate")
    site = site_of(sitting, "north-rim")
    assert sitting.ask().text == f'Add "Gate" as a new viewpoint at {site}'


@pytest.mark.slow
def test_where_no_site_fits_the_answer_says_how(sitting: Sitting) -> None:
    with sitting.book.writing() as desk:  # no visit beside it, whose site would be proposed
        rim = desk.keepers.first(file="TRN_0470.JPG")
        assert rim is not None
        desk.keepers.remove([rim.id])
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    forget_positions_and_plans(sitting)
    with pytest.raises(InvalidValueError, match="name its site: Gate at SITE"):
        sitting.type("Gate")


@pytest.mark.slow
def test_frames_far_from_every_known_site_are_at_none_of_them(sitting: Sitting) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    with sitting.book.writing() as desk:
        for keeper in desk.keepers.all():
            desk.keepers.put(replace(keeper, latitude_deg=-30.0, longitude_deg=20.0))
    with pytest.raises(LogbookError, match="name its site"):
        sitting.type("Gate")
    records.add(
        sitting.book, kinds.SITE, {"title": "Far ford", "latitude_deg": -30.01, "longitude_deg": 20.0}
    )
    sitting.type("Gate")
    assert sitting.ask().text == 'Add "Gate" as a new viewpoint at far-ford'


def test_other_words_than_yes_and_no_are_asked_again(sitting: Sitting) -> None:
    sitting.until(Asks.VIEWPOINT, UNPLACED)
    sitting.type("Broken gate")
    with pytest.raises(InvalidValueError, match="neither yes nor no"):
        sitting.type("quarry-ledge")
    sitting.unknown()
    assert sitting.ask().asks is Asks.SUPPORT
    assert viewpoint(sitting, "broken-gate") is None
