"""The scripted day is as hard as it says: a clock in doubt, a row that is two stays, a jump, a bracket."""

from pathlib import Path

from logbook.services.night.session import Night, day_to_write
from logbook.store.book import Book
from tests.services.night.scripted_day import CLOCK, TRIP, TRUTH, truth_in
from tests.services.night.sittings import now


def test_the_scripted_day_is_as_hard_as_it_says(scripted_book: Path) -> None:
    book = Book(scripted_book, now, create=False)
    night = Night(book, *day_to_write(book, TRIP, None))
    night.say("clock.Ostrey Sorrel", CLOCK)
    with book.reading() as desk:
        plan = night.stand(desk).plan
        assert len(desk.keepers.all()) == 19
    assert plan is not None
    assert [visit.viewpoint or visit.guess for visit in plan.visits] == [
        "weir-steps",
        "mill-window",
        "ferry-stage",
        "lamp-bank",
    ]
    assert len(TRUTH.stays) == len(plan.visits) + 1
    assert len(plan.shots) == 6
    groups = [group for visit in plan.visits for group in visit.groups]
    assert any(one.explanations and one.explanations[0].filters == ("nd1000",) for one in groups)
    assert any(group.set_kind == "bracket" for group in groups)
    assert any(group.shot is None for group in groups)
    assert truth_in(scripted_book) != TRUTH
