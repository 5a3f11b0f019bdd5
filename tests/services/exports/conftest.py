"""A small trip for the exports: one exact place, one area, one withheld; every noun at least once."""

import json
from datetime import UTC, date, datetime, time
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.camera import ExposureMode
from logbook.domain.clock import BodyClock
from logbook.domain.condition import Condition
from logbook.domain.day import Day, DayLine, LooseLine
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.lesson import Lesson
from logbook.domain.night import NightAnswer
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.track import TrackRecord
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import (
    Audience,
    ClockEvidence,
    ConditionKind,
    Disclosure,
    KitKind,
    LessonVerb,
    OutcomeWord,
    Packing,
    Provenance,
    Reason,
    SetKind,
    Support,
    VisitPurpose,
)
from logbook.services.exports.book_json import Records, shelf_of
from logbook.store.book import Book
from logbook.store.desk import SHELVES
from tests.services.exports.moment import NOW

DAY, NEXT = date(2031, 10, 14), date(2031, 10, 15)
TELLS = "Hollow Arch by owl-wood at 61.23456, 7.65432, said Ilse Brand"


def _base(record_id: str, second: int) -> dict[str, Any]:
    at = datetime(2031, 10, 14, 18, 0, second, 250, tzinfo=UTC)
    return {"id": record_id, "created": at, "updated": at}


def _place(latitude_deg: float, longitude_deg: float, elevation_m: float) -> dict[str, Any]:
    return {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg, "elevation_m": elevation_m}


def _keeper(number: int, viewpoint_id: str | None, minute: int, **more: Any) -> Keeper:
    return Keeper(
        **_base(f"k{number}", 20 + number),
        slug=f"trn-041{number}",
        trip_id="t1",
        file=f"TRN_041{number}.JPG",
        path=f"/cards/hollow arch/TRN_041{number}.JPG",
        hash=f"{number:064x}",
        size_bytes=4_000_000 + number,
        format="JPEG",
        taken_text=f"2031:10:14 17:{minute}:05",
        taken_local=datetime.fromisoformat(f"2031-10-14T17:{minute}:05"),
        zone="Asia/Dushanbe",
        taken_utc=datetime(2031, 10, 14, 12, minute, 5, tzinfo=UTC),
        clock_evidence=ClockEvidence.OFFSET_TAG,
        exposure_s=Fraction(1, 125),
        f_number=8.0,
        iso=100,
        bias_stops=-0.67,
        focal_mm=24.0,
        exposure_mode=ExposureMode.MANUAL,
        body="Halvern Thistle",
        viewpoint_id=viewpoint_id,
        also=(f"{number:064x}  /cards/hollow arch/TRN_041{number}.XMP",),
        keywords=("secret-keyword", "Hollow Arch"),
        place="Hollow Arch, 61.2345",
        credit="Hidden Owner",
        copyright="Hidden Owner",
        provenance=dict.fromkeys(
            ("exposure_s", "f_number", "iso", "focal_mm", "latitude_deg"), Provenance.CAMERA
        ),
        **more,
    )


def _fixes() -> str:
    far = [[f"2031-10-15T06:0{n}:00+00:00", 38.2 + n / 1000, 73.4, 3700.5 + n] for n in range(3)]
    near = [[f"2031-10-14T12:0{n}:00+00:00", 61.2345 + n / 1000, 7.6543, 120.0] for n in range(3)]
    return json.dumps([far, near])


@pytest.fixture
def records() -> Records:
    """The records of the trip, by list."""
    made: dict[str, tuple[Any, ...]] = {
        "trips": (
            Trip(
                **_base("t1", 0),
                slug="high-valley",
                title="High valley",
                client="Orrin & Daughters",
                brief="Twelve prints",
                summary=f"Two days. {TELLS}",
                zone="Asia/Dushanbe",
                starts_on=DAY,
                ends_on=NEXT,
                location_shown=Disclosure.EXACT,
                credit="Photographs: A. Photographer",
                private_names=("Ilse Brand",),
            ),
        ),
        "sites": (
            Site(**_base("s1", 1), slug="quarry", title="Quarry", **_place(38.2, 73.4, 3700.0)),
            Site(
                **_base("s2", 2),
                slug="mill",
                title="Mill",
                location_shown=Disclosure.AREA,
                notes="the key is under the stone",
                **_place(38.7654, 73.1234, 3500.0),
            ),
            Site(
                **_base("s3", 3),
                slug="hollow-arch",
                title="Hollow Arch",
                location_shown=Disclosure.WITHHELD,
                zone="Asia/Dushanbe",  # the trip's: made up like the place, so that its days are the track's
                access="crawl in",
                **_place(61.23456, 7.65432, 120.0),
            ),
        ),
        "viewpoints": (
            Viewpoint(
                **_base("v1", 4),
                slug="quarry-ledge",
                title="Quarry ledge",
                site_id="s1",
                facing_deg=315.0,
                **_place(38.2005, 73.4012, 3710.0),
            ),
            Viewpoint(
                **_base("v2", 5),
                slug="mill-race",
                title="Mill race",
                site_id="s2",
                **_place(38.7656, 73.1239, 3501.0),
            ),
            Viewpoint(
                **_base("v3", 6),
                slug="owl-wood",
                title="Owl wood",
                site_id="s3",
                **_place(61.2347, 7.6544, 121.0),
            ),
        ),
        "kit": (KitItem(**_base("i1", 7), slug="pol", title="Polariser", kind=KitKind.FILTER),),
        "packed": (
            PackedItem(**_base("p1", 8), trip_id="t1", item_id="i1", packing=Packing.TAKEN, used=True),
        ),
        "shots": (
            Shot(
                **_base("h1", 9),
                slug="bridge-flow",
                title="Bridge, silk; soft",
                trip_id="t1",
                viewpoint_id="v1",
                intent="Water like silk.\nSlow.",
                on_date=DAY,
                window_from=time(17, 20),
                window_to=time(18, 45),
                exposure_s=Fraction(1, 2),
                filters=("nd8", "nd8"),
                support=Support.TRIPOD,
            ),
            Shot(
                **_base("h2", 10),
                slug="hollow-arch-at-dawn",
                title="Hollow Arch at dawn",
                trip_id="t1",
                viewpoint_id="v3",
                on_date=NEXT,
                window_to=time(7, 5),
                fallback_for_id="h1",
                notes="tell nobody",
            ),
        ),
        "keepers": (
            _keeper(
                2,
                "v1",
                31,
                shot_id="h1",
                filters=("nd8", "nd8"),
                caption="=SUM(A1) silk",
                **_at(38.2005, 73.4012),
            ),
            _keeper(3, "v2", 32, filters=(), **_at(38.7656, 73.1239), direction_deg=12.0),
            _keeper(
                4, "v3", 33, caption=TELLS, note="tell nobody", **_at(61.2347, 7.6544), direction_deg=123.0
            ),
        ),
        "sets": (KeeperSet(**_base("g1", 30), trip_id="t1", kind=SetKind.BRACKET, keeper_ids=("k2", "k3")),),
        "outcomes": (
            Outcome(
                **_base("o1", 31),
                shot_id="h1",
                word=OutcomeWord.PARTLY,
                reasons=(Reason.LIGHT,),
                note="the light went",
            ),
            Outcome(
                **_base("o2", 32),
                shot_id="h2",
                word=OutcomeWord.REPLACED,
                replaced_by_keeper_id="k4",
                note=TELLS,
            ),
        ),
        "visits": (
            Visit(
                **_base("w1", 33),
                slug="quarry-ledge-14",
                trip_id="t1",
                viewpoint_id="v1",
                on_date=DAY,
                arrived_at=time(17, 20),
                departed_at=time(18, 45),
                purpose=VisitPurpose.SHOOTING,
                tries=14,
                support=Support.TRIPOD,
                journal="Wind all evening.",
            ),
            Visit(
                **_base("w2", 34),
                slug="owl-wood-14",
                trip_id="t1",
                viewpoint_id="v3",
                on_date=DAY,
                arrived_at=time(12),
                journal="crawl in",
            ),
        ),
        "conditions": (
            Condition(
                **_base("c1", 35),
                slug="crowd-14",
                trip_id="t1",
                kind=ConditionKind.CROWD,
                on_date=DAY,
                at=time(17, 30),
                viewpoint_id="v1",
                level="dozens",
            ),
            Condition(
                **_base("c2", 36),
                slug="closure-14",
                trip_id="t1",
                kind=ConditionKind.CLOSURE,
                on_date=DAY,
                viewpoint_id="v3",
                note="adders nesting",
            ),
        ),
        "lessons": (
            Lesson(
                **_base("l1", 37),
                slug="come-early",
                verb=LessonVerb.CHANGE,
                text="Come before the coaches.",
                trip_id="t1",
                on_date=DAY,
                viewpoint_id="v1",
                shown_to=Audience.STUDENTS,
            ),
            Lesson(
                **_base("l2", 38),
                slug="own",
                verb=LessonVerb.AVOID,
                text="my own affair",
                trip_id="t1",
                on_date=DAY,
            ),
        ),
        "days": (Day(**_base("d1", 39), trip_id="t1", on_date=DAY, journal=f"Ice on the tent. {TELLS}"),),
        "day_lines": (
            DayLine(
                **_base("n1", 40),
                trip_id="t1",
                on_date=DAY,
                file="day.md",
                section="quarry-ledge",
                line=4,
                text="- crowd: dozens at 17:30",
                noun="condition",
                record_id="c1",
                seen='{"kind": "crowd", "level": "dozens", "at": "17:30:00"}',
            ),
        ),
        "loose_lines": (
            LooseLine(
                **_base("e1", 41),
                trip_id="t1",
                on_date=DAY,
                file="day.md",
                line=9,
                text="- hm",
                why="not understood",
            ),
        ),
        "clocks": (
            BodyClock(
                **_base("b1", 42),
                trip_id="t1",
                body="Halvern Thistle",
                ahead_s=18_420,
                zone="Asia/Dushanbe",
                evidence=ClockEvidence.PHOTOGRAPHED_CLOCK,
                since=datetime.fromisoformat("2031-10-13T08:00:00"),
                note="body 4711-0815 of Ilse Brand",
            ),
        ),
        "tracks": (
            TrackRecord(
                **_base("r1", 43), trip_id="t1", file="hollow arch.gpx", hash="f" * 64, points=_fixes()
            ),
        ),
        "night_answers": (
            NightAnswer(**_base("q1", 44), trip_id="t1", on_date=DAY, key="tries", answer='{"said": 14}'),
        ),
    }
    assert set(made) == set(SHELVES)
    return {name: made[name] for name in SHELVES}


def _at(latitude_deg: float, longitude_deg: float) -> dict[str, float]:
    return {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg, "altitude_m": 3711.5}


@pytest.fixture
def book(tmp_path: Path, records: Records) -> Book:
    """A book that holds the trip."""
    made = Book(tmp_path / "book.sqlite", lambda: NOW, create=True)
    with made.writing() as desk:
        for name in SHELVES:
            shelf_of(desk, name).add(*records[name])
    return made
