"""The table of what tells sites from each other, and the triggers that drop a row that may have changed.

One surprising decision: a row that is behind is not noted but gone, because a site is few records, and one
without a row is worked out whoever asks first, a writer at the end of its transaction or a reader.
"""

from logbook.store.triggers import EVENTS

TRAITS = "search_site_traits"

# `latest` is the last date of a visit, `traits` JSON, NULL where they cannot be read.
TABLE = f"CREATE TABLE {TRAITS} (site_id TEXT PRIMARY KEY, latest TEXT, traits TEXT)"

_OF_VIEW = "SELECT site_id FROM viewpoint WHERE id = {row}.viewpoint_id"
# Of which sites a record tells something, and by which columns.
_TELLING = {
    "site": (
        "SELECT {row}.id",
        "kinds latitude_deg longitude_deg zone footing access walk_min elevation_m",
    ),
    "viewpoint": (
        "SELECT {row}.site_id",
        "site_id latitude_deg longitude_deg facing_deg tripod_rule footing elevation_m horizon",
    ),
    "visit": (_OF_VIEW, "viewpoint_id trip_id on_date arrived_at departed_at"),
    "condition": (f"SELECT {{row}}.site_id UNION ALL {_OF_VIEW}", "kind level at site_id viewpoint_id"),
    "day": (
        "SELECT w.site_id FROM visit v JOIN viewpoint w ON w.id = v.viewpoint_id"
        " WHERE {row}.zone IS NOT NULL AND v.trip_id = {row}.trip_id AND v.on_date = {row}.on_date",
        "trip_id on_date zone",
    ),
    "trip": (
        "SELECT w.site_id FROM visit v JOIN viewpoint w ON w.id = v.viewpoint_id WHERE v.trip_id = {row}.id",
        "zone day_ends_at",
    ),
}


def triggers() -> tuple[str, ...]:
    """Return the statements that make the triggers."""
    found = []
    for table, (which, columns) in _TELLING.items():
        for event, rows in EVENTS.items():
            differ = " OR ".join(f"old.{name} IS NOT new.{name}" for name in columns.split())
            when = f" WHEN {differ}" if event == "update" else ""
            drops = " ".join(
                f"DELETE FROM {TRAITS} WHERE site_id IN ({which.format(row=row)});" for row in rows
            )
            found.append(
                f"CREATE TRIGGER {TRAITS}_{table}_{event} AFTER {event.upper()} ON {table}{when}"
                f" BEGIN {drops} END"
            )
    return tuple(found)
