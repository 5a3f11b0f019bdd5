"""A thousand keepers of one day proposed, beside reading the same keepers from the book; times in s.

Run: python tests/benchmarks/propose_speed.py. Exits with 1 when proposing takes 2 s or more, or when the next
question of a night, once its plan is made, takes more than a tenth of that.
"""

import random
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from logbook.domain.keeper import Keeper
from logbook.domain.record import new_record
from logbook.domain.words import KitKind, Packing, Provenance
from logbook.services import kinds, records
from logbook.services.keepers.proposals import propose
from logbook.services.night.session import Night
from logbook.services.plans import outcomes, packing
from logbook.store.book import Book
from tests.services.night.sittings import next_question

KEEPERS = 1000
PLACES = 20
DAY = date(2031, 10, 14)
LIMIT_S = 2.0  # s


def stocked(folder: Path) -> Book:
    """A book with a day of a thousand keepers at twenty viewpoints, with a shot planned at each."""
    book = Book(folder / "book.sqlite", lambda: datetime.now(UTC), create=True)
    records.add(book, kinds.TRIP, {"title": "Valley", "zone": "Asia/Dushanbe"}, "valley")
    for name in ("nd4", "nd8", "nd64", "nd1000", "pol"):
        kit = {"title": name, "kind": KitKind.FILTER, "filter_name": name}
        packing.add_kit(book, kit, None, "valley", {"packing": Packing.TAKEN})
    records.add(book, kinds.SITE, {"title": "Gorge"})
    for place in range(PLACES):
        where = {"latitude_deg": 38.2 + place * 0.02, "longitude_deg": 73.4}
        records.add(
            book, kinds.VIEWPOINT, {"title": f"Spot {place}", "site": "gorge", **where}, f"spot-{place}"
        )
        shot = {"title": f"Shot {place}", "viewpoint": f"spot-{place}", "on_date": DAY, "focal_mm": 35.0}
        outcomes.plan_shot(book, None, shot, None)
    chance = random.Random(1)
    begins = datetime(2031, 10, 14, 1, tzinfo=UTC)
    with book.writing() as desk:
        (trip,) = desk.trips.all()
        for number in range(KEEPERS):
            at = begins + timedelta(seconds=43 * number)
            camera = ("exposure_s", "f_number", "latitude_deg", "longitude_deg", "taken_utc", "taken_local")
            base = new_record(book.now()) | {"provenance": dict.fromkeys(camera, Provenance.CAMERA)}
            exposure_s = Fraction(1, 125) * 2 ** chance.choice((0, 0, 0, 0, 3, 10))
            desk.keepers.add(
                Keeper(
                    **base,
                    slug=f"big-{number:04}",
                    trip_id=trip.id,
                    file=f"BIG_{number:04}.JPG",
                    path=f"/pictures/BIG_{number:04}.JPG",
                    hash=f"{number:064x}",
                    size_bytes=1,
                    format="JPEG",
                    width_px=6000,
                    height_px=4000,
                    taken_local=(at + timedelta(hours=5)).replace(tzinfo=None),
                    utc_offset_text="+05:00",
                    zone="Asia/Dushanbe",
                    taken_utc=at,
                    exposure_s=exposure_s,
                    f_number=8.0,
                    iso=100,
                    bias_stops=0.0,
                    focal_mm=35.0,
                    body="Halvern Thistle",
                    latitude_deg=38.2 + (number * PLACES // KEEPERS) * 0.02,
                    longitude_deg=73.4,
                )
            )
    return book


def best_of(times: int, work: Callable[[], object]) -> float:
    """The shortest of several runs, in s."""
    best = float("inf")
    for _ in range(times):
        begun = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - begun)
    return best


def read(book: Book) -> None:
    """Read all keepers."""
    with book.reading() as desk:
        assert len(desk.keepers.all()) == KEEPERS


def main() -> int:
    """Measure, print, judge."""
    with tempfile.TemporaryDirectory() as folder:
        book = stocked(Path(folder))
        reading_s = best_of(3, lambda: read(book))
        proposing_s = best_of(3, lambda: propose(book, None, DAY))
        with book.reading() as desk:
            (trip,) = desk.trips.all()
        night = Night(book, trip, DAY)
        begun = time.perf_counter()
        for _ in range(2):
            opening = next_question(night)
            assert opening is not None
            night.take([opening.key])
        next_question(night)
        planning_s = time.perf_counter() - begun
        question_s = best_of(5, lambda: next_question(night))
    lines = (
        f"reading {KEEPERS} keepers        {reading_s:6.3f} s",
        f"proposing them              {proposing_s:6.3f} s  ({proposing_s / reading_s:.1f} x reading)",
        f"night: clock, changes, plan {planning_s:6.3f} s",
        f"night: each question after  {question_s:6.3f} s",
    )
    sys.stdout.write("\n".join(lines) + "\n")
    return int(proposing_s >= LIMIT_S or question_s >= LIMIT_S / 10)


if __name__ == "__main__":
    sys.exit(main())
