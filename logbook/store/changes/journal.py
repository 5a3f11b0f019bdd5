"""The journal of changes: which command changed what, and taking the last one back.

One surprising decision: triggers write the journal and know nothing of commands. At the end of a transaction
whatever is new in it is given to the command that runs; what is new at the beginning came from elsewhere.
"""

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection

from logbook.domain.errors import BookError, ConflictError
from logbook.domain.nouns import NOUNS
from logbook.store.changes.dangling import dangling
from logbook.store.tables import table_named

VERBS = ("added", "changed", "removed")
TAKEN_IN = ("earlier", "removal")  # the tables whose marks are noted around what came from another book
KEPT = 30  # changes that can be taken back; older ones are in the backups


@dataclass(frozen=True, slots=True)
class Run:
    """One run of the program: a random id, and the command as it was typed."""

    id: str
    command: str


ELSEWHERE = Run("", "")  # whoever wrote to the book without this program


@dataclass(frozen=True, slots=True)
class Effect:
    """What one change did to one record; the verb is `added`, `changed` or `removed`."""

    table: str
    id: str
    name: str  # its slug, or "" where it has none or is gone
    verb: str


@dataclass(frozen=True, slots=True)
class Change:
    """One command that changed the book; `command` is empty for changes by another program."""

    id: int
    command: str
    at: datetime
    effects: tuple[Effect, ...]


@dataclass(frozen=True, slots=True)
class Journal:
    """The journal within one transaction."""

    connection: Connection
    now: Callable[[], datetime]

    def settle(self, run: Run, taken_in: Mapping[str, int] | None = None) -> None:
        """Give what is new in the journal to a run; several transactions of one run are one change.

        A journal that no program of ours wrote is dropped.
        `taken_in` are the marks from before what came from another book.
        """
        if not self._is_in_order():
            self.forget()
        newest = self.last_row()
        last = self.connection.exec_driver_sql(
            "SELECT id, run, upto FROM change ORDER BY id DESC LIMIT 1"
        ).first()
        if newest <= (last.upto if last else 0):
            return
        if last and last.run == run.id and taken_in is None:
            self.connection.exec_driver_sql("UPDATE change SET upto = ? WHERE id = ?", (newest, last.id))
            return
        at = self.now().astimezone(UTC).replace(tzinfo=None).isoformat(timespec="seconds") + "Z"
        ends = self.marks()
        marks = (
            None if taken_in is None else json.dumps({name: (taken_in[name], ends[name]) for name in ends})
        )
        self.connection.exec_driver_sql(
            "INSERT INTO change (run, command, at, upto, taken_in) VALUES (?, ?, ?, ?, ?)",
            (run.id, run.command, at, newest, marks),
        )
        self._prune()

    def newest(self) -> tuple[int, int]:
        """Return the id and the end of the last change, so that two moments can be compared."""
        last = self.connection.exec_driver_sql("SELECT id, upto FROM change ORDER BY id DESC LIMIT 1").first()
        return (int(last.id), int(last.upto)) if last else (0, 0)

    def last_row(self) -> int:
        """Return the number of the last row that was noted."""
        return _one(self.connection, "SELECT max(seq) FROM change_row") or 0

    def is_odd(self) -> bool:
        """Whether the journal holds what no command of this program wrote: nothing of it may be run."""
        ask = self.connection.exec_driver_sql
        if not self._is_in_order():
            return True
        for verb, table in ask("SELECT DISTINCT verb, table_name FROM change_row"):
            if verb not in VERBS or table not in NOUNS:
                return True
        named = "SELECT DISTINCT r.table_name, v.name FROM change_value v JOIN change_row r ON r.seq = v.seq"
        if any(name != "rowid" and name not in table_named(table).columns for table, name in ask(named)):
            return True
        whole = (
            "SELECT count(*) FROM change_row r WHERE verb = 'removed' AND 2 <> ("
            "SELECT count(*) FROM change_value v WHERE v.seq = r.seq AND v.name IN ('id', 'rowid'))"
        )
        return bool(_one(self.connection, whole))

    def _is_in_order(self) -> bool:
        """Whether each change says when and up to where it goes, as the program writes it."""
        before = 0
        for upto, at, taken_in in self.connection.exec_driver_sql(
            "SELECT upto, at, taken_in FROM change ORDER BY id"
        ):
            if not isinstance(upto, int) or upto < before or not _is_instant(at) or not _is_marks(taken_in):
                return False
            before = upto
        return True

    def _check(self) -> None:
        if self.is_odd():
            raise BookError(
                "The undo history was not written by this program, so nothing was undone; "
                '"logbook check --repair" discards it, and "logbook backup --list" goes further back.'
            )

    def marks(self) -> dict[str, int]:
        """Return how far the lists of superseded versions and of removals go."""
        return {name: _one(self.connection, f"SELECT max(seq) FROM {name}") or 0 for name in TAKEN_IN}

    def all(self) -> tuple[Change, ...]:
        """Return the changes that can be taken back, as `from_last` yields them."""
        return tuple(self.from_last())

    def from_last(self) -> Iterator[Change]:
        """Yield the changes that can be taken back, the last one first; one without any effect is none.

        Raises BookError where the journal holds what no command wrote.
        """
        self._check()
        for one, floor in self._spans():
            if effects := tuple(self._named(floor, one.upto)):
                yield Change(one.id, one.command, datetime.fromisoformat(one.at), effects)

    def last_command(self) -> str | None:
        """Return the command whose change is the last one, empty for another program's; None where none is.

        Only looked at: what came from elsewhere stays unsettled, and an odd journal is for `all` to refuse.
        """
        if not self._is_in_order():
            return None
        spans = self._spans()
        newest = self.last_row()
        if newest > (spans[0][0].upto if spans else 0):
            return ELSEWHERE.command
        return next((one.command for one, floor in spans if any(self._effects(floor, one.upto))), None)

    def mark(self) -> str:
        """Return what tells the last change from every other, even from one that came in its place since."""
        last = self.connection.exec_driver_sql(
            "SELECT run, upto FROM change ORDER BY id DESC LIMIT 1"
        ).first()
        newest = self.last_row()
        return f"{last.run if last and last.upto >= newest else ELSEWHERE.id}.{newest}"

    def _spans(self) -> list[tuple[Any, int]]:
        """Return each change with where the one before it ends, the last one first."""
        found = self.connection.exec_driver_sql(
            "SELECT id, command, at, upto FROM change ORDER BY id DESC"
        ).all()
        return list(zip(found, [*(one.upto for one in found[1:]), 0][: len(found)], strict=True))

    def _effects(self, floor: int, upto: int) -> Iterator[tuple[str, str, str]]:
        """Yield table, id and verb of what is otherwise after a change than before it."""
        rows = self.connection.exec_driver_sql(
            "SELECT table_name, row_id, verb FROM change_row WHERE seq > ? AND seq <= ? ORDER BY seq",
            (floor, upto),
        )
        ends: dict[tuple[str, str], tuple[str, str]] = {}
        for table, row_id, verb in rows:
            first, _ = ends.get((table, row_id), (verb, verb))
            ends[table, row_id] = (first, verb)
        for (table, row_id), (first, last) in ends.items():
            if (first, last) != ("added", "removed"):
                verb = "added" if first == "added" else "removed" if last == "removed" else "changed"
                yield table, row_id, verb

    def _named(self, floor: int, upto: int) -> Iterator[Effect]:
        slugs = self.connection.exec_driver_sql(
            "SELECT r.row_id, v.value FROM change_row r"
            " JOIN change_value v ON v.seq = r.seq AND v.name = 'slug'"
            " WHERE r.seq > ? AND r.seq <= ? ORDER BY r.seq DESC",
            (floor, upto),
        )
        names = {str(row[0]): str(row[1]) for row in slugs}
        effects = tuple(self._effects(floor, upto))
        for table in {table for table, _, _ in effects}:
            if "slug" in table_named(table).columns:
                now = self.connection.exec_driver_sql(
                    f"SELECT t.id, t.slug FROM change_row r JOIN {table} t ON t.id = r.row_id"
                    " WHERE r.table_name = ? AND r.seq > ? AND r.seq <= ?",
                    (table, floor, upto),
                )
                names |= {row.id: row.slug for row in now if row.slug}
        for table, row_id, verb in effects:
            yield Effect(table, row_id, names.get(row_id, ""), verb)

    def take_back(self) -> None:
        """Take the last change that had an effect back: every row as it was before, in one go.

        Rows that come back are new versions, so that a copy that has seen the change knows it is taken back;
        what came from another book goes back without a trace, so that it can be taken in again. Raises
        ConflictError, with nothing changed, where the book no longer fits what is remembered.
        """
        self._check()
        last = next(one.id for one, floor in self._spans() if any(self._effects(floor, one.upto)))
        while self._take_back() != last:
            pass

    def forget(self) -> None:
        """Let go of what can be taken back; what merging must know of the past stays."""
        for name in ("change_row", "change_value", "change"):
            self.connection.exec_driver_sql(f"DELETE FROM {name}")

    def _take_back(self) -> int:
        connection = self.connection
        change, *rest = connection.exec_driver_sql(
            "SELECT id, upto, taken_in FROM change ORDER BY id DESC LIMIT 2"
        ).all()
        floor = rest[0].upto if rest else 0
        marks = self.marks()
        rows = connection.exec_driver_sql(
            "SELECT seq, verb, table_name, row_id FROM change_row WHERE seq > ? ORDER BY seq DESC", (floor,)
        ).all()
        connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
        touched: dict[str, list[str]] = {}
        for table, row_id in dict.fromkeys((table, row_id) for _, _, table, row_id in rows):
            touched.setdefault(table, []).append(row_id)
        before = dangling(connection, touched)
        for seq, verb, table, row_id in rows:
            self._reverse(seq, verb, table, row_id, exactly=change.taken_in is not None)
        if dangling(connection, touched) != before:
            raise ConflictError(_NO_LONGER_FITS)
        if change.taken_in is not None:
            for name, (begin, end) in json.loads(change.taken_in).items():
                connection.exec_driver_sql(
                    f"DELETE FROM {name} WHERE seq > ? AND seq <= ? OR seq > ?", (begin, end, marks[name])
                )
        for name in ("change_row", "change_value"):
            connection.exec_driver_sql(f"DELETE FROM {name} WHERE seq > ?", (floor,))
        connection.exec_driver_sql("DELETE FROM change WHERE id = ?", (change.id,))
        return int(change.id)

    def _reverse(self, seq: int, verb: str, table: str, row_id: str, *, exactly: bool) -> None:
        connection = self.connection
        if verb == "added":
            done = connection.exec_driver_sql(f"DELETE FROM {table} WHERE id = ?", (row_id,))
        else:
            values: dict[str, Any] = dict(
                connection.exec_driver_sql("SELECT name, value FROM change_value WHERE seq = ?", (seq,)).all()
            )
            if not exactly:
                values["updated"] = (
                    self.now().astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"
                )
            if verb == "removed":
                taken = _one(connection, f"SELECT 1 FROM {table} WHERE rowid = ?", values["rowid"])
                if taken:
                    del values["rowid"]
                marks = ", ".join("?" * len(values))
                done = connection.exec_driver_sql(
                    f"INSERT INTO {table} ({_quoted(values)}) VALUES ({marks})", tuple(values.values())
                )
            else:
                settings = ", ".join(f'"{name}" = ?' for name in values)
                done = connection.exec_driver_sql(
                    f"UPDATE {table} SET {settings} WHERE id = ?", (*values.values(), row_id)
                )
        if done.rowcount != 1:
            raise ConflictError(_NO_LONGER_FITS)

    def _prune(self) -> None:
        oldest = self.connection.exec_driver_sql(
            "SELECT id, upto FROM change ORDER BY id DESC LIMIT 1 OFFSET ?", (KEPT,)
        ).first()
        if oldest is None:
            return
        for name in ("change_row", "change_value"):
            self.connection.exec_driver_sql(f"DELETE FROM {name} WHERE seq <= ?", (oldest.upto,))
        self.connection.exec_driver_sql("DELETE FROM change WHERE id <= ?", (oldest.id,))


_NO_LONGER_FITS = (
    "The last change cannot be undone, because the book no longer matches it; nothing was changed. "
    '"logbook restore" puts a backup in place.'
)


def _one(connection: Connection, statement: str, *values: Any) -> Any:
    row = connection.exec_driver_sql(statement, values).first()
    return None if row is None else row[0]


def _is_instant(at: Any) -> bool:
    try:
        return datetime.fromisoformat(at).tzinfo is not None
    except (TypeError, ValueError):
        return False


def _is_marks(taken_in: Any) -> bool:
    """Whether a text holds the marks around what was taken in, or nothing was."""
    if taken_in is None:
        return True
    try:
        found = json.loads(taken_in)
        return set(found) == set(TAKEN_IN) and all(
            isinstance(begin, int) and isinstance(end, int) for begin, end in found.values()
        )
    except (TypeError, ValueError, AttributeError):
        return False


def _quoted(names: Mapping[str, Any]) -> str:
    return ", ".join(f'"{name}"' for name in names)
