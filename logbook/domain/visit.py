"""A visit: time spent at a viewpoint, from arrival to departure."""

from dataclasses import dataclass
from datetime import date, time

from logbook.domain.checks import check_range, check_text
from logbook.domain.record import Record
from logbook.domain.words import Support, VisitPurpose


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit(Record):
    """Times are the place's own clock; those before the end of the trip's days lie on the next date."""

    slug: str
    trip_id: str
    viewpoint_id: str
    on_date: date
    arrived_at: time | None = None
    departed_at: time | None = None
    purpose: VisitPurpose | None = None
    tries: int | None = None
    support: Support | None = None
    journal: str | None = None

    def __post_init__(self) -> None:
        check_range(self.tries, "number of tries", 0, 1_000_000)
        check_text(self.journal, "journal")
