"""What a night proposes beside what the book has already."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from logbook.domain.day import in_utc
from logbook.domain.words import Provenance, Support
from logbook.services import kinds, records
from logbook.services.night.plan import plan_night
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night
from tests.services.night.sittings import LAST_DAY, TRIP, Sitting, now


def add_visit(sitting: Sitting, **fields: object) -> None:
    """Put a visit to the ledge into the book, as a person states it, with its keepers."""
    visit = {"viewpoint": "quarry-ledge", "on_date": LAST_DAY, **fields}
    records.add_to_trip(sitting.book, kinds.VISIT, TRIP, visit, None)
    with sitting.book.writing() as desk:
        viewpoint = desk.viewpoints.first(slug="quarry-ledge")
        assert viewpoint is not None
        for keeper in desk.keepers.all():
            if keeper.file >= "TRN_0472":
                desk.keepers.put(replace(keeper, viewpoint_id=viewpoint.id))


def test_a_visit_in_the_book_without_times_gets_them_from_its_frames(sitting: Sitting) -> None:
    add_visit(sitting)
    question = sitting.until(Asks.TIMES)
    assert (question.default, question.came_from) == ("16:12-17:53", Provenance.INFERRED)
    sitting.finish()
    with sitting.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=LAST_DAY)
    assert (visit.arrived_at, visit.provenance_of("arrived_at")) == (time(16, 12), Provenance.INFERRED)


def test_what_a_person_stated_of_a_visit_stands_after_only_enter(sitting: Sitting) -> None:
    stated = {"arrived_at": time(16), "departed_at": time(18), "tries": 40, "support": Support.BRACED}
    add_visit(sitting, **stated)
    question = sitting.until(Asks.TIMES)
    assert (question.default, question.came_from) == ("16:00-18:00", Provenance.STATED)
    sitting.finish()
    with sitting.book.reading() as desk:
        (visit,) = desk.visits.all(on_date=LAST_DAY)
        keeper = desk.keepers.first(file="TRN_0479.JPG")
    assert {name: getattr(visit, name) for name in stated} == stated
    assert {visit.provenance_of(name) for name in stated} == {Provenance.STATED}
    assert keeper is not None
    assert (keeper.support, keeper.provenance_of("support")) == (Support.BRACED, Provenance.ASSUMED)


def test_support_is_not_carried_back_from_later_days(sitting: Sitting) -> None:
    with sitting.book.writing() as desk:
        for keeper in desk.keepers.all():
            if keeper.file >= "TRN_0472":
                desk.keepers.put(replace(keeper, support=Support.MONOPOD))
    earlier = Sitting(Night(sitting.book, sitting.night.trip, date(2025, 10, 14)))
    assert "monopod" not in earlier.until(Asks.SUPPORT).default


def test_frames_over_midnight_belong_to_the_stated_visit_they_were_made_on(sitting: Sitting) -> None:
    add_visit(sitting, arrived_at=time(23), departed_at=time(0, 40))
    zone = ZoneInfo(sitting.night.trip.zone or "UTC")
    with sitting.book.writing() as desk:
        late = [keeper for keeper in desk.keepers.all() if keeper.file >= "TRN_0472"]
        for number, keeper in enumerate(late):
            local = datetime.combine(LAST_DAY, time(23, 10)) + number * timedelta(minutes=70) / len(late)
            taken = in_utc(local, zone)
            desk.keepers.put(replace(keeper, taken_local=local, taken_utc=taken, zone=zone.key))
    with sitting.book.reading() as desk:
        plan = plan_night(desk, sitting.night.trip, LAST_DAY, now())
    (visit,) = [one for one in plan.visits if one.groups]
    assert (visit.reason, visit.arrived, visit.departed) == ("in the book", "23:00", "00:40")
    assert sum(len(group.keeper_ids) for group in visit.groups) == len(late)
