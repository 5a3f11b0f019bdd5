"""A book with one of each noun that is found."""

from datetime import UTC, datetime, time
from typing import Any

import pytest

from logbook.domain.condition import Condition
from logbook.domain.lesson import Lesson
from logbook.domain.record import new_record
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind, LessonVerb, OutcomeWord, Reason
from logbook.store.book import Book
from tests.store.text_index.valley import DAY, Clock, keeper


@pytest.fixture
def valley(book: Book, now: Clock) -> Book:
    """A book with one of each noun: a dusk at a ledge from which the river was drawn smooth."""
    base: dict[str, Any] = {"trip_id": "t", "viewpoint_id": "v"}

    def record(name: str) -> dict[str, Any]:
        return new_record(now()) | {"id": name}

    with book.writing() as desk:
        desk.trips.add(Trip(**record("t"), slug="valley", title="Valley of sheds", zone="Asia/Dushanbe"))
        desk.sites.add(
            Site(**record("s"), slug="quarry", title="Quarry", latitude_deg=38.2, longitude_deg=73.4)
        )
        desk.viewpoints.add(Viewpoint(**record("v"), slug="ledge", title="Ledge", site_id="s"))
        desk.shots.add(
            Shot(**record("p"), **base, slug="silk", title="River silk", technique="silky water", on_date=DAY)
        )
        desk.outcomes.add(
            Outcome(**record("o"), shot_id="p", word=OutcomeWord.MISSED, reasons=(Reason.CROWD,))
        )
        desk.visits.add(
            Visit(**record("w"), **base, slug="w", on_date=DAY, journal="Café crème before Łódź.")
        )
        desk.lessons.add(
            Lesson(**record("l"), slug="l", verb=LessonVerb.KEEP, text="Wait longer", shot_id="p")
        )
        for name, at, level in (("c1", time(17), "dozens"), ("c2", time(18, 30), "none")):
            condition: dict[str, Any] = {
                "kind": ConditionKind.CROWD,
                "on_date": DAY,
                "at": at,
                "level": level,
            }
            desk.conditions.add(Condition(**record(name), **base, slug=name, **condition))
        # The sun stood about 4 degrees below the horizon: sunset there is at about 12:53 UTC.
        desk.keepers.add(keeper(record("k"), taken_utc=datetime(2031, 10, 14, 13, 12, tzinfo=UTC)))
    return book
