"""A condition: something observed at a place and a time, never a statement about today."""

from dataclasses import dataclass
from datetime import date, time
from typing import Annotated

from logbook.domain.checks import check_text
from logbook.domain.condition_kinds import KINDS
from logbook.domain.errors import InvalidValueError
from logbook.domain.fields import SEARCHED, SHOWN, STRUCK, UNIQUE, Refers
from logbook.domain.kinds import DIRECTION, SLUG
from logbook.domain.record import Record
from logbook.domain.words import ConditionKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition(Record):
    """One observation; `level` is a word of the kind's own scale, None where it was not noted."""

    slug: Annotated[str, SLUG, UNIQUE, SHOWN]
    trip_id: Annotated[str, Refers("trip"), SHOWN]
    kind: Annotated[ConditionKind, SEARCHED, SHOWN]
    on_date: Annotated[date, SHOWN]
    at: Annotated[time | None, SHOWN] = None
    site_id: Annotated[str | None, Refers("site"), SHOWN] = None
    viewpoint_id: Annotated[str | None, Refers("viewpoint"), SHOWN] = None
    # the visit it was observed on, where that is known
    visit_id: Annotated[str | None, Refers("visit"), SHOWN] = None
    level: Annotated[str | None, SEARCHED, SHOWN] = None
    direction: Annotated[str | None, DIRECTION, SEARCHED, STRUCK] = None
    note: Annotated[str | None, SEARCHED, STRUCK] = None
    source: Annotated[str | None, SEARCHED, STRUCK] = None

    def __post_init__(self) -> None:
        for name in ("direction", "note", "source"):
            check_text(getattr(self, name), name)
        levels = KINDS[self.kind].levels
        if self.level is not None and self.level not in levels:
            words = ", ".join(levels)
            raise InvalidValueError(
                f'"{self.level}" is not a level of {self.kind}; write {words}.'
                if words
                else f'{self.kind} has no levels; put "{self.level}" in the note.'
            )
        if self.level is None and not (self.note or "").strip():
            raise InvalidValueError(f"Say what was seen: a {self.kind} condition needs a level or a note.")
