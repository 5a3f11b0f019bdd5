"""Every noun has a table, and what its fields say of themselves is so in the book."""

from datetime import UTC, datetime
from typing import Any

import pytest
from sqlalchemy import Column, create_engine
from sqlalchemy.dialects import sqlite
from sqlmodel import Field, SQLModel

from logbook.domain.fields import facts_of
from logbook.domain.kinds import Stored
from logbook.domain.nouns import NOUNS
from logbook.domain.record import Record
from logbook.domain.viewpoint import Viewpoint
from logbook.store.desk import Desk
from logbook.store.tables import all_tables, table_of


def _all_nouns(of: type[Record]) -> set[type[Record]]:
    return {noun for child in of.__subclasses__() for noun in (child, *_all_nouns(child))}


def test_every_noun_has_a_table_and_a_shelf() -> None:
    # slots=True makes each dataclass anew, so a noun is known by its name
    ours = {noun.__name__ for noun in _all_nouns(Record) if noun.__module__.startswith("logbook.")}
    assert {noun.__name__ for noun in NOUNS.values()} == ours
    with create_engine("sqlite://").connect() as connection:
        shelves = Desk(connection, lambda: datetime.now(UTC)).shelves()
    assert {shelf.noun for shelf in shelves} == {*NOUNS.values()}
    assert {shelf.table.name for shelf in shelves} == set(NOUNS)


@pytest.mark.parametrize("noun", NOUNS.values(), ids=NOUNS)
def test_a_field_may_be_empty_in_the_book_where_it_may_be_unknown_and_only_there(noun: type[Record]) -> None:
    facts = facts_of(noun)
    assert {column.name: column.nullable for column in table_of(noun).columns} == {
        name: one.may_be_unknown for name, one in facts.items()
    }


def test_what_a_viewpoint_refers_to_is_held_and_looked_up_by_the_book() -> None:
    all_tables()
    column = table_of(Viewpoint).c.site_id
    assert [key.column.table.name for key in column.foreign_keys] == ["site"]
    assert column.index


@pytest.mark.parametrize("noun", NOUNS.values(), ids=NOUNS)
def test_a_plain_type_has_the_column_that_sqlmodel_gives_it(noun: type[Record]) -> None:
    plain = {name: one for name, one in facts_of(noun).items() if one.kind.stored is not Stored.CODED}
    columns: dict[str, Any] = {
        name: Field(primary_key=name == "id", nullable=one.may_be_unknown) for name, one in plain.items()
    }
    columns["__annotations__"] = {
        name: one.type | None if one.may_be_unknown else one.type for name, one in plain.items()
    }
    columns["__tablename__"] = f"{noun.__name__}_by_sqlmodel"
    make: Any = type(SQLModel)
    theirs = make(noun.__name__, (SQLModel,), columns, table=True).__table__.c
    ours = table_of(noun).c
    assert {name: _said(ours[name]) for name in plain} == {name: _said(theirs[name]) for name in plain}


def _said(column: Column[Any]) -> str:
    return f"{column.type.compile(dialect=sqlite.dialect())} {column.nullable}"
