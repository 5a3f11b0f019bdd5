"""Keeping what tells sites from each other in step with the book, for comparing them all at once.

One surprising decision: what cannot be read, as no program of ours wrote it, stops nobody who writes. Such a
site has a row that says no more than that a reader works it out, who learns what is wrong.
"""

import json
from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from logbook.domain.condition_kinds import COMPARED
from logbook.domain.site_traits import LevelLine, PlaceLine, SpellLine, ViewLine, traits_of
from logbook.store.portions import marks, portions
from logbook.store.shelf import UNREADABLE, damaged
from logbook.store.tallies import zones
from logbook.store.tallies.gathering import Row
from logbook.store.tallies.site_objects import TRAITS

AT_ONCE = 200  # sites that are worked out at a time

_SITES = f"SELECT {', '.join(PlaceLine._fields)} FROM site WHERE id IN ({{ids}})"
_VIEWS = f"SELECT site_id, {', '.join(ViewLine._fields)} FROM viewpoint WHERE site_id IN ({{ids}})"
_KINDS = ", ".join(f"'{kind}'" for kind in COMPARED)
_LEVELS = (
    "SELECT coalesce(v.site_id, c.site_id), c.kind, c.level, c.at FROM condition c"
    " LEFT JOIN viewpoint v ON v.id = c.viewpoint_id WHERE c.rowid IN ("
    "SELECT c.rowid FROM viewpoint v CROSS JOIN condition c ON c.viewpoint_id = v.id"
    " WHERE v.site_id IN ({ids}) UNION ALL "
    "SELECT rowid FROM condition WHERE site_id IN ({ids}) AND viewpoint_id IS NULL)"
    f" AND c.kind IN ({_KINDS}) AND c.level IS NOT NULL ORDER BY c.rowid"
)
_SPELLS = (
    "SELECT w.site_id, v.viewpoint_id, v.on_date, v.arrived_at, v.departed_at, t.zone, t.day_ends_at, d.zone"
    " FROM viewpoint w CROSS JOIN visit v ON v.viewpoint_id = w.id JOIN trip t ON t.id = v.trip_id"
    " LEFT JOIN day d ON d.trip_id = v.trip_id AND d.on_date = v.on_date AND d.zone IS NOT NULL"
    " WHERE w.site_id IN ({ids}) ORDER BY v.on_date DESC, v.rowid"
)


def refresh(cursor: Any) -> None:
    """Work out every row that is not there; part of the running transaction."""
    missing = cursor.execute(f"SELECT id FROM site WHERE id NOT IN (SELECT site_id FROM {TRAITS})").fetchall()
    rows = [one.row() for one in _gathered(cursor, [row[0] for row in missing])]
    cursor.executemany(f"INSERT INTO {TRAITS} VALUES (?, ?, ?)", rows)


def note_all(cursor: Any) -> None:
    """Drop every row."""
    cursor.execute(f"DELETE FROM {TRAITS}")


def out_of_step(cursor: Any) -> int:
    """Return how many rows are not what fresh ones would be; one that is missing is only behind."""
    held = {tuple(row) for row in cursor.execute(f"SELECT site_id, latest, traits FROM {TRAITS}")}
    return len(held.difference(one.row() for one in _gathered(cursor, [row[0] for row in held])))


def kept(cursor: Any, site_ids: Collection[str], last: date) -> dict[str, dict[str, Any]]:
    """Return the traits of some sites, by id, that are kept and hold for a `last` day."""
    query = f"SELECT site_id, traits FROM {TRAITS} WHERE traits IS NOT NULL AND coalesce(latest, '') <= ?"
    wanted = set(site_ids)
    rows = [row for row in cursor.execute(query, (last.isoformat(),)) if row[0] in wanted]
    told = json.loads(f"[{', '.join(row[1] for row in rows)}]")
    return {
        row[0]: {name: frozenset(one) if isinstance(one, list) else one for name, one in traits.items()}
        for row, traits in zip(rows, told, strict=True)
    }


def fresh(cursor: Any, site_ids: Sequence[str], last: date) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield the traits of some sites as the book stands now; raises BookError where they cannot be read."""
    for one in _gathered(cursor, site_ids):
        try:
            yield one.site.id, one.traits(last)
        except UNREADABLE as error:
            raise damaged("a site, visit or condition", error) from error


@dataclass(frozen=True, slots=True)
class SiteRecords:
    """A site with all that its traits are made of; spells latest first."""

    site: PlaceLine
    views: list[ViewLine]
    levels: list[LevelLine]
    spells: list[SpellLine]

    def traits(self, last: date) -> dict[str, Any]:
        """Its traits; visits after the `last` day tell no light."""
        return traits_of(self.site, self.views, self.levels, self.spells, last)

    def row(self) -> Row:
        """What is kept of them."""
        latest = self.spells[0].on_date if self.spells else None
        try:
            found = self.traits(date.max)
            told = {name: sorted(one) if isinstance(one, frozenset) else one for name, one in found.items()}
            return self.site.id, latest, json.dumps(told)
        except UNREADABLE:
            return self.site.id, latest, None


def _gathered(cursor: Any, site_ids: Sequence[str]) -> Iterator[SiteRecords]:
    for some in portions(site_ids, AT_ONCE):
        views = _by_site(cursor, _VIEWS, some, ViewLine)
        levels = _by_site(cursor, _LEVELS, some, LevelLine)
        spells = _by_site(cursor, _SPELLS, some, SpellLine)
        found = [
            PlaceLine._make(row) for row in cursor.execute(_SITES.format(ids=marks(some)), some).fetchall()
        ]
        seen = [*found, *(view for of_site in views.values() for view in of_site)]
        zones.learn(cursor, [(one.latitude_deg, one.longitude_deg) for one in seen])
        for site in found:
            yield SiteRecords(site, views[site.id], levels[site.id], spells[site.id])


def _by_site(cursor: Any, query: str, site_ids: Sequence[str], line: Any) -> defaultdict[str, list[Any]]:
    found: defaultdict[str, list[Any]] = defaultdict(list)
    values = [*site_ids] * query.count("{ids}")
    for site_id, *row in cursor.execute(query.format(ids=marks(site_ids)), values).fetchall():
        found[site_id].append(line._make(row))
    return found
