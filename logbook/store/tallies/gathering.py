"""Gathering what the tallies are made of: all records at some viewpoints of trips, as they lie in the book.

One surprising decision: visits are read by whole trips, because where one went next ends a visit.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from logbook.domain.acutance import METHOD
from logbook.domain.dates import counts
from logbook.domain.place_clock import zone_by_columns
from logbook.domain.rough_phase import phase_at_instant, posix_s
from logbook.domain.words import SetKind
from logbook.store.tallies.noted import Levels, Noted
from logbook.store.tallies.zones import learn

Pair = tuple[str, str]  # viewpoint id, trip id
Row = tuple[Any, ...]

_ASKED = "WITH asked (viewpoint_id, trip_id) AS (VALUES {pairs}) "
_OF_PAIR = "ON {row}.viewpoint_id = asked.viewpoint_id AND {row}.trip_id = asked.trip_id"
_STATED = "CASE WHEN json_extract({row}.provenance, '$.{name}') IS NULL THEN {row}.{name} END"
_KEEPERS = (
    "SELECT k.viewpoint_id, k.trip_id, k.id, k.shot_id, k.taken_local, k.taken_utc, k.zone, k.support,"
    f" k.filters, {_STATED.format(row='k', name='sharpness')}, coalesce(m.proposed, k.sharpness),"
    " k.f_number, k.exposure_s, k.iso, k.focal_mm"
    f" FROM asked CROSS JOIN keeper k {_OF_PAIR.format(row='k')}"
    f" LEFT JOIN measured_picture m ON m.hash = k.hash AND m.method = {METHOD} ORDER BY k.rowid"
)
_SHOTS = (
    "SELECT s.viewpoint_id, s.trip_id, s.id, s.rowid, s.slug, s.on_date, s.window_from, s.technique,"
    f" s.support, s.filters, {_STATED.format(row='o', name='word')}, o.reasons"
    f" FROM asked CROSS JOIN shot s {_OF_PAIR.format(row='s')}"
    " LEFT JOIN outcome o ON o.shot_id = s.id ORDER BY s.rowid"
)
# All visits of the trips: where one went next ends a visit.
_VISITS = (
    "SELECT v.viewpoint_id, v.trip_id, v.rowid, v.id, v.slug, v.on_date, v.arrived_at, v.departed_at,"
    " v.tries, v.support FROM (SELECT DISTINCT trip_id FROM asked) t"
    " CROSS JOIN visit v ON v.trip_id = t.trip_id"
    " ORDER BY v.rowid"
)
_PLACES = (
    "SELECT v.id, v.site_id, coalesce(v.latitude_deg, s.latitude_deg),"
    " coalesce(v.longitude_deg, s.longitude_deg), s.zone"
    " FROM (SELECT DISTINCT viewpoint_id FROM asked) a CROSS JOIN viewpoint v ON v.id = a.viewpoint_id"
    " LEFT JOIN site s ON s.id = v.site_id"
)
_AT_VIEWPOINTS = (
    "SELECT c.viewpoint_id, c.on_date, c.kind, c.at, c.level, c.visit_id"
    " FROM (SELECT DISTINCT viewpoint_id FROM asked) a"
    " CROSS JOIN condition c ON c.viewpoint_id = a.viewpoint_id"
    " WHERE c.level IS NOT NULL"
)
_AT_SITES = (
    "SELECT c.site_id, c.on_date, c.kind, c.at, c.level, c.visit_id"
    " FROM (SELECT DISTINCT v.site_id FROM asked CROSS JOIN viewpoint v ON v.id = asked.viewpoint_id) a"
    " CROSS JOIN condition c ON c.site_id = a.site_id"
    " WHERE c.viewpoint_id IS NULL AND c.level IS NOT NULL"
)
_TRIPS = "SELECT id, day_ends_at, zone FROM trip WHERE id IN (SELECT trip_id FROM asked)"
_DAYS = (
    "SELECT trip_id, on_date, zone FROM day WHERE zone IS NOT NULL AND trip_id IN (SELECT trip_id FROM asked)"
)
_SECOND = (
    "SELECT m.value, g.trip_id FROM (SELECT DISTINCT trip_id FROM asked) t"
    " CROSS JOIN keeper_set g ON g.trip_id = t.trip_id,"
    f" json_each(g.keeper_ids) m WHERE g.kind = '{SetKind.PAIR}' AND m.key > 0"
)


@dataclass(frozen=True, slots=True)
class TallyPlace:
    """A viewpoint: its site, where it lies (degrees) and its site's zone, as far as they are known."""

    site_id: str
    latitude_deg: float | None
    longitude_deg: float | None
    zone: str | None

    def phase(self, posix: float) -> str | None:
        """The kind of light at an instant (POSIX seconds); None where nobody knows where it lies."""
        if self.latitude_deg is None or self.longitude_deg is None:
            return None
        return phase_at_instant(self.latitude_deg, self.longitude_deg, posix)


@dataclass(frozen=True, slots=True)
class Gathered:
    """All that some rows are made of."""

    ends: Mapping[str, str]
    zones: Mapping[str, str | None]  # of the trips
    day_zones: Mapping[tuple[str, str], str]  # of their days, where they were stated
    places: Mapping[str, TallyPlace]
    keepers: Mapping[Pair, list[Row]]
    shots: Mapping[Pair, list[Row]]
    visits: Mapping[Pair, list[Row]]  # in any order of trips, those of one in their own
    days: Mapping[tuple[str, str], list[Row]]  # the visits of a day of a trip
    second: frozenset[tuple[str, str]]  # keeper and trip: the second file of a frame already counted
    levels: Levels

    def has(self, pair: Pair) -> bool:
        """Whether anything was kept, planned or tried there."""
        return pair[0] in self.places and any(pair in one for one in (self.keepers, self.shots, self.visits))

    def phase(self, pair: Pair, day: str, local: str | None, utc: str | None = None) -> str | None:
        """The kind of light there at an instant, else at a local moment by the clock that counts that day.

        None where place or moment is unknown or cannot be.
        """
        place = self.places[pair[0]]
        if place.latitude_deg is None or not local or not counts(date.fromisoformat(local[:10]), date.max):
            return None
        if utc is not None:
            return place.phase(datetime.fromisoformat(utc).timestamp())
        here = place.latitude_deg, place.longitude_deg
        said = place.zone, self.day_zones.get((pair[1], day)), self.zones[pair[1]]
        zone = zone_by_columns(*here, day, *said)
        return None if zone is None else place.phase(posix_s(local, zone))

    @classmethod
    def of(cls, cursor: Any, pairs: Sequence[Pair]) -> "Gathered":
        """Read it."""
        asked = _ASKED.format(pairs=", ".join(["(?, ?)"] * len(pairs)))
        values = [one for pair in pairs for one in pair]

        def ask(query: str) -> list[Row]:
            found: list[Row] = cursor.execute(asked + query, values).fetchall()
            return found

        visits = ask(_VISITS)
        days: dict[tuple[str, str], list[Row]] = defaultdict(list)
        for row in visits:
            days[row[1], row[5]].append(row)
        noted = (*ask(_AT_VIEWPOINTS), *ask(_AT_SITES))
        trips, places = ask(_TRIPS), ask(_PLACES)
        learn(cursor, [(row[2], row[3]) for row in places])
        return cls(
            {row[0]: str(row[1])[:8] for row in trips},
            {row[0]: row[2] for row in trips},
            {(row[0], row[1]): row[2] for row in ask(_DAYS)},
            {row[0]: TallyPlace(*row[1:]) for row in places},
            _by_pair(ask(_KEEPERS)),
            _by_pair(ask(_SHOTS)),
            _by_pair(visits),
            days,
            frozenset((row[0], row[1]) for row in ask(_SECOND)),
            Levels(
                (place, day, Noted(kind, at, level, visit)) for place, day, kind, at, level, visit in noted
            ),
        )


def _by_pair(rows: Iterable[Row]) -> dict[Pair, list[Row]]:
    found: dict[Pair, list[Row]] = defaultdict(list)
    for row in rows:
        found[row[0], row[1]].append(row)
    return found
