"""Books in memory for merging, and a pen that writes in them as the program and its triggers do."""

import json
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from logbook.store.merging.copies import REFERENCES, TABLES, Copy, Removal, Row, Rows
from logbook.store.tables import table_named

START = datetime(2031, 10, 14, 18, tzinfo=UTC)
COLUMNS = {table: [column.name for column in table_named(table).columns] for table in TABLES}
NEEDED: dict[str, Row] = {  # what a row cannot do without, so that it can become a record
    "trip": {"day_ends_at": "04:00:00.000000", "location_shown": "exact"},
    "viewpoint": {"tripod_rule": "unknown"},
    "shot": {"priority": "wanted"},
    "keeper": {"clock_offset_s": 0},
}
LISTS = {
    "also": "[]",
    "keywords": "[]",
    "doubts": "[]",
    "reasons": "[]",
    "kinds": "[]",
    "private_names": "[]",
    "may_say": "[]",
    "left_trip_ids": "[]",
    "hidden_from": "[]",
    "client_order": "[]",
    "students_order": "[]",
    "also_called": "[]",
}


def instant(step: int, side: str) -> str:
    """The text of an instant, as the book keeps it; no two computers write in the same microsecond."""
    return (START + timedelta(seconds=step, microseconds=1000 * ord(side[0]))).replace(tzinfo=None).isoformat(
        timespec="microseconds"
    ) + "Z"


@dataclass
class Pen:
    """Somebody who writes in one copy; `steps` are this copy's own clock."""

    side: str
    rows: Rows = field(default_factory=lambda: {table: {} for table in TABLES})
    earlier: dict[str, set[str]] = field(default_factory=dict)
    removals: dict[str, list[Removal]] = field(default_factory=dict)
    step: int = 0
    touched: set[str] = field(default_factory=set)

    def fork(self, side: str, ahead: int) -> "Pen":
        """A copy of this book on another computer, whose clock is ahead by some seconds."""
        return Pen(
            side, deepcopy(self.rows), deepcopy(self.earlier), deepcopy(self.removals), self.step + ahead
        )

    def copy(self) -> Copy:
        """What merging reads of this book."""
        return Copy(
            deepcopy(self.rows),
            {one: frozenset(versions) for one, versions in self.earlier.items()},
            {one: tuple(found) for one, found in self.removals.items()},
        )

    def now(self) -> str:
        self.step += 1
        return instant(self.step, self.side)

    def add(self, table: str, **values: Any) -> Row:
        now = self.now()
        row: Row = {name: LISTS.get(name) for name in COLUMNS[table]}
        row |= {"id": f"{table}-{self.side}-{self.step}", "created": now, "updated": now, "provenance": "{}"}
        row |= NEEDED.get(table, {}) | values
        self.rows[table][row["id"]] = row
        self.touched.add(row["id"])
        return row

    def edit(self, table: str, record_id: str, **values: Any) -> None:
        row = self.rows[table][record_id]
        if all(row[name] == value for name, value in values.items()):
            return
        self.earlier.setdefault(record_id, set()).add(row["updated"])
        self.rows[table][record_id] = {**row, **values, "updated": self.now()}
        self.touched.add(record_id)

    def remove(self, table: str, record_id: str) -> None:
        """Remove a record with what cannot stand without it, as `remove --with-dependents` does."""
        for other, columns in REFERENCES.items():
            for column, (target, is_needed) in columns.items():
                for row in [one for one in self.rows[other].values() if target == table]:
                    if row[column] != record_id or row["id"] not in self.rows[other]:
                        continue
                    if is_needed:
                        self.remove(other, row["id"])
                    else:
                        self.edit(other, row["id"], **{column: None})
        if table == "keeper":
            for row in list(self.rows["keeper_set"].values()):
                ids = json.loads(row["keeper_ids"])
                left = [one for one in ids if one != record_id]
                if left != ids and len(left) > 1:
                    self.edit("keeper_set", row["id"], keeper_ids=json.dumps(left))
                elif left != ids:
                    self._take_out("keeper_set", row["id"])
        self._take_out(table, record_id)

    def _take_out(self, table: str, record_id: str) -> None:
        row = self.rows[table].pop(record_id)
        self.earlier.setdefault(record_id, set()).add(row["updated"])
        self.removals.setdefault(record_id, []).append(Removal(table, self.now()))
        self.touched.add(record_id)


def base() -> Pen:
    """A small book before it was copied to another computer."""
    pen = Pen("base")
    trip = pen.add("trip", slug="valley", title="Valley")["id"]
    sites = [pen.add("site", slug=name, title=name)["id"] for name in ("quarry", "coast")]
    stands = [
        pen.add("viewpoint", slug=f"stand-{n}", title="Stand", site_id=site)["id"]
        for n, site in enumerate(sites)
    ]
    shots = [
        pen.add("shot", slug=f"shot-{n}", title="Shot", trip_id=trip, viewpoint_id=stand)["id"]
        for n, stand in enumerate(stands)
    ]
    pen.edit("shot", shots[1], fallback_for_id=shots[0])
    keepers = [
        pen.add("keeper", slug=f"k-{n}", file=f"K_{n}.JPG", path=f"/base/K_{n}.JPG", hash=f"base-{n}",
                size_bytes=n + 1, format="JPEG", trip_id=trip, viewpoint_id=stands[n % 2])["id"]
        for n in range(4)
    ]  # fmt: skip
    pen.add("keeper_set", trip_id=trip, kind="burst", keeper_ids=json.dumps(keepers[:2]))
    pen.add("outcome", shot_id=shots[0], word="replaced", replaced_by_keeper_id=keepers[3])
    kit = pen.add("kit", slug="tripod", title="Tripod", kind="support")["id"]
    pen.add("packed", trip_id=trip, item_id=kit, packing="taken")
    pen.add("day", trip_id=trip, on_date="2031-10-14", journal="Ice.")
    for n, stand in enumerate(stands):
        pen.add("visit", slug=f"visit-{n}", trip_id=trip, viewpoint_id=stand, on_date="2031-10-14")
    pen.touched.clear()
    return pen
