"""What the boundaries of the time zones say of the book's places, kept because reading them takes 0.1 s.

One surprising decision: whoever reads trusts what is kept without asking which boundaries it came from, as
that alone would read them. A writer who must read them for a new place replaces what older ones said.
"""

from collections.abc import Iterable
from typing import Any

from logbook.domain.place_clock import boundaries_version, is_on_globe, learn_zones, zones_in_boundaries
from logbook.domain.position import Position
from logbook.store.portions import portions
from logbook.store.tallies.objects import ZONES

AT_ONCE = 400  # places that are asked for at a time

_PLACES = " UNION ".join(
    f"SELECT latitude_deg, longitude_deg FROM {table}"
    " WHERE latitude_deg BETWEEN -90 AND 90 AND longitude_deg BETWEEN -180 AND 180"
    for table in ("site", "viewpoint")
)


def refresh(cursor: Any) -> None:
    """Note the zones at every place that is new; part of the running transaction."""
    new = f"{_PLACES} EXCEPT SELECT latitude_deg, longitude_deg FROM {ZONES}"
    if cursor.execute(f"SELECT EXISTS ({new})").fetchone()[0]:
        cursor.execute(f"DELETE FROM {ZONES} WHERE boundaries <> ?", (boundaries_version(),))
        cursor.executemany(f"INSERT INTO {ZONES} VALUES (?, ?, ?, ?)", _fresh(cursor.execute(new).fetchall()))


def forget_all(cursor: Any) -> None:
    """Drop every row."""
    cursor.execute(f"DELETE FROM {ZONES}")


def out_of_step(cursor: Any) -> int:
    """Return how many rows are not what the boundaries say; one that is missing is only behind."""
    held = [tuple(row) for row in cursor.execute(f"SELECT * FROM {ZONES}")]
    return len(set(held).difference(_fresh([row[:2] for row in held]))) if held else 0


def kept(cursor: Any, places: Iterable[Position]) -> dict[Position, tuple[str, ...]]:
    """Return the zones that are kept of some places."""
    found = {}
    for some in portions([(one.latitude_deg, one.longitude_deg) for one in places], AT_ONCE):
        asked = ", ".join(["(?, ?)"] * len(some))
        query = (
            f"SELECT latitude_deg, longitude_deg, zones FROM {ZONES}"
            f" WHERE (latitude_deg, longitude_deg) IN (VALUES {asked})"
        )
        for *place, zones in cursor.execute(query, [one for row in some for one in row]):
            found[Position(*place)] = tuple(zones.split())
    return found


def learn(cursor: Any, places: Iterable[tuple[float | None, float | None]]) -> None:
    """Remember the zones that are kept of some places (degrees), so that the boundaries stay unread."""
    known = {
        Position(latitude_deg, longitude_deg)
        for latitude_deg, longitude_deg in set(places)
        if latitude_deg is not None and longitude_deg is not None and is_on_globe(latitude_deg, longitude_deg)
    }
    learn_zones(kept(cursor, known))


def _fresh(places: Iterable[tuple[float, float]]) -> list[tuple[float, float, str, str]]:
    return [
        (*place, boundaries_version(), " ".join(zones_in_boundaries(Position(*place)))) for place in places
    ]
