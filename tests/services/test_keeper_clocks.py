"""Pictures and plans show the time of the clock where they were made, and all answers agree on it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time
from fractions import Fraction
from pathlib import Path

import pytest

from logbook.craft.optics import FULL_FRAME
from logbook.domain.account import TripAccount
from logbook.domain.discretion import account_for
from logbook.domain.keeper import Keeper
from logbook.domain.place_clock import ZoneFrom
from logbook.domain.words import Audience, ClockEvidence, Disclosure, Provenance
from logbook.faces.report.drawings.day_strip import day_strip
from logbook.faces.report.order import put_in_order
from logbook.services import kinds, records
from logbook.services.accounts import account_of
from logbook.services.clocks.proposed import list_clocks
from logbook.services.clocks.setting import ClockSaid, set_clock
from logbook.services.dayfiles.days import read_day
from logbook.services.exports.calendar import calendar_text
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.keepers.suggestions import Subject, suggest, take
from logbook.services.light.day_light import LensAndSensor, light_of_day
from logbook.services.light.standpoints import find_standpoint
from logbook.services.plans import outcomes
from logbook.services.plans.feasibility import reach_shot
from logbook.services.plans.sheets import shot_light
from logbook.services.visits.visits import add_visit
from logbook.sky.events import EventName
from logbook.store.book import Book

Picture = Callable[..., Path]
DAY = date(2031, 6, 11)
WEST, EAST = (37.2, -7.42), (37.21, -7.3)  # two banks of a river; clocks in the east are an hour ahead
LISBON, MADRID = "Europe/Lisbon", "Europe/Madrid"
TRIP = "ferry"


@pytest.fixture
def ferry(book: Book) -> Book:
    """A trip of one zone with a quay on either side of a border; the sites say nothing of their zones."""
    records.add(book, kinds.TRIP, {"title": "Ferry", "starts_on": DAY, "zone": LISBON}, TRIP)
    for name, (latitude_deg, longitude_deg) in (("west", WEST), ("east", EAST)):
        where = {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg}
        records.add(book, kinds.SITE, {"title": f"{name} bank", **where}, f"{name}-bank")
        spot = {"title": f"{name} quay", "site": f"{name}-bank", "facing_deg": 270.0, **where}
        records.add(book, kinds.VIEWPOINT, spot, f"{name}-quay")
    return book


def planned(book: Book, spot: str = "east-quay") -> None:
    window = {"on_date": DAY, "window_from": time(21), "window_to": time(22)}
    settings = {"f_number": 11.0, "exposure_s": Fraction(1, 30), "iso": 100, "focal_mm": 24.0}
    outcomes.plan_shot(
        book, TRIP, {"title": "Sunset", "viewpoint": spot, **window, **settings}, f"sunset-{spot[:4]}"
    )


def taken(book: Book, tmp_path: Path, picture: Picture, wall: str, offset: str | None, name: str) -> Keeper:
    folder = tmp_path / name
    picture(folder / f"{name}.JPG", look=len(name) + int(name[-1]), taken=wall, offset=offset)
    take_in(book, folder, trip=TRIP)
    return keeper(book, name)


def keeper(book: Book, name: str) -> Keeper:
    with book.reading() as desk:
        found = desk.keepers.first(file=f"{name}.JPG")
    assert found is not None
    return found


def at(hour: int, minute: int) -> datetime:
    return datetime.combine(DAY, time(hour, minute))


def shown(one: Keeper) -> tuple[datetime | None, str | None, int]:
    return one.place_time, one.zone, one.clock_offset_s


def test_light_plan_sheet_and_calendar_read_a_window_by_the_clock_at_its_place(ferry: Book) -> None:
    for spot in ("west-quay", "east-quay"):
        planned(ferry, spot)
    account = account_of(ferry, TRIP)
    for shot, hour, zone in zip(account.shots, (20, 19), (LISBON, MADRID), strict=True):
        begins = datetime(2031, 6, 11, hour, tzinfo=UTC)
        lit = shot_light(account, shot)
        assert lit is not None
        assert lit.at == begins.replace(minute=30)
        assert (str(lit.at.tzinfo), lit.at.hour) == (zone, 21)
        assert reach_shot(account, shot).zone == zone
        assert f"DTSTART:20310611T{hour}0000Z" in calendar_text(account_for(account, Audience.ARCHIVE))
        name = account.viewpoints[shot.viewpoint_id or ""].slug
        stand = find_standpoint(ferry, name, DAY, facing_deg=None, zone=None)
        day = light_of_day(stand, DAY, LensAndSensor(24.0, FULL_FRAME, stated=False))
        sunset = day.sky.first(EventName.SUNSET)
        assert sunset is not None
        local = sunset.at.astimezone(stand.zone)
        assert (str(stand.zone), local.hour) == (zone, 21 if zone == MADRID else 20)


def test_a_zone_stated_for_the_day_counts_for_its_windows(ferry: Book, tmp_path: Path) -> None:
    planned(ferry)
    file = tmp_path / "day.md"
    file.write_text(f"---\ntrip: {TRIP}\ndate: {DAY}\nzone: {LISBON}\n---\nWe kept ship's time.\n")
    read_day(ferry, file)
    account = account_of(ferry, TRIP)
    lit = shot_light(account, account.shots[0])
    assert lit is not None
    assert lit.at == datetime(2031, 6, 11, 20, 30, tzinfo=UTC)
    found = account.clock_on(DAY, account.shots[0].viewpoint_id)
    assert found is not None
    assert found.zone_from is ZoneFrom.DAY


def test_a_picture_of_a_known_instant_shows_the_time_of_the_place_as_soon_as_that_is_known(
    ferry: Book, tmp_path: Path, picture: Picture
) -> None:
    taken(ferry, tmp_path, picture, "2031:06:11 20:40:00", "+01:00", "A_0001")
    assert shown(keeper(ferry, "A_0001")) == (at(20, 40), LISBON, 0)
    note_keepers(ferry, TRIP, "A_0001", {"viewpoint": "east-quay"})
    after = keeper(ferry, "A_0001")
    assert shown(after) == (at(21, 40), MADRID, 3600)
    assert after.taken_utc == datetime(2031, 6, 11, 19, 40, tzinfo=UTC)
    assert after.camera_time == at(20, 40)
    assert after.provenance_of("zone") is Provenance.INFERRED
    note_keepers(ferry, TRIP, "A_0001", {"viewpoint": "west-quay"})
    assert shown(keeper(ferry, "A_0001")) == (at(20, 40), LISBON, 0)


def test_a_picture_with_a_position_shows_the_time_there_when_it_is_taken_in_again_too(
    ferry: Book, tmp_path: Path, picture: Picture
) -> None:
    one = taken(ferry, tmp_path, picture, "2031:06:11 20:40:00", "+01:00", "A_0001")
    with ferry.writing() as desk:
        desk.keepers.put(replace(one, latitude_deg=EAST[0], longitude_deg=EAST[1]))
    assert shown(keeper(ferry, "A_0001")) == (at(21, 40), MADRID, 3600)
    again = take_in(ferry, tmp_path / "A_0001", trip=TRIP)
    assert again.known == 1
    assert shown(keeper(ferry, "A_0001")) == (at(21, 40), MADRID, 3600)


def test_no_time_is_moved_where_nobody_knows_what_the_camera_was_set_to(
    ferry: Book, tmp_path: Path, picture: Picture
) -> None:
    taken(ferry, tmp_path, picture, "2031:06:11 20:40:00", None, "A_0001")
    note_keepers(ferry, TRIP, "A_0001", {"viewpoint": "east-quay"})
    one = keeper(ferry, "A_0001")
    assert shown(one) == (at(20, 40), LISBON, 0)
    assert one.clock_evidence is ClockEvidence.ASSUMED
    doubts = [doubt for found in list_clocks(ferry, TRIP, None) for doubt in found.doubts]
    assert any("made in another zone, Europe/Madrid" in doubt for doubt in doubts)


@pytest.mark.parametrize(("fast_s", "hour"), [(0, 20), (-3600, 21)])
def test_how_fast_a_clock_is_is_said_by_the_clock_where_its_pictures_were_made(
    ferry: Book, tmp_path: Path, picture: Picture, fast_s: int, hour: int
) -> None:
    taken(ferry, tmp_path, picture, "2031:06:11 20:40:00", None, "A_0001")
    note_keepers(ferry, TRIP, "A_0001", {"viewpoint": "east-quay"})
    set_clock(ferry, TRIP, None, ClockSaid(fast_s=fast_s))
    after = keeper(ferry, "A_0001")
    assert shown(after) == (at(hour, 40), MADRID, -fast_s)
    assert after.taken_utc == datetime(2031, 6, 11, hour - 2, 40, tzinfo=UTC)


@pytest.mark.parametrize("noun", ["site", "viewpoint", "trip"])
def test_pictures_follow_a_place_or_a_trip_that_is_told_another_zone(
    ferry: Book, tmp_path: Path, picture: Picture, noun: str
) -> None:
    taken(ferry, tmp_path, picture, "2031:06:11 20:40:00", "+01:00", "A_0001")
    note_keepers(ferry, TRIP, "A_0001", {"viewpoint": "west-quay"})
    if noun == "site":
        records.edit(ferry, kinds.SITE, "west-bank", {"zone": MADRID})
    elif noun == "viewpoint":
        records.edit(ferry, kinds.VIEWPOINT, "west-quay", {"longitude_deg": EAST[1]})
    else:
        note_keepers(ferry, TRIP, "A_0001", {"viewpoint": None})
        records.edit(ferry, kinds.TRIP, TRIP, {"zone": MADRID})
    assert shown(keeper(ferry, "A_0001")) == (at(21, 40), MADRID, 3600)


def test_a_day_file_that_states_a_zone_and_a_clock_means_that_zone(
    ferry: Book, tmp_path: Path, picture: Picture
) -> None:
    taken(ferry, tmp_path, picture, "2031:06:11 20:40:00", None, "A_0001")
    file = tmp_path / "day.md"
    told = "- clock Halvern: 0\n"
    file.write_text(f"---\ntrip: {TRIP}\ndate: {DAY}\nzone: +05:00\n---\n{told}")
    read = read_day(ferry, file)
    assert not read.loose, read.loose
    after = keeper(ferry, "A_0001")
    assert after.taken_utc == datetime(2031, 6, 11, 15, 40, tzinfo=UTC)
    assert shown(after) == (at(20, 40), "+05:00", 0)


def test_an_accepted_visit_has_the_times_of_the_clock_at_its_viewpoint(
    ferry: Book, tmp_path: Path, picture: Picture
) -> None:
    for number in (1, 2):
        taken(ferry, tmp_path, picture, f"2031:06:11 20:4{number}:00", "+01:00", f"A_000{number}")
    with ferry.writing() as desk:
        for one in desk.keepers.all():
            desk.keepers.put(replace(one, latitude_deg=EAST[0], longitude_deg=EAST[1]))
    found = suggest(ferry, TRIP, DAY)
    (number,) = (n for n, one in enumerate(found.suggestions, 1) if one.subject is Subject.PLACES)
    take(ferry, TRIP, [number])
    (visit,) = account_of(ferry, TRIP).visits
    assert (visit.on_date, visit.arrived_at, visit.departed_at) == (DAY, time(21, 41), time(21, 42))
    assert keeper(ferry, "A_0001").place_time == at(21, 41)


def both_banks(book: Book) -> TripAccount:
    """A day on which both banks were visited, the east first by its own clock and by the sun."""
    add_visit(
        book,
        TRIP,
        {"viewpoint": "west-quay", "on_date": DAY, "arrived_at": time(17), "departed_at": time(18)},
    )
    add_visit(
        book,
        TRIP,
        {"viewpoint": "east-quay", "on_date": DAY, "arrived_at": time(21), "departed_at": time(22)},
    )
    return account_of(book, TRIP)


def strip_of(account: TripAccount, audience: Audience) -> str:
    order = put_in_order(account_for(account, audience))
    (strip,) = day_strip(order, DAY, tuple(order.visits_on(DAY)), ())
    return str(strip.wide)


def test_a_strip_places_each_visit_by_the_clock_where_it_was(ferry: Book) -> None:
    account = both_banks(ferry)
    in_one_zone = replace(
        account, sites={key: replace(one, zone=LISBON) for key, one in account.sites.items()}
    )
    hour_later = replace(
        in_one_zone,
        visits=tuple(
            replace(one, arrived_at=time(20), departed_at=time(21)) if one.arrived_at == time(21) else one
            for one in account.visits
        ),
    )
    drawn, same_instants = (strip_of(one, Audience.CLIENT) for one in (account, hour_later))
    bars = [drawn.count('class="bar"'), same_instants.count('class="bar"')]
    assert bars[0] == bars[1]
    assert _bars(drawn) == _bars(same_instants)
    assert _bars(drawn) != _bars(strip_of(in_one_zone, Audience.CLIENT))


def _bars(svg: str) -> list[str]:
    return [part.split(">")[0] for part in svg.split("<rect")[1:] if 'class="bar"' in part.split(">")[0]]


@pytest.mark.parametrize("disclosure", [Disclosure.AREA, Disclosure.WITHHELD])
def test_a_place_that_is_not_shown_exactly_keeps_its_clock_and_a_withheld_one_no_region(
    ferry: Book, disclosure: Disclosure
) -> None:
    records.edit(ferry, kinds.SITE, "east-bank", {"location_shown": disclosure})
    account = both_banks(ferry)
    order = account_for(account, Audience.CLIENT)
    zones = {order.clock_on(DAY, visit.viewpoint_id) for visit in order.visits}
    names = {one.zone for one in zones if one}
    assert names == {LISBON, "+02:00" if disclosure is Disclosure.WITHHELD else MADRID}


def test_a_picture_of_a_withheld_place_beyond_a_border_keeps_its_time_and_names_no_region(
    ferry: Book, tmp_path: Path, picture: Picture
) -> None:
    taken(ferry, tmp_path, picture, "2031:06:11 20:40:00", "+01:00", "A_0001")
    note_keepers(ferry, TRIP, "A_0001", {"viewpoint": "east-quay"})
    records.edit(ferry, kinds.SITE, "east-bank", {"location_shown": Disclosure.WITHHELD})
    (one,) = account_for(account_of(ferry, TRIP), Audience.STUDENTS).keepers
    assert (one.place_time, one.zone) == (at(21, 40), "+02:00")
