"""Which pictures there are: the settings that each invented camera wrote, and the scene that each one shows.

One surprising decision: times here are the place's true time; the large body's clock is set wrong only when
the file is written, so that the mistake stands in one place.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from sample_trip.draw import coast, forest, gorge, salt, sand, town
from sample_trip.draw.barrier import barrier
from sample_trip.draw.canvas import Sheet
from sample_trip.draw.rim import arch_from_rim

VALLEY, COAST, FOREST = "high-valley-autumn", "slate-coast-winter", "river-forest-spring"


@dataclass(frozen=True, slots=True)
class Body:
    """One invented camera; `offset` is written into its files, `slow_s` is how far its clock is behind."""

    make: str
    model: str
    software: str
    serial: str
    crop: float  # 35 mm-equivalent focal length / focal length
    writes_offset: bool
    slow_s: dict[str, int]  # by trip


LARGE = Body(
    "Halvern", "Halvern Thistle", "Thistle firmware 2.04", "HT-0048213", 1.0, False, {VALLEY: 7 * 60}
)
SMALL = Body("Pellick", "Pellick Wren", "Wren 1.11", "PL-77120-B", 24 / 8.8, True, {})
WIDE, STANDARD, TELE = "Halvern Fern", "Halvern Reed", "Halvern Heron"
BUILT_IN = "Pellick built-in lens"


@dataclass(frozen=True, slots=True)
class Frame:
    """One picture file."""

    trip: str
    name: str
    body: Body
    viewpoint: str
    taken: datetime  # naive, the place's true time
    exposure_s: Fraction
    f_number: float
    iso: int
    lens: str
    focal_mm: float
    draw: Callable[[], Sheet]
    bias_stops: int = 0
    bracket: bool = False
    manual: bool = True
    gps: bool = False
    direction_deg: float | None = None
    rating: int = 3
    lighter_stops: float = 0.0  # how much lighter the drawing is printed
    stored_sideways: bool = False
    owner: bool = False


def _at(text: str) -> datetime:
    return datetime.fromisoformat(text)  # naive on purpose: a camera writes wall time


def _large(trip: str, name: str, viewpoint: str, taken: str, settings: str, lens: str, focal_mm: float,
           draw: Callable[[], Sheet], **more: object) -> Frame:  # fmt: skip
    """Return a frame of the large body; `settings` reads `1/60 f/8 ISO 100`, time first."""
    return _frame(LARGE, trip, name, viewpoint, taken, settings, lens, focal_mm, draw, more)


def _small(trip: str, name: str, viewpoint: str, taken: str, settings: str, focal_mm: float,
           draw: Callable[[], Sheet], **more: object) -> Frame:  # fmt: skip
    return _frame(
        SMALL, trip, name, viewpoint, taken, settings, BUILT_IN, focal_mm, draw, {"manual": False, **more}
    )


def _frame(body: Body, trip: str, name: str, viewpoint: str, taken: str, settings: str, lens: str,
           focal_mm: float, draw: Callable[[], Sheet], more: dict[str, object]) -> Frame:  # fmt: skip
    time_s, aperture, _, iso = settings.split()
    return Frame(trip, name, body, viewpoint, _at(taken), Fraction(time_s), float(aperture[2:]), int(iso),
                 lens, focal_mm, draw, **more)  # type: ignore[arg-type]  # fmt: skip


def _window() -> Sheet:
    return gorge.gorge(41, gorge.LATE, smooth=False, ledge=True)


_TOWN_SEED, _BAR_SEED, _PAIR_SEED = 5, 1, 44

FRAMES: tuple[Frame, ...] = (
    _small(VALLEY, "PKT_2011.JPG", "upper-terrace", "2025-10-13T16:52:08", "1/250 f/4 ISO 125", 8.8,
           lambda: town.town(_TOWN_SEED, town.Hour.DAY), gps=True, direction_deg=281.0, rating=2),
    _small(VALLEY, "PKT_2019.JPG", "north-rim-barrier", "2025-10-14T09:38:51", "1/500 f/4 ISO 125", 10.2,
           lambda: barrier(18), gps=True, direction_deg=12.0, rating=2, owner=True),
    _large(VALLEY, "TRN_0412.JPG", "gravel-bar", "2025-10-14T10:41:20", "1/500 f/11 ISO 1600", STANDARD, 35,
           lambda: gorge.gorge(_BAR_SEED, gorge.NOON, smooth=False), rating=4),
    _large(VALLEY, "TRN_0415.JPG", "gravel-bar", "2025-10-14T11:12:44", "4 f/11 ISO 100", STANDARD, 35,
           lambda: gorge.gorge(_BAR_SEED, gorge.NOON, smooth=True, sluice_open=True), rating=3),
    _large(VALLEY, "TRN_0424.JPG", "quarry-ledge", "2025-10-14T17:36:30", "8 f/11 ISO 100", WIDE, 28,
           lambda: gorge.gorge(3, gorge.SUNSET, smooth=True, ledge=True, sun_at=(0.5, 0.40)),
           gps=True, direction_deg=252.0, rating=5, owner=True),
    _large(VALLEY, "TRN_0429.JPG", "quarry-ledge", "2025-10-14T18:09:12", "15 f/8 ISO 100", WIDE, 24,
           lambda: gorge.gorge(4, gorge.BLUE, smooth=True, ledge=True, portrait=True, lamp=True), rating=4),
    _large(VALLEY, "TRN_0436.JPG", "upper-terrace", "2025-10-15T18:04:55", "4 f/8 ISO 100", STANDARD, 47,
           lambda: town.town(_TOWN_SEED, town.Hour.DUSK), gps=True, direction_deg=283.0, rating=5),
    _small(VALLEY, "PKT_2027.JPG", "lantern-steps", "2025-10-15T19:03:17", "1/30 f/2 ISO 1600", 8.8,
           lambda: town.steps(9, small=True), rating=2),
    _large(VALLEY, "TRN_0440.JPG", "lantern-steps", "2025-10-15T19:16:02", "1/8 f/4 ISO 1600", WIDE, 28,
           lambda: town.steps(6), rating=3),
    _large(VALLEY, "TRN_0443.JPG", "lantern-steps", "2025-10-15T19:42:36", "1/125 f/4 ISO 3200", TELE, 105,
           lambda: town.lantern(7), rating=4, stored_sideways=True),
    _large(VALLEY, "TRN_0447.JPG", "upper-terrace", "2025-10-16T06:51:40", "1/30 f/8 ISO 100", STANDARD, 47,
           lambda: town.town(_TOWN_SEED, town.Hour.FOG), gps=True, direction_deg=284.0, rating=4),
    _large(VALLEY, "TRN_0451.JPG", "mere-hide", "2025-10-16T10:55:13", "1/640 f/5.6 ISO 400", TELE, 200,
           lambda: salt.mere(17), gps=True, direction_deg=55.0, rating=3, manual=False, owner=True),
    _large(VALLEY, "TRN_0455.JPG", "dune-shoulder", "2025-10-16T16:58:21", "1/250 f/8 ISO 200", STANDARD, 70,
           lambda: sand.dune(11), gps=True, direction_deg=341.0, rating=5),
    _large(VALLEY, "TRN_0459.JPG", "dune-shoulder", "2025-10-16T17:21:49", "1/4 f/11 ISO 100", STANDARD, 70,
           lambda: sand.dune(12, slow=True), rating=3),
    _large(VALLEY, "TRN_0462.JPG", "dune-foot", "2025-10-16T19:26:00", "1800 f/5.6 ISO 100", WIDE, 16,
           lambda: sand.trails(13, 7.5), rating=4),
    _large(VALLEY, "TRN_0465.JPG", "pan-centre", "2025-10-17T07:04:33", "1/30 f/16 ISO 100", WIDE, 24,
           lambda: salt.polygons(14), rating=4),
    _small(VALLEY, "PKT_2036.JPG", "pan-edge", "2025-10-17T12:20:09", "1/1250 f/5.6 ISO 125", 8.8,
           lambda: salt.polygons(15, noon=True), rating=1),
    _large(VALLEY, "TRN_0468.JPG", "pan-edge", "2025-10-17T17:18:18", "1/8 f/11 ISO 100", WIDE, 24,
           lambda: salt.mirror(16), rating=5, owner=True),
    _large(VALLEY, "TRN_0470.JPG", "north-rim", "2025-10-18T14:41:26", "1/60 f/11 ISO 100", STANDARD, 32,
           lambda: arch_from_rim(51), gps=True, direction_deg=121.0, rating=3),
    _large(VALLEY, "TRN_0472.JPG", "quarry-ledge", "2025-10-18T16:12:03", "1/250 f/8 ISO 100", STANDARD, 35,
           _window, bias_stops=-2, bracket=True, manual=False, lighter_stops=-1.6),
    _large(VALLEY, "TRN_0473.JPG", "quarry-ledge", "2025-10-18T16:12:04", "1/60 f/8 ISO 100", STANDARD, 35,
           _window, bias_stops=0, bracket=True, manual=False, rating=4),
    _large(VALLEY, "TRN_0474.JPG", "quarry-ledge", "2025-10-18T16:12:05", "1/15 f/8 ISO 100", STANDARD, 35,
           _window, bias_stops=2, bracket=True, manual=False, lighter_stops=1.8),
    _large(VALLEY, "TRN_0478.JPG", "quarry-ledge", "2025-10-18T16:47:40", "1/60 f/8 ISO 100", STANDARD, 50,
           lambda: gorge.gorge(_PAIR_SEED, gorge.LATE, smooth=False, ledge=True), rating=3),
    _large(VALLEY, "TRN_0479.JPG", "quarry-ledge", "2025-10-18T16:53:15", "15 f/8 ISO 100", STANDARD, 50,
           lambda: gorge.gorge(_PAIR_SEED, gorge.LATE, smooth=True, ledge=True), rating=5),
    _large(VALLEY, "TRN_0484.JPG", "quarry-ledge", "2025-10-18T17:53:26", "8 f/8 ISO 100", WIDE, 30,
           lambda: gorge.gorge(46, gorge.VIOLET, smooth=True, ledge=True, lamp=True), rating=4),
    _small(COAST, "PKT_1207.JPG", "harbour-arm", "2024-02-10T12:41:30", "1/250 f/5.6 ISO 125", 10.2,
           lambda: coast.harbour(25, day=True), gps=True, direction_deg=18.0, rating=2),
    _large(COAST, "TRN_0118.JPG", "wave-shelf", "2024-02-10T15:21:09", "1/1000 f/5.6 ISO 400", STANDARD, 70,
           lambda: coast.surf(21, hard=True), rating=4),
    _large(COAST, "TRN_0121.JPG", "wave-shelf", "2024-02-10T17:08:51", "4 f/11 ISO 100", WIDE, 28,
           lambda: coast.surf(22, hard=False), rating=3),
    _large(COAST, "TRN_0125.JPG", "cliff-stile", "2024-02-11T11:02:45", "1/250 f/8 ISO 200", STANDARD, 35,
           lambda: coast.cliff(23), gps=True, direction_deg=301.0, rating=3),
    _large(COAST, "TRN_0131.JPG", "harbour-arm", "2024-02-11T18:07:20", "4 f/8 ISO 100", STANDARD, 50,
           lambda: coast.harbour(24), rating=4, owner=True),
    _small(FOREST, "PKT_1019.JPG", "ford-bank", "2023-05-13T15:10:37", "1/125 f/2.8 ISO 400", 12.1,
           lambda: forest.footbridge(33, mist=0.15, small=True), rating=2),
    _large(FOREST, "TRN_0052.JPG", "lower-pool", "2023-05-13T17:02:14", "6 f/11 ISO 100", WIDE, 24,
           lambda: forest.falls(31, smooth=True), gps=True, direction_deg=351.0, rating=5),
    _large(FOREST, "TRN_0054.JPG", "lower-pool", "2023-05-13T17:20:48", "1/500 f/4 ISO 1600", WIDE, 24,
           lambda: forest.falls(31, smooth=False), rating=3),
    _large(FOREST, "TRN_0061.JPG", "ford-bank", "2023-05-14T06:18:33", "1/2 f/8 ISO 100", STANDARD, 35,
           lambda: forest.footbridge(33, mist=0.85), rating=4),
    _large(FOREST, "TRN_0067.JPG", "still-pool", "2023-05-14T09:41:05", "1/4 f/11 ISO 100", STANDARD, 50,
           lambda: forest.pool(34), rating=3),
)  # fmt: skip
