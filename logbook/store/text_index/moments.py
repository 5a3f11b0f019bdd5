"""When and under what: a record's day, its light, and what was observed there that day.

One surprising decision: a keeper carries the observation nearest to it in time, of each kind, one without a
time lasting as long as its visit; a shot, which has no single moment, carries all of its place and day, and a
visit those that name no other.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from logbook.domain.condition_kinds import KINDS
from logbook.domain.day import day_of, instants_on, window_on
from logbook.domain.place_clock import zone_by_columns
from logbook.domain.zones import zone_of
from logbook.sky.phases import light_names
from logbook.sky.rough import rough_sun
from logbook.store.text_index import about
from logbook.store.text_index.facts import tokens
from logbook.store.wall_times import place_time

Row = Mapping[str, Any]

_SEASONS = ("winter", "spring", "summer", "autumn")  # of the north, by quarter from December (WMO usage)
_BARRIERS = tuple(kind for kind, of in KINDS.items() if of.is_barrier)
# Between these the rough sun holds to 0.1 degrees and dates are meant; fixed, so that no index ages
FIRST_LIGHT, LAST_LIGHT = datetime(1826, 1, 1, tzinfo=UTC), datetime(2100, 1, 1, tzinfo=UTC)
_STEP = timedelta(minutes=20)  # how often the light of a window or visit is looked at


def date_of(row: Row) -> str | None:
    """The day a record belongs to, as stored; a keeper's day ends where its trip's days end."""
    if "taken_local" not in row:
        return row.get("on_date")
    at = _place_time(row)
    if at is None:
        return None
    return str(day_of(at, time.fromisoformat(row["day_ends_at"])))


def date_facts(row: Row, on_date: str | None) -> list[str]:
    """Year, month and season of a day; the season follows the hemisphere."""
    if not on_date:
        return []
    year, month = int(on_date[:4]), int(on_date[5:7])
    latitude = row.get("place_latitude")
    latitude = row.get("latitude_deg") if latitude is None else latitude
    quarter = month % 12 // 3
    season = [_SEASONS[(quarter + (2 if latitude < 0 else 0)) % 4]] if latitude is not None else []
    return [
        *tokens(about.YEAR, [str(year)]),
        *tokens(about.MONTH, [f"{month:02}"]),
        *tokens(about.SEASON, season),
    ]


def light_facts(row: Row) -> list[str]:
    """What the light of a record's moments is called; nothing where its place or time is unknown."""
    latitude, longitude = row.get("latitude_deg"), row.get("longitude_deg")
    if latitude is None or longitude is None:
        latitude, longitude = row.get("place_latitude"), row.get("place_longitude")
    if latitude is None or longitude is None:
        return []
    names: dict[str, None] = {}
    for at in _instants(row):
        if not FIRST_LIGHT <= at <= LAST_LIGHT:
            continue
        names.update(dict.fromkeys(light_names(rough_sun(latitude, longitude, at.timestamp()))))
    # A picture has one moment, which decides; a window or visit has many, of which a person may mean another.
    return tokens(about.LIGHT, names, deciding="taken_utc" in row)


@dataclass(frozen=True, slots=True)
class ObservedLevel:
    """One observation: its kind and level, from when to when it holds, and the visit it was made on."""

    kind: str
    level: str | None
    begins: time | None
    ends: time | None
    visit_id: str | None

    def gap(self, day: date, taken: datetime, day_ends_at: time) -> timedelta | None:
        """Return how far a moment lies from it; None where nobody knows when it was made."""
        first, last = window_on(day, self.begins, self.ends, day_ends_at)
        return None if first is None else max(first - taken, taken - (last or first), timedelta(0))


@dataclass(frozen=True, slots=True)
class Observed:
    """What was observed, by the place's id and the day."""

    seen: dict[tuple[str, str], list[ObservedLevel]] = field(default_factory=dict)

    @classmethod
    def of(cls, rows: Iterable[Sequence[Any]]) -> "Observed":
        """Gather rows of viewpoint, site, day, kind, level, time, and its visit's id, arrival and departure.

        What was seen at a viewpoint was not seen at its whole site.
        """
        gathered = cls()
        for viewpoint_id, site_id, on_date, kind, level, at, visit_id, arrived, departed in rows:
            place = viewpoint_id or site_id
            if place:
                begins, ends = (at, at) if at is not None else (arrived, departed)
                first, last = (None if one is None else time.fromisoformat(one) for one in (begins, ends))
                one = ObservedLevel(kind, level, first, last, visit_id)
                gathered.seen.setdefault((place, on_date), []).append(one)
        return gathered

    def facts(self, row: Row, on_date: str | None) -> list[str]:
        """The facts that a shot, visit or keeper takes from what was observed at its place on its day."""
        places = [row.get("viewpoint_id"), row.get("site_id")]
        here = [one for place in places if place and on_date for one in self.seen.get((place, on_date), ())]
        if not here:
            return []
        taken = _place_time(row) if "taken_local" in row else None
        found = tokens(about.HAS, ["closure"]) if any(one.kind in _BARRIERS for one in here) else []
        if "tries" in row:  # a visit
            here = [one for one in here if one.visit_id in (None, row["id"])]
        for kind, fact in about.LEVELS_MET.items():
            noted = [one for one in here if one.kind == kind and one.level is not None]
            levels = [one.level for one in noted if one.level is not None]
            if taken is not None:
                ends = time.fromisoformat(row["day_ends_at"])
                day = day_of(taken, ends)
                timed = [
                    (gap, one.level)
                    for one in noted
                    if one.level is not None and (gap := one.gap(day, taken, ends)) is not None
                ]
                levels = [min(timed)[1]] if timed else levels
            found += tokens(fact, [int(level) if fact.is_number else level for level in levels])
        return found


def _place_time(row: Row) -> datetime | None:
    return place_time(row["taken_local"], row["taken_utc"], row["zone"])


def _instants(row: Row) -> list[datetime]:
    """The moments whose light a record has: a keeper's instant, or steps through a window or visit."""
    if "taken_utc" in row:
        return [] if row["taken_utc"] is None else [datetime.fromisoformat(row["taken_utc"])]
    begins, on_date = row.get("window_from"), row.get("on_date")
    if not begins or not on_date:
        return []
    place = row["place_latitude"], row["place_longitude"]
    zone = zone_by_columns(*place, on_date, row["site_zone"], row["day_zone"], row["trip_zone"])
    if zone is None:
        return []
    start, end = instants_on(
        date.fromisoformat(on_date),
        time.fromisoformat(begins),
        time.fromisoformat(row["window_to"]) if row.get("window_to") else None,
        time.fromisoformat(row["day_ends_at"]),
        zone_of(zone),
    )
    assert start is not None
    return [start + step * _STEP for step in range(int(((end or start) - start) / _STEP) + 1)]
