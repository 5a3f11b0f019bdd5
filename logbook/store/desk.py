"""A desk: all shelves of a book within one transaction, and what refers to what."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any

from sqlalchemy import func, literal, select, text
from sqlmodel import Session, SQLModel

from logbook.domain.clock import BodyClock
from logbook.domain.condition import Condition
from logbook.domain.day import Day, DayLine, LooseLine
from logbook.domain.errors import BookError
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.lesson import Lesson
from logbook.domain.night import NightAnswer
from logbook.domain.shot import Outcome, Shot
from logbook.domain.site import Site
from logbook.domain.track import TrackRecord
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.store import rows
from logbook.store.changes.journal import Journal
from logbook.store.checks import RowChecks
from logbook.store.known_files import KnownFiles
from logbook.store.measures import Measures
from logbook.store.merging.copies import IN_TEXT, Copy, read_copy
from logbook.store.merging.merged import Merged, write
from logbook.store.shelf import Shelf, table_of
from logbook.store.text_index.asking import Index


@dataclass(frozen=True, slots=True)
class Reference:
    """One record that refers to another; `needed`: it cannot stand without it; `name` is its slug."""

    table: str
    id: str
    name: str
    column: str
    needed: bool


class Desk:
    """The shelves, opened on first use; changes are kept when the transaction ends well."""

    def __init__(self, session: Session, now: Callable[[], datetime], *, index_is_whole: bool = True) -> None:
        self._session = session
        self._now = now
        self._index_is_whole = index_is_whole

    @cached_property
    def trips(self) -> Shelf[Trip]:
        """All trips."""
        return Shelf(self._session, Trip, table_of(rows.TripRow))

    @cached_property
    def sites(self) -> Shelf[Site]:
        """All sites."""
        return Shelf(self._session, Site, table_of(rows.SiteRow))

    @cached_property
    def viewpoints(self) -> Shelf[Viewpoint]:
        """All viewpoints."""
        return Shelf(self._session, Viewpoint, table_of(rows.ViewpointRow))

    @cached_property
    def shots(self) -> Shelf[Shot]:
        """All planned shots."""
        return Shelf(self._session, Shot, table_of(rows.ShotRow))

    @cached_property
    def outcomes(self) -> Shelf[Outcome]:
        """All outcomes."""
        return Shelf(self._session, Outcome, table_of(rows.OutcomeRow))

    @cached_property
    def kit(self) -> Shelf[KitItem]:
        """All kit."""
        return Shelf(self._session, KitItem, table_of(rows.KitRow))

    @cached_property
    def packed(self) -> Shelf[PackedItem]:
        """All packing decisions."""
        return Shelf(self._session, PackedItem, table_of(rows.PackedRow))

    @cached_property
    def visits(self) -> Shelf[Visit]:
        """All visits."""
        return Shelf(self._session, Visit, table_of(rows.VisitRow))

    @cached_property
    def conditions(self) -> Shelf[Condition]:
        """All conditions."""
        return Shelf(self._session, Condition, table_of(rows.ConditionRow))

    @cached_property
    def lessons(self) -> Shelf[Lesson]:
        """All lessons."""
        return Shelf(self._session, Lesson, table_of(rows.LessonRow))

    @cached_property
    def days(self) -> Shelf[Day]:
        """All days."""
        return Shelf(self._session, Day, table_of(rows.DayRow))

    @cached_property
    def day_lines(self) -> Shelf[DayLine]:
        """All understood lines of day files."""
        return Shelf(self._session, DayLine, table_of(rows.DayLineRow))

    @cached_property
    def loose_lines(self) -> Shelf[LooseLine]:
        """All lines of day files that are still to sort out."""
        return Shelf(self._session, LooseLine, table_of(rows.LooseLineRow))

    @cached_property
    def keepers(self) -> Shelf[Keeper]:
        """All keepers."""
        return Shelf(self._session, Keeper, table_of(rows.KeeperRow))

    @cached_property
    def sets(self) -> Shelf[KeeperSet]:
        """All sets of keepers."""
        return Shelf(self._session, KeeperSet, table_of(rows.KeeperSetRow))

    @cached_property
    def clocks(self) -> Shelf[BodyClock]:
        """All clocks of camera bodies."""
        return Shelf(self._session, BodyClock, table_of(rows.BodyClockRow))

    @cached_property
    def tracks(self) -> Shelf[TrackRecord]:
        """All tracks."""
        return Shelf(self._session, TrackRecord, table_of(rows.TrackRow))

    @cached_property
    def night_answers(self) -> Shelf[NightAnswer]:
        """All answers of night sessions."""
        return Shelf(self._session, NightAnswer, table_of(rows.NightAnswerRow))

    @property
    def index(self) -> Index:
        """The text index; raises BookError where it is damaged and set aside."""
        if not self._index_is_whole:
            raise BookError(
                'What find asks is damaged, so nothing can be found; "logbook check --repair" makes it anew.'
            )
        return Index(self._session)

    def now(self) -> datetime:
        """Return the instant by the book's clock."""
        return self._now()

    @property
    def journal(self) -> Journal:
        """What commands changed."""
        return Journal(self._session.connection(), self._now)

    @property
    def known_files(self) -> KnownFiles:
        """What this machine knows of picture files."""
        return KnownFiles(self._session.connection())

    @property
    def measures(self) -> Measures:
        """What was measured of pictures."""
        return Measures(self._session.connection())

    def copy(self) -> Copy:
        """Return all that this copy of the book knows, for merging."""
        return read_copy(self._session.connection())

    def become(self, before: Copy, merged: Merged) -> None:
        """Make this book the merged one; raises ConflictError where the two do not fit together."""
        write(self._session.connection(), before, merged)
        self._forget()

    def take_rows(self, tables: Iterable[tuple[str, Sequence[str], Sequence[tuple[object, ...]]]]) -> None:
        """Take rows in as they lay in another file (table, columns, rows); references are checked last."""
        connection = self._session.connection()
        connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
        for table, columns, found in tables:
            if found:
                marks = ", ".join("?" * len(columns))
                listed = ", ".join(f'"{name}"' for name in columns)
                connection.exec_driver_sql(f"INSERT INTO {table} ({listed}) VALUES ({marks})", list(found))

    @property
    def checks(self) -> RowChecks:
        """What can be wrong with the file and its rows."""
        return RowChecks(self._session.connection())

    def shelves(self) -> tuple[Shelf[Any], ...]:
        """Return every shelf."""
        named = (
            getattr(self, name) for name, made in vars(Desk).items() if isinstance(made, cached_property)
        )
        return tuple(shelf for shelf in named if isinstance(shelf, Shelf))

    def references_to(self, table: str, record_id: str) -> list[Reference]:
        """Return every record with a foreign key to this one, by asking the schema itself."""
        found = []
        for other in SQLModel.metadata.sorted_tables:
            name = other.c.slug if "slug" in other.c else literal("")
            for column in other.columns:
                if not any(key.column.table.name == table for key in column.foreign_keys):
                    continue
                query = select(other.c.id, name.label("name")).where(column == record_id)
                found += [
                    Reference(other.name, row.id, row.name, column.name, not column.nullable)
                    for row in self._session.execute(query)
                ]
        return found

    def let_go(self, reference: Reference) -> None:
        """Remove a record that cannot stand without what it refers to, or make its reference unknown."""
        table = SQLModel.metadata.tables[reference.table]
        if reference.needed:
            self._session.execute(table.delete().where(table.c.id == reference.id))
        else:
            values = {reference.column: None, "updated": self._now()}
            change = table.update().where(table.c.id == reference.id).values(values)
            self._session.execute(change)
        self._forget(reference.table)

    def make_one(self, table: str, record_id: str, kept_id: str) -> None:
        """Let whatever refers to a record refer to another one, and take the first out of the book.

        It is noted what took its place, so that a copy of the book which still has it follows at a merge.
        """
        changes: list[tuple[str, dict[str, Any], Any]] = [
            (one.table, {one.column: kept_id}, SQLModel.metadata.tables[one.table].c.id == one.id)
            for one in self.references_to(table, record_id)
        ]
        for name, columns in IN_TEXT.items():
            for column in (SQLModel.metadata.tables[name].c[one] for one in columns):
                anew = {column.name: func.replace(column, record_id, kept_id)}
                changes.append((name, anew, func.instr(column, record_id) > 0))
        for name, values, which in changes:
            change = SQLModel.metadata.tables[name].update().where(which)
            self._session.execute(change.values(values | {"updated": self._now()}))
        self.remove(table, record_id)
        self._forget()
        noted = text(
            "UPDATE removal SET became = :kept WHERE seq = (SELECT max(seq) FROM removal WHERE id = :id)"
        )
        self._session.execute(noted, {"kept": kept_id, "id": record_id})

    def remove(self, table: str, record_id: str) -> None:
        """Remove one record by table and id."""
        target = SQLModel.metadata.tables[table]
        self._session.execute(target.delete().where(target.c.id == record_id))
        self._forget(table)

    def _forget(self, table: str | None = None) -> None:
        """Let the opened shelves (of a table) read again what was written past them."""
        for shelf in vars(self).values():
            if isinstance(shelf, Shelf) and table in (None, shelf.table.name):
                shelf.forget()
