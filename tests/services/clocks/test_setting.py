"""Setting clocks of bodies: what vouches for them, and keepers put right from the camera's reading."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.keeper import Keeper
from logbook.domain.words import ClockEvidence, Provenance
from logbook.services import kinds, records
from logbook.services.clocks import stating
from logbook.services.clocks.proposed import ClockProposal, list_clocks
from logbook.services.clocks.setting import ClockSaid, set_clock
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.keepers.proposals import propose
from logbook.services.plans import outcomes
from logbook.store.book import Book

Picture = Callable[..., Path]


def keeper(book: Book, file: str) -> Keeper:
    """One keeper by its file name."""
    with book.reading() as desk:
        found = desk.keepers.first(file=file)
    assert found is not None
    return found


def clock(book: Book, body: str = "Halvern Thistle") -> ClockProposal:
    """What is proposed for a body."""
    (found,) = (one for one in propose(book, None, None).clocks if one.clock.body == body)
    return found


def other_body(path: Path) -> None:
    """Make a picture one of another camera."""
    path.write_bytes(path.read_bytes().replace(b"Halvern", b"Pellick"))


def test_a_body_seven_minutes_slow_by_satellite_time_is_proposed_at_420_s(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:14 17:42:05", gps=("2031:10:14", (12, 49, 5)))
    picture(tmp_path / "p" / "A_0002.JPG", look=1, taken="2031:10:14 18:00:00")
    take_in(book, tmp_path / "p", trip=None)
    found = clock(book)
    assert (found.offset_s, found.zone, found.clock.kind) == (420, "Asia/Dushanbe", "gps time")
    assert keeper(book, "A_0002.JPG").clock_offset_s == 0  # nothing is stored by proposing


@pytest.mark.parametrize(
    ("offset", "satellites", "instant"),
    [
        ("+05:00", (11, 43, 5), (11, 43, 5)),  # the tag was left on the zone of another place
        ("+05:00", (12, 43, 5), (12, 43, 5)),
        (None, (9, 43, 5), (9, 43, 5)),
        ("Z", None, (17, 43, 5)),
    ],
)
def test_a_file_gives_the_same_instant_when_taken_in_and_when_put_right(
    book: Book,
    tmp_path: Path,
    picture: Picture,
    offset: str | None,
    satellites: tuple[int, int, int] | None,
    instant: tuple[int, int, int],
) -> None:
    gps = ("2031:10:14", satellites) if satellites else None
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:14 17:43:05", offset=offset, gps=gps)
    take_in(book, tmp_path / "p", trip=None)
    (put_right,) = propose(book, None, None).keepers
    expected = datetime(2031, 10, 14, *instant, tzinfo=UTC)
    assert keeper(book, "A_0001.JPG").taken_utc == put_right.taken_utc == expected


@pytest.mark.slow
def test_a_stated_clock_puts_every_keeper_right_and_may_be_changed_again(book: Book, keepers: Path) -> None:
    before = keeper(book, "TRN_0412.JPG")
    for fast_s in (-420, 60, 0, -420):
        done = set_clock(book, None, None, ClockSaid(fast_s=fast_s))
        after = keeper(book, "TRN_0412.JPG")
        assert done.correction_s == after.clock_offset_s == -fast_s
        assert after.camera_time == before.camera_time
        taken = datetime(2031, 10, 14, 12, 12, 5, tzinfo=UTC) - timedelta(seconds=fast_s)
        assert after.taken_utc == taken
        assert (after.clock_evidence, after.provenance_of("taken_utc")) == (
            ClockEvidence.STATED,
            Provenance.STATED,
        )
    assert after.taken_text == before.taken_text
    with book.reading() as desk:
        assert len(desk.clocks.all()) == 1
    assert set_clock(book, None, None, ClockSaid(fast_s=-420)).changed == 0


@pytest.mark.slow
def test_a_photographed_clock_tells_the_correction(book: Book, keepers: Path) -> None:
    said = ClockSaid(keeper="0413", shown=datetime(2031, 10, 14, 17, 20, 5))  # noqa: DTZ001
    done = set_clock(book, None, None, said)
    assert (done.correction_s, done.evidence, done.changed) == (420, ClockEvidence.PHOTOGRAPHED_CLOCK, 8)
    assert clock(book).offset_s == 420


def test_the_same_moment_passes_the_time_of_one_body_to_another(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:14 17:42:05")
    other_body(picture(tmp_path / "p" / "B_0001.JPG", taken="2031:10:14 12:35:00"))
    take_in(book, tmp_path / "p", trip=None)
    set_clock(book, None, "Pellick", ClockSaid(fast_s=-18_000))  # it keeps UTC: five hours slow
    done = set_clock(book, None, None, ClockSaid(keeper="A_0001", tied_to="B_0001"))
    assert (done.correction_s, done.evidence) == (-425, ClockEvidence.SAME_MOMENT)
    assert keeper(book, "A_0001.JPG").taken_utc == keeper(book, "B_0001.JPG").taken_utc


def test_what_files_say_better_stays_in_force_with_a_doubt(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:14 17:42:05", gps=("2031:10:14", (12, 49, 5)))
    take_in(book, tmp_path / "p", trip=None)
    shown = ClockSaid(keeper="A_0001", shown=datetime(2031, 10, 14, 18, 42))  # noqa: DTZ001
    done = set_clock(book, None, None, shown)
    assert (done.correction_s, done.evidence) == (420, ClockEvidence.GPS_TIME)
    assert any("disagree" in doubt for doubt in done.doubts)


def test_a_change_to_winter_time_inside_a_trip_moves_the_place_and_not_the_camera(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    records.edit(
        book, kinds.TRIP, "valley", {"zone": "Europe/Vienna"}
    )  # change at 2031-10-26, 03:00 to 02:00
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:25 17:00:00")
    picture(tmp_path / "p" / "A_0002.JPG", look=1, taken="2031:10:26 17:00:00")
    take_in(book, tmp_path / "p", trip=None)
    set_clock(book, None, None, ClockSaid(fast_s=0))
    saturday, sunday = keeper(book, "A_0001.JPG"), keeper(book, "A_0002.JPG")
    assert saturday.taken_utc == datetime(2031, 10, 25, 15, tzinfo=UTC)
    assert sunday.taken_utc == datetime(2031, 10, 26, 15, tzinfo=UTC)
    assert (saturday.clock_offset_s, sunday.clock_offset_s) == (0, -3600)
    assert sunday.place_time == datetime(2031, 10, 26, 16)  # noqa: DTZ001


def test_another_zone_may_be_stated_for_a_body(book: Book, keepers: Path) -> None:
    done = set_clock(book, None, None, ClockSaid(zone="Asia/Tokyo"))
    after = keeper(book, "TRN_0412.JPG")
    assert done.correction_s == 0
    assert (after.zone, after.provenance_of("zone")) == ("Asia/Tokyo", Provenance.STATED)
    assert after.taken_utc == datetime(2031, 10, 14, 8, 12, 5, tzinfo=UTC)


def test_a_correction_stated_when_taken_in_stands_against_proposals(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:14 17:42:05")
    take_in(book, tmp_path / "p", trip=None, clock_offset_s=420)
    before = keeper(book, "A_0001.JPG")
    assert clock(book).offset_s == 420
    with book.writing() as desk:
        trip = records.the_trip(desk, None)
        assert stating.apply_clocks(desk, book, trip, ["Halvern Thistle"]) == 0
    assert keeper(book, "A_0001.JPG") == before
    set_clock(book, None, None, ClockSaid(fast_s=0))  # but a person may say better
    assert keeper(book, "A_0001.JPG").clock_offset_s == 0


def test_impossible_light_is_a_doubt(book: Book, tmp_path: Path, picture: Picture) -> None:
    records.edit(book, kinds.SITE, "quarry", {"latitude_deg": 38.2, "longitude_deg": 73.4})
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:14 01:30:00")  # 1/125 s f/8 ISO 200: EV 12 at night
    take_in(book, tmp_path / "p", trip=None)
    assert any("A_0001.JPG" in doubt for doubt in clock(book).doubts)
    set_clock(book, None, None, ClockSaid(fast_s=-12 * 3600))
    assert not any("A_0001.JPG" in doubt for doubt in clock(book).doubts)


def test_a_keeper_without_a_place_is_judged_by_no_sun_where_the_sites_of_the_trip_lie_far_apart(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    records.edit(book, kinds.SITE, "quarry", {"latitude_deg": 38.2, "longitude_deg": -106.6})
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:14 12:30:00")  # night at the quarry
    take_in(book, tmp_path / "p", trip=None)
    assert any("A_0001.JPG" in doubt for doubt in clock(book).doubts)
    site = {"title": "Far dune", "latitude_deg": 38.2, "longitude_deg": -106.2}  # 35 km from the quarry
    records.add(book, kinds.SITE, site)
    records.add(book, kinds.VIEWPOINT, {"title": "Far crest", "site": "far-dune"})
    outcomes.plan_shot(book, None, {"title": "Crest", "viewpoint": "far-crest"}, None)
    assert any("A_0001.JPG" in doubt for doubt in clock(book).doubts)  # it is night at both
    records.edit(book, kinds.SITE, "far-dune", {"longitude_deg": 73.4})
    assert not any("A_0001.JPG" in doubt for doubt in clock(book).doubts)
    note_keepers(book, None, "A_0001", {"viewpoint": "quarry-ledge"})  # which has no place but its site's
    assert any("A_0001.JPG" in doubt for doubt in clock(book).doubts)


def test_a_body_is_named_by_a_part_that_only_it_has(book: Book, tmp_path: Path, picture: Picture) -> None:
    picture(tmp_path / "p" / "A_0001.JPG")
    other_body(picture(tmp_path / "p" / "B_0001.JPG"))
    take_in(book, tmp_path / "p", trip=None)
    assert set_clock(book, None, "pell", ClockSaid(fast_s=0)).clock.body == "Pellick Thistle"
    with pytest.raises(NotFoundError, match="Halvern Thistle, Pellick Thistle"):
        set_clock(book, None, None, ClockSaid(fast_s=0))
    with pytest.raises(NotFoundError):
        set_clock(book, None, "Thistle", ClockSaid(fast_s=0))


def test_saying_nothing_of_a_clock_is_wrong_use(book: Book, keepers: Path) -> None:
    with pytest.raises(WrongUseError, match="--fast"):
        set_clock(book, None, None, ClockSaid())
    with pytest.raises(WrongUseError, match="another camera"):
        set_clock(book, None, None, ClockSaid(keeper="0412", tied_to="0413"))


def offsets(book: Book) -> list[int]:
    """The correction of TRN_0412 to TRN_0419, in seconds."""
    with book.reading() as desk:
        return [one.clock_offset_s for one in sorted(desk.keepers.all(), key=lambda one: one.file)]


def test_a_clock_may_be_stated_from_one_frame_on(book: Book, keepers: Path) -> None:
    done = set_clock(book, None, None, ClockSaid(fast_s=-420, since="0415"))
    assert offsets(book) == [0, 0, 0, 420, 420, 420, 420, 420]
    assert (done.keepers[0], len(done.keepers), done.until, done.is_whole) == ("TRN_0415.JPG", 5, None, False)
    assert done.changed == 5
    before, after = propose(book, None, None).clocks
    assert (before.offset_s, before.frames, before.clock.kind) == (
        0,
        "TRN_0412.JPG to TRN_0414.JPG",
        "assumed",
    )
    assert (after.offset_s, after.frames, after.clock.kind) == (420, "TRN_0415.JPG to TRN_0419.JPG", "stated")
    assert keeper(book, "TRN_0412.JPG").clock_evidence is ClockEvidence.ASSUMED


def test_a_clock_stated_to_one_frame_runs_as_before_behind_it(book: Book, keepers: Path) -> None:
    set_clock(book, None, None, ClockSaid(fast_s=-420))
    set_clock(book, None, None, ClockSaid(fast_s=60, since="0413", until="0415"))
    assert offsets(book) == [420, -60, -60, -60, 420, 420, 420, 420]


@pytest.mark.slow
def test_a_later_statement_of_a_range_leaves_the_others(book: Book, keepers: Path) -> None:
    set_clock(book, None, None, ClockSaid(fast_s=-60, until="0413"))
    set_clock(book, None, None, ClockSaid(fast_s=-120, since="0418"))
    set_clock(book, None, None, ClockSaid(fast_s=-30, since="0415", until="0416"))
    assert offsets(book) == [60, 60, 0, 30, 30, 0, 120, 120]
    set_clock(book, None, None, ClockSaid(fast_s=-9, since="0413", until="0415"))
    assert offsets(book) == [60, 9, 9, 9, 30, 0, 120, 120]
    set_clock(book, None, None, ClockSaid(fast_s=-1))  # without a range it replaces all
    assert offsets(book) == [1] * 8
    with book.reading() as desk:
        assert len(desk.clocks.all()) == 1


def test_a_frame_taken_in_later_falls_behind_the_end_of_a_range(
    book: Book, keepers: Path, picture: Picture
) -> None:
    set_clock(book, None, None, ClockSaid(fast_s=-420, until="0415"))
    picture(keepers / "TRN_0500.JPG", look=500, taken="2031:10:14 17:15:06")  # a second after TRN_0415
    take_in(book, keepers, trip=None)
    (inside, behind) = propose(book, None, None).clocks
    assert inside.keepers[-1] == "TRN_0415.JPG"
    assert behind.keepers[0] == "TRN_0500.JPG"


def test_stating_a_range_touches_no_frame_outside(book: Book, tmp_path: Path, picture: Picture) -> None:
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:10:14 17:42:05", gps=("2031:10:14", (12, 49, 5)))
    picture(tmp_path / "p" / "A_0002.JPG", look=1, taken="2031:10:14 18:00:00")
    take_in(book, tmp_path / "p", trip=None)
    first = keeper(book, "A_0001.JPG")
    assert set_clock(book, None, None, ClockSaid(fast_s=-300, since="A_0002")).changed == 1
    assert keeper(book, "A_0001.JPG") == first


def test_a_zone_stated_for_a_range_is_that_of_its_frames_alone(book: Book, keepers: Path) -> None:
    set_clock(book, None, None, ClockSaid(zone="Asia/Tokyo", since="0418"))
    assert keeper(book, "TRN_0417.JPG").zone == "Asia/Dushanbe"
    assert keeper(book, "TRN_0418.JPG").zone == "Asia/Tokyo"


def test_a_range_that_cannot_be_is_refused_in_one_sentence(
    book: Book, keepers: Path, picture: Picture
) -> None:
    with pytest.raises(WrongUseError, match="was taken after"):
        set_clock(book, None, None, ClockSaid(fast_s=1, since="0415", until="0413"))
    shown = datetime(2031, 10, 14, 17, 20, 5)  # noqa: DTZ001
    with pytest.raises(WrongUseError, match="is outside"):
        set_clock(book, None, None, ClockSaid(shown=shown, keeper="0412", since="0413"))
    with pytest.raises(WrongUseError, match="--fast"):
        set_clock(book, None, None, ClockSaid(since="0413"))
    other_body(picture(keepers / "PEL_0001.JPG"))
    take_in(book, keepers, trip=None)
    with pytest.raises(WrongUseError, match="not from Pellick Thistle"):
        set_clock(book, None, "Pellick", ClockSaid(fast_s=1, since="0413"))


def test_an_end_behind_which_nothing_is_known_is_refused(book: Book, keepers: Path) -> None:
    records.edit(book, kinds.TRIP, "valley", {"zone": None})
    with pytest.raises(WrongUseError, match="Nothing shows how the clock"):
        set_clock(book, None, None, ClockSaid(fast_s=1, zone="Asia/Tokyo", until="0413"))
    with book.reading() as desk:
        assert desk.clocks.all() == []


def test_clocks_are_listed_with_their_evidence(book: Book, keepers: Path) -> None:
    (only,) = list_clocks(book, None, None)
    assert (only.clock.kind, only.frames, len(only.keepers)) == ("assumed", "", 8)
    set_clock(book, None, None, ClockSaid(fast_s=-420, since="0415"))
    before, after = list_clocks(book, None, "halv")
    assert (after.offset_s, after.clock.kind, after.keepers[0]) == (420, "stated", "TRN_0415.JPG")
    assert before.keepers[-1] == "TRN_0414.JPG"
    with pytest.raises(NotFoundError):
        list_clocks(book, None, "pellick")


@pytest.fixture
def june(book: Book, tmp_path: Path, picture: Picture) -> Book:
    """A trip in June, and a picture of January that was still on the card; no file tells its zone."""
    records.add(book, kinds.TRIP, {"title": "June coast", "zone": "Europe/Lisbon"})
    picture(tmp_path / "p" / "A_0001.JPG", taken="2031:01:04 11:00:00")
    picture(tmp_path / "p" / "A_0101.JPG", look=1, taken="2031:06:10 18:00:00")
    other_body(picture(tmp_path / "p" / "B_0001.JPG", look=2, taken="2031:06:10 19:03:00"))
    take_in(book, tmp_path / "p", trip="june-coast")
    return book


def test_a_picture_of_last_winter_on_the_card_shifts_no_clock_of_a_trip_in_summer(june: Book) -> None:
    proposed = list_clocks(june, "june-coast", None)
    assert [(one.clock.body, one.offset_s, one.taken, len(one.keepers)) for one in proposed] == [
        ("Halvern Thistle", 0, True, 1),
        ("Halvern Thistle", 0, True, 1),
        ("Pellick Thistle", 0, True, 1),
    ]
    with june.writing() as desk:
        trip = records.the_trip(desk, "june-coast")
        assert not stating.apply_clocks(desk, june, trip, ["Halvern Thistle", "Pellick Thistle"])


def test_what_is_stated_of_a_range_leaves_the_other_season_to_its_own_time(june: Book) -> None:
    done = set_clock(june, "june-coast", None, ClockSaid(fast_s=60, since="A_0101.JPG", until="A_0101.JPG"))
    assert (done.correction_s, done.changed) == (-60, 1)
    assert keeper(june, "A_0001.JPG").taken_local == datetime(2031, 1, 4, 11)  # noqa: DTZ001


def test_pictures_made_where_clocks_differ_from_what_their_camera_is_taken_to_show_are_told(
    june: Book,
) -> None:
    with june.writing() as desk:
        for name, longitude_deg in (("A_0101.JPG", -6.97), ("A_0001.JPG", -7.16)):  # either side of a border
            of_file = desk.keepers.first(file=name)
            assert of_file is not None
            desk.keepers.put(replace(of_file, latitude_deg=38.88, longitude_deg=longitude_deg))
    doubts = [doubt for one in list_clocks(june, "june-coast", "Halvern") for doubt in one.doubts]
    (found,) = (one for one in doubts if "another zone" in one)
    assert found == (
        "A_0101.JPG was made in another zone, Europe/Madrid; the camera is taken to show Europe/Lisbon "
        "time, as nobody said whether it was set there"
    )
