"""A shelf holds all records of one noun; it turns frozen values into rows and back.

One surprising decision: tables are made from the nouns, so a row and its noun have the same field names, and
mapping serves every noun. What a transaction has read is held and kept true while it writes; what is written
past the shelf (a removal by table and id, a merge) makes it forget everything.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, fields
from typing import Any, Generic, TypeVar

from sqlalchemy import Connection, Select, Table, bindparam, delete, insert, select, text, update

from logbook.domain.errors import BookError, LogbookError
from logbook.domain.names import Slugs
from logbook.domain.record import Record

# What values that no program of ours wrote can make of themselves while they become a record.
UNREADABLE = (
    LogbookError,
    ValueError,
    TypeError,
    LookupError,
    ArithmeticError,
    AttributeError,
    RecursionError,
)

Noun = TypeVar("Noun", bound=Record)
Wanted = frozenset[tuple[str, Any]]


@dataclass(slots=True)
class Held(Generic[Noun]):
    """What a transaction has read: records by id, for each set of fields asked for, and the slugs."""

    records: dict[Wanted, dict[str, Noun]] = field(default_factory=dict)
    slugs: Slugs | None = None

    def of(self, equals: Mapping[str, Any], read: Callable[[], Iterable[Noun]]) -> Iterable[Noun]:
        """Return the records whose fields equal the given ones, read where they are not held."""
        wanted = frozenset(equals.items())
        if wanted not in self.records:
            self.records[wanted] = {one.id: one for one in read()}
        return self.records[wanted].values()

    def one(self, record_id: str) -> Noun | None:
        """Return a record that is held, by its id."""
        return next((held[record_id] for held in self.records.values() if record_id in held), None)

    def note(self, value: Noun, *, is_new: bool) -> None:
        """Take a record as it is written now."""
        for wanted, held in self.records.items():
            if all(getattr(value, name) == other for name, other in wanted):
                held[value.id] = value
            else:
                held.pop(value.id, None)
        if self.slugs is not None and hasattr(value, "slug"):
            if is_new:
                self.slugs.take(value.slug)
            elif value.slug not in self.slugs:
                self.slugs = None  # it was renamed, nobody knows from what

    def forget(self) -> None:
        """Hold nothing."""
        self.records.clear()
        self.slugs = None


@dataclass(frozen=True, slots=True)
class Shelf(Generic[Noun]):
    """All records of one noun in one book, within one transaction."""

    connection: Connection
    noun: type[Noun]
    table: Table
    _held: Held[Noun] = field(default_factory=Held, compare=False, repr=False)

    @staticmethod
    def _columns(value: Record) -> dict[str, Any]:
        return {field.name: getattr(value, field.name) for field in fields(value)}

    def add(self, *values: Noun) -> None:
        """Put new records on the shelf."""
        if values:
            self.connection.execute(insert(self.table), [self._columns(value) for value in values])
            for value in values:
                self._held.note(value, is_new=True)

    def put(self, value: Noun) -> None:
        """Write a record over the one with the same id."""
        where_it_is = update(self.table).where(self.table.c.id == bindparam("its_id"))
        self.connection.execute(where_it_is, [self._columns(value) | {"its_id": value.id}])
        self._held.note(value, is_new=False)

    def remove(self, ids: Iterable[str]) -> None:
        """Take records off the shelf by id."""
        for record_id in ids:
            self.connection.execute(delete(self.table).where(self.table.c.id == record_id))
        self._held.forget()

    def get(self, record_id: str | None) -> Noun | None:
        """Return the record with an id, or None; one that is held is not read again."""
        if not record_id:
            return None
        return self._held.one(record_id) or self.first(id=record_id)

    def first(self, **equals: Any) -> Noun | None:
        """Return the first record whose fields equal the given ones, or None."""
        return next(iter(self.all(**equals)), None)

    def all(self, **equals: Any) -> list[Noun]:
        """Return the records whose fields equal the given ones, in the order they were added."""
        query = self._where(select(self.table), equals)
        with self._named_if_unreadable():
            rows = self.connection.execute(query.order_by(self.table.c.created, text("rowid")))
            names = tuple(rows.keys())
            return [self.noun(**dict(zip(names, row, strict=True))) for row in rows]

    def _where(self, query: Select[Any], equals: Mapping[str, Any]) -> Select[Any]:
        """Narrow a query to the records whose fields equal the given ones, or one of a set of them."""
        for name, wanted in equals.items():
            column = self.table.c[name]
            query = query.where(column.in_(wanted) if isinstance(wanted, set) else column == wanted)
        return query

    @contextmanager
    def _named_if_unreadable(self) -> Iterator[None]:
        """A value that no program of ours wrote may make anything of itself: that is one sentence too."""
        try:
            yield
        except UNREADABLE as error:
            what = self.table.name.replace("_", " ")
            article = "an" if what[0] in "aeiou" else "a"
            raise damaged(f"{article} {what}", _first_line(error)) from error

    def held(self, **equals: Any) -> Iterable[Noun]:
        """Return what `all` does, read once in a transaction; what is written meanwhile is in it."""
        return self._held.of(equals, lambda: self.all(**equals))

    def taken(self) -> Slugs:
        """Return the slugs in use, read once in a transaction; what is written meanwhile is among them."""
        if self._held.slugs is None:
            self._held.slugs = Slugs(self.slugs())
        return self._held.slugs

    def new_slug(self, title: str) -> str:
        """Return the slug that a new record of a title gets."""
        return self.taken().free(title)

    def forget(self) -> None:
        """Read everything again: something was written past this shelf."""
        self._held.forget()

    def values(self, name: str, **equals: Any) -> set[Any]:
        """Return the values that a field has among the records whose fields equal the given ones."""
        query = self._where(select(self.table.c[name]).distinct(), equals)
        with self._named_if_unreadable():
            return set(self.connection.execute(query).scalars()) - {None}

    def columns(self, *names: str, **equals: Any) -> list[tuple[Any, ...]]:
        """Return some fields of records whose fields equal the given ones, without building the records."""
        query = self._where(select(*(self.table.c[name] for name in names)), equals)
        with self._named_if_unreadable():
            return [tuple(row) for row in self.connection.execute(query)]

    def ids(self, **equals: Any) -> tuple[str, ...]:
        """Return the ids of records whose fields equal the given ones, without building the records."""
        query = self._where(select(self.table.c.id), equals)
        return tuple(self.connection.execute(query.order_by(self.table.c.id)).scalars())

    def slugs(self, **equals: Any) -> dict[str, str]:
        """Return slug to id, for looking names up without building whole records."""
        query = self._where(select(self.table.c.slug, self.table.c.id), equals)
        return {row.slug: row.id for row in self.connection.execute(query.order_by(self.table.c.slug))}

    def titles(self, **equals: Any) -> dict[str, list[str]]:
        """Return title to ids; nouns that have no title give nothing."""
        result: dict[str, list[str]] = {}
        if "title" in self.table.c:
            query = self._where(select(self.table.c.title, self.table.c.id), equals)
            for row in self.connection.execute(query):
                result.setdefault(row.title, []).append(row.id)
        return result

    def other_names(self, **equals: Any) -> dict[str, list[str]]:
        """Return what else people call records, each name with ids; most nouns have no other names."""
        result: dict[str, list[str]] = {}
        if "also_called" in self.table.c:
            query = self._where(select(self.table.c.also_called, self.table.c.id), equals)
            for names, record_id in self.connection.execute(query):
                for name in names:
                    result.setdefault(name, []).append(record_id)
        return result


def damaged(what: str, cause: object) -> BookError:
    """Return the error that says which record cannot be read and what to do."""
    return BookError(
        f"The book is damaged: {what} in it cannot be read ({cause}); "
        '"logbook check" names it, and "logbook restore" puts a backup in place.'
    )


def _first_line(error: Exception) -> str:
    return (str(error).splitlines() or [type(error).__name__])[0][:80]
