"""Every noun comes back from the book as it went in: unknown, none and exact values stay what they are."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from enum import StrEnum
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from logbook.domain.camera import ExposureMode, Metering
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import KINDS
from logbook.domain.day import Day, DayLine, LooseLine
from logbook.domain.horizon import Horizon
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.lesson import Lesson
from logbook.domain.record import Record
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import (
    Audience,
    ClockEvidence,
    ConditionKind,
    Disclosure,
    Footing,
    KitKind,
    LessonVerb,
    OutcomeWord,
    Packing,
    Priority,
    Provenance,
    Reason,
    SetKind,
    SubjectKind,
    Support,
    TripodRule,
    VisitPurpose,
)
from logbook.store.book import Book
from tests.examples import examples

NOW = datetime(2031, 10, 14, 18, 45, tzinfo=UTC)
BASE: dict[str, Any] = {"created": NOW, "updated": NOW}
A_TRIP = Trip(id="t1", slug="valley", title="Valley", **BASE)
A_SITE = Site(id="s1", slug="quarry", title="Quarry", **BASE)
A_VIEWPOINT = Viewpoint(id="v1", slug="ledge", title="Ledge", site_id="s1", **BASE)
A_SHOT = Shot(id="h1", slug="silk", title="Silk", trip_id="t1", **BASE)
AN_ITEM = KitItem(id="i1", slug="pol", title="Polariser", kind=KitKind.FILTER, **BASE)
A_KEEPER = Keeper(
    id="k1",
    slug="a",
    trip_id="t1",
    file="a.jpg",
    path="/a.jpg",
    hash="0",
    size_bytes=1,
    format="JPEG",
    **BASE,
)

texts = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n\t"), min_size=1, max_size=40
)
titles = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=40).filter(str.strip)
slugs = st.from_regex(r"[a-z0-9]{3,12}", fullmatch=True)
dates = st.dates(date(1990, 1, 1), date(2090, 1, 1))
times = st.times()
EARLIEST, LATEST = datetime(1990, 1, 1), datetime(2090, 1, 1)  # noqa: DTZ001  # wall times
instants = st.datetimes(
    EARLIEST,
    LATEST,
    timezones=st.integers(-56, 56).map(lambda quarter: timezone(timedelta(minutes=15 * quarter))),
)
walls = st.datetimes(EARLIEST, LATEST)
zones = st.sampled_from(["UTC", "Asia/Dushanbe", "Europe/Lisbon", "America/St_Johns"])
exposures = st.fractions(Fraction(1, 32_000), 1800, max_denominator=32_000)
filters = st.lists(st.sampled_from(["nd8", "pol", "gnd8", "nd1024"]), max_size=3).map(tuple)
provenances = st.dictionaries(st.sampled_from(["iso", "zone", "taken_utc"]), st.sampled_from(Provenance))
metres = st.floats(-500, 9000)


def unknown_or(strategy: SearchStrategy[Any]) -> SearchStrategy[Any]:
    """Return a strategy that also gives None."""
    return st.none() | strategy


def word(vocabulary: type[StrEnum]) -> SearchStrategy[Any]:
    """Return a strategy for the words of a vocabulary."""
    return st.sampled_from(list(vocabulary))


def noun(of: type[Record], **values: Any) -> SearchStrategy[Any]:
    """Return a strategy for one noun with a fresh id and random instants."""
    return st.builds(
        of, id=st.uuids().map(str), created=instants, updated=instants, provenance=provenances, **values
    )


def placed(of: type[Record], **values: Any) -> SearchStrategy[Any]:
    """Return a strategy for a noun that may have a position: both coordinates or neither."""
    bare = noun(of, elevation_m=unknown_or(metres), **values)
    return st.tuples(bare, unknown_or(st.tuples(st.floats(-90, 90), st.floats(-180, 180)))).map(
        lambda pair: (
            replace(pair[0], latitude_deg=pair[1][0], longitude_deg=pair[1][1]) if pair[1] else pair[0]
        )
    )


def observed(kind: ConditionKind) -> SearchStrategy[Any]:
    """Return a strategy for a condition of one kind: a level of its scale, a note, or both."""
    level = st.sampled_from(KINDS[kind].levels) if KINDS[kind].levels else st.none()
    return noun(
        Condition,
        slug=slugs,
        trip_id=st.just("t1"),
        kind=st.just(kind),
        on_date=dates,
        at=unknown_or(times),
        site_id=unknown_or(st.just("s1")),
        viewpoint_id=unknown_or(st.just("v1")),
        level=level,
        direction=unknown_or(texts),
        note=titles,
        source=unknown_or(texts),
    )


NOUNS: dict[str, SearchStrategy[Any]] = {
    "trips": noun(
        Trip,
        slug=slugs,
        title=titles,
        purpose=unknown_or(texts),
        audience=unknown_or(word(Audience)),
        client=unknown_or(texts),
        brief=unknown_or(texts),
        starts_on=unknown_or(st.dates(date(1990, 1, 1), date(2030, 1, 1))),
        ends_on=unknown_or(st.dates(date(2030, 1, 2), date(2090, 1, 1))),
        zone=unknown_or(zones),
        day_ends_at=times,
        location_shown=word(Disclosure),
    ),
    "sites": placed(
        Site,
        slug=slugs,
        title=titles,
        kinds=st.lists(word(SubjectKind), max_size=4).map(tuple),
        region=unknown_or(texts),
        zone=unknown_or(zones),
        footing=unknown_or(word(Footing)),
        walk_min=unknown_or(st.integers(0, 10_000)),
        location_shown=unknown_or(word(Disclosure)),
        hazards=unknown_or(texts),
    ),
    "viewpoints": placed(
        Viewpoint,
        slug=slugs,
        title=titles,
        site_id=st.just("s1"),
        facing_deg=unknown_or(st.floats(0, 360, exclude_max=True)),
        horizon=unknown_or(st.builds(Horizon, unknown_or(st.floats(-45, 45)))),
        tripod_rule=word(TripodRule),
        looks_at=unknown_or(texts),
    ),
    "shots": noun(
        Shot,
        slug=slugs,
        title=titles,
        trip_id=st.just("t1"),
        viewpoint_id=unknown_or(st.just("v1")),
        intent=unknown_or(texts),
        on_date=unknown_or(dates),
        window_from=unknown_or(times),
        window_to=unknown_or(times),
        focal_mm=unknown_or(st.floats(1, 5000)),
        f_number=unknown_or(st.floats(0.5, 128)),
        exposure_s=unknown_or(exposures),
        iso=unknown_or(st.integers(1, 10_000_000)),
        filters=unknown_or(filters),
        support=unknown_or(word(Support)),
        priority=word(Priority),
        fallback_for_id=unknown_or(st.just("h1")),
    ),
    "outcomes": noun(
        Outcome,
        shot_id=st.just("h1"),
        word=st.just(OutcomeWord.REPLACED),
        reasons=st.lists(word(Reason), max_size=3).map(tuple),
        note=unknown_or(texts),
        replaced_by_keeper_id=unknown_or(st.just("k1")),
    )
    | noun(Outcome, shot_id=st.just("h1"), word=word(OutcomeWord), note=unknown_or(texts)),
    "kit": noun(
        KitItem,
        slug=slugs,
        title=titles,
        kind=word(KitKind),
        owned=unknown_or(st.booleans()),
        filter_name=unknown_or(texts),
        focal_min_mm=unknown_or(st.floats(1, 5000)),
        stabilisation_stops=unknown_or(st.floats(0, 12)),
    ),
    "packed": noun(
        PackedItem,
        trip_id=st.just("t1"),
        item_id=st.just("i1"),
        packing=word(Packing),
        why=unknown_or(texts),
        used=unknown_or(st.booleans()),
    ),
    "visits": noun(
        Visit,
        slug=slugs,
        trip_id=st.just("t1"),
        viewpoint_id=st.just("v1"),
        on_date=dates,
        arrived_at=unknown_or(times),
        departed_at=unknown_or(times),
        purpose=unknown_or(word(VisitPurpose)),
        tries=unknown_or(st.integers(0, 1_000_000)),
        support=unknown_or(word(Support)),
        journal=unknown_or(texts),
    ),
    "conditions": st.sampled_from(list(ConditionKind)).flatmap(observed),
    "lessons": noun(
        Lesson,
        slug=slugs,
        verb=word(LessonVerb),
        text=titles,
        trip_id=unknown_or(st.just("t1")),
        on_date=unknown_or(dates),
        shot_id=unknown_or(st.just("h1")),
        shown_to=unknown_or(word(Audience)),
    ),
    "days": noun(
        Day, trip_id=st.just("t1"), on_date=dates, zone=unknown_or(zones), journal=unknown_or(texts)
    ),
    "day_lines": noun(
        DayLine,
        trip_id=st.just("t1"),
        on_date=dates,
        file=titles,
        section=slugs,
        line=st.integers(1, 10_000),
        text=texts,
        noun=st.sampled_from(["visit", "keeper"]),
        record_id=slugs,
        seen=st.just('{"tries": 14}'),
    ),
    "loose_lines": noun(
        LooseLine,
        trip_id=st.just("t1"),
        on_date=dates,
        file=titles,
        line=st.integers(1, 10_000),
        text=texts,
        why=texts,
    ),
    "keepers": noun(
        Keeper,
        slug=slugs,
        trip_id=st.just("t1"),
        file=titles,
        path=titles,
        hash=slugs,
        size_bytes=st.integers(0, 2**40),
        format=st.sampled_from(["JPEG", "HEIC"]),
        width_px=unknown_or(st.integers(1, 100_000)),
        orientation=unknown_or(st.integers(1, 8)),
        taken_text=unknown_or(texts),
        taken_local=unknown_or(walls),
        utc_offset_text=unknown_or(st.sampled_from(["+02:00", "-03:30"])),
        zone=unknown_or(zones),
        clock_offset_s=st.integers(-10_000, 10_000),
        clock_evidence=unknown_or(word(ClockEvidence)),
        taken_utc=unknown_or(instants),
        exposure_s=unknown_or(exposures),
        f_number=unknown_or(st.floats(0.5, 128)),
        iso=unknown_or(st.integers(1, 10_000_000)),
        bias_stops=unknown_or(st.floats(-10, 10)),
        focal_mm=unknown_or(st.floats(1, 5000)),
        exposure_mode=unknown_or(word(ExposureMode)),
        auto_bracket=unknown_or(st.booleans()),
        metering=unknown_or(word(Metering)),
        flash_fired=unknown_or(st.booleans()),
        body=unknown_or(texts),
        direction_deg=unknown_or(st.floats(0, 360)),
        direction_is_magnetic=unknown_or(st.booleans()),
        rating=unknown_or(st.integers(-1, 5)),
        doubts=st.lists(texts, max_size=2).map(tuple),
        filters=unknown_or(filters),
        support=unknown_or(word(Support)),
        viewpoint_id=unknown_or(st.just("v1")),
        shot_id=unknown_or(st.just("h1")),
        caption=unknown_or(texts),
    ),
    "sets": noun(
        KeeperSet,
        trip_id=st.just("t1"),
        kind=word(SetKind),
        keeper_ids=st.lists(slugs, max_size=4).map(tuple),
    ),
}


@pytest.fixture(scope="module")
def stocked(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """A book with one record of each noun that others refer to."""
    book = Book(Path(tmp_path_factory.mktemp("store")) / "book.sqlite", lambda: NOW, create=True)
    with book.writing() as desk:
        desk.trips.add(A_TRIP)
        desk.sites.add(A_SITE)
        desk.viewpoints.add(A_VIEWPOINT)
        desk.shots.add(A_SHOT)
        desk.kit.add(AN_ITEM)
        desk.keepers.add(A_KEEPER)
    return book


class _PutBackError(Exception):
    """Ends a transaction so that the book stays as it was."""


@pytest.mark.parametrize("shelf", NOUNS)
@settings(max_examples=examples(0.1), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_every_noun_comes_back_as_it_went_in(stocked: Book, shelf: str, data: st.DataObject) -> None:
    value = data.draw(NOUNS[shelf])
    with pytest.raises(_PutBackError), stocked.writing() as desk:  # noqa: PT012  # the transaction ends so
        getattr(desk, shelf).add(value)
        assert getattr(desk, shelf).get(value.id) == value
        later = replace(value, updated=value.updated + timedelta(microseconds=1))
        getattr(desk, shelf).put(later)
        assert getattr(desk, shelf).get(value.id) == later
        raise _PutBackError


@settings(max_examples=examples(0.3), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(instant=instants)
def test_an_instant_comes_back_aware_and_in_utc(stocked: Book, instant: datetime) -> None:
    with pytest.raises(_PutBackError), stocked.writing() as desk:  # noqa: PT012  # the transaction ends so
        desk.keepers.put(replace(A_KEEPER, taken_utc=instant))
        back = desk.keepers.get("k1")
        assert back is not None
        assert back.taken_utc is not None
        assert back.taken_utc == instant
        assert back.taken_utc.tzinfo is UTC
        raise _PutBackError


def test_no_filter_and_filter_unknown_stay_two_things(stocked: Book) -> None:
    for said in (None, ()):
        with stocked.writing() as desk:
            desk.keepers.put(replace(A_KEEPER, filters=said))
        with stocked.reading() as desk:
            back = desk.keepers.get("k1")
            assert back is not None
            assert back.filters == said
            assert (back.filters is None) == (said is None)


def test_a_naive_instant_is_refused_before_it_reaches_the_book(stocked: Book) -> None:
    with pytest.raises(Exception, match="needs a UTC offset"), stocked.writing() as desk:
        desk.keepers.put(replace(A_KEEPER, taken_utc=datetime(2031, 10, 14)))  # noqa: DTZ001  # the point


def test_records_come_in_the_order_they_were_added(book: Book) -> None:
    made = [replace(A_TRIP, id=f"{9 - n}", slug=f"{'zyxwv'[n]}") for n in range(5)]
    with book.writing() as desk:
        desk.trips.add(*made)
    with book.reading() as desk:
        assert desk.trips.all() == made
        assert desk.trips.all(id={"9", "7"}) == [made[0], made[2]]
        assert desk.trips.first(slug="x") == made[2]
        assert desk.trips.get(None) is None
        assert list(desk.trips.slugs()) == sorted("zyxwv")


def test_what_is_held_is_got_as_it_is_now_whoever_wrote_it(book: Book) -> None:
    kept, gone = (replace(A_TRIP, id=one, slug=one) for one in ("kept", "gone"))
    with book.writing() as desk:
        desk.trips.add(kept, gone)
    with book.writing() as desk:
        assert list(desk.trips.held()) == [kept, gone]
        desk.trips.put(later := replace(kept, title="Later"))
        desk.remove("trip", gone.id)
        assert desk.trips.get("kept") == later
        assert desk.trips.get("gone") is None
        desk.trips.add(new := replace(kept, id="new", slug="new"))
        assert desk.trips.get("new") == new
