"""A hand-made trip: two shown sites and a withheld one, three shots, four pictures, one of them missing."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time
from fractions import Fraction
from hashlib import sha256
from pathlib import Path
from typing import Any
from zlib import crc32

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.condition import Condition
from logbook.domain.day import Day, LooseLine
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.lesson import Lesson
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import (
    Audience,
    ConditionKind,
    Disclosure,
    Footing,
    KitKind,
    LessonVerb,
    OutcomeWord,
    Packing,
    Provenance,
    Reason,
    SetKind,
    SubjectKind,
    Support,
    VisitPurpose,
)
from logbook.faces.report import BuiltReport, build_report

UNREAD = {".jpg", ".css", ".js", ".woff2"}
TEMPLATES = Path(__file__).parents[3] / "templates"
NOON = datetime(2031, 10, 20, 12, tzinfo=UTC)
DAY = date(2031, 10, 14)

Build = Callable[..., BuiltReport]


def record(record_id: str) -> dict[str, Any]:
    """The fields that every record has."""
    return {"id": record_id, "created": NOON, "updated": NOON}


def picture(path: Path, size: tuple[int, int] = (720, 480), **options: Any) -> str:
    """Draw a small picture, unlike those of other names, and return its path."""
    from PIL import Image

    Image.new("RGB", size, (90, 120, 100 + crc32(path.name.encode()) % 100)).save(path, **options)
    return str(path)


def keeper(name: str, path: str, **fields: Any) -> Keeper:
    """A keeper with the settings of a long exposure at dusk."""
    content = Path(path).read_bytes() if Path(path).exists() else None
    given: dict[str, Any] = {
        "slug": name,
        "trip_id": "trip",
        "file": f"{name}.JPG",
        "path": path,
        "hash": name.encode().hex().ljust(64, "0") if content is None else sha256(content).hexdigest(),
        "size_bytes": 1 if content is None else len(content),
        "format": "JPEG",
        "taken_local": datetime(2031, 10, 14, 17, 42),  # noqa: DTZ001 - the place's wall time is naive
        "exposure_s": Fraction(1, 125),
        "f_number": 8.0,
        "iso": 200,
        "focal_mm": 24.0,
        "filters": ("nd8", "nd8"),
        "support": Support.BRACED,
        "provenance": dict.fromkeys(("exposure_s", "f_number", "iso", "focal_mm"), Provenance.CAMERA),
    }
    return Keeper(**(record(name) | given | fields))


@pytest.fixture
def account(tmp_path: Path) -> TripAccount:
    """The trip; `withheld` is the site nobody may be told about."""
    originals = tmp_path / "originals"
    originals.mkdir()
    sites = (
        Site(
            **record("quarry"),
            slug="quarry",
            title="Quarry bridge",
            kinds=(SubjectKind.BRIDGE, SubjectKind.RIVER),
            region="Upper valley",
            latitude_deg=47.12345,
            longitude_deg=12.73456,
            elevation_m=1140,
            footing=Footing.ROCK,
            access="Mill path",
            hazards="Wet slabs",
            location_shown=Disclosure.EXACT,
        ),
        Site(
            **record("gorge"),
            slug="gorge",
            title="Lauter gorge",
            kinds=(SubjectKind.GORGE,),
            latitude_deg=47.33333,
            longitude_deg=12.98765,
        ),
        Site(
            **record("withheld"),
            slug="owl-wood",
            title="Hollow Arch",
            region="Far side of Eib",
            kinds=(SubjectKind.WILDLIFE,),
            latitude_deg=61.23456,
            longitude_deg=-7.65432,
            access="behind the mill",
            hazards="nesting",
            notes="tell nobody",
            location_shown=Disclosure.WITHHELD,
        ),
    )
    viewpoints = (
        Viewpoint(**record("ledge"), slug="ledge", title="Quarry ledge", site_id="quarry", facing_deg=225),
        Viewpoint(**record("bend"), slug="bend", title="Boardwalk bend", site_id="gorge"),
        Viewpoint(
            **record("shelf"),
            slug="heron-seat",
            title="Otter Shelf",
            site_id="withheld",
            facing_deg=123,
            looks_at="the eyrie",
            notes="crawl in",
            hazards="adders",
            location_shown=Disclosure.EXACT,
        ),
    )
    return TripAccount(
        trip=Trip(
            **record("trip"),
            slug="high-valley",
            title="High valley",
            client="Tarn office",
            brief="Twelve pictures",
            summary="Five days",
            starts_on=DAY,
            ends_on=DAY,
        ),
        sites={site.id: site for site in sites},
        viewpoints={viewpoint.id: viewpoint for viewpoint in viewpoints},
        shots=(
            Shot(
                **record("silk"),
                slug="silk",
                title="Flow under the bridge",
                trip_id="trip",
                viewpoint_id="ledge",
                on_date=DAY,
                window_from=time(17, 20),
                iso=100,
                intent="One pale sheet",
            ),
            Shot(
                **record("stones"),
                slug="stones",
                title="Stones",
                trip_id="trip",
                viewpoint_id="bend",
                on_date=DAY,
            ),
            Shot(**record("otter"), slug="otter", title="Otter", trip_id="trip", viewpoint_id="shelf"),
        ),
        outcomes={
            "silk": Outcome(**record("o1"), shot_id="silk", word=OutcomeWord.MADE),
            "stones": Outcome(
                **record("o2"),
                shot_id="stones",
                word=OutcomeWord.REPLACED,
                reasons=(Reason.WATER, Reason.CROWD),
                note="Under water",
                replaced_by_shot_id="silk",
            ),
        },
        visits=(
            Visit(
                **record("visit"),
                slug="visit",
                trip_id="trip",
                viewpoint_id="ledge",
                on_date=DAY,
                arrived_at=time(17, 20),
                departed_at=time(18, 45),
                purpose=VisitPurpose.SHOOTING,
                tries=14,
                journal="Moved twice",
            ),
            Visit(**record("hidden"), slug="hidden", trip_id="trip", viewpoint_id="shelf", on_date=DAY),
        ),
        conditions=(
            Condition(
                **record("closed"),
                slug="closed",
                trip_id="trip",
                kind=ConditionKind.CLOSURE,
                on_date=DAY,
                site_id="gorge",
                note="rockfall",
                source="the warden",
            ),
            Condition(
                **record("crowd"),
                slug="crowd",
                trip_id="trip",
                kind=ConditionKind.CROWD,
                on_date=DAY,
                at=time(17, 20),
                viewpoint_id="bend",
                level="dozens",
            ),
        ),
        lessons=(
            Lesson(**record("l1"), slug="l1", verb=LessonVerb.KEEP, text="Both", trip_id="trip"),
            Lesson(
                **record("l2"),
                slug="l2",
                verb=LessonVerb.CHANGE,
                text="For a class",
                viewpoint_id="shelf",
                shown_to=Audience.STUDENTS,
            ),
            Lesson(
                **record("l3"),
                slug="l3",
                verb=LessonVerb.AVOID,
                text="For a client",
                shown_to=Audience.CLIENT,
            ),
        ),
        days=(
            Day(
                **record("day"), trip_id="trip", on_date=DAY, zone="Europe/Vienna", journal="Ice on the tent"
            ),
        ),
        keepers=(
            keeper("one", picture(originals / "one.jpg"), viewpoint_id="ledge", shot_id="silk"),
            keeper(
                "two", picture(originals / "two.jpg", (400, 600)), viewpoint_id="shelf", direction_deg=123.0
            ),
            keeper("gone", str(originals / "gone.jpg"), viewpoint_id="bend", filters=None, support=None),
            keeper("four", picture(originals / "four.jpg"), taken_local=None, filters=()),
        ),
        sets=(KeeperSet(**record("set"), trip_id="trip", kind=SetKind.BRACKET, keeper_ids=("one", "two")),),
        kit={"zoom": KitItem(**record("zoom"), slug="zoom", title="Zoom", kind=KitKind.LENS, owned=True)},
        packed=(
            PackedItem(
                **record("p"), trip_id="trip", item_id="zoom", packing=Packing.LEFT, why="heavy", used=False
            ),
        ),
        loose_lines=(
            LooseLine(
                **record("x"),
                trip_id="trip",
                on_date=DAY,
                file="a.md",
                line=3,
                text="- crowed: 3",
                why="unknown",
            ),
        ),
    )


@pytest.fixture
def build(tmp_path: Path) -> Build:
    """Build a report into a folder of the test's own."""

    def built(
        account: TripAccount, audience: Audience = Audience.CLIENT, name: str = "report", **how: Any
    ) -> BuiltReport:
        return build_report(account, audience, tmp_path / name, templates=TEMPLATES, **how)

    return built


@pytest.fixture
def texts() -> Callable[[BuiltReport], str]:
    """Read all that a report shows: every file's name, and the text of those that hold text."""

    def read(report: BuiltReport) -> str:
        files = [path for path in report.index.parent.rglob("*") if path.is_file()]
        shown = [path.read_text(encoding="utf-8") for path in files if path.suffix not in UNREAD]
        return "\n".join([*(path.name for path in files), *shown])

    return read


@pytest.fixture
def changed() -> Callable[..., TripAccount]:
    """Return an account with one record of a sequence or mapping changed."""

    def change(account: TripAccount, noun: str, record_id: str, **fields: Any) -> TripAccount:
        held = getattr(account, noun)
        if isinstance(held, tuple):
            new: Any = tuple(replace(one, **fields) if one.id == record_id else one for one in held)
        else:
            new = {key: replace(one, **fields) if key == record_id else one for key, one in held.items()}
        return replace(account, **{noun: new})

    return change
