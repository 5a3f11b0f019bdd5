"""Proposals change nothing, say why, and stay silent where nothing is known."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, time, timedelta
from pathlib import Path
from typing import Any

import pytest

from logbook.craft.matching import ShotMatch
from logbook.domain.words import KitKind, Packing, Provenance, Support
from logbook.services import kinds, records
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.keepers.proposals import propose
from logbook.services.plans import outcomes, packing
from logbook.services.visits.visits import add_visit
from logbook.store.book import Book

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
DAY = date(2031, 10, 14)
CAMERA_FILES = Path("/usr/share/gocode/src/github.com/rwcarlsen/goexif/exif/samples")


def test_proposing_stores_nothing(book: Book, keepers: Path, dump: Dump) -> None:
    before = dump()
    propose(book, None, None)
    propose(book, None, date(2031, 10, 14))
    assert dump() == before


def test_a_day_without_keepers_is_proposed_as_empty(book: Book, keepers: Path) -> None:
    found = propose(book, None, date(2031, 10, 20))
    assert (found.keepers, found.sets, found.filters.proposals, found.matches) == ((), (), (), ())
    assert [one.clock.body for one in found.clocks] == ["Halvern Thistle"]


def test_a_book_without_keepers_proposes_nothing(book: Book) -> None:
    found = propose(book, None, None)
    assert (found.clocks, found.visits, found.matches) == ((), (), ())


def test_what_was_proposed_before_is_no_evidence(book: Book, keepers: Path) -> None:
    plan = {"viewpoint": "quarry-ledge", "on_date": DAY, "filters": ("nd8",), "support": Support.TRIPOD}
    outcomes.plan_shot(book, None, {"title": "Silk", **plan}, None)

    def matches_where_it_was(provenance: Provenance) -> tuple[ShotMatch, ...]:
        with book.writing() as desk:
            ledge = desk.viewpoints.first(slug="quarry-ledge")
            assert ledge is not None
            for keeper in desk.keepers.all():
                told = {"filters": ("nd8",), "support": Support.TRIPOD, "viewpoint_id": ledge.id}
                words = {**keeper.provenance, **dict.fromkeys(told, provenance)}
                desk.keepers.put(replace(keeper, **told, provenance=words))  # type: ignore[arg-type]
        return propose(book, None, DAY).matches

    before = propose(book, None, DAY).matches
    assert matches_where_it_was(Provenance.INFERRED) == before
    assert matches_where_it_was(Provenance.ASSUMED) == before
    stated = matches_where_it_was(Provenance.STATED)
    assert {one.shot for one in stated} == {"silk"} != {one.shot for one in before}


def test_stated_filters_are_not_proposed_again(book: Book, keepers: Path) -> None:
    note_keepers(book, None, "0412-0419", {"filters": ("nd8",)})
    assert propose(book, None, None).filters.proposals == ()


@pytest.mark.slow
def test_real_pictures_of_which_nothing_is_known_give_no_assertion_of_filters(book: Book) -> None:
    if not CAMERA_FILES.is_dir():
        pytest.skip("the camera pictures of Debian's golang-github-rwcarlsen-goexif-dev are not here")
    for name in ("nd8", "nd64", "nd1000", "pol"):
        kit = {"title": name, "kind": KitKind.FILTER, "filter_name": name}
        packing.add_kit(book, kit, None, "valley", {"packing": Packing.TAKEN})
    done = take_in(book, CAMERA_FILES, trip=None)
    assert done.added >= 10
    assert propose(book, None, None).filters.proposals == ()


@pytest.mark.parametrize(("day_ends_at", "night"), [(time(4), 14), (time(0), 15)])
def test_a_picture_of_the_small_hours_matches_the_shot_planned_for_them(
    book: Book, tmp_path: Path, picture: Any, day_ends_at: time, night: int
) -> None:
    """At half past one on the 15th it is still the 14th, unless the trip's days end at midnight."""
    records.edit(book, kinds.TRIP, "valley", {"day_ends_at": day_ends_at})
    on_date = date(2031, 10, night)
    plan = {"on_date": on_date, "window_from": time(1), "window_to": time(3), "focal_mm": 24.0}
    outcomes.plan_shot(book, None, {"title": "Stars", "viewpoint": "quarry-ledge", **plan}, None)
    picture(tmp_path / "late" / "A_0001.JPG", taken="2031:10:15 01:30:00")
    take_in(book, tmp_path / "late", trip=None)
    note_keepers(book, None, "A_0001", {"viewpoint": "quarry-ledge"})
    (match,) = propose(book, None, on_date).matches
    assert match.shot == "stars"
    assert "at the planned time" in match.reason


@pytest.mark.parametrize(
    ("taken", "offset", "is_inside"),
    [
        ("2031:10:26 02:20:00", "+02:00", True),  # the first time that clocks show it
        ("2031:10:26 02:20:00", "+01:00", True),  # the second time, an hour later
        ("2031:10:26 03:20:00", "+01:00", True),
        ("2031:10:26 03:40:00", "+01:00", False),
        ("2031:03:30 03:20:00", "+02:00", True),
        ("2031:03:30 03:40:00", "+02:00", False),
    ],
)
def test_a_planned_time_lasts_as_long_as_the_night_in_which_clocks_change(
    book: Book, tmp_path: Path, picture: Any, taken: str, offset: str, is_inside: bool
) -> None:
    """It is planned from eleven in the evening to half past three, in Berlin."""
    records.edit(book, kinds.TRIP, "valley", {"zone": "Europe/Berlin"})
    on_date = date.fromisoformat(taken[:10].replace(":", "-")) - timedelta(days=1)
    plan = {"on_date": on_date, "window_from": time(23), "window_to": time(3, 30), "focal_mm": 24.0}
    outcomes.plan_shot(book, None, {"title": "Stars", "viewpoint": "quarry-ledge", **plan}, None)
    picture(tmp_path / "late" / "A_0001.JPG", taken=taken, offset=offset)
    take_in(book, tmp_path / "late", trip=None)
    note_keepers(book, None, "A_0001", {"viewpoint": "quarry-ledge"})
    (match,) = propose(book, None, on_date).matches
    assert ("at the planned time" in match.reason) == is_inside


@pytest.fixture
def made(book: Book, tmp_path: Path, picture: Any) -> Callable[..., None]:
    """Take in a picture made at a time of the 14th, with a position (degrees north and east) or without."""

    def make(name: str, taken: str, place: tuple[float, float] | None = None) -> None:
        picture(tmp_path / name / f"{name}.JPG", look=hash(name) % 250, taken=f"2031:10:14 {taken}")
        take_in(book, tmp_path / name, trip=None)
        if place is not None:
            with book.writing() as desk:
                (keeper,) = (one for one in desk.keepers.all() if one.file == f"{name}.JPG")
                desk.keepers.put(replace(keeper, latitude_deg=place[0], longitude_deg=place[1]))

    return make


def stand(book: Book, title: str, place: tuple[float, float], site: str = "far-site") -> None:
    where = {"latitude_deg": place[0], "longitude_deg": place[1]}
    records.add(book, kinds.VIEWPOINT, {"title": title, "site": site, **where})


@pytest.mark.slow
def test_a_viewpoint_that_nothing_ties_to_the_trip_is_found_where_the_picture_lies(
    book: Book, made: Callable[..., None]
) -> None:
    records.add(book, kinds.SITE, {"title": "Far site"})
    for number in range(60):
        stand(book, f"Elsewhere {number}", (-60 + number, -170 + number))
    stand(book, "Old rail", (38.5, 68.8))
    made("A_0001", "10:00:00", (38.5005, 68.8005))
    (visit,) = propose(book, None, DAY).visits
    assert (visit.spot, visit.reason.split(", ")[1]) == ("old-rail", "71 m away")


def test_of_two_viewpoints_nearly_as_near_the_planned_one_is_meant(
    book: Book, made: Callable[..., None]
) -> None:
    records.add(book, kinds.SITE, {"title": "Far site"})
    stand(book, "Old rail", (38.5001, 68.8))
    stand(book, "New rail", (38.4998, 68.8))
    made("A_0001", "10:00:00", (38.5, 68.8))
    assert propose(book, None, DAY).visits[0].spot == "old-rail"
    outcomes.plan_shot(book, None, {"title": "Rails", "viewpoint": "new-rail", "on_date": DAY}, None)
    assert propose(book, None, DAY).visits[0].spot == "new-rail"


def test_frames_taken_in_later_are_of_the_visit_whose_stated_time_holds_them(
    book: Book, made: Callable[..., None]
) -> None:
    for begins, ends, place in (("14:00", "14:10", "quarry-ledge"), ("14:10", "14:20", "dune-crest")):
        times = {"arrived_at": time.fromisoformat(begins), "departed_at": time.fromisoformat(ends)}
        add_visit(book, None, {"viewpoint": place, "on_date": DAY, **times})
    for name, taken in (("A_0001", "14:02:00"), ("A_0002", "14:09:00"), ("A_0003", "14:11:00")):
        made(name, taken)
    visits = propose(book, None, DAY).visits
    assert [(one.spot, len(one.frames)) for one in visits] == [("quarry-ledge", 2), ("dune-crest", 1)]


def test_a_picture_whose_own_position_lies_at_another_viewpoint_is_not_claimed(
    book: Book, made: Callable[..., None]
) -> None:
    records.add(book, kinds.SITE, {"title": "Far site"})
    stand(book, "Old rail", (38.5, 68.8))
    made("A_0001", "14:02:00", (38.5, 68.8))
    times = {"arrived_at": time(14), "departed_at": time(14, 10)}
    done = add_visit(book, None, {"viewpoint": "quarry-ledge", "on_date": DAY, **times})
    assert "left there: A_0001.JPG" in done.told[0]
    assert [one.spot for one in propose(book, None, DAY).visits] == ["old-rail"]
