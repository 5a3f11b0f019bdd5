"""One day for every face of an evening: what lies in the book before it, and what is true of it.

19 keepers of two cameras, the clock of the second an hour slow; the third row of four is two stays, as nobody
had a position there; six planned shots, a bracket, a strong filter put on and taken off, pictures that nobody
planned, and a gate that was locked. A face enters `TRUTH` in its own way; `truth_in` reads a book back.
"""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from fractions import Fraction
from pathlib import Path

from logbook.domain.words import KitKind, Packing, Provenance, Support
from logbook.domain.written.filters import stack_words
from logbook.domain.written.moments import clock_text
from logbook.services import kinds, records
from logbook.services.keepers.importing import take_in
from logbook.services.plans import outcomes, packing
from logbook.store.book import Book
from logbook.store.desk import Desk
from tests.services.night.made_frames import LONGITUDE_DEG, SORREL, THISTLE, MadeFrame, make_picture
from tests.services.night.sittings import now

TRIP = "two-weirs"
DAY = date(2025, 10, 14)
CLOCK = "1 h slow"  # the Sorrel's
PLACES = {
    "Weir steps": 38.20,
    "Mill window": 38.22,
    "Ferry stage": 38.24,
    "Poplar row": 38.2404,
    "Lamp bank": 38.26,
    "North gate": 38.28,
}
# viewpoint, plan, from, to, focal length in mm
PLANS = (
    ("Weir steps", "Weir silk", time(7, 30), time(9), 35),
    ("Weir steps", "Weir wide", time(7, 30), time(9), 24),
    ("Mill window", "Mill inside", time(10), time(11, 30), 28),
    ("Ferry stage", "Ferry lines", time(14), time(15, 30), 50),
    ("Lamp bank", "Lamps at dusk", time(17, 30), time(19), 70),
    ("North gate", "Gate arch", time(12), time(13), 35),
)
BARE, LONG = Fraction(1, 60), Fraction(15)
# camera, number, when by the place's clock, place whose position it wrote, exposure, f-number, mm, bias
_FRAMES: tuple[tuple[str, int, time, str | None, Fraction, int, int, int | None], ...] = (
    (THISTLE, 471, time(8), "Weir steps", BARE, 8, 35, None),
    (THISTLE, 472, time(8, 4), "Weir steps", BARE, 8, 35, None),
    (THISTLE, 475, time(8, 9), "Weir steps", LONG, 8, 35, None),
    (THISTLE, 476, time(8, 12), "Weir steps", LONG, 8, 35, None),
    (THISTLE, 480, time(8, 20), "Weir steps", BARE, 8, 24, None),
    (SORREL, 1201, time(8, 10), None, Fraction(1, 125), 4, 85, None),
    (SORREL, 1202, time(8, 14), None, Fraction(1, 125), 4, 85, None),
    (THISTLE, 485, time(10, 30), "Mill window", Fraction(1, 30), 8, 28, 0),
    (THISTLE, 486, time(10, 30, 2), "Mill window", Fraction(1, 125), 8, 28, -2),
    (THISTLE, 487, time(10, 30, 4), "Mill window", Fraction(1, 8), 8, 28, 2),
    (SORREL, 1207, time(10, 37), None, Fraction(1, 60), 4, 85, None),
    (THISTLE, 490, time(14, 10), None, Fraction(1, 125), 8, 50, None),
    (THISTLE, 491, time(14, 14), None, Fraction(1, 125), 8, 50, None),
    (SORREL, 1210, time(14, 16), None, Fraction(1, 250), 4, 85, None),
    (THISTLE, 495, time(14, 22), None, Fraction(1, 125), 8, 50, None),
    (THISTLE, 496, time(14, 25), None, Fraction(1, 125), 8, 50, None),
    (THISTLE, 500, time(18), "Lamp bank", Fraction(1, 2), 8, 70, None),
    (THISTLE, 501, time(18, 5), "Lamp bank", Fraction(1, 2), 8, 70, None),
    (SORREL, 1220, time(18, 9), None, Fraction(1, 4), 4, 70, None),
)
_COLOURS = {8: (150, 165, 175), 10: (110, 90, 70), 14: (120, 140, 90), 18: (60, 55, 95)}  # by the hour


@dataclass(frozen=True, slots=True)
class TrueStay:
    """One stay as a person states it; `filters` by file, "none" where there was none."""

    viewpoint: str
    arrived: str
    departed: str
    support: Support
    filters: dict[str, str]
    crowd: str = ""


@dataclass(frozen=True, slots=True)
class TrueDay:
    """What is true of a day; `outcomes` by shot, as they are written, without those that stay open."""

    stays: tuple[TrueStay, ...]
    outcomes: dict[str, str]
    closures: dict[str, str]  # by viewpoint: what was closed
    lessons: tuple[tuple[str, str, str], ...]  # verb, viewpoint, what was learned
    journal: str
    unstated: tuple[str, ...] = field(default=())  # what ought to be stated and is not


def _bare(*files: str) -> dict[str, str]:
    return dict.fromkeys(files, "none")


TRUTH = TrueDay(
    stays=(
        TrueStay(
            "weir-steps",
            "08:00",
            "08:20",
            Support.TRIPOD,
            _bare("TRN_0471.JPG", "TRN_0472.JPG", "TRN_0480.JPG", "OST_1201.JPG", "OST_1202.JPG")
            | dict.fromkeys(("TRN_0475.JPG", "TRN_0476.JPG"), "nd1000"),
            "dozens",
        ),
        TrueStay(
            "mill-window",
            "10:30",
            "10:37",
            Support.BRACED,
            _bare("TRN_0485.JPG", "TRN_0486.JPG", "TRN_0487.JPG", "OST_1207.JPG"),
        ),
        TrueStay(
            "ferry-stage",
            "14:10",
            "14:16",
            Support.HANDHELD,
            _bare("TRN_0490.JPG", "TRN_0491.JPG", "OST_1210.JPG"),
        ),
        TrueStay("poplar-row", "14:22", "14:25", Support.HANDHELD, _bare("TRN_0495.JPG", "TRN_0496.JPG")),
        TrueStay(
            "lamp-bank",
            "18:00",
            "18:09",
            Support.TRIPOD,
            _bare("TRN_0500.JPG", "TRN_0501.JPG", "OST_1220.JPG"),
        ),
    ),
    outcomes={
        "weir-silk": "made",
        "weir-wide": "partly, crowd",
        "mill-inside": "made",
        "ferry-lines": "missed, light",
        "lamps-at-dusk": "made",
        "gate-arch": "missed, closure",
    },
    closures={"north-gate": "gate locked"},
    lessons=(("change", "weir-steps", "come before the coaches"),),
    journal="Long day, cold hands.",
)


def frames() -> tuple[MadeFrame, ...]:
    """The day's pictures as the cameras wrote them."""
    return tuple(
        MadeFrame(
            camera,
            number,
            datetime.combine(DAY, at) - timedelta(hours=camera == SORREL),
            exposure_s,
            f_number,
            focal_mm,
            PLACES[place] if place else None,
            bias,
            _COLOURS[at.hour],
            (240, 160),
        )
        for camera, number, at, place, exposure_s, f_number, focal_mm, bias in _FRAMES
    )


def build_scripted_day(folder: Path) -> Path:
    """Make a book of the day: planned, packed and photographed, nothing written down; return its path.

    The pictures stay in `folder / "pictures"`.
    """
    book = Book(folder / "book.sqlite", now, create=True)
    records.add(book, kinds.TRIP, {"title": "Two weirs", "zone": "Asia/Dushanbe"}, TRIP)
    for name in ("nd8", "nd1000", "pol"):
        kit = {"title": name, "kind": KitKind.FILTER, "filter_name": name}
        packing.add_kit(book, kit, None, TRIP, {"packing": Packing.TAKEN})
    at_site = {"latitude_deg": PLACES["Weir steps"], "longitude_deg": LONGITUDE_DEG}
    records.add(book, kinds.SITE, {"title": "Alder gorge", **at_site})
    for title, latitude_deg in PLACES.items():
        at = {"latitude_deg": latitude_deg, "longitude_deg": LONGITUDE_DEG}
        records.add(book, kinds.VIEWPOINT, {"title": title, "site": "alder-gorge", **at})
    for where, title, begin, end, focal_mm in PLANS:
        window = {"window_from": begin, "window_to": end, "focal_mm": float(focal_mm)}
        there = {"viewpoint": where.lower().replace(" ", "-"), "on_date": DAY}
        outcomes.plan_shot(book, TRIP, {"title": title, **there, **window}, None)
    pictures = folder / "pictures"
    pictures.mkdir()
    for frame in frames():
        make_picture(pictures, frame)
    take_in(book, pictures, trip=TRIP)
    return book.path


def truth_in(path: Path) -> TrueDay:
    """What a book says of the day, to be compared with `TRUTH`."""
    with Book(path, now, create=False).reading() as desk:
        places = {one.id: one.slug for one in desk.viewpoints.all()}
        shots = {one.id: one.slug for one in desk.shots.all()}
        visits = sorted(desk.visits.all(on_date=DAY), key=lambda one: one.arrived_at or time.max)
        unstated: list[str] = []
        return TrueDay(
            stays=tuple(_stay(desk, visit.id, places, unstated) for visit in visits),
            outcomes={
                shots[one.shot_id]: ", ".join([str(one.word), *map(str, one.reasons)])
                for one in desk.outcomes.all()
            },
            closures={
                places.get(one.viewpoint_id or "", ""): one.note or ""
                for one in desk.conditions.all(on_date=DAY)
                if one.kind == "closure"
            },
            lessons=tuple(
                (str(one.verb), places.get(one.viewpoint_id or "", ""), one.text)
                for one in desk.lessons.all()
            ),
            journal="\n".join(one.journal or "" for one in desk.days.all(on_date=DAY)),
            unstated=tuple(unstated),
        )


def _stay(desk: Desk, visit_id: str, places: dict[str, str], unstated: list[str]) -> TrueStay:
    visit = desk.visits.get(visit_id)
    assert visit is not None
    keepers = [one for one in desk.keepers.all() if one.viewpoint_id == visit.viewpoint_id]
    crowds = [one for one in desk.conditions.all(visit_id=visit.id) if one.kind == "crowd"]
    told = [(visit, visit.slug, "viewpoint_id"), (visit, visit.slug, "support")]
    for record, name, field_name in (*told, *((one, one.file, "filters") for one in keepers)):
        if record.provenance_of(field_name) is not Provenance.STATED:
            unstated.append(f"{name}: {field_name}")
    return TrueStay(
        places[visit.viewpoint_id],
        clock_text(visit.arrived_at) if visit.arrived_at else "",
        clock_text(visit.departed_at) if visit.departed_at else "",
        visit.support or Support.UNKNOWN,
        {one.file: "?" if one.filters is None else stack_words(one.filters) for one in keepers},
        " ".join(str(one.level or one.note) for one in crowds),
    )
