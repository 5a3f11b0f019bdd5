"""A row and its noun have the same fields: one mapping serves every noun."""

from dataclasses import fields
from datetime import UTC, datetime

import pytest
from sqlmodel import Session, SQLModel

from logbook.domain.fields import facts_of
from logbook.domain.record import Record
from logbook.store import rows
from logbook.store.desk import Desk
from logbook.store.shelf import Shelf

SHELVES = Desk(Session(), lambda: datetime.now(UTC)).shelves()


def _all_nouns(of: type[Record]) -> set[type[Record]]:
    return {noun for child in of.__subclasses__() for noun in (child, *_all_nouns(child))}


@pytest.mark.parametrize("shelf", SHELVES, ids=lambda shelf: shelf.table.name)
def test_a_nouns_fields_are_its_rows_columns(shelf: Shelf[Record]) -> None:
    assert {field.name for field in fields(shelf.noun)} == {column.name for column in shelf.table.columns}


@pytest.mark.parametrize("shelf", SHELVES, ids=lambda shelf: shelf.table.name)
def test_a_column_may_be_empty_where_its_field_may_be_unknown_and_only_there(shelf: Shelf[Record]) -> None:
    facts = facts_of(shelf.noun)
    for column in shelf.table.columns:
        assert column.nullable == facts[column.name].may_be_unknown, column.name


def test_every_noun_has_a_shelf_and_every_row_class_a_table_in_use() -> None:
    # slots=True makes each dataclass anew, so a noun is known by its name
    assert {shelf.noun.__name__ for shelf in SHELVES} == {noun.__name__ for noun in _all_nouns(Record)}
    assert {shelf.table.name for shelf in SHELVES} == set(SQLModel.metadata.tables)
    assert len(rows.__all__) == len(SHELVES)
