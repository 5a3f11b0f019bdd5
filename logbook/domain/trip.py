"""A trip: a journey with a purpose and an audience."""

from dataclasses import dataclass
from datetime import date, time
from typing import Annotated

from logbook.domain.checks import check_names, check_text, check_title, check_zone
from logbook.domain.errors import InvalidValueError
from logbook.domain.fields import (
    GAINED,
    SEARCHED,
    SHOWN,
    SHOWN_TO_STUDENTS,
    STRUCK,
    STRUCK_FOR_CLIENT,
    STRUCK_FOR_STUDENTS,
    UNIQUE,
)
from logbook.domain.kinds import IDS, NAMES, SLUG, ZONE
from logbook.domain.record import Record
from logbook.domain.said import field_words
from logbook.domain.words import Audience, Disclosure

DAY_ENDS_AT = time(4, 0)  # local; a photographer's day outlasts midnight (the book's convention)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip(Record):
    """A journey; a trip needs no more than a title, the rest may stay unknown."""

    slug: Annotated[str, SLUG, UNIQUE, SHOWN]
    title: Annotated[str, SEARCHED, STRUCK]
    purpose: Annotated[str | None, SEARCHED, STRUCK_FOR_STUDENTS] = None
    audience: Annotated[Audience | None, SHOWN_TO_STUDENTS] = None
    client: Annotated[str | None, SEARCHED, STRUCK_FOR_CLIENT] = None
    brief: Annotated[str | None, SEARCHED, STRUCK_FOR_CLIENT] = None
    starts_on: Annotated[date | None, SHOWN] = None
    ends_on: Annotated[date | None, SHOWN] = None
    zone: Annotated[str | None, ZONE, SHOWN] = None
    day_ends_at: Annotated[time, SHOWN] = DAY_ENDS_AT
    location_shown: Annotated[Disclosure, SHOWN] = Disclosure.AREA
    summary: Annotated[str | None, SEARCHED, STRUCK] = None
    next_visit: Annotated[str | None, SEARCHED, STRUCK_FOR_CLIENT] = None
    credit: Annotated[str | None, STRUCK] = None
    rights: Annotated[str | None, STRUCK] = None
    contact: Annotated[str | None, STRUCK] = None  # how the photographer is reached
    # people whom notes may name and others may not be told of
    private_names: Annotated[tuple[str, ...], NAMES, GAINED] = ()
    # words that may stand in its reports although a withheld name has them
    may_say: Annotated[tuple[str, ...], NAMES, GAINED] = ()

    # ids of the keepers that the photographer put in order for an audience
    client_order: Annotated[tuple[str, ...], IDS, GAINED] = ()
    students_order: Annotated[tuple[str, ...], IDS, GAINED] = ()

    def order_for(self, audience: Audience) -> tuple[str, ...]:
        """Return the ids of the keepers that were put in order for an audience; none for oneself."""
        return {Audience.CLIENT: self.client_order, Audience.STUDENTS: self.students_order}.get(audience, ())

    def __post_init__(self) -> None:
        check_title(self.title, "trip")
        check_zone(self.zone)
        for name in ("purpose", "client", "brief", "summary", "next_visit", "credit", "rights", "contact"):
            check_text(getattr(self, name), field_words(name))
        check_names(self.private_names, "private name")
        check_names(self.may_say, "allowed word")
        if self.starts_on and self.ends_on and self.ends_on < self.starts_on:
            raise InvalidValueError(
                f"The trip would end on {self.ends_on}, before it starts on {self.starts_on}; swap the dates."
            )
