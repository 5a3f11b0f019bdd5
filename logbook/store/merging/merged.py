"""The merged book, written over this one in one transaction: foreign keys checked, nothing half-done."""

from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection

from logbook.domain.errors import ConflictError
from logbook.store.merging.collisions import join_doubles, part_names
from logbook.store.merging.copies import (
    NATURAL,
    SLUGS,
    TABLES,
    Conflict,
    Copy,
    Decide,
    Removal,
    Row,
    Rows,
    Side,
    at_home,
)
from logbook.store.merging.joining import Draft, Renamed, joined
from logbook.store.merging.references import close_references


@dataclass(frozen=True, slots=True)
class Merged:
    """What two copies make together, and how it came about."""

    rows: Rows
    superseded: dict[str, set[str]]
    removals: dict[str, set[Removal]]
    renamed: tuple[Renamed, ...]
    decided: tuple[tuple[Conflict, Side], ...]
    undecided: tuple[Conflict, ...]


@dataclass(frozen=True, slots=True)
class Difference:
    """One row that a merge adds, changes or removes here."""

    table: str
    before: Row | None
    after: Row | None

    @property
    def verb(self) -> str:
        """What happens to the row: `added`, `changed` or `removed`."""
        return "added" if self.before is None else "removed" if self.after is None else "changed"

    @property
    def name(self) -> str:
        """The slug of the row, or nothing."""
        return str((self.after or self.before or {}).get("slug") or "")


def merged(this: Copy, other: Copy, decide: Decide) -> Merged:
    """Return what two copies make together; conflicts that `decide` leaves open are listed."""
    draft = joined(deepcopy(this), other, decide)
    close_references(draft)
    join_doubles(draft)
    part_names(draft)
    _find_at_home(draft)
    for record_id, versions in draft.superseded.items():
        for rows in draft.rows.values():
            if record_id in rows:
                versions.discard(rows[record_id]["updated"])
    return Merged(
        draft.rows,
        {record_id: versions for record_id, versions in draft.superseded.items() if versions},
        draft.removals,
        tuple(draft.renamed),
        tuple(draft.decided),
        tuple(draft.undecided),
    )


def _find_at_home(draft: Draft) -> None:
    """Let keepers that come in point to the same picture on this computer, where there is one."""
    here = {row["hash"]: row for row in draft.this.rows["keeper"].values()}
    for record_id, row in draft.rows["keeper"].items():
        if record_id not in draft.this.rows["keeper"]:
            draft.rows["keeper"][record_id] = at_home("keeper", row, here.get(row["hash"]))


def differences(this: Copy, result: Merged) -> tuple[Difference, ...]:
    """Return what a merge changes here."""
    return tuple(
        Difference(table, this.rows[table].get(record_id), result.rows[table].get(record_id))
        for table in TABLES
        for record_id in dict.fromkeys((*this.rows[table], *result.rows[table]))
        if this.rows[table].get(record_id) != result.rows[table].get(record_id)
    )


def is_news(this: Copy, result: Merged) -> bool:
    """Whether a merge tells this copy anything, be it only that a version is superseded."""
    return (
        bool(differences(this, result))
        or any(versions - this.earlier.get(one, frozenset()) for one, versions in result.superseded.items())
        or any(set(found) - set(this.removals.get(one, ())) for one, found in result.removals.items())
    )


def write(connection: Connection, this: Copy, result: Merged) -> None:
    """Make this book the merged one; part of the running transaction.

    Raises ConflictError where references would not hold, which no pair of sound books comes to.
    """
    marks = {name: _newest(connection, name) for name in ("earlier", "removal")}
    connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
    found = differences(this, result)
    again = [
        one for one in found if one.before and one.after and _is_renamed(one.table, one.before, one.after)
    ]
    gone = [one for one in found if one.after is None]
    for one in (*reversed(gone), *again):
        assert one.before is not None
        connection.exec_driver_sql(f"DELETE FROM {one.table} WHERE id = ?", (one.before["id"],))
    for one in found:
        if one.after is None:
            continue
        if one.before is None or one in again:
            columns, marks_of_values = _columns(one.after), ", ".join("?" * len(one.after))
            connection.exec_driver_sql(
                f"INSERT INTO {one.table} ({columns}) VALUES ({marks_of_values})", tuple(one.after.values())
            )
        else:
            changed = {name: value for name, value in one.after.items() if one.before[name] != value}
            settings = ", ".join(f'"{name}" = ?' for name in changed)
            connection.exec_driver_sql(
                f"UPDATE {one.table} SET {settings} WHERE id = ?", (*changed.values(), one.after["id"])
            )
    for name, mark in marks.items():  # what the triggers noted; the merge knows better
        connection.exec_driver_sql(f"DELETE FROM {name} WHERE seq > ?", (mark,))
    _note(connection, this, result)
    if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
        raise ConflictError(
            'The two books cannot be merged, so nothing was changed; run "logbook check" on each of them.'
        )


def _note(connection: Connection, this: Copy, result: Merged) -> None:
    for record_id, versions in sorted(result.superseded.items()):
        for version in sorted(versions - this.earlier.get(record_id, frozenset())):
            connection.exec_driver_sql(
                "INSERT OR IGNORE INTO earlier (id, version) VALUES (?, ?)", (record_id, version)
            )
    for record_id, removals in sorted(result.removals.items()):
        for one in sorted(removals - set(this.removals.get(record_id, ())), key=lambda one: one.at):
            connection.exec_driver_sql(
                "INSERT INTO removal (id, table_name, at, became) VALUES (?, ?, ?, ?)", (record_id, *one)
            )


def _is_renamed(table: str, before: Row, after: Row) -> bool:
    """Whether a row changes in what no second row may share: it is put in again, after those that left."""
    alone = {name for fields in (*NATURAL[table], SLUGS.get(table, ())) for name in fields}
    return any(before[name] != after[name] for name in alone)


def _newest(connection: Connection, table: str) -> int:
    found: Any = connection.exec_driver_sql(f"SELECT max(seq) FROM {table}").scalar_one()
    return int(found or 0)


def _columns(row: Row) -> str:
    return ", ".join(f'"{name}"' for name in row)
