"""A trip as GPX 1.1: places as waypoints, tracks with their instants.

One surprising decision: pictures are no waypoints; a receiver in the field has room for places, and a
picture's place is its viewpoint.
"""

from logbook.domain.shown import Shown
from logbook.services.exports.places import one_line, places_of, prose

CREATOR = "shoot-logbook"


def gpx_text(shown: Shown) -> str:
    """Return the trip as the text of a GPX 1.1 file (Topografix, GPX 1.1 Schema)."""
    from gpxpy.gpx import GPX, GPXTrack, GPXTrackPoint, GPXTrackSegment, GPXWaypoint

    trip = shown.trip
    gpx = GPX()
    gpx.creator = CREATOR
    gpx.name = one_line(trip.title)
    gpx.description = prose(trip.summary) or None
    for place in places_of(shown):
        gpx.waypoints.append(
            GPXWaypoint(
                place.position.latitude_deg,
                _longitude(place.position.longitude_deg),
                elevation=place.elevation_m,
                name=place.title,
                description=place.about or None,
                type="viewpoint" if hasattr(place.place, "site_id") else "site",
            )
        )
    if shown.tracks:
        track = GPXTrack(name=one_line(trip.title))
        for segment in shown.tracks:
            points = [
                GPXTrackPoint(
                    fix.latitude_deg, _longitude(fix.longitude_deg), elevation=fix.elevation_m, time=fix.at
                )
                for fix in segment
            ]
            track.segments.append(GPXTrackSegment(points))
        gpx.tracks.append(track)
    return str(gpx.to_xml(version="1.1")).rstrip() + "\n"


def _longitude(longitude_deg: float) -> float:
    """GPX 1.1 has longitudes from -180 up to, but not including, 180."""
    return -180.0 if longitude_deg == 180.0 else longitude_deg
