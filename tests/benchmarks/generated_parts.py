"""What generated books are made of: the numbers and words to draw from, and records on their way in."""

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import (
    KitKind,
    Support,
)
from logbook.store.desk import Desk

KEEPERS_A_TRIP, SHOTS_A_TRIP, VISITS_A_TRIP, DAYS_A_TRIP = 100, 20, 10, 5
SITES_A_TRIP = 0.6  # new sites a trip; the rest are places seen before
TRIPS_A_TRANSACTION = 20
# Zone, latitude and longitude (degrees) around which invented places lie.
REGIONS = (
    ("Asia/Dushanbe", 38.2, 72.5),
    ("Europe/Oslo", 68.1, 15.2),
    ("Europe/Lisbon", 37.4, -8.3),
    ("America/Argentina/Ushuaia", -53.8, -67.9),
    ("Africa/Windhoek", -24.9, 16.1),
    ("Pacific/Auckland", -44.8, 168.9),
)
HOURS = {"dawn": (5, 7), "day": (9, 16), "dusk": (17, 20), "night": (21, 23)}  # local
# EV at ISO 100 about which the hour's scenes lie; common practice, no source
LIGHT_EV = {"dawn": 8, "day": 14, "dusk": 7, "night": -3}
WATERY = {"bridge", "cliff", "coast", "gorge", "harbour", "lake", "river", "waterfall"}
PLANNED_S = {
    "silky water": (1, 2, 4),
    "light trails": (4, 8),
    "star trails": (120, 240),
    "panning": (Fraction(1, 30),),
    "rough water": (Fraction(1, 1000),),
}
SUPPORTS = (Support.TRIPOD, Support.TRIPOD, Support.HANDHELD, Support.BRACED, Support.MONOPOD)
HOLDS = {
    Support.TRIPOD: 0.85,
    Support.BRACED: 0.4,
    Support.MONOPOD: 0.3,
    Support.HANDHELD: 0.08,
}  # long times
STACKS: tuple[tuple[str, ...], ...] = (
    ("nd8",),
    ("nd64",),
    ("nd1000",),
    ("nd8", "nd8"),
    ("pol",),
    ("pol", "nd8"),
)
BODIES = ("Halvern Thistle", "Halvern Thistle", "Orrick Tarn")
KIT: tuple[tuple[str, KitKind, dict[str, Any]], ...] = (
    (
        "Halvern Thistle",
        KitKind.CAMERA,
        {"body": "Halvern Thistle", "sensor_width_mm": 36.0, "sensor_height_mm": 24.0},
    ),
    (
        "Orrick Tarn",
        KitKind.CAMERA,
        {"body": "Orrick Tarn", "sensor_width_mm": 23.5, "sensor_height_mm": 15.6},
    ),
    ("14-24 wide zoom", KitKind.LENS, {"focal_min_mm": 14.0, "focal_max_mm": 24.0}),
    ("24-70 zoom", KitKind.LENS, {"focal_min_mm": 24.0, "focal_max_mm": 70.0}),
    ("70-200 zoom", KitKind.LENS, {"focal_min_mm": 70.0, "focal_max_mm": 200.0, "stabilisation_stops": 4.0}),
    ("ND 8", KitKind.FILTER, {"filter_name": "nd8"}),
    ("ND 64", KitKind.FILTER, {"filter_name": "nd64"}),
    ("ND 1000", KitKind.FILTER, {"filter_name": "nd1000"}),
    ("Polariser", KitKind.FILTER, {"filter_name": "pol"}),
    ("Long tripod", KitKind.SUPPORT, {}),
    ("Table tripod", KitKind.SUPPORT, {}),
    ("Monopod", KitKind.SUPPORT, {}),
    ("Spare batteries", KitKind.POWER, {}),
)


@dataclass
class Batch:
    """Records of a few trips on their way into the book, by the shelf they go to."""

    records: dict[str, list[Any]] = field(default_factory=dict)

    def add(self, shelf: str, record: Any) -> Any:
        """Keep a record for its shelf."""
        self.records.setdefault(shelf, []).append(record)
        return record

    def put(self, desk: Desk) -> None:
        """Put everything on the shelves, in an order in which references hold."""
        order = "trips sites viewpoints shots visits conditions lessons days keepers outcomes sets packed"
        for shelf in order.split():
            getattr(desk, shelf).add(*self.records.get(shelf, ()))


@dataclass
class Place:
    """A site with its viewpoints, and the zone its clocks go by."""

    site: Site
    viewpoints: list[Viewpoint]
    zone: ZoneInfo
