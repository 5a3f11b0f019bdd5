"""A book to work in: thousands of keepers, among them a day of 150 and a trip of 2,000 whose files are there.

The files of a spot are one drawn JPEG with other bytes at its end, which no reader of pictures sees: each
has a content of its own, and thousands cost little.
"""

import random
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from hashlib import sha256
from io import BytesIO
from pathlib import Path

from logbook.domain.keeper import Keeper
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import KitKind, Packing, Provenance
from logbook.services import kinds, records
from logbook.services.plans import outcomes, packing
from logbook.store.book import Book
from tests.benchmarks.generated_book import make_book

FULL_DAY, LONG_TRIP = "full-day", "long-trip"  # slugs of the two trips
FULL_DAY_KEEPERS, LONG_TRIP_KEEPERS = 150, 2000
ON = date(2031, 10, 14)  # the full day, and the long trip's first
LONG_TRIP_DAYS = 20
SHOTS = 6
SIZE_PX = (1500, 1000)  # enough to be made smaller
CAMERA = ("exposure_s", "f_number", "iso", "focal_mm", "latitude_deg", "longitude_deg", "taken_utc", "body")


def pictured_book(folder: Path, keepers: int = 10_000) -> Path:
    """Make the book with its files in a folder; return its path."""
    path = folder / "book.sqlite"
    if (rest := keepers - FULL_DAY_KEEPERS - LONG_TRIP_KEEPERS) > 0:
        make_book(path, rest)
    book = Book(path, lambda: datetime.now(UTC), create=True)
    records.add(book, kinds.SITE, {"title": "Gorge"})
    for number in range(SHOTS):
        where = {"latitude_deg": 38.2 + number * 0.02, "longitude_deg": 73.4}
        records.add(
            book, kinds.VIEWPOINT, {"title": f"Spot {number}", "site": "gorge", **where}, f"spot-{number}"
        )
    for slug, title in ((FULL_DAY, "A full day"), (LONG_TRIP, "A long trip")):
        records.add(book, kinds.TRIP, {"title": title, "zone": "Asia/Dushanbe", "starts_on": ON}, slug)
        for number in range(SHOTS):
            shot = {"title": f"Shot {number} of {title}", "viewpoint": f"spot-{number}", "on_date": ON}
            outcomes.plan_shot(book, slug, shot | {"focal_mm": 35.0}, None)
    for name in ("nd8", "nd64", "pol"):
        kit = {"title": f"Plate {name}", "kind": KitKind.FILTER, "filter_name": name}
        packing.add_kit(book, kit, None, FULL_DAY, {"packing": Packing.TAKEN})
    with book.writing() as desk:
        for slug, count, days in (
            (FULL_DAY, FULL_DAY_KEEPERS, 1),
            (LONG_TRIP, LONG_TRIP_KEEPERS, LONG_TRIP_DAYS),
        ):
            trip = desk.trips.first(slug=slug)
            assert trip is not None
            desk.keepers.add(*_keepers(folder / slug, trip, count, days))
    return path


def _keepers(folder: Path, trip: Trip, count: int, days: int) -> Iterator[Keeper]:
    """Keepers of an equal number a day, from 06:00 on, walking from spot to spot; two bodies in turn."""
    folder.mkdir()
    drawn = [_drawn(spot / SHOTS) for spot in range(SHOTS)]
    chance = random.Random(trip.slug)
    a_day = count // days
    for number in range(count):
        day, of_day = divmod(number, a_day)
        at = datetime(ON.year, ON.month, ON.day, 1, tzinfo=UTC) + timedelta(days=day)
        at += timedelta(seconds=(43_200 // a_day) * of_day)
        spot = of_day * SHOTS // a_day
        content = drawn[spot] + number.to_bytes(4, "big")
        path = folder / f"BIG_{number:04}.JPG"
        path.write_bytes(content)
        yield Keeper(
            **new_record(at) | {"provenance": dict.fromkeys(CAMERA, Provenance.CAMERA)},
            slug=f"{trip.slug}-{number:04}",
            trip_id=trip.id,
            file=path.name,
            path=str(path),
            hash=sha256(content).hexdigest(),
            size_bytes=len(content),
            format="JPEG",
            width_px=SIZE_PX[0],
            height_px=SIZE_PX[1],
            taken_local=(at + timedelta(hours=5)).replace(tzinfo=None),
            utc_offset_text="+05:00",
            zone="Asia/Dushanbe",
            taken_utc=at,
            exposure_s=Fraction(1, 125) * 2 ** chance.choice((0, 0, 0, 0, 3, 10)),
            f_number=8.0,
            iso=100,
            bias_stops=0.0,
            focal_mm=35.0,
            body=("Halvern Thistle", "Orrick Tarn")[number % 2],
            latitude_deg=38.2 + spot * 0.02,
            longitude_deg=73.4,
        )


def _drawn(shade: float) -> bytes:
    """A JPEG of some shade, light above and dark below."""
    from PIL import Image

    sky = Image.linear_gradient("L").resize(SIZE_PX)
    bands = [sky.point(lambda value, k=k: int(value * k)) for k in (shade, 0.7, 1 - shade)]
    drawn = BytesIO()
    Image.merge("RGB", bands).save(drawn, "JPEG", quality=60)
    return drawn.getvalue()
