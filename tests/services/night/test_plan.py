"""What a night proposes beside what the book has already."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from logbook.domain.day import in_utc
from logbook.domain.words import Provenance, Support
from logbook.services import kinds
from logbook.services.night.plan import plan_night
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night
from tests.services.adding import add_to_trip
from tests.services.night.sittings import LAST_DAY, LEDGE, TRIP, Sitting, now


def add_visit(sitting: Sitting, **fields: object) -> None:
    """Put a visit to the ledge into the book, as a person states it, with its keepers."""
    visit = {"viewpoint": LEDGE, "on_date": LAST_DAY, **fields}
    add_to_trip(sitting.book, kinds.VISIT, TRIP, visit, None)
    with sitting.book.writing() as desk:
        viewpoint = desk.viewpoints.first(slug=LEDGE)
        assert viewpoint is not None
        for keeper in desk.keepers.all():
            if keeper.file >= "TRN_0472":
                desk.keepers.put(replace(keeper, viewpoint_id=viewpoint.id))


@pytest.mark.slow
def test_a_visit_in_the_book_without_times_gets_them_from_its_frames(sitting: Sitting) -> None:
    add_visit(sitting)
    question = sitting.until(Asks.TIMES, LEDGE)
    assert (question.default, question.came_from) == ("16:12-17:53", Provenance.INFERRED)
    sitting.finish()
    visit = sitting.visit(LEDGE)
    assert (visit.arrived_at, visit.provenance_of("arrived_at")) == (time(16, 12), Provenance.INFERRED)


def times_asked(sitting: Sitting) -> list[str]:
    """Sit through the night; return what was proposed as times."""
    asked = []
    while (question := sitting.next()) is not None:
        if question.asks is Asks.TIMES:
            asked.append(question.default)
        sitting.enter()
    return asked


@pytest.mark.slow
@pytest.mark.parametrize("word", [Provenance.INFERRED, Provenance.STATED])
def test_visits_to_one_viewpoint_keep_to_their_own_frames(sitting: Sitting, word: Provenance) -> None:
    sitting.finish()
    visit = sitting.visit(LEDGE)
    with sitting.book.writing() as desk:
        provenance = {name: word for name in ("arrived_at", "departed_at") if word is not Provenance.STATED}
        early = replace(visit, arrived_at=time(9, 38), departed_at=time(9, 38), provenance=provenance)
        late = replace(early, id="f" * 32, slug="later", arrived_at=time(16, 30), departed_at=time(17, 53))
        desk.visits.put(early)
        desk.visits.add(late)
    sitting.night.restart()
    last = "16:30-17:53" if word is Provenance.STATED else "16:12-17:53"
    assert times_asked(sitting) == ["09:38-09:38", "14:41-14:41", last]


@pytest.mark.slow
def test_visits_whose_clock_was_put_right_are_told_apart_by_their_order(sitting: Sitting) -> None:
    first = Sitting(Night(sitting.book, sitting.night.trip, date(2025, 10, 16)))
    before = times_asked(first)
    with sitting.book.writing() as desk:
        visits = desk.visits.all(on_date=date(2025, 10, 16))
        for visit in visits:
            assert visit.arrived_at is not None
            assert visit.departed_at is not None
            arrived, departed = (
                at.replace(hour=(at.hour + 11) % 24) for at in (visit.arrived_at, visit.departed_at)
            )
            desk.visits.put(replace(visit, arrived_at=arrived, departed_at=departed))
    first.night.restart()
    assert times_asked(first) == before
    with sitting.book.reading() as desk:
        assert len(desk.visits.all(on_date=date(2025, 10, 16))) == len(visits)


@pytest.mark.slow
def test_a_frame_without_a_place_at_the_viewpoint_just_visited_is_part_of_that_visit(
    sitting: Sitting,
) -> None:
    day = Sitting(Night(sitting.book, sitting.night.trip, date(2025, 10, 14)))
    while (question := day.next()) is not None:
        if "17:36" in question.default:
            break
        day.enter()
    assert (day.ask().asks, day.ask().default) == (Asks.TIMES, "17:36-18:09")
    assert day.ask().why[0].endswith("; 1 more frame placed here only by the plans")
    day.finish()
    with sitting.book.reading() as desk:
        ledge = desk.viewpoints.first(slug="quarry-ledge")
        assert ledge is not None
        assert len(desk.visits.all(on_date=date(2025, 10, 14), viewpoint_id=ledge.id)) == 1
        frame = desk.keepers.first(file="TRN_0429.JPG")
        assert frame is not None
        assert (frame.viewpoint_id, frame.provenance_of("viewpoint_id")) == (ledge.id, Provenance.INFERRED)


@pytest.mark.slow
def test_what_a_person_stated_of_a_visit_stands_after_only_enter(sitting: Sitting) -> None:
    stated = {"arrived_at": time(16), "departed_at": time(18), "tries": 40, "support": Support.BRACED}
    add_visit(sitting, **stated)
    question = sitting.until(Asks.TIMES, LEDGE)
    assert (question.default, question.came_from) == ("16:00-18:00", Provenance.STATED)
    sitting.finish()
    visit = sitting.visit(LEDGE)
    with sitting.book.reading() as desk:
        keeper = desk.keepers.first(file="TRN_0479.JPG")
    assert {name: getattr(visit, name) for name in stated} == stated
    assert {visit.provenance_of(name) for name in stated} == {Provenance.STATED}
    assert keeper is not None
    assert (keeper.support, keeper.provenance_of("support")) == (Support.BRACED, Provenance.ASSUMED)


@pytest.mark.slow
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
    _, visit = [one for one in plan.visits if one.groups]  # the first is the one at the rim
    assert (visit.reason, visit.arrived, visit.departed) == ("in the book", "23:00", "00:40")
    assert sum(len(group.keeper_ids) for group in visit.groups) == len(late)
