"""A small trip of every noun, and texts planted into all of its free-text fields.

What is a free text is decided by exclusion: a field that a noun gains is planted until somebody lists it here
as something else, and the trial fails where a noun refuses what is planted.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time
from hashlib import sha256
from pathlib import Path
from typing import Any

from PIL import Image

from logbook.domain.clock import BodyClock
from logbook.domain.condition import Condition
from logbook.domain.day import Day, DayLine, LooseLine
from logbook.domain.fields import facts_of
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.lesson import Lesson
from logbook.domain.night import NightAnswer
from logbook.domain.record import Record
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
    Reason,
    SetKind,
    SubjectKind,
    Support,
    VisitPurpose,
)
from logbook.services.exports.book_json import Records, shelf_of
from logbook.store.book import Book
from logbook.store.desk import SHELVES
from tests.trials.planting.forms import PEOPLE, PLACES
from tests.trials.planting.notations import HIDDEN

NOW = datetime(2031, 10, 20, 12, tzinfo=UTC)
DAY = date(2031, 10, 14)
# No free text: ids, words of a vocabulary, what a machine wrote, what must be JSON, what says what is secret.
NO_TEXT = frozenset(
    (
        *(
            "id",
            "zone",
            "level",
            "slug",
            "hash",
            "path",
            "file",
            "format",
            "also",
            "points",
            "seen",
            "answer",
        ),
        *(
            "taken_text",
            "utc_offset_text",
            "noun",
            "section",
            "key",
            "private_names",
            "may_say",
            "also_called",
        ),
        *("provenance", "filters"),
    )
)
OF_SECRETS = frozenset(("hidden-site", "hidden-viewpoint", "other-trip"))  # ids of what is withheld itself
TEXTS = (str, tuple[str, ...])
SHORT = frozenset(("title",))  # one line of at most 200 characters


def _base(record_id: str) -> dict[str, Any]:
    return {"id": record_id, "created": NOW, "updated": NOW}


def records(folder: Path) -> Records:
    """Return a trip with one exact and one withheld place, its pictures drawn into `folder`."""
    made: dict[str, tuple[Record, ...]] = {
        "trips": (
            Trip(
                **_base("trip"),
                slug="valley",
                title="High valley",
                starts_on=DAY,
                ends_on=DAY,
                zone="Europe/Vienna",
                location_shown=Disclosure.EXACT,
                private_names=PEOPLE[:2],
            ),
            Trip(**_base("other-trip"), slug="winter", title="Winter", private_names=PEOPLE[2:]),
        ),
        "sites": (
            Site(
                **_base("site"),
                slug="quarry",
                title="Quarry",
                kinds=(SubjectKind.BRIDGE,),
                latitude_deg=47.123456,
                longitude_deg=12.734567,
            ),
            Site(
                **_base("hidden-site"),
                slug="lauterfall-arch",
                title=PLACES[0],
                also_called=PLACES[2:],
                latitude_deg=HIDDEN.latitude_deg,
                longitude_deg=HIDDEN.longitude_deg,
                location_shown=Disclosure.WITHHELD,
            ),
        ),
        "viewpoints": (
            Viewpoint(
                **_base("viewpoint"),
                slug="quarry-ledge",
                title="Wall",
                site_id="site",
                latitude_deg=47.1237,
                longitude_deg=12.7349,
                facing_deg=225,
            ),
            Viewpoint(
                **_base("hidden-viewpoint"), slug="ottermoor-ledge", title=PLACES[1], site_id="hidden-site"
            ),
        ),
        "kit": (KitItem(**_base("kit"), slug="zoom", title="Zoom", kind=KitKind.LENS, owned=True),),
        "packed": (PackedItem(**_base("packed"), trip_id="trip", item_id="kit", packing=Packing.LEFT),),
        "shots": (
            Shot(
                **_base("shot"),
                slug="silk",
                title="Silk",
                trip_id="trip",
                viewpoint_id="viewpoint",
                on_date=DAY,
                window_from=time(17, 20),
            ),
        ),
        "keepers": tuple(_keeper(number, folder) for number in (1, 2)),
        "sets": (
            KeeperSet(
                **_base("set"), trip_id="trip", kind=SetKind.BRACKET, keeper_ids=("keeper1", "keeper2")
            ),
        ),
        "outcomes": (
            Outcome(**_base("outcome"), shot_id="shot", word=OutcomeWord.PARTLY, reasons=(Reason.LIGHT,)),
        ),
        "visits": (
            Visit(
                **_base("visit"),
                slug="wall-14",
                trip_id="trip",
                viewpoint_id="viewpoint",
                on_date=DAY,
                arrived_at=time(17),
                departed_at=time(19),
                purpose=VisitPurpose.SHOOTING,
                tries=14,
            ),
        ),
        "conditions": tuple(
            Condition(
                **_base(f"condition-{kind}"),
                slug=f"{kind}-14",
                trip_id="trip",
                kind=kind,
                on_date=DAY,
                viewpoint_id="viewpoint",
                note="seen",
            )
            for kind in ConditionKind
        ),
        "lessons": tuple(
            Lesson(
                **_base(f"lesson-{audience}"),
                slug=f"for-{audience}",
                verb=LessonVerb.CHANGE,
                text="come early",
                trip_id="trip",
                on_date=DAY,
                viewpoint_id="viewpoint",
                shown_to=audience,
            )
            for audience in Audience
        ),
        "days": (Day(**_base("day"), trip_id="trip", on_date=DAY),),
        "day_lines": (
            DayLine(
                **_base("line"),
                trip_id="trip",
                on_date=DAY,
                file="day.md",
                section="quarry-ledge",
                line=4,
                text="- tries: 14",
                noun="visit",
                record_id="visit",
                seen=json.dumps({"tries": 14}),
            ),
        ),
        "loose_lines": (
            LooseLine(
                **_base("loose"),
                trip_id="trip",
                on_date=DAY,
                file="day.md",
                line=9,
                text="- hm",
                why="unknown",
            ),
        ),
        "clocks": (
            BodyClock(
                **_base("clock"),
                trip_id="trip",
                body="Halvern Thistle",
                ahead_s=60,
                evidence=ClockEvidence.PHOTOGRAPHED_CLOCK,
            ),
        ),
        "tracks": (
            TrackRecord(**_base("track"), trip_id="trip", file="track.gpx", hash="f" * 64, points="[]"),
        ),
        "night_answers": (
            NightAnswer(**_base("answer"), trip_id="trip", on_date=DAY, key="tries", answer='{"said": 14}'),
        ),
    }
    assert set(made) == set(SHELVES), "a noun is new: make one of it here, so that its texts are planted"
    return {name: made[name] for name in SHELVES}


def _keeper(number: int, folder: Path) -> Keeper:
    path = folder / f"TRN_041{number}.JPG"
    Image.new("RGB", (360, 240), (90, 120, 100 + 20 * number)).save(path)
    return Keeper(
        **_base(f"keeper{number}"),
        slug=f"041{number}",
        trip_id="trip",
        file=path.name,
        path=str(path),
        hash=sha256(path.read_bytes()).hexdigest(),
        size_bytes=path.stat().st_size,
        format="JPEG",
        taken_local=datetime(2031, 10, 14, 17, 40 + number),  # noqa: DTZ001 - the place's wall time is naive
        f_number=8.0,
        iso=200,
        focal_mm=24.0,
        filters=("nd8",),
        support=Support.TRIPOD,
        viewpoint_id="viewpoint",
        shot_id="shot",
    )


def text_fields(noun: type[Record]) -> tuple[str, ...]:
    """Return the free-text fields of a noun."""
    return tuple(
        name
        for name, field in facts_of(noun).items()
        if field.type in TEXTS and name not in NO_TEXT and not name.endswith(("_id", "_ids"))
    )


def planted(made: Records, long_text: str, short_texts: Iterator[str]) -> Records:
    """Return the records with a long text in every free text, and one of the short ones in every title."""
    return {name: tuple(_planted(one, long_text, short_texts) for one in ones) for name, ones in made.items()}


def _planted(record: Record, long_text: str, short_texts: Iterator[str]) -> Record:
    if record.id in OF_SECRETS:
        return record
    changes: dict[str, Any] = {}
    facts = facts_of(type(record))
    for name in text_fields(type(record)):
        text = next(short_texts) if name in SHORT else long_text
        changes[name] = text if facts[name].type is str else (text,)
    return replace(record, **changes)


def book_of(path: Path, made: Mapping[str, Sequence[Record]]) -> Book:
    """Return a new book that holds these records."""
    book = Book(path, lambda: NOW, create=True)
    with book.writing() as desk:
        for name in SHELVES:
            shelf_of(desk, name).add(*made[name])
    return book
