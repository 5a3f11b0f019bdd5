"""What every entry in the book has: a stable id, two instants, and where its values came from.

One surprising decision: `provenance` names only the fields that were *not* stated by a person, so that a noun
somebody typed needs no bookkeeping and nothing assumed can pass for said.
"""

from collections.abc import Container, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Annotated, Any, ClassVar, TypeVar
from uuid import uuid4

from logbook.domain.fields import SHOWN
from logbook.domain.kinds import ID, ORIGINS
from logbook.domain.words import Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """The part that all nouns share; `created` and `updated` are aware instants in UTC."""

    UNIQUE_TOGETHER: ClassVar[tuple[tuple[str, ...], ...]] = ()  # fields of which no two records share all

    id: Annotated[str, ID, SHOWN]
    created: Annotated[datetime, SHOWN]
    updated: Annotated[datetime, SHOWN]
    provenance: Annotated[Mapping[str, Provenance], ORIGINS, SHOWN] = field(default_factory=dict)

    def provenance_of(self, field_name: str) -> Provenance | None:
        """Return where a field's value came from, or None where the field is unknown."""
        if getattr(self, field_name) is None:
            return None
        return self.provenance.get(field_name, Provenance.STATED)


def new_record(now: datetime) -> dict[str, Any]:
    """Return the fields of a fresh record: a random id that no other book can have, and the instant."""
    return {"id": uuid4().hex, "created": now, "updated": now}


Noun = TypeVar("Noun", bound=Record)


def known(record: Noun, changes: Mapping[str, Any]) -> Noun:
    """Return a record with changes; what became unknown has no provenance either."""
    gone = {name for name, value in changes.items() if value is None}
    provenance = {name: word for name, word in record.provenance.items() if name not in gone}
    return replace(record, **changes, provenance=provenance)


def cut(record: Noun, name: str, there: Container[str]) -> Noun:
    """Return a record that no longer refers to what is not there."""
    wanted = getattr(record, name)
    return record if wanted is None or wanted in there else known(record, {name: None})
