"""A trip: a journey with a purpose and an audience."""

from dataclasses import dataclass
from datetime import date, time

from logbook.domain.checks import check_names, check_text, check_title, check_zone
from logbook.domain.errors import InvalidValueError
from logbook.domain.record import Record
from logbook.domain.words import Audience, Disclosure

DAY_ENDS_AT = time(4, 0)  # local; a photographer's day outlasts midnight (the book's convention)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip(Record):
    """A journey; a trip needs no more than a title, the rest may stay unknown."""

    slug: str
    title: str
    purpose: str | None = None
    audience: Audience | None = None
    client: str | None = None
    brief: str | None = None
    starts_on: date | None = None
    ends_on: date | None = None
    zone: str | None = None
    day_ends_at: time = DAY_ENDS_AT
    location_shown: Disclosure = Disclosure.AREA
    summary: str | None = None
    next_visit: str | None = None
    credit: str | None = None
    rights: str | None = None
    private_names: tuple[str, ...] = ()  # people whom notes may name and others may not be told of
    may_say: tuple[str, ...] = ()  # words that may stand in its reports although a withheld name has them

    def __post_init__(self) -> None:
        check_title(self.title, "trip")
        check_zone(self.zone)
        for name in ("purpose", "client", "brief", "summary", "next_visit", "credit", "rights"):
            check_text(getattr(self, name), name.replace("_", " "))
        check_names(self.private_names, "private name")
        check_names(self.may_say, "word that may be said")
        if self.starts_on and self.ends_on and self.ends_on < self.starts_on:
            raise InvalidValueError(
                f"The trip would end on {self.ends_on} before it starts on {self.starts_on}; swap the dates."
            )
