"""From a camera's clock to an instant: the strongest evidence wins, and it is said which."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.camera import CameraFacts
from logbook.domain.words import ClockEvidence, Provenance
from logbook.services.clocks.settled import read_clock

TAKEN = datetime(2031, 10, 14, 17, 42, 5)  # noqa: DTZ001  # a camera's wall time
IN_UTC = datetime(2031, 10, 14, 12, 42, 5, tzinfo=UTC)  # the same at UTC+05:00


def facts(**more: object) -> CameraFacts:
    return CameraFacts(**{"format": "JPEG", "taken_local": TAKEN} | more)  # type: ignore[arg-type]


def test_the_files_own_offset_wins_over_everything_said() -> None:
    read = read_clock(
        facts(utc_offset_min=300, gps_utc=IN_UTC + timedelta(minutes=7)),  # slow, but of that zone
        stated_zone="Europe/Lisbon",
        trip_zone="UTC",
    )
    assert (read.taken_local, read.taken_utc, read.zone) == (TAKEN, IN_UTC, "Europe/Lisbon")
    assert read.evidence is ClockEvidence.OFFSET_TAG
    assert read.provenance["taken_utc"] is Provenance.CAMERA


@pytest.mark.parametrize("slow_s", [0, 170, -170])
def test_satellites_a_whole_quarter_hour_off_show_that_the_tag_was_left_behind(slow_s: int) -> None:
    gps = IN_UTC - timedelta(hours=1) + timedelta(seconds=slow_s)
    read = read_clock(facts(utc_offset_min=300, gps_utc=gps), stated_zone=None, trip_zone="UTC")
    assert (read.taken_local, read.taken_utc) == (TAKEN, IN_UTC - timedelta(hours=1))
    assert (read.evidence, read.provenance["taken_utc"]) == (ClockEvidence.GPS_TIME, Provenance.INFERRED)


@pytest.mark.parametrize("old", [timedelta(minutes=52), timedelta(days=3)])
def test_an_old_satellite_time_that_fits_no_zone_leaves_the_tag(old: timedelta) -> None:
    read = read_clock(facts(utc_offset_min=300, gps_utc=IN_UTC - old), stated_zone=None, trip_zone="UTC")
    assert (read.taken_utc, read.evidence) == (IN_UTC, ClockEvidence.OFFSET_TAG)


@pytest.mark.parametrize("slow_s", [0, 170, -170])
def test_gps_time_tells_the_offset_where_the_clock_is_nearly_right(slow_s: int) -> None:
    gps = IN_UTC + timedelta(seconds=slow_s)
    read = read_clock(facts(gps_utc=gps), stated_zone=None, trip_zone="UTC")
    assert (read.taken_utc, read.evidence) == (IN_UTC, ClockEvidence.GPS_TIME)
    assert read.provenance["taken_utc"] is Provenance.INFERRED


@pytest.mark.parametrize("apart", [timedelta(minutes=7), timedelta(days=3), timedelta(hours=15)])
def test_gps_time_proves_nothing_where_the_clock_is_wrong(apart: timedelta) -> None:
    gps = TAKEN.replace(tzinfo=UTC) - apart
    read = read_clock(facts(gps_utc=gps), stated_zone=None, trip_zone=None)
    assert (read.taken_utc, read.evidence) == (None, None)


def test_a_stated_zone_is_stated_and_a_trips_zone_is_only_assumed() -> None:
    stated = read_clock(facts(), stated_zone="Asia/Dushanbe", trip_zone="UTC")
    assert (stated.taken_utc, stated.evidence) == (IN_UTC, ClockEvidence.STATED)
    assert stated.provenance["taken_utc"] is stated.provenance["zone"] is Provenance.STATED
    assumed = read_clock(facts(), stated_zone=None, trip_zone="Asia/Dushanbe")
    assert (assumed.taken_utc, assumed.evidence) == (IN_UTC, ClockEvidence.ASSUMED)
    assert assumed.provenance["taken_utc"] is assumed.provenance["zone"] is Provenance.ASSUMED


def test_without_any_zone_the_instant_is_unknown_but_the_wall_time_is_not() -> None:
    read = read_clock(facts(), stated_zone=None, trip_zone=None)
    assert (read.taken_local, read.taken_utc, read.zone, read.evidence) == (TAKEN, None, None, None)
    assert read.provenance == {"taken_local": Provenance.CAMERA}


def test_a_picture_without_a_time_has_none_and_nobody_stated_its_zone() -> None:
    read = read_clock(CameraFacts("JPEG"), stated_zone=None, trip_zone="UTC", offset_s=60)
    assert (read.taken_local, read.taken_utc) == (None, None)
    assert read.provenance == {"zone": Provenance.ASSUMED}


def test_a_correction_is_added_and_is_a_persons_word() -> None:
    read = read_clock(facts(utc_offset_min=300), stated_zone=None, trip_zone=None, offset_s=420)
    assert read.taken_local == TAKEN + timedelta(minutes=7)
    assert read.taken_utc == IN_UTC + timedelta(minutes=7)
    assert read.provenance["taken_local"] is read.provenance["taken_utc"] is Provenance.STATED


@pytest.mark.parametrize(
    ("wall", "utc"),
    [
        # Europe/Berlin leaves summer time on 26 October 2031 at 03:00 CEST and enters it on 30 March 2031
        # (Directive 2000/84/EC, articles 2 and 3: last Sundays of October and March, 01:00 GMT)
        (datetime(2031, 10, 26, 1, 59), datetime(2031, 10, 25, 23, 59, tzinfo=UTC)),  # noqa: DTZ001
        (datetime(2031, 10, 26, 3, 1), datetime(2031, 10, 26, 2, 1, tzinfo=UTC)),  # noqa: DTZ001
        (datetime(2031, 3, 30, 1, 59), datetime(2031, 3, 30, 0, 59, tzinfo=UTC)),  # noqa: DTZ001
        (datetime(2031, 3, 30, 3, 1), datetime(2031, 3, 30, 1, 1, tzinfo=UTC)),  # noqa: DTZ001
    ],
)
def test_summer_time_is_the_zones_own(wall: datetime, utc: datetime) -> None:
    assert read_clock(facts(taken_local=wall), stated_zone="Europe/Berlin", trip_zone=None).taken_utc == utc


def test_in_the_hour_that_comes_twice_the_offset_tag_tells_which() -> None:
    wall = datetime(2031, 10, 26, 2, 30)  # noqa: DTZ001
    first, second = (
        read_clock(
            facts(taken_local=wall, utc_offset_min=minutes), stated_zone="Europe/Berlin", trip_zone=None
        )
        for minutes in (120, 60)
    )
    assert first.taken_utc is not None
    assert second.taken_utc == first.taken_utc + timedelta(hours=1)


@pytest.mark.parametrize("year", [1, 9999])
@pytest.mark.parametrize("offset_s", [0, 10**12, -(10**12), 86_400 * 365])
def test_a_time_beyond_the_calendar_is_unknown_and_stops_nothing(year: int, offset_s: int) -> None:
    wall = datetime(year, 1, 1) if year == 1 else datetime(year, 12, 31, 23, 59)  # noqa: DTZ001
    for minutes in (840, -720, None):
        read_clock(
            facts(taken_local=wall, utc_offset_min=minutes),
            stated_zone="Asia/Dushanbe",
            trip_zone=None,
            offset_s=offset_s,
        )


@given(
    st.datetimes(datetime(1990, 1, 1), datetime(2037, 1, 1)),  # noqa: DTZ001
    st.sampled_from(["Asia/Dushanbe", "Europe/Lisbon", "America/St_Johns", "Australia/Lord_Howe"]),
)
def test_the_instant_read_back_in_its_zone_is_the_wall_time(wall: datetime, zone: str) -> None:
    read = read_clock(facts(taken_local=wall), stated_zone=zone, trip_zone=None)
    assert read.taken_utc is not None
    back = read.taken_utc.astimezone(ZoneInfo(zone)).replace(tzinfo=None)
    in_a_gap = back != wall  # a wall time that summer time skips reads back an hour (or half of one) off
    assert not in_a_gap or abs(back - wall) <= timedelta(hours=1)


@given(
    st.sampled_from(
        ("0001-01-01T00:00:00", "0001-01-01T13:59:59", "9999-12-31T10:00:00", "9999-12-31T23:59:59")
    ),
    st.none() | st.integers(-14 * 60, 14 * 60),
    st.none() | st.sampled_from(("0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z", "2031-10-14T12:00:00Z")),
    st.sampled_from((None, "Pacific/Kiritimati", "Etc/GMT+12", "Europe/Berlin")),
)
def test_at_the_calendars_edges_the_cameras_time_is_kept(
    wall: str, offset_min: int | None, gps: str | None, zone: str | None
) -> None:
    """The instant is unknown where the zone's offset would lead out of the calendar."""
    local = datetime.fromisoformat(wall)
    gps_utc = None if gps is None else datetime.fromisoformat(gps)
    read = read_clock(
        facts(taken_local=local, utc_offset_min=offset_min, gps_utc=gps_utc), stated_zone=zone, trip_zone=None
    )
    assert read.taken_local == local
    if read.taken_utc is not None:
        assert abs(read.taken_utc.replace(tzinfo=None) - local) <= timedelta(hours=15)
