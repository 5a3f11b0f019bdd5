"""A lesson: something to keep doing, change or avoid next time."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from logbook.domain.checks import check_text
from logbook.domain.errors import InvalidValueError
from logbook.domain.fields import SEARCHED, SHOWN, STRUCK, STRUCK_FOR_STUDENTS, UNIQUE, Refers
from logbook.domain.kinds import SLUG
from logbook.domain.record import Record
from logbook.domain.words import Audience, LessonVerb


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson(Record):
    """Tied to a site, viewpoint, shot or technique; `shown_to` None is for the photographer alone."""

    slug: Annotated[str, SLUG, UNIQUE, SHOWN]
    verb: Annotated[LessonVerb, SEARCHED, SHOWN]
    text: Annotated[str, SEARCHED, STRUCK]
    trip_id: Annotated[str | None, Refers("trip"), SHOWN] = None
    on_date: Annotated[date | None, SHOWN] = None
    site_id: Annotated[str | None, Refers("site"), SHOWN] = None
    viewpoint_id: Annotated[str | None, Refers("viewpoint"), SHOWN] = None
    shot_id: Annotated[str | None, Refers("shot"), SHOWN] = None
    technique: Annotated[str | None, SEARCHED, STRUCK_FOR_STUDENTS] = None
    shown_to: Annotated[Audience | None, SHOWN] = None

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise InvalidValueError("A lesson needs some text; this one is empty.")
        check_text(self.text, "lesson")
        check_text(self.technique, "technique")
