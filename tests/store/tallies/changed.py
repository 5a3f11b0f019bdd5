"""Books of invented trips to which anything happens, a record at a time, as any program may write it."""

import json
from collections.abc import Callable, Sequence
from random import Random
from typing import Any

Execute = Callable[[str, Sequence[Any]], Any]
TIMES = (None, "00:30:00.000000", "04:00:00.000000", "12:30:00.000000", "18:00:00.000000")
DAYS = ("2031-10-14", "2044-01-01", "1800-01-01")
SUPPORTS = (None, "tripod", "handheld", "unknown")
STACKS = (None, "[]", '["nd8", "pol"]', '["pol", "nd8"]')
INFERRED = '{"sharpness": "inferred", "word": "inferred"}'

# What is changed of which record, and to what.
CHANGES: tuple[tuple[str, str, tuple[Any, ...]], ...] = (
    ("trip", "day_ends_at", TIMES[1:]),
    ("site", "zone", (None, "Europe/Oslo", "+02:00")),
    ("visit", "arrived_at", TIMES),
    ("visit", "departed_at", TIMES),
    ("visit", "on_date", DAYS),
    ("visit", "tries", (None, 0, 1, 40)),
    ("visit", "support", SUPPORTS),
    ("shot", "on_date", (None, *DAYS)),
    ("shot", "window_from", TIMES),
    ("shot", "technique", (None, "Panning\nat night", "silky water")),
    ("shot", "filters", STACKS),
    ("outcome", "word", ("made", "missed", "partly")),
    ("outcome", "provenance", ("{}", INFERRED)),
    ("outcome", "reasons", ("[]", '["crowd", "light"]')),
    ("keeper", "zone", (None, "Pacific/Auckland")),
    ("keeper", "taken_utc", (None, "2044-05-01T10:00:00.000000Z", "1800-01-01T10:00:00.000000Z")),
    ("keeper", "taken_local", (None, "2031-10-14T17:00:00")),
    ("keeper", "support", SUPPORTS),
    ("keeper", "filters", STACKS),
    ("keeper", "sharpness", (None, "sharp", "soft")),
    ("keeper", "provenance", ("{}", INFERRED)),
    ("keeper", "iso", (None, 100, 6400)),
    ("condition", "at", TIMES),
    ("condition", "level", (None,)),
    ("trip", "zone", (None, "Asia/Tokyo")),
    ("site", "kinds", ('["dune"]', '["market", "people"]')),
    ("site", "footing", (None, "sand")),
    ("site", "access", (None, "A boat, then steps.")),
    ("site", "walk_min", (None, 0, 90)),
    ("site", "elevation_m", (None, 2500.0)),
    ("viewpoint", "facing_deg", (None, 10.0, 200.0)),
    ("viewpoint", "tripod_rule", ("unknown", "allowed")),
    ("viewpoint", "footing", (None, "rock")),
    ("viewpoint", "elevation_m", (None, 2500.0)),
    ("viewpoint", "horizon", (None, "sea")),
)
# Which record refers to another one, or to none where it need not.
REFERENCES = (
    ("visit", "viewpoint", True),
    ("shot", "viewpoint", False),
    ("keeper", "viewpoint", False),
    ("keeper", "shot", False),
    ("keeper", "trip", True),
    ("viewpoint", "site", True),
    ("condition", "viewpoint", False),
)


def change_at_random(execute: Execute, chance: Random, count: int) -> None:
    """Change so many things of the records that lie in a book."""

    def any_id(table: str) -> str:
        found = [row[0] for row in execute(f"SELECT id FROM {table} ORDER BY id", ())]
        return str(chance.choice(found))

    def change() -> None:
        table, column, values = chance.choice(CHANGES)
        execute(f"UPDATE {table} SET {column} = ? WHERE id = ?", (chance.choice(values), any_id(table)))

    def refer() -> None:
        table, to, is_needed = chance.choice(REFERENCES)
        other = any_id(to) if is_needed or chance.random() < 0.7 else None
        execute(f"UPDATE OR IGNORE {table} SET {to}_id = ? WHERE id = ?", (other, any_id(table)))

    def observe_on_a_visit() -> None:
        visit_id = any_id("visit")
        execute(
            "UPDATE condition SET (visit_id, viewpoint_id, on_date) ="
            " (SELECT id, viewpoint_id, on_date FROM visit WHERE id = ?) WHERE id = ?",
            (visit_id, any_id("condition")),
        )

    def pair() -> None:
        one = any_id("keeper")
        trip_id = execute("SELECT trip_id FROM keeper WHERE id = ?", (one,)).fetchone()[0]
        rows = execute("SELECT id FROM keeper WHERE trip_id = ? AND id <> ? ORDER BY id", (trip_id, one))
        others = [row[0] for row in rows]
        if others:
            execute(
                "INSERT INTO keeper_set (id, created, updated, provenance, trip_id, kind, keeper_ids)"
                " VALUES (?, ?, ?, '{}', ?, 'pair', ?)",
                (
                    f"{chance.getrandbits(128):032x}",
                    *("2031-01-01T00:00:00.000000Z",) * 2,
                    trip_id,
                    json.dumps([one, chance.choice(others)]),
                ),
            )

    def measure() -> None:
        found = execute("SELECT hash FROM keeper WHERE id = ?", (any_id("keeper"),)).fetchone()
        values = (found[0], chance.choice((1, 2)), chance.choice((None, "sharp", "soft")))
        execute("INSERT OR REPLACE INTO measured_picture (hash, method, proposed) VALUES (?, ?, ?)", values)

    def place() -> None:
        table = chance.choice(("site", "viewpoint"))
        where = chance.choice(((None, None), (10.0, 20.0), (70.0, -20.0)))
        execute(
            f"UPDATE {table} SET latitude_deg = ?, longitude_deg = ? WHERE id = ?", (*where, any_id(table))
        )

    def state_a_day() -> None:
        trip_id, on_date = execute(
            "SELECT trip_id, on_date FROM visit WHERE id = ?", (any_id("visit"),)
        ).fetchone()
        zone = chance.choice((None, "Asia/Tokyo", "+05:45"))
        if chance.random() < 0.3:
            execute("DELETE FROM day WHERE trip_id = ? AND on_date = ?", (trip_id, on_date))
        elif not execute(
            "UPDATE day SET zone = ? WHERE trip_id = ? AND on_date = ?", (zone, trip_id, on_date)
        ).rowcount:
            execute(
                "INSERT INTO day (id, created, updated, provenance, trip_id, on_date, zone)"
                " VALUES (?, ?, ?, '{}', ?, ?, ?)",
                (
                    f"{chance.getrandbits(128):032x}",
                    *("2031-01-01T00:00:00.000000Z",) * 2,
                    trip_id,
                    on_date,
                    zone,
                ),
            )

    def remove() -> None:
        table = chance.choice(("keeper_set", "outcome", "keeper", "condition"))
        execute(f"DELETE FROM {table} WHERE id = (SELECT id FROM {table} ORDER BY id LIMIT 1)", ())

    for _ in range(count):
        acts = (change, change, change, refer, observe_on_a_visit, pair, measure, place, state_a_day, remove)
        chance.choice(acts)()
