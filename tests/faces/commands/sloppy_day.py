"""A long day: 19 keepers of two cameras at four viewpoints, six plans; real picture files, an invented place.

The second camera has no receiver and writes no zone. At the last viewpoint nobody had a position.
"""

import shutil
from datetime import date, datetime, timedelta
from fractions import Fraction
from pathlib import Path

from logbook.domain.words import KitKind, Packing, Support
from logbook.services import kinds, records
from logbook.services.keepers.importing import take_in
from logbook.services.plans import outcomes, packing
from logbook.store.book import Book
from tests.services.night.made_frames import LONGITUDE_DEG, MadeFrame, make_picture
from tests.services.night.sittings import now

TRIP = "two-weirs"
DAY = date(2025, 10, 14)
PLACES = {"Bridge rail": 38.20, "Quarry ledge": 38.22, "Lamp terrace": 38.24, "Far crest": 38.26}
# viewpoint, plan, from, to, focal length in mm
PLANS = (
    ("Bridge rail", "Bridge flow", "07:30", "09:00", 35),
    ("Bridge rail", "Bridge arches", "07:30", "09:00", 85),
    ("Quarry ledge", "Ledge noon", "11:30", "13:00", 24),
    ("Lamp terrace", "Lamps at four", "15:30", "17:00", 50),
    ("Lamp terrace", "Terrace crowd", "15:30", "17:00", 28),
    ("Far crest", "Crest glow", "18:00", "19:30", 70),
)
# camera, number, minute of the day by its own clock, place or None, exposure in s, f-number, mm
FRAMES = (
    ("Thistle", 471, 8 * 60, "Bridge rail", Fraction(1, 60), 8, 35),
    ("Thistle", 472, 8 * 60 + 4, "Bridge rail", Fraction(1, 60), 8, 35),
    ("Thistle", 475, 8 * 60 + 9, "Bridge rail", Fraction(15), 8, 35),
    ("Thistle", 480, 8 * 60 + 20, "Bridge rail", Fraction(1, 60), 8, 85),
    ("Sorrel", 1201, 8 * 60 + 9, None, Fraction(1, 125), 4, 85),
    ("Sorrel", 1207, 8 * 60 + 15, None, Fraction(1, 60), 4, 85),  # one stop more parts no group
    ("Sorrel", 1208, 8 * 60 + 18, None, Fraction(1, 125), 4, 85),
    ("Thistle", 490, 12 * 60, "Quarry ledge", Fraction(1, 250), 8, 24),
    ("Thistle", 491, 12 * 60 + 5, "Quarry ledge", Fraction(1, 250), 8, 24),
    ("Thistle", 492, 12 * 60 + 6, "Quarry ledge", Fraction(1, 250), 8, 24),
    ("Sorrel", 1220, 12 * 60 + 13, None, Fraction(1, 500), 4, 85),
    ("Thistle", 500, 16 * 60, "Lamp terrace", Fraction(1, 30), 8, 50),
    ("Thistle", 501, 16 * 60 + 6, "Lamp terrace", Fraction(1, 30), 8, 50),
    ("Thistle", 502, 16 * 60 + 12, "Lamp terrace", Fraction(1, 30), 8, 28),
    ("Sorrel", 1230, 16 * 60 + 13, None, Fraction(1, 60), 4, 28),
    ("Sorrel", 1231, 16 * 60 + 15, None, Fraction(1, 60), 4, 28),
    ("Thistle", 510, 18 * 60 + 30, None, Fraction(1, 2), 8, 70),
    ("Thistle", 511, 18 * 60 + 33, None, Fraction(1, 2), 8, 70),
    ("Thistle", 512, 18 * 60 + 40, None, Fraction(2), 8, 70),
)


def build_long_day(folder: Path) -> Path:
    """Make a book of the day: planned, packed and photographed, nothing written down; return its path."""
    book = Book(folder / "book.sqlite", now, create=True)
    records.add(book, kinds.TRIP, {"title": "Two weirs", "zone": "Asia/Dushanbe"}, TRIP)
    for name in ("nd8", "nd1000", "pol"):
        kit = {"title": name, "kind": KitKind.FILTER, "filter_name": name}
        packing.add_kit(book, kit, None, TRIP, {"packing": Packing.TAKEN})
    gorge = {"latitude_deg": 38.2, "longitude_deg": LONGITUDE_DEG}
    records.add(book, kinds.SITE, {"title": "Gorge", **gorge})
    for title, latitude_deg in PLACES.items():
        fields = {
            "title": title,
            "site": "gorge",
            "latitude_deg": latitude_deg,
            "longitude_deg": LONGITUDE_DEG,
        }
        records.add(book, kinds.VIEWPOINT, fields)
    for where, title, begin, end, focal_mm in PLANS:
        shot = {"title": title, "viewpoint": where.lower().replace(" ", "-"), "on_date": DAY}
        shot |= {"window_from": _time(begin), "window_to": _time(end), "focal_mm": float(focal_mm)}
        shot |= {"support": Support.TRIPOD} if where == "Bridge rail" else {}
        outcomes.plan_shot(book, TRIP, shot, None)
    pictures = folder / "pictures"
    pictures.mkdir()
    for camera, number, minute, place, exposure_s, f_number, focal_mm in FRAMES:
        taken = datetime.combine(DAY, datetime.min.time()) + timedelta(minutes=minute)
        at = PLACES[place] if place else None
        make_picture(pictures, MadeFrame(camera, number, taken, Fraction(exposure_s), f_number, focal_mm, at))
    take_in(book, pictures, trip=TRIP)
    shutil.rmtree(pictures)
    return book.path


def _time(text: str) -> object:
    return datetime.strptime(text, "%H:%M").time()  # noqa: DTZ007
