"""The tables of the nouns, made from what their fields say of themselves.

One surprising decision: they are tables of SQLAlchemy's core and no classes. Shelves write and read values by
the names of their fields and need no more, and classes that check and map values take five times as long to
make, at every start. A table is made when it is first asked for, as most commands read a few.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from threading import Lock
from typing import Any

from sqlalchemy import (
    Boolean,
    Column,
    Connection,
    Date,
    Dialect,
    Float,
    ForeignKey,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    Time,
    UniqueConstraint,
)
from sqlalchemy.dialects.sqlite.base import SQLiteDialect
from sqlalchemy.schema import CreateIndex, CreateTable
from sqlalchemy.types import TypeDecorator, TypeEngine

from logbook.domain.fields import FieldFacts, Mark, facts_of
from logbook.domain.kinds import Kind, Stored
from logbook.domain.nouns import NOUNS
from logbook.domain.record import Record

_TYPES: Mapping[Stored, type[TypeEngine[Any]]] = {
    Stored.TEXT: String,
    Stored.WHOLE: Integer,
    Stored.REAL: Float,
    Stored.TRUTH: Boolean,
    Stored.DATE: Date,
    Stored.TIME: Time,
}


class Coded(TypeDecorator[Any]):
    """A value that lies in a book as the text which its kind makes of it."""

    impl = Text
    cache_ok = True

    def __init__(self, kind: Kind[Any]) -> None:
        super().__init__()
        self.kind = kind

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        """Store the text."""
        return None if value is None else self.kind.coded(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Any:
        """Return the value."""
        return None if value is None else self.kind.decoded(value)


def _column(field: FieldFacts) -> Column[Any]:
    stored = field.kind.stored
    is_unique = Mark.UNIQUE in field.marks
    is_referring = field.refers_to is not None
    return Column(
        field.name,
        Coded(field.kind) if stored is Stored.CODED else _TYPES[stored](),
        *([ForeignKey(f"{field.refers_to}.id")] if is_referring else []),
        primary_key=field.name == "id",
        nullable=field.may_be_unknown,
        unique=is_unique or None,
        # Lists filter on what a record refers to.
        index=Mark.LOOKED_UP in field.marks or (is_referring and not is_unique) or None,
        # SQLite wants a default for a column that older books gain.
        server_default="[]" if Mark.GAINED in field.marks else None,
    )


def _constraints(noun: type[Record]) -> Iterator[UniqueConstraint]:
    for names in noun.UNIQUE_TOGETHER:
        yield UniqueConstraint(*names)


METADATA = MetaData()  # holds what was made so far
_MAKING = Lock()  # two threads may ask for the same table
_WORDS: Mapping[type[Record], str] = {noun: word for word, noun in NOUNS.items()}


def table_named(word: str) -> Table:
    """Return the table that the records of a noun lie in, by the noun's word."""
    with _MAKING:
        made = METADATA.tables.get(word)
        if made is None:
            noun = NOUNS[word]
            made = Table(word, METADATA, *map(_column, facts_of(noun).values()), *_constraints(noun))
        return made


def table_of(noun: type[Record]) -> Table:
    """Return the table that the records of a noun lie in."""
    return table_named(_WORDS[noun])


@cache
def all_tables() -> tuple[Table, ...]:
    """Return the tables of all nouns; what is referred to comes first."""
    for word in NOUNS:
        table_named(word)
    return tuple(METADATA.sorted_tables)


def create_tables(connection: Connection) -> None:
    """Make the empty tables; part of the running transaction."""
    for statement in _statements():
        connection.exec_driver_sql(statement)


@cache
def _statements() -> tuple[str, ...]:
    """What makes the tables and their indexes, written out once a run."""
    made = (one for table in all_tables() for one in _making(table))
    return tuple(str(one.compile(dialect=SQLiteDialect())) for one in made)


def _making(table: Table) -> Iterator[CreateTable | CreateIndex]:
    yield CreateTable(table)
    yield from (CreateIndex(index) for index in sorted(table.indexes, key=lambda one: str(one.name)))


def unique_fields(table: Table) -> tuple[tuple[str, ...], ...]:
    """Return each combination of fields that is unique in a table, the id not among them."""
    alone = [(column.name,) for column in table.columns if column.unique]
    together = [
        tuple(column.name for column in constraint.columns)
        for constraint in table.constraints
        if isinstance(constraint, UniqueConstraint)
    ]
    return tuple(sorted({*alone, *together}))
