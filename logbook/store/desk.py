"""A desk: all shelves of a book within one transaction, and what refers to what.

One surprising decision: what searches, merges and checks is imported by whoever asks for it, as most commands
only take records off a shelf.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from sqlalchemy import Connection, func, literal, select, text

from logbook.domain.clock import BodyClock
from logbook.domain.condition import Condition
from logbook.domain.day import Day, DayLine, LooseLine
from logbook.domain.errors import BookError
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.lesson import Lesson
from logbook.domain.night import NightAnswer
from logbook.domain.record import Record
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.track import TrackRecord
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.store.changes.journal import Journal
from logbook.store.known_files import KnownFiles, Measures
from logbook.store.shelf import Shelf
from logbook.store.tables import all_tables, table_named, table_of

if TYPE_CHECKING:
    from logbook.store.checks import RowChecks
    from logbook.store.merging.copies import Copy
    from logbook.store.merging.merged import Merged
    from logbook.store.tallies.keeping import Tallies
    from logbook.store.text_index.asking import Index

Noun = TypeVar("Noun", bound=Record)


@dataclass(frozen=True, slots=True)
class RecordReference:
    """One record that refers to another; `needed`: it cannot stand without it; `name` is its slug."""

    table: str
    id: str
    name: str
    column: str
    needed: bool


class OpenedShelf(Generic[Noun]):
    """A shelf of a desk, opened on first use."""

    def __init__(self, noun: type[Noun]) -> None:
        self.noun = noun

    def __set_name__(self, _desk: type, name: str) -> None:
        self.name = name

    def __get__(self, desk: "Desk", _class: Any = None) -> Shelf[Noun]:
        shelf: Shelf[Noun] = Shelf(desk.connection, self.noun, table_of(self.noun))
        vars(desk)[self.name] = shelf
        return shelf


class Desk:
    """The shelves, opened on first use; changes are kept when the transaction ends well."""

    # Records can be put into an empty book in this order: what one refers to stands before it.
    trips = OpenedShelf(Trip)
    sites = OpenedShelf(Site)
    viewpoints = OpenedShelf(Viewpoint)
    kit = OpenedShelf(KitItem)
    packed = OpenedShelf(PackedItem)
    shots = OpenedShelf(Shot)
    keepers = OpenedShelf(Keeper)
    sets = OpenedShelf(KeeperSet)
    outcomes = OpenedShelf(Outcome)
    visits = OpenedShelf(Visit)
    conditions = OpenedShelf(Condition)
    lessons = OpenedShelf(Lesson)
    days = OpenedShelf(Day)
    day_lines = OpenedShelf(DayLine)
    loose_lines = OpenedShelf(LooseLine)
    clocks = OpenedShelf(BodyClock)
    tracks = OpenedShelf(TrackRecord)
    night_answers = OpenedShelf(NightAnswer)

    def __init__(
        self,
        connection: Connection,
        now: Callable[[], datetime],
        *,
        index_is_whole: bool = True,
        since: int = 0,
    ) -> None:
        """Lay the book out; `since` is the last row of the journal that the transaction found."""
        self.connection = connection
        self._now = now
        self._index_is_whole = index_is_whole
        self._followed_to = since

    @property
    def index(self) -> "Index":
        """The text index; raises BookError where it is damaged and set aside."""
        if not self._index_is_whole:
            raise BookError(
                'The search index is damaged, so nothing can be found; "logbook check --repair" rebuilds it.'
            )
        from logbook.store.text_index.asking import Index

        return Index(self.connection)

    @property
    def tallies(self) -> "Tallies":
        """What looking back counts; worked out from the records where the index is set aside."""
        from logbook.store.tallies.keeping import Tallies

        return Tallies(self.connection, whole=self._index_is_whole)

    def follow_places(self) -> None:
        """Give what moved in this transaction the time of the clock where it was made; it ends with this.

        Whoever shows what it moved asks before.
        """
        from logbook.store.following import follow_places

        self._followed_to = follow_places(self, self._followed_to)

    def now(self) -> datetime:
        """Return the instant by the book's clock."""
        return self._now()

    @contextmanager
    def attempt(self) -> Iterator[None]:
        """Open a part of the transaction of which all is kept or, where it raises, nothing."""
        try:
            with self.connection.begin_nested():
                yield
        except BaseException:
            self._forget()
            raise

    @property
    def journal(self) -> Journal:
        """What commands changed."""
        return Journal(self.connection, self._now)

    @property
    def known_files(self) -> KnownFiles:
        """What this machine knows of picture files."""
        return KnownFiles(self.connection)

    @property
    def measures(self) -> Measures:
        """What was measured of pictures."""
        return Measures(self.connection)

    def copy(self) -> "Copy":
        """Return all that this copy of the book knows, for merging."""
        from logbook.store.merging.copies import read_copy

        return read_copy(self.connection)

    def become(self, before: "Copy", merged: "Merged") -> None:
        """Make this book the merged one; raises ConflictError where the two do not fit together."""
        from logbook.store.merging.merged import write

        write(self.connection, before, merged)
        self._forget()

    def take_rows(self, tables: Iterable[tuple[str, Sequence[str], Sequence[tuple[object, ...]]]]) -> None:
        """Take rows in as they lay in another file (table, columns, rows); references are checked last."""
        connection = self.connection
        connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
        for table, columns, found in tables:
            if found:
                marks = ", ".join("?" * len(columns))
                listed = ", ".join(f'"{name}"' for name in columns)
                connection.exec_driver_sql(f"INSERT INTO {table} ({listed}) VALUES ({marks})", list(found))

    @property
    def checks(self) -> "RowChecks":
        """What can be wrong with the file and its rows."""
        from logbook.store.checks import RowChecks

        return RowChecks(self.connection)

    def shelves(self) -> tuple[Shelf[Any], ...]:
        """Return every shelf."""
        return tuple(getattr(self, name) for name in SHELVES)

    def references_to(self, table: str, record_id: str) -> list[RecordReference]:
        """Return every record with a foreign key to this one, by asking the schema itself."""
        found = []
        for other in all_tables():
            name = other.c.slug if "slug" in other.c else literal("")
            for column in other.columns:
                if not any(key.column.table.name == table for key in column.foreign_keys):
                    continue
                query = select(other.c.id, name.label("name")).where(column == record_id)
                found += [
                    RecordReference(other.name, row.id, row.name, column.name, not column.nullable)
                    for row in self.connection.execute(query)
                ]
        return found

    def let_go(self, reference: RecordReference) -> None:
        """Remove a record that cannot stand without what it refers to, or make its reference unknown."""
        table = table_named(reference.table)
        if reference.needed:
            self.connection.execute(table.delete().where(table.c.id == reference.id))
        else:
            values = {reference.column: None, "updated": self._now()}
            change = table.update().where(table.c.id == reference.id).values(values)
            self.connection.execute(change)
        self._forget(reference.table)

    def make_one(self, table: str, record_id: str, kept_id: str) -> None:
        """Let whatever refers to a record refer to another one, and take the first out of the book.

        It is noted what took its place, so that a copy of the book which still has it follows at a merge.
        """
        from logbook.store.merging.copies import IN_TEXT

        changes: list[tuple[str, dict[str, Any], Any]] = [
            (one.table, {one.column: kept_id}, table_named(one.table).c.id == one.id)
            for one in self.references_to(table, record_id)
        ]
        for name, columns in IN_TEXT.items():
            for column in (table_named(name).c[one] for one in columns):
                anew = {column.name: func.replace(column, record_id, kept_id)}
                changes.append((name, anew, func.instr(column, record_id) > 0))
        for name, values, which in changes:
            change = table_named(name).update().where(which)
            self.connection.execute(change.values(values | {"updated": self._now()}))
        self.remove(table, record_id)
        self._forget()
        noted = text(
            "UPDATE removal SET became = :kept WHERE seq = (SELECT max(seq) FROM removal WHERE id = :id)"
        )
        self.connection.execute(noted, {"kept": kept_id, "id": record_id})

    def remove(self, table: str, record_id: str) -> None:
        """Remove one record by table and id."""
        target = table_named(table)
        self.connection.execute(target.delete().where(target.c.id == record_id))
        self._forget(table)

    def _forget(self, table: str | None = None) -> None:
        """Let the opened shelves (of a table) read again what was written past them."""
        for shelf in vars(self).values():
            if isinstance(shelf, Shelf) and table in (None, shelf.table.name):
                shelf.forget()


SHELVES: Mapping[str, type[Record]] = {  # the nouns, by the name of the shelf on which their records lie
    name: made.noun for name, made in vars(Desk).items() if isinstance(made, OpenedShelf)
}
