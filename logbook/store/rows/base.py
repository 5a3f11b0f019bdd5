"""What every table has in common, and the few column shapes that rows are made of."""

from collections.abc import Callable
from datetime import datetime
from enum import StrEnum
from typing import Any

from sqlmodel import Field, SQLModel

from logbook.domain.words import Provenance
from logbook.store.columns import Instant, Listed, ProvenanceMap, Word


class RecordRow(SQLModel):
    """The columns of `domain.record.Record`; the id is random text, so that two books never share one."""

    model_config = {"arbitrary_types_allowed": True}

    id: str = Field(primary_key=True)
    created: datetime = Field(sa_type=Instant)
    updated: datetime = Field(sa_type=Instant)
    provenance: dict[str, Provenance] = Field(sa_type=ProvenanceMap)


def word(vocabulary: type[StrEnum], *, optional: bool = False) -> Any:
    """Return a column that holds one word of a vocabulary."""
    if optional:
        return Field(default=None, sa_type=Word(vocabulary), nullable=True)
    return Field(sa_type=Word(vocabulary))


def listed(item: Callable[[str], Any] = str, *, optional: bool = False, since_later: bool = False) -> Any:
    """Return a column that holds a tuple; optional means that NULL says unknown.

    `since_later` is for a column that older books gain by migration: SQLite then wants a default.
    """
    if optional:
        return Field(default=None, sa_type=Listed(item), nullable=True)
    if since_later:
        return Field(default=(), sa_type=Listed(item), sa_column_kwargs={"server_default": "[]"})
    return Field(default=(), sa_type=Listed(item))


def reference(table: str, *, optional: bool = False) -> Any:
    """Return a column that refers to another record, indexed because lists filter on it."""
    if optional:
        return Field(default=None, foreign_key=f"{table}.id", index=True, nullable=True)
    return Field(foreign_key=f"{table}.id", index=True)
