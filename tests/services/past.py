"""A book with a past, written by hand: two dunes, a falls and a market, with visits, tries and keepers."""

from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.record import new_record
from logbook.domain.shot import Outcome, Shot
from logbook.domain.words import (
    ConditionKind,
    Footing,
    KitKind,
    LessonVerb,
    OutcomeWord,
    Reason,
    SetKind,
    Sharpness,
    SubjectKind,
    Support,
    TripodRule,
)
from logbook.services import kinds, records
from logbook.services.plans import packing
from logbook.store.book import Book
from tests.services.adding import add_to_trip
from tests.services.ticking import tick

ZONE = "Asia/Dushanbe"
NEW_YEAR = datetime(2031, 1, 1, tzinfo=UTC)
PLACES: dict[str, tuple[Any, ...]] = {
    # kinds, footing, walk, latitude, viewpoint, facing, tripod rule
    "east-dune": (
        (SubjectKind.DUNE, SubjectKind.DESERT),
        Footing.SAND,
        30,
        38.0,
        "east-crest",
        340.0,
        "allowed",
    ),
    "west-dune": (
        (SubjectKind.DUNE, SubjectKind.DESERT),
        Footing.SAND,
        20,
        38.1,
        "west-crest",
        330.0,
        "allowed",
    ),
    "falls": ((SubjectKind.WATERFALL, SubjectKind.FOREST), Footing.ROCK, 60, 39.0, "pool", 90.0, "awkward"),
    "market": ((SubjectKind.MARKET, SubjectKind.PEOPLE), Footing.PAVED, 5, 38.2, "arcade", None, "forbidden"),
}


def write_places(path: Path) -> None:
    """Write a fresh book with a trip and the places."""
    book = Book(path, tick(NEW_YEAR), create=True)
    records.add(book, kinds.TRIP, {"title": "First", "zone": ZONE}, "first")
    for slug, (words, footing, walk, latitude, viewpoint, facing, rule) in PLACES.items():
        site = {
            "title": slug.replace("-", " ").title(),
            "kinds": words,
            "footing": footing,
            "walk_min": walk,
            "latitude_deg": latitude,
            "longitude_deg": 73.0,
            "zone": ZONE,
            "access": "Road to the gate, then a path.",
        }
        records.add(book, kinds.SITE, site, slug)
        stand = {"title": viewpoint.title(), "site": slug, "tripod_rule": TripodRule(rule)}
        stand |= {"facing_deg": facing} if facing is not None else {}
        records.add(book, kinds.VIEWPOINT, stand, viewpoint)


class Past:
    """Writes into a book of `write_places` with short words."""

    def __init__(self, path: Path) -> None:
        self.book = Book(path, tick(NEW_YEAR + timedelta(minutes=10)), create=False)
        self.number = 0

    def id(self, noun: str, slug: str) -> str:
        """The id of a record."""
        with self.book.reading() as desk:
            return str(records.find(desk, kinds.BY_WORD[noun], slug).id)

    def visit(
        self,
        viewpoint: str,
        day: str,
        begin: str = "16:00",
        end: str | None = "18:00",
        tries: int | None = None,
        support: Support | None = None,
    ) -> str:
        """A visit; its slug."""
        fields = {
            "viewpoint": viewpoint,
            "on_date": date.fromisoformat(day),
            "arrived_at": time.fromisoformat(begin),
            "departed_at": time.fromisoformat(end) if end else None,
            "tries": tries,
            "support": support,
        }
        made = add_to_trip(self.book, kinds.VISIT, "first", fields, None)
        return str(made.records[0].slug)

    def seen(self, kind: ConditionKind, level: str | None, viewpoint: str, day: str, **more: Any) -> str:
        """A condition; its slug."""
        fields = {"kind": kind, "level": level, "viewpoint": viewpoint, "on_date": date.fromisoformat(day)}
        made = add_to_trip(self.book, kinds.CONDITION, "first", fields | more, None)
        return str(made.records[0].slug)

    def shot(
        self,
        slug: str,
        viewpoint: str,
        day: str,
        word: OutcomeWord | None = None,
        reasons: tuple[Reason, ...] = (),
        **more: Any,
    ) -> str:
        """A planned shot with its outcome; its id."""
        with self.book.writing() as desk:
            shot = Shot(
                **new_record(self.book.now()),
                slug=slug,
                title=slug.replace("-", " ").capitalize(),
                trip_id=desk.trips.slugs()["first"],
                viewpoint_id=desk.viewpoints.slugs()[viewpoint],
                on_date=date.fromisoformat(day),
                **more,
            )
            desk.shots.add(shot)
            if word is not None:
                desk.outcomes.add(
                    Outcome(**new_record(self.book.now()), shot_id=shot.id, word=word, reasons=reasons)
                )
            return shot.id

    def keeper(self, viewpoint: str, local: str, **more: Any) -> str:
        """A keeper; its id."""
        self.number += 1
        taken = datetime.fromisoformat(local)
        with self.book.writing() as desk:
            fields: dict[str, Any] = {
                "slug": f"trn-{self.number:04}",
                "trip_id": desk.trips.slugs()["first"],
                "file": f"TRN_{self.number:04}.JPG",
                "path": f"pictures/TRN_{self.number:04}.JPG",
                "hash": f"{self.number:064x}",
                "size_bytes": 1,
                "format": "JPEG",
                "taken_local": taken,
                "taken_utc": (taken - timedelta(hours=5)).replace(tzinfo=UTC),
                "zone": ZONE,
                "f_number": 8.0,
                "exposure_s": Fraction(1, 4),
                "iso": 100,
                "focal_mm": 70.0,
                "viewpoint_id": desk.viewpoints.slugs()[viewpoint],
            }
            made = Keeper(**new_record(self.book.now()), **(fields | more))
            desk.keepers.add(made)
            return made.id

    def pair(self, *keeper_ids: str) -> None:
        """Two files of one frame."""
        with self.book.writing() as desk:
            trip_id = desk.trips.slugs()["first"]
            made = KeeperSet(
                **new_record(self.book.now()), trip_id=trip_id, kind=SetKind.PAIR, keeper_ids=keeper_ids
            )
            desk.sets.add(made)

    def lesson(self, verb: LessonVerb, text: str, **more: Any) -> None:
        """A lesson."""
        records.add(self.book, kinds.LESSON, {"verb": verb, "text": text, "trip": "first"} | more)

    def filter(self, slug: str, name: str) -> None:
        """A filter that is owned."""
        fields = {"title": slug, "kind": KitKind.FILTER, "owned": True, "filter_name": name}
        packing.add_kit(self.book, fields, slug, None, {})


Write = Callable[..., Any]
SHARP, SOFT = Sharpness.SHARP, Sharpness.SOFT
