"""The tables of the tallies in the database, and the triggers that note which of them are behind.

One surprising decision: a change is noted by the viewpoint and the trip that it concerns, never by the
record, because a visit that moves takes pictures of another one with it.
"""

from logbook.store.tallies import site_objects
from logbook.store.triggers import EVENTS

# Their names begin as all of the index do.
TALLY, STALE, ZONES = "search_tally", "search_tally_stale", "search_zones"

# A line a record in each, in the order in which they were written down; keepers visit by visit, `visit_kept`
# of each, and those of no visit last. Levels have lines for each kind of condition.
KEEPERS = (
    "keeper_ids",
    "keeper_shots",
    "keeper_days",
    "keeper_times",
    "keeper_supports",
    "keeper_filters",
    "keeper_sharpness",
    "keeper_settings",
    "keeper_phases",
    "keeper_levels",
)
VISITS = (
    "visit_ids",
    "visit_numbers",
    "visit_slugs",
    "visit_days",
    "visit_tries",
    "visit_supports",
    "visit_met",
    "visit_kept",
)
SHOTS = (
    "shot_ids",
    "shot_numbers",
    "shot_slugs",
    "shot_days",
    "shot_times",
    "shot_words",
    "shot_reasons",
    "shot_techniques",
    "shot_supports",
    "shot_filters",
    "shot_phases",
    "shot_levels",
)
# Of the whole row: its days, the last date by the place's clock, and what was met on which day.
WHOLE = ("since", "until", "latest", "met")
COLUMNS = (*WHOLE, *KEEPERS, *VISITS, *SHOTS)

TABLES = (
    f"CREATE TABLE {TALLY} (viewpoint_id TEXT NOT NULL, trip_id TEXT NOT NULL, "
    + ", ".join(f"{name} TEXT" for name in COLUMNS)
    + ", PRIMARY KEY (viewpoint_id, trip_id))",
    f"CREATE TABLE {STALE} (viewpoint_id TEXT NOT NULL, trip_id TEXT NOT NULL,"
    " PRIMARY KEY (viewpoint_id, trip_id)) WITHOUT ROWID",
    # `zones` are names with blanks between, `boundaries` is the version of what they were read from.
    f"CREATE TABLE {ZONES} (latitude_deg REAL, longitude_deg REAL, boundaries TEXT, zones TEXT,"
    " PRIMARY KEY (latitude_deg, longitude_deg))",
)

_NOTE = f"INSERT OR IGNORE INTO {STALE} SELECT"
# What else of a record is no matter to a tally; a caption that changes leaves it as it is.
_COUNTED = {
    "keeper": "trip_id viewpoint_id shot_id hash taken_local taken_utc zone support filters sharpness"
    " provenance f_number exposure_s iso focal_mm",
    "visit": "trip_id viewpoint_id slug on_date arrived_at departed_at tries support",
    "shot": "trip_id viewpoint_id slug on_date window_from technique support filters",
    "day": "trip_id on_date zone",
}
_OWN = "{row}.viewpoint_id, {row}.trip_id WHERE {row}.viewpoint_id IS NOT NULL"
_CONCERNED = {
    "keeper": (_OWN,),
    "shot": (_OWN,),
    # An open end is closed where the next visit of the day begins, wherever that was.
    "visit": (
        _OWN,
        "viewpoint_id, trip_id FROM visit WHERE trip_id = {row}.trip_id AND on_date = {row}.on_date",
    ),
    "outcome": ("viewpoint_id, trip_id FROM shot WHERE id = {row}.shot_id AND viewpoint_id IS NOT NULL",),
    "condition": (
        f"viewpoint_id, trip_id FROM {TALLY} WHERE {{row}}.level IS NOT NULL AND viewpoint_id IN"
        " (SELECT {row}.viewpoint_id UNION ALL"
        " SELECT id FROM viewpoint WHERE site_id = {row}.site_id AND {row}.viewpoint_id IS NULL)"
        " AND {row}.on_date BETWEEN since AND until",
    ),
    "day": (
        f"viewpoint_id, trip_id FROM {TALLY} WHERE {{row}}.zone IS NOT NULL AND trip_id = {{row}}.trip_id"
        " AND {row}.on_date BETWEEN since AND until",
    ),
    "keeper_set": (
        "viewpoint_id, trip_id FROM keeper WHERE {row}.kind = 'pair' AND viewpoint_id IS NOT NULL"
        " AND id IN (SELECT value FROM json_each({row}.keeper_ids))",
    ),
    "measured_picture": (
        "viewpoint_id, trip_id FROM keeper WHERE hash = {row}.hash AND viewpoint_id IS NOT NULL",
    ),
}
# What a place or a trip says of the light and the days of all that was there.
_CARRIED = (
    ("trip", "day_ends_at zone", "trip_id = new.id"),
    (
        "site",
        "latitude_deg longitude_deg zone",
        "viewpoint_id IN (SELECT id FROM viewpoint WHERE site_id = new.id)",
    ),
    ("viewpoint", "latitude_deg longitude_deg site_id", "viewpoint_id = new.id"),
)


def statements() -> tuple[str, ...]:
    """Return the statements that make the tables and their triggers."""
    return (*TABLES, site_objects.TABLE, *triggers(), *site_objects.triggers())


def triggers() -> tuple[str, ...]:
    """Return the statements that make the triggers."""
    found = []
    for table, concerned in _CONCERNED.items():
        for event, rows in EVENTS.items():
            when = f" WHEN {_differ(_COUNTED[table])}" if event == "update" and table in _COUNTED else ""
            notes = dict.fromkeys(f"{_NOTE} {one.format(row=row)};" for row in rows for one in concerned)
            found.append(
                f"CREATE TRIGGER {TALLY}_{table}_{event} AFTER {event.upper()} ON {table}{when}"
                f" BEGIN {' '.join(notes)} END"
            )
    for table, columns, which in _CARRIED:
        found.append(
            f"CREATE TRIGGER {TALLY}_{table}_carried AFTER UPDATE ON {table} WHEN {_differ(columns)}"
            f" BEGIN {_NOTE} viewpoint_id, trip_id FROM {TALLY} WHERE {which}; END"
        )
    return tuple(found)


def _differ(columns: str) -> str:
    olds, news = (", ".join(f"{row}.{name}" for name in columns.split()) for row in ("old", "new"))
    return f"({olds}) IS NOT ({news})" if "," in olds else f"{olds} IS NOT {news}"
