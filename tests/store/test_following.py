"""Whatever moves a picture, even something past all verbs: it shows the time of its new place."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time
from typing import Any

import pytest

from logbook.domain.day import Day
from logbook.domain.keeper import Keeper
from logbook.domain.record import new_record
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import ClockEvidence, Provenance
from logbook.store.book import Book
from logbook.store.desk import Desk

NOW = datetime(2031, 6, 12, 20, tzinfo=UTC)
DAY = date(2031, 6, 11)
UTC_TIME = datetime(2031, 6, 11, 19, 40, tzinfo=UTC)
WEST, EAST = (37.2, -7.42), (37.21, -7.3)  # two banks of a river; clocks in the east are an hour ahead
LISBON, MADRID, AZORES = "Europe/Lisbon", "Europe/Madrid", "Atlantic/Azores"


def made(noun: type[Any], record_id: str, **fields: Any) -> Any:
    return noun(**{**new_record(NOW), "id": record_id}, **fields)


def at_bank(name: str, place: tuple[float, float]) -> tuple[Site, Viewpoint]:
    where = {"latitude_deg": place[0], "longitude_deg": place[1]}
    site = made(Site, f"{name}-site", slug=f"{name}-bank", title=name, **where)
    return site, made(Viewpoint, name, slug=f"{name}-quay", title=name, site_id=site.id, **where)


@pytest.fixture
def ferry(book: Book) -> Book:
    """A picture at the western bank by the trip's clock, and an eastern one of an hour more."""
    (west_bank, west), (east_bank, east) = at_bank("west", WEST), at_bank("east", EAST)
    with book.writing() as desk:
        desk.trips.add(made(Trip, "t", slug="ferry", title="Ferry", zone=LISBON, day_ends_at=time(4)))
        desk.trips.add(made(Trip, "u", slug="isles", title="Isles", zone=AZORES, day_ends_at=time(4)))
        desk.sites.add(west_bank, east_bank)
        desk.viewpoints.add(west, east)
        desk.keepers.add(
            made(
                Keeper, "k", trip_id="t", viewpoint_id="west", slug="a", path="/a/A.JPG", size_bytes=9,
                file="A.JPG", hash="a" * 64, format="jpeg",
                taken_text="2031:06:11 20:40:00", taken_local=datetime(2031, 6, 11, 20, 40),  # noqa: DTZ001
                taken_utc=UTC_TIME, zone=LISBON, clock_evidence=ClockEvidence.OFFSET_TAG,
                provenance={"zone": Provenance.ASSUMED},
            )
        )  # fmt: skip
    return book


def shown(book: Book) -> tuple[int, str | None]:
    with book.reading() as desk:
        keeper = desk.keepers.get("k")
    assert keeper is not None
    assert keeper.place_time is not None
    assert keeper.taken_utc == UTC_TIME
    return keeper.place_time.hour, keeper.zone


def change(desk: Desk, shelf: str, record_id: str, **fields: Any) -> None:
    found = getattr(desk, shelf).get(record_id)
    getattr(desk, shelf).put(replace(found, **fields))


def a_day(zone: str) -> Day:
    day: Day = made(Day, "d", trip_id="t", on_date=DAY, zone=zone)
    return day


MOVES: dict[str, tuple[Callable[[Desk], None], tuple[int, str]]] = {
    "the picture": (lambda desk: change(desk, "keepers", "k", viewpoint_id="east"), (21, MADRID)),
    "its own position": (
        lambda desk: change(desk, "keepers", "k", latitude_deg=EAST[0], longitude_deg=EAST[1]),
        (21, MADRID),
    ),
    "its viewpoint": (lambda desk: change(desk, "viewpoints", "west", longitude_deg=EAST[1]), (21, MADRID)),
    "its site": (lambda desk: change(desk, "sites", "west-site", zone=AZORES), (19, AZORES)),
    "its day": (lambda desk: desk.days.add(a_day(AZORES)), (19, AZORES)),
    "two viewpoints made one": (lambda desk: desk.make_one("viewpoint", "west", "east"), (21, MADRID)),
    "another trip, its place unknown": (
        lambda desk: change(desk, "keepers", "k", trip_id="u", viewpoint_id=None),
        (19, AZORES),
    ),
}


@pytest.mark.parametrize("moved", MOVES)
def test_a_picture_follows_whatever_moves_it_though_nobody_asks(ferry: Book, moved: str) -> None:
    """Azores 19:40, Lisbon 20:40, Madrid 21:40 are one instant in June (IANA zones)."""
    assert shown(ferry) == (20, LISBON)
    move, expected = MOVES[moved]
    with ferry.writing() as desk:
        move(desk)
    assert shown(ferry) == expected


def test_a_picture_goes_back_when_the_zone_of_its_day_does(ferry: Book) -> None:
    with ferry.writing() as desk:
        desk.days.add(a_day(MADRID))
    assert shown(ferry) == (21, MADRID)
    with ferry.writing() as desk:
        desk.days.remove(["d"])
    assert shown(ferry) == (20, LISBON)


def test_whoever_asks_before_the_end_sees_it_moved(ferry: Book) -> None:
    with ferry.writing() as desk:
        change(desk, "trips", "t", zone=AZORES)
        change(desk, "keepers", "k", viewpoint_id=None)
        desk.follow_places()
        keeper = desk.keepers.get("k")
        assert keeper is not None
        assert keeper.zone == AZORES
    assert shown(ferry) == (19, AZORES)


def test_what_does_not_bear_on_a_clock_writes_no_picture(ferry: Book) -> None:
    with ferry.writing() as desk:
        change(desk, "sites", "west-site", title="West", updated=NOW)
        change(desk, "keepers", "k", caption="The first boat")
    with ferry.reading() as desk:
        keeper = desk.keepers.get("k")
    assert keeper is not None
    assert keeper.updated == NOW


def test_what_comes_from_another_book_stands_as_it_is_there(ferry: Book) -> None:
    with ferry.writing(taken_in=True) as desk:
        change(desk, "keepers", "k", viewpoint_id="east")
    assert shown(ferry) == (20, LISBON)
