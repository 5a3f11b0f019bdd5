"""A trip as GeoJSON (RFC 7946): longitude before latitude, WGS84, closed rings, nothing across the date line.

One surprising decision: a place of which others may know only the area is a polygon, the cell itself, so that
no map can draw it as a point that was never there.
"""

from collections.abc import Iterator, Sequence
from typing import Any

from logbook.domain.measures import CELL_DEG
from logbook.domain.position import Position
from logbook.domain.shown import Shown
from logbook.domain.track import Fix
from logbook.domain.viewpoint import Viewpoint
from logbook.services.exports.book_json import plain_record
from logbook.services.exports.json_text import json_text
from logbook.services.exports.places import Place, one_line, pictures_of, places_of, prose

Geometry = dict[str, Any]
Coordinates = list[float]
_DECIMALS = 9  # of a degree; a tenth of a millimetre, so that no sum of floats shows
_OF_A_PICTURE = ("taken_utc", "zone", "exposure_s", "f_number", "iso", "focal_mm", "filters", "support")


def geojson_text(shown: Shown) -> str:
    """Return the trip as the text of a GeoJSON file: places, pictures, tracks."""
    features = [_place(place) for place in places_of(shown)]
    features += list(_pictures(shown))
    features += list(_tracks(shown))
    return json_text({"type": "FeatureCollection", "features": features})


def _feature(kind: str, feature_id: str, geometry: Geometry, properties: dict[str, Any]) -> Geometry:
    return {
        "type": "Feature",
        "id": feature_id,
        "geometry": geometry,
        "properties": {"kind": kind} | {name: one for name, one in properties.items() if one is not None},
    }


def _place(place: Place) -> Geometry:
    geometry = _cell(place.position) if place.is_area else _point(place.position, place.elevation_m)
    properties: dict[str, Any] = {"name": place.title, "site": place.site, "about": place.about or None}
    kind = "site"
    if isinstance(place.place, Viewpoint):
        kind = "viewpoint"
        horizon = place.place.horizon
        properties |= {"facing_deg": place.place.facing_deg, "tripod": str(place.place.tripod_rule)}
        properties["horizon"] = horizon.plain if horizon else None
    return _feature(kind, place.place.id, geometry, properties)


def _point(position: Position, height_m: float | None) -> Geometry:
    return {"type": "Point", "coordinates": _at(position.longitude_deg, position.latitude_deg, height_m)}


def _at(longitude_deg: float, latitude_deg: float, height_m: float | None = None) -> Coordinates:
    flat = [round(longitude_deg, _DECIMALS) + 0.0, round(latitude_deg, _DECIMALS) + 0.0]
    return flat if height_m is None else [*flat, height_m]


def _cell(middle: Position) -> Geometry:
    """The cell around a rounded position; one on the date line is two (RFC 7946, section 3.1.9)."""
    west, east = middle.longitude_deg - CELL_DEG / 2, middle.longitude_deg + CELL_DEG / 2
    south = max(-90.0, middle.latitude_deg - CELL_DEG / 2)
    north = min(90.0, middle.latitude_deg + CELL_DEG / 2)
    spans = [(max(-180.0, west), min(180.0, east))]
    spans += [(west + 360.0, 180.0)] if west < -180.0 else []
    spans += [(-180.0, east - 360.0)] if east > 180.0 else []
    rings = [[_ring(*span, south, north)] for span in spans]
    if len(rings) == 1:
        return {"type": "Polygon", "coordinates": rings[0]}
    return {"type": "MultiPolygon", "coordinates": rings}


def _ring(west: float, east: float, south: float, north: float) -> list[Coordinates]:
    """A closed ring, against the clock (RFC 7946, section 3.1.6)."""
    corners = ((west, south), (east, south), (east, north), (west, north), (west, south))
    return [_at(*corner) for corner in corners]


def _pictures(shown: Shown) -> Iterator[Geometry]:
    shots = {one.id: one_line(one.title) for one in shown.shots}
    for keeper, position in pictures_of(shown):
        plain = plain_record(keeper)
        said = {"name": one_line(keeper.file), "caption": prose(keeper.caption) or None}
        said |= {"shot": shots.get(keeper.shot_id or "")} | {name: plain[name] for name in _OF_A_PICTURE}
        yield _feature("picture", keeper.id, _point(position, keeper.altitude_m), said)


def _tracks(shown: Shown) -> Iterator[Geometry]:
    trip = shown.trip
    for number, segment in enumerate(shown.tracks, start=1):
        lines = [piece for piece in _pieces(segment) if len(piece) > 1]
        if not lines:
            continue
        geometry: Geometry = (
            {"type": "LineString", "coordinates": lines[0]}
            if len(lines) == 1
            else {"type": "MultiLineString", "coordinates": lines}
        )
        times = {
            name: fix.at.isoformat().replace("+00:00", "Z")
            for name, fix in (("begins", segment[0]), ("ends", segment[-1]))
        }
        yield _feature("track", f"{trip.id}-track-{number}", geometry, {"name": one_line(trip.title)} | times)


def _pieces(segment: Sequence[Fix]) -> list[list[Coordinates]]:
    """The lines of a segment, cut where it crosses the date line (RFC 7946, section 3.1.9)."""
    pieces: list[list[Coordinates]] = [[]]
    before: Fix | None = None
    for fix in segment:
        if before and abs(fix.longitude_deg - before.longitude_deg) > 180.0:
            edge = 180.0 if before.longitude_deg > 0 else -180.0
            beyond = fix.longitude_deg + 2 * edge
            run = beyond - before.longitude_deg
            part = (edge - before.longitude_deg) / run if run else 0.0
            latitude_deg = before.latitude_deg + part * (fix.latitude_deg - before.latitude_deg)
            pieces[-1].append(_at(edge, latitude_deg))
            pieces.append([_at(-edge, latitude_deg)])
        pieces[-1].append(_at(fix.longitude_deg, fix.latitude_deg, fix.elevation_m))
        before = fix
    return pieces
