"""Books of any size with invented, coherent contents: the same seed and size give the same book.

What happened follows from what was there, so that whoever asks such a book can be checked: a long exposure
on a tripod mostly works, held in the hand it mostly fails (reason technique); hundreds of people, high water
or a closed way make shots miss for just that reason, and mostly the condition was noted beside it.

Run: python tests/benchmarks/generated_book.py book.sqlite 100000 1   (file, keepers, seed)
"""

import sys
import time as clocks
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from logbook.domain.day import Day
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import (
    Audience,
    Footing,
    Packing,
    Provenance,
    SubjectKind,
    TripodRule,
)
from logbook.store.book import Book
from tests.benchmarks.generated_parts import (
    DAYS_A_TRIP,
    KEEPERS_A_TRIP,
    KIT,
    REGIONS,
    SITES_A_TRIP,
    TRIPS_A_TRANSACTION,
    VISITS_A_TRIP,
    Batch,
    Place,
)
from tests.benchmarks.generated_stay import Stay
from tests.benchmarks.generated_words import FEATURES, Words


class Maker:
    """Draws records one after another; slugs and ids are unique by counting and by chance of 128 bits."""

    def __init__(self, seed: int) -> None:
        self.chance = Random(seed)
        self.words = Words(self.chance)
        self.at = datetime(2011, 1, 1, tzinfo=UTC)
        self.count = 0
        self.places: list[Place] = []
        self.kit: list[KitItem] = []

    def record(self, **provenance: Provenance) -> dict[str, Any]:
        """The fields of a fresh record."""
        self.at += timedelta(seconds=1)
        name = f"{self.chance.getrandbits(128):032x}"
        return {"id": name, "created": self.at, "updated": self.at, "provenance": provenance}

    def slug(self, text: str) -> str:
        """A slug that no other record has."""
        self.count += 1
        return f"{text.lower().replace(' ', '-')[:40].strip('-')}-{self.count}"

    def make_kit(self) -> list[KitItem]:
        """What there is to pack."""
        self.kit = [
            KitItem(**self.record(), slug=self.slug(title), title=title, kind=kind, owned=True, **more)
            for title, kind, more in KIT
        ]
        return self.kit

    def make_place(self, batch: Batch) -> Place:
        """A new site with two to four viewpoints."""
        pick = self.chance.choice
        zone, latitude, longitude = pick(REGIONS)
        kind = pick(tuple(FEATURES))
        title = self.words.site(kind)
        site = Site(
            **self.record(),
            slug=self.slug(title),
            title=title,
            kinds=(SubjectKind(kind),),
            region=f"{self.words.place()} country",
            latitude_deg=round(latitude + self.chance.uniform(-1.5, 1.5), 5),
            longitude_deg=round(longitude + self.chance.uniform(-1.5, 1.5), 5),
            elevation_m=float(self.chance.randint(0, 3000)),
            zone=zone,
            footing=pick(tuple(Footing)),
            access=self.words.sentence(),
            walk_min=self.chance.choice((0, 5, 20, 45, 90)),
            hazards=self.words.sentence() if self.chance.random() < 0.3 else None,
        )
        place = Place(batch.add("sites", site), [], ZoneInfo(zone))
        for _ in range(self.chance.randint(2, 4)):
            spot = self.words.spot()
            assert site.latitude_deg is not None
            assert site.longitude_deg is not None
            viewpoint = Viewpoint(
                **self.record(),
                slug=self.slug(spot),
                title=f"{title}, {spot}",
                site_id=site.id,
                latitude_deg=round(site.latitude_deg + self.chance.uniform(-0.01, 0.01), 6),
                longitude_deg=round(site.longitude_deg + self.chance.uniform(-0.01, 0.01), 6),
                facing_deg=float(self.chance.randrange(0, 360, 5)),
                looks_at=self.words.looks_at(),
                tripod_rule=pick(
                    (TripodRule.ALLOWED, TripodRule.ALLOWED, TripodRule.AWKWARD, TripodRule.FORBIDDEN)
                ),
                footing=pick(tuple(Footing)) if self.chance.random() < 0.7 else None,
                notes=self.words.sentence() if self.chance.random() < 0.4 else None,
            )
            place.viewpoints.append(batch.add("viewpoints", viewpoint))
        self.places.append(place)
        return place

    def make_trip(self, number: int, batch: Batch, keepers: int) -> None:
        """One trip of five days with two visits a day."""
        starts = date(2011 + number % 20, 1, 1) + timedelta(days=self.chance.randrange(360))
        self.at = max(self.at, datetime(2011, 1, 1, tzinfo=UTC))
        here = [
            self.make_place(batch)
            if not self.places or self.chance.random() < SITES_A_TRIP / 2
            else self.chance.choice(self.places)
            for _ in range(2)
        ]
        title = f"{here[0].site.title} in {starts:%B}"
        trip = Trip(
            **self.record(),
            slug=self.slug(title),
            title=title,
            purpose=self.chance.choice(
                ("workshop", "client pictures", "own project", "scouting for a class")
            ),
            audience=self.chance.choice((Audience.CLIENT, Audience.STUDENTS, None)),
            brief=self.words.journal(2),
            starts_on=starts,
            ends_on=starts + timedelta(days=DAYS_A_TRIP - 1),
            zone=here[0].site.zone,
            summary=self.words.journal(3),
            next_visit=self.words.sentence(),
        )
        batch.add("trips", trip)
        for item in self.kit:
            batch.add(
                "packed",
                PackedItem(
                    **self.record(),
                    trip_id=trip.id,
                    item_id=item.id,
                    packing=self.chance.choice((Packing.TAKEN, Packing.TAKEN, Packing.LEFT)),
                    why=self.words.sentence() if self.chance.random() < 0.2 else None,
                ),
            )
        for day in range(DAYS_A_TRIP):
            journal = self.words.journal(4)
            batch.add(
                "days",
                Day(**self.record(), trip_id=trip.id, on_date=starts + timedelta(days=day), journal=journal),
            )
        left = keepers
        for visit in range(VISITS_A_TRIP):
            share = left // (VISITS_A_TRIP - visit)
            Stay(
                self, batch, trip, self.chance.choice(here), starts + timedelta(days=visit // 2), share
            ).make()
            left -= share


def batches(keepers: int, seed: int) -> Iterator[tuple[list[KitItem], Batch]]:
    """The book's records, a few trips at a time; kit comes with the first."""
    maker = Maker(seed)
    kit = maker.make_kit()
    left, number = keepers, 0
    while left > 0:
        batch = Batch()
        for _ in range(TRIPS_A_TRANSACTION):
            share = min(KEEPERS_A_TRIP, left)
            if share <= 0:
                break
            maker.make_trip(number, batch, share)
            left -= share
            number += 1
        yield kit, batch
        kit = []


def make_book(path: Path, keepers: int = 100_000, seed: int = 1) -> None:
    """Make a book with so many keepers, a trip for each hundred, twenty shots a trip."""
    book = Book(path, lambda: datetime.now(UTC), create=True)
    for kit, batch in batches(keepers, seed):
        with book.writing() as desk:
            desk.kit.add(*kit)
            batch.put(desk)


if __name__ == "__main__":
    begun = clocks.perf_counter()
    wanted = int(sys.argv[2]) if len(sys.argv) > 2 else 100_000
    make_book(Path(sys.argv[1]), wanted, int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    sys.stdout.write(f"{wanted} keepers in {clocks.perf_counter() - begun:.1f} s\n")
