"""The nouns of a book: each with its word, and the word for many of it.

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

# By the word that a book and its users have for one.
NOUNS: Mapping[str, type[Record]] = {
    "trip": Trip,
    "site": Site,
    "viewpoint": Viewpoint,
    "kit": KitItem,
    "packed": PackedItem,
    "shot": Shot,
    "keeper": Keeper,
    "keeper_set": KeeperSet,
    "outcome": Outcome,
    "visit": Visit,
    "condition": Condition,
    "lesson": Lesson,
    "day": Day,
    "day_line": DayLine,
    "loose_line": LooseLine,
    "body_clock": BodyClock,
    "track": TrackRecord,
    "night_answer": NightAnswer,
}
