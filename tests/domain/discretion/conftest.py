"""A small trip: a shown viewpoint that looks at a withheld hide, and people who are not to be named."""

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.lesson import Lesson
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Audience, Disclosure, LessonVerb

NOON = datetime(2031, 10, 20, 12, tzinfo=UTC)


def record(record_id: str) -> dict[str, Any]:
    """The fields that every record has."""
    return {"id": record_id, "created": NOON, "updated": NOON}


def a_keeper(name: str, **fields: Any) -> Keeper:
    """A picture of the shown viewpoint."""
    given: dict[str, Any] = {
        "slug": name,
        "trip_id": "trip",
        "file": f"{name}.jpg",
        "path": f"/{name}.jpg",
        "hash": name * 8,
    }
    given |= {"size_bytes": 1, "format": "JPEG", "viewpoint_id": "bank"}
    return Keeper(**(record(name) | given | fields))


@pytest.fixture
def account() -> TripAccount:
    """The trip, made anew for every test."""
    return small_trip()


def small_trip() -> TripAccount:
    """The hide lies 2 km north-east (45 degrees) of the bank."""
    sites = (
        Site(
            **record("river"),
            slug="river",
            title="Long river",
            latitude_deg=47.0,
            longitude_deg=12.0,
            location_shown=Disclosure.EXACT,
        ),
        Site(
            **record("hide"),
            slug="kerswell-hide",
            title="Kerswell hide",
            also_called=("Old Anvarra",),
            latitude_deg=47.01271,
            longitude_deg=12.01861,
            location_shown=Disclosure.WITHHELD,
        ),
    )
    bank = Viewpoint(
        **record("bank"),
        slug="bank",
        title="Gravel bank",
        site_id="river",
        latitude_deg=47.0,
        longitude_deg=12.0,
        facing_deg=60,
        looks_at="the far wood",
    )
    return TripAccount(
        trip=Trip(
            **record("trip"),
            slug="spring",
            title="Spring at the river",
            summary="Two days near Kerswell.",
            private_names=("Ilse Brandauer",),
            location_shown=Disclosure.EXACT,
        ),
        sites={one.id: one for one in sites},
        viewpoints={"bank": bank},
        shots=(
            Shot(
                **record("dawn"),
                slug="dawn",
                title="Dawn",
                trip_id="trip",
                viewpoint_id="bank",
                on_date=date(2031, 4, 2),
                intent="Mist, then Anvarra behind it",
            ),
        ),
        lessons=(
            Lesson(
                **record("lesson"),
                slug="l1",
                trip_id="trip",
                verb=LessonVerb.KEEP,
                text="Ask Tomas first, or Brandauer.",
                shown_to=Audience.STUDENTS,
            ),
        ),
        keepers=(a_keeper("one", direction_deg=50.0, focal_mm=24.0, caption="From the bank"),),
        people=("Tomas Okonjo",),
    )


def with_focal(account: TripAccount, focal_mm: float | None) -> TripAccount:
    """Return the account with its one picture taken so long."""
    return replace(account, keepers=(replace(account.keepers[0], focal_mm=focal_mm),))
