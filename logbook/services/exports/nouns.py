"""The nouns of an export: where each stands on a desk, and what its fields refer to.

One surprising decision: the order is that in which records can be put into an empty book, so that whatever a
record refers to stands before it; only a shot may refer to another shot.
"""

from collections.abc import Mapping

from logbook.domain.clock import BodyClock
from logbook.domain.condition import Condition
from logbook.domain.day import Day, DayLine, LooseLine
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

# The name of each list in a document is that of its shelf on a desk.
NOUNS: Mapping[str, type[Record]] = {
    "trips": Trip,
    "sites": Site,
    "viewpoints": Viewpoint,
    "kit": KitItem,
    "packed": PackedItem,
    "shots": Shot,
    "keepers": Keeper,
    "sets": KeeperSet,
    "outcomes": Outcome,
    "visits": Visit,
    "conditions": Condition,
    "lessons": Lesson,
    "days": Day,
    "day_lines": DayLine,
    "loose_lines": LooseLine,
    "clocks": BodyClock,
    "tracks": TrackRecord,
    "night_answers": NightAnswer,
}

# A field that holds the id of another record, and the list in which that record stands.
REFERENCES: Mapping[str, str] = {
    "trip_id": "trips",
    "site_id": "sites",
    "viewpoint_id": "viewpoints",
    "shot_id": "shots",
    "visit_id": "visits",
    "fallback_for_id": "shots",
    "replaced_by_shot_id": "shots",
    "replaced_by_keeper_id": "keepers",
    "item_id": "kit",
}

WALL_TIMES = frozenset(("taken_local", "since"))  # readings of a clock; every other datetime is an instant
NESTED = frozenset(("points", "seen"))  # kept as JSON text in the book, and as what it says in a document
