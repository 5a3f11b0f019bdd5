"""Joining two copies row by row: equal rows, descendants, removals, conflicts.

One surprising decision: nothing here asks which copy is the older one. A row descends from another when its
copy knows the other version to be superseded; clocks that jump do no harm.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from logbook.store.merging.copies import (
    QUIET,
    TABLES,
    Clash,
    Conflict,
    Copy,
    Decide,
    Removal,
    Row,
    Rows,
    Side,
    at_home,
    content,
    newer,
    pointed_anew,
)


@dataclass(frozen=True, slots=True)
class Renamed:
    """A record whose name another record of the other copy has too."""

    table: str
    id: str
    old: str
    new: str


@dataclass(slots=True)
class Draft:
    """The merged book in the making; what `decide` leaves open, the newer side stands in for."""

    this: Copy
    other: Copy
    decide: Decide
    rows: Rows = field(default_factory=lambda: {table: {} for table in TABLES})
    superseded: dict[str, set[str]] = field(default_factory=dict)
    removals: dict[str, set[Removal]] = field(default_factory=dict)
    renamed: list[Renamed] = field(default_factory=list)
    decided: list[tuple[Conflict, Side]] = field(default_factory=list)
    undecided: list[Conflict] = field(default_factory=list)
    kept: set[str] = field(default_factory=set)  # what somebody decided to keep, and so whatever it needs

    def settle(self, conflict: Conflict) -> Side:
        """Return the side that holds in a conflict."""
        if conflict.table in QUIET:
            return newer(conflict)
        side = self.decide(conflict)
        if side is None:
            self.undecided.append(conflict)
            return newer(conflict)
        self.decided.append((conflict, side))
        return side

    def supersede(self, record_id: str, version: str) -> None:
        """Note that a version is no longer the present one."""
        self.superseded.setdefault(record_id, set()).add(version)

    def remove(self, table: str, record_id: str, at: str, became: str | None = None) -> None:
        """Take a row out."""
        row = self.rows[table].pop(record_id)
        self.supersede(record_id, row["updated"])
        self.removals.setdefault(record_id, set()).add(Removal(table, at, became))

    def change(self, table: str, record_id: str, updated: str, /, **values: object) -> None:
        """Change a row, which makes a new version of it."""
        row = self.rows[table][record_id]
        self.supersede(record_id, row["updated"])
        self.rows[table][record_id] = {**row, **values, "updated": updated}

    def copies(self) -> Iterator[tuple[Side, Copy]]:
        """Yield both copies."""
        yield Side.THIS, self.this
        yield Side.OTHER, self.other


def joined(this: Copy, other: Copy, decide: Decide) -> Draft:
    """Return both copies joined row by row; names and references are not looked at yet."""
    became = _became(this, other)
    pointed_anew(this.rows, became)
    pointed_anew(other.rows, became)
    draft = Draft(this, other, decide)
    for table in TABLES:
        this_rows, other_rows = this.rows[table], other.rows[table]
        for record_id in [*this_rows, *(one for one in other_rows if one not in this_rows)]:
            row = _one(draft, table, record_id, this_rows.get(record_id), other_rows.get(record_id))
            if row is not None:
                draft.rows[table][record_id] = dict(row)
    for _, copy in draft.copies():
        for record_id, removals in copy.removals.items():
            draft.removals.setdefault(record_id, set()).update(removals)
        for record_id, versions in copy.earlier.items():
            draft.superseded.setdefault(record_id, set()).update(versions)
    return draft


def _became(*copies: Copy) -> Mapping[str, str]:
    """Return which records took the place of others, to the end of each chain; not what was taken back."""
    direct = {
        record_id: removal.became
        for copy in copies
        for record_id, removals in copy.removals.items()
        for removal in removals
        if removal.became is not None and not any(one.knows(record_id, removal.version) for one in copies)
    }
    result = {}
    for record_id, last in direct.items():
        seen = {record_id}
        while last in direct and last not in seen:
            seen.add(last)
            last = direct[last]
        result[record_id] = last
    return result


def _one(draft: Draft, table: str, record_id: str, this: Row | None, other: Row | None) -> Row | None:
    if this is not None and other is not None:
        return _in_both(draft, table, record_id, this, other)
    side = Side.THIS if this is not None else Side.OTHER
    here, there = (draft.this, draft.other) if side is Side.THIS else (draft.other, draft.this)
    row = this if this is not None else other
    assert row is not None
    removal = there.removal(record_id)
    if removal is None:
        return row
    is_back = here.knows(record_id, removal.version)
    is_gone = there.knows(record_id, row["updated"])
    if is_back != is_gone:
        return row if is_back else None
    at = (row["updated"], removal.at)
    conflict = Conflict(
        Clash.REMOVED, table, record_id, this, other, *(at if side is Side.THIS else reversed(at))
    )
    if draft.settle(conflict) is side:
        draft.supersede(record_id, removal.version)
        draft.kept.add(record_id)
        return row
    draft.supersede(record_id, row["updated"])
    return None


def _in_both(draft: Draft, table: str, record_id: str, this: Row, other: Row) -> Row:
    this_is_old = draft.other.knows(record_id, this["updated"])
    other_is_old = draft.this.knows(record_id, other["updated"])
    is_same = content(table, this) == content(table, other)
    if this["updated"] == other["updated"] and is_same:
        return this
    if this_is_old != other_is_old and this["updated"] != other["updated"]:
        side = Side.OTHER if this_is_old else Side.THIS
    elif is_same:
        side = Side.THIS if this["updated"] >= other["updated"] else Side.OTHER
    else:
        conflict = Conflict(Clash.EDITED, table, record_id, this, other, this["updated"], other["updated"])
        side = draft.settle(conflict)
        draft.kept.add(record_id)
    draft.supersede(record_id, (other if side is Side.THIS else this)["updated"])
    return this if side is Side.THIS else at_home(table, other, this)
