"""`logbook light`: what sun and moon do on a day at a place, and how they light a view.

One surprising decision: one timeline holds events, kinds of light, the sun's way through the frame and a
change of clocks, because a photographer reads a day in one direction.
"""

from typing import Annotated

import typer

from logbook.domain.errors import WrongUseError
from logbook.faces import measured, options, typed
from logbook.faces.measured import plainly
from logbook.faces.opened import open_book
from logbook.faces.terminal import say

DEFAULT_FOCAL_MM = 24.0  # mm on 36x24 mm; a usual wide angle for landscapes (common practice, no source)

app = typer.Typer()


@options.command(
    app,
    "light",
    "logbook light --lat 38.2 --lon 73.4 --facing 250 --on 2031-10-14 --at 17:30",
)
def light(
    viewpoint: Annotated[
        str | None, typer.Argument(metavar="VIEWPOINT", help="A viewpoint in the book; or give --lat, --lon.")
    ] = None,
    on: options.On = None,
    at: options.At = None,
    lat: options.Latitude = None,
    lon: options.Longitude = None,
    elevation_m: options.Elevation = None,
    facing: options.Facing = None,
    focal: options.Focal = None,
    sensor: options.SensorSize = None,
    zone: options.Zone = None,
    horizon: options.Horizon = None,
    golden: Annotated[
        str | None,
        typer.Option("--golden", metavar="FROM,TO", help="Sun heights for golden light; default -4,6."),
    ] = None,
    blue: Annotated[
        str | None,
        typer.Option("--blue", metavar="FROM,TO", help="Sun heights for blue light; default -6,-4."),
    ] = None,
    later: Annotated[
        bool, typer.Option("--later", help="Take the second occurrence, when clocks show a time twice.")
    ] = False,
    refraction: Annotated[
        bool, typer.Option("--refraction", help="Add standard refraction to altitudes.")
    ] = False,
    viewpoint_too: options.ViewpointToo = None,
    plain: options.Plain = False,  # noqa: ARG001  # its callback does the work
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Sun, moon, eclipses, twilights and the light on a view for one day, and at one time that day."""
    from logbook.domain.place_clock import ZoneFrom
    from logbook.domain.position import Position
    from logbook.faces.light_json import answer_light_json
    from logbook.faces.light_limits import light_limits
    from logbook.faces.light_shown import answer_light
    from logbook.services.light import day_light, standpoints

    viewpoint = options.either(viewpoint, viewpoint_too, "viewpoint")
    on_date = typed.a_date(measured.needed(on, "--on", "2031-10-14"))
    assert on_date is not None
    time, zone = typed.a_time(at), typed.a_zone(zone)
    given = typed.place(None, lat, lon)
    facing_deg = typed.facing(facing)
    focal_mm = DEFAULT_FOCAL_MM if focal is None else measured.focal_mm(focal)
    limits = light_limits(golden, blue)
    with plainly():
        frame = day_light.LensAndSensor(focal_mm, measured.sensor(sensor), focal is not None)
        if viewpoint is not None:
            if given or elevation_m is not None:
                raise WrongUseError("Give either a viewpoint or --lat with --lon, not both.")
            place = standpoints.find_standpoint(
                open_book(book), viewpoint, on_date, facing_deg=facing_deg, zone=zone
            )
        elif given:
            place = standpoints.at_coordinate(
                Position(given["latitude_deg"], given["longitude_deg"]),
                facing_deg=facing_deg,
                elevation_m=elevation_m,
                zone=zone,
            )
        else:
            raise WrongUseError("Say where: a viewpoint in the book, or --lat with --lon.")
        if over := typed.a_horizon(horizon):
            place = standpoints.with_horizon(place, over)
        day = day_light.light_of_day(place, on_date, frame, limits)
        now = None if time is None else day_light.light_at(day, time, refraction=refraction, later=later)
    if place.zone_trip is not None:
        whose = "noted for that day of the trip" if place.zone_from is ZoneFrom.DAY else "of the trip"
        say(f"The site has no time zone of its own; times are in the zone {whose} {place.zone_trip}.")
    if as_json:
        answer_light_json(day, now, refraction)
    else:
        answer_light(day, now)
