"""A lesson: something to keep doing, change or avoid next time."""

from dataclasses import dataclass
from datetime import date

from logbook.domain.checks import check_text
from logbook.domain.errors import InvalidValueError
from logbook.domain.record import Record
from logbook.domain.words import Audience, LessonVerb


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson(Record):
    """Tied to a site, viewpoint, shot or technique; `shown_to` None is for the photographer alone."""

    slug: str
    verb: LessonVerb
    text: str
    trip_id: str | None = None
    on_date: date | None = None
    site_id: str | None = None
    viewpoint_id: str | None = None
    shot_id: str | None = None
    technique: str | None = None
    shown_to: Audience | None = None

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise InvalidValueError("A lesson needs a text; an empty one was given.")
        check_text(self.text, "lesson")
        check_text(self.technique, "technique")
