"""A visit: time spent at a viewpoint, from arrival to departure."""

from dataclasses import dataclass
from datetime import date, time
from typing import Annotated

from logbook.domain.checks import check_range, check_text
from logbook.domain.fields import (
    SEARCHED,
    SHOWN,
    SHOWN_TO_STUDENTS,
    STRUCK_FOR_STUDENTS,
    UNIQUE,
    Refers,
    Searched,
)
from logbook.domain.kinds import SLUG, TRIES
from logbook.domain.record import Record
from logbook.domain.words import Support, VisitPurpose


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit(Record):
    """Times are the place's own clock; those before the end of the trip's days lie on the next date."""

    slug: Annotated[str, SLUG, UNIQUE, SHOWN]
    trip_id: Annotated[str, Refers("trip"), SHOWN]
    viewpoint_id: Annotated[str, Refers("viewpoint"), SHOWN]
    on_date: Annotated[date, SHOWN]
    arrived_at: Annotated[time | None, SHOWN] = None
    departed_at: Annotated[time | None, SHOWN] = None
    purpose: Annotated[VisitPurpose | None, SEARCHED, SHOWN_TO_STUDENTS] = None
    tries: Annotated[int | None, TRIES, Searched("{} tries"), SHOWN_TO_STUDENTS] = None
    support: Annotated[Support | None, SEARCHED, SHOWN_TO_STUDENTS] = None
    journal: Annotated[str | None, SEARCHED, STRUCK_FOR_STUDENTS] = None

    def __post_init__(self) -> None:
        check_range(self.tries, "number of tries", 0, 1_000_000)
        check_text(self.journal, "journal")
