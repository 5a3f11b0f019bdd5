"""Search, `worked`, `alike` and `before` read hours by the clock that counts at a place on a day.

18:50 on a bay whose clocks are Tokyo's, on a trip that keeps Lisbon's, is golden light by the first and the
end of the night by the second. Oracle: astronomy-engine 2.1.19, altitude of the sun's centre without air.
"""

from datetime import UTC, date, datetime, time
from pathlib import Path

import astronomy
import pytest

from logbook.domain.day import Day
from logbook.domain.record import new_record
from logbook.services import kinds, records
from logbook.services.before.brief import before
from logbook.services.plans import outcomes
from logbook.services.visits.visits import add_visit
from logbook.services.worked import worked
from logbook.services.worked.question import By, WorkedQuestion
from logbook.store.book import Book

ON, AT = date(2031, 6, 11), time(18, 50)
BAY = (35.0, 139.0)
LISBON, TOKYO = "Europe/Lisbon", "Asia/Tokyo"
BY_TOKYO, BY_LISBON = datetime(2031, 6, 11, 9, 50, tzinfo=UTC), datetime(2031, 6, 11, 17, 50, tzinfo=UTC)


@pytest.fixture
def bay(tmp_path: Path) -> Book:
    book = Book(tmp_path / "bay.sqlite", lambda: datetime(2031, 6, 12, tzinfo=UTC), create=True)
    records.add(book, kinds.TRIP, {"title": "Bay", "starts_on": ON, "ends_on": ON, "zone": LISBON}, "trip")
    where = {"latitude_deg": BAY[0], "longitude_deg": BAY[1]}
    records.add(book, kinds.SITE, {"title": "Bay", **where}, "bay")
    records.add(book, kinds.VIEWPOINT, {"title": "Pier", "site": "bay", "facing_deg": 290.0, **where}, "pier")
    plan = {"title": "Boats", "viewpoint": "pier", "on_date": ON, "window_from": AT}
    outcomes.plan_shot(book, "trip", plan, "boats")
    add_visit(book, "trip", {"viewpoint": "pier", "on_date": ON, "arrived_at": AT, "departed_at": AT})
    return book


def keep_ships_time(book: Book) -> None:
    with book.writing() as desk:
        trip = desk.trips.first(slug="trip")
        assert trip is not None
        desk.days.add(Day(**new_record(book.now()), trip_id=trip.id, on_date=ON, zone=LISBON))


def sun_deg(at: datetime) -> float:
    when = astronomy.Time.Make(at.year, at.month, at.day, at.hour, at.minute, 0.0)
    here = astronomy.Observer(*BAY, 0.0)
    sun = astronomy.Equator(astronomy.Body.Sun, when, here, True, True)
    found: float = astronomy.Horizon(when, here, sun.ra, sun.dec, astronomy.Refraction.Airless).altitude
    return found


def said(book: Book) -> dict[str, set[str]]:
    """What the index, `worked` and `alike` take the light of the plan and the visit for."""
    query = (
        "SELECT t.facts FROM search_document d JOIN search_text t ON t.rowid = d.rowid WHERE d.kind = '{}'"
    )
    with book.reading() as desk:
        ask = desk.connection.exec_driver_sql
        found = {
            f"index: {kind}": set(ask(query.format(kind)).scalar_one().split()) for kind in ("shot", "visit")
        }
        (site_id,) = desk.sites.ids()
        found["alike"] = set(desk.tallies.traits([site_id], date(2040, 1, 1))[site_id]["phase"])
        assert desk.tallies.are_in_step()
    rows = worked(book, WorkedQuestion(By.PHASE)).rows
    return found | {"worked": {str(row.approach) for row in rows}}


def test_the_clock_at_the_place_counts_though_the_trip_keeps_another(bay: Book) -> None:
    assert -4.0 < sun_deg(BY_TOKYO) < 6.0
    for where, words in said(bay).items():
        assert any("golden" in word for word in words), (where, words)
        assert not any("night" in word or "twilight" in word for word in words), (where, words)


def test_a_zone_stated_for_the_day_counts_instead(bay: Book) -> None:
    assert sun_deg(BY_LISBON) < -12.0
    keep_ships_time(bay)
    for where, words in said(bay).items():
        assert any("night" in word or "astronomical" in word for word in words), (where, words)
        assert not any("golden" in word for word in words), (where, words)


def test_all_follow_when_the_zone_of_a_day_is_taken_back(bay: Book) -> None:
    as_before = said(bay)
    keep_ships_time(bay)
    with bay.writing() as desk:
        desk.days.remove([one.id for one in desk.days.all()])
    assert said(bay) == as_before


def test_the_light_before_a_return_is_told_by_the_clock_stated_for_the_day(bay: Book) -> None:
    assert [str(one.light.standpoint.zone) for one in before(bay, "bay", ON).light] == [TOKYO]
    keep_ships_time(bay)
    assert [str(one.light.standpoint.zone) for one in before(bay, "bay", ON).light] == [LISBON]
