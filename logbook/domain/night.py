"""What a night session leaves behind: the answers that let it resume."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from logbook.domain.fields import Refers
from logbook.domain.record import Record


@dataclass(frozen=True, slots=True, kw_only=True)
class NightAnswer(Record):
    """One answer of a night session, kept as it was given so that the session resumes after it."""

    UNIQUE_TOGETHER = (("trip_id", "on_date", "key"),)

    trip_id: Annotated[str, Refers("trip")]
    on_date: date
    key: str
    answer: str
