"""The light of a day, and at a time of it, as JSON."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from logbook.faces.light_shown import USUAL_CAUTIONS, sun_caution, working
from logbook.faces.plain import eclipse_json, expected_json, local_iso
from logbook.faces.reached import spans_json
from logbook.faces.terminal import answer_json

if TYPE_CHECKING:
    from logbook.craft.bow import Bow
    from logbook.craft.light import FrameSpan
    from logbook.craft.polarisation import SkyPolarisation
    from logbook.services.light.day_light import LightDay, LightNow


def answer_light_json(day: "LightDay", now: "LightNow | None", refraction: bool) -> None:
    """Print the light of a day as JSON; times are the place's own, with their offset from UTC."""
    place, frame = day.standpoint, day.frame
    answer_json(
        {
            "viewpoint": place.name,
            "on": day.on_date.isoformat(),
            "latitude_deg": place.observer.latitude_deg,
            "longitude_deg": place.observer.longitude_deg,
            "facing_deg": place.facing_deg,
            "horizon": None if place.horizon is None else place.horizon.plain,
            "horizon_deg": place.observer.horizon_deg,
            "horizon_is": place.horizon_text,
            "golden_deg": [day.limits.golden_from_deg, day.limits.golden_to_deg],
            "blue_deg": [day.limits.blue_from_deg, day.limits.blue_to_deg],
            "zone": str(place.zone),
            "zone_from": str(place.zone_from),
            "zone_trip": place.zone_trip,
            "refraction": refraction,
            "clock_change": day.clock_change
            and {"at": _iso(day, day.clock_change.at), "minutes": day.clock_change.minutes},
            "sun_stays": day.sky.sun_stays and str(day.sky.sun_stays),
            "moon_stays": day.sky.moon_stays and str(day.sky.moon_stays),
            "events": [
                {"name": str(event.name), "at": _iso(day, event.at), "azimuth_deg": event.azimuth_deg}
                for event in day.sky.events
            ],
            "phases": [
                {"name": str(phase.kind), "from": _iso(day, phase.start), "to": _iso(day, phase.end)}
                for phase in day.sky.phases
            ],
            "moon_phase": str(day.moon.name),
            "moon_illuminated_fraction": day.moon.illuminated_fraction,
            "frame": {
                "focal_mm": frame.focal_mm,
                "sensor_mm": [frame.sensor.width_mm, frame.sensor.height_mm],
                "stated": frame.stated,
                "horizontal_deg": frame.angle.horizontal_deg,
                "vertical_deg": frame.angle.vertical_deg,
            },
            "sun_in_frame": _spans(day, day.sun_in_frame),
            "sun_near_frame": _spans(day, day.sun_near_frame),
            "sun_behind_subject": [
                {"at": _iso(day, one.at), "altitude_deg": one.altitude_deg} for one in day.sun_behind_subject
            ],
            "moon_in_frame": _spans(day, day.moon_in_frame),
            "eclipses": [eclipse_json(one, place.zone) for one in day.eclipses],
            "caution": sun_caution(day),
            "cautions": USUAL_CAUTIONS,
        }
        | ({} if now is None else {"at": _now_json(day, now)})
    )


def _now_json(day: "LightDay", now: "LightNow") -> dict[str, Any]:
    from logbook.craft.polarisation import brewster_angle_deg

    lit, polarised = now.on_view, now.polarisation
    return {
        "at": _iso(day, now.at),
        "happens_twice": now.happens_twice,
        "later": now.later,
        "refraction": now.refraction,
        "sun_azimuth_deg": now.sun.azimuth_deg,
        "sun_altitude_deg": now.sun.altitude_deg,
        "phase": str(now.phase),
        "angle_to_view_deg": None if lit is None else abs(lit.off_axis_deg),
        "turn_to_sun_deg": None if lit is None else lit.off_axis_deg,
        "direction": None if lit is None or lit.direction is None else str(lit.direction),
        "sun_place": None if lit is None else str(lit.sun_place),
        "sun_behind_skyline": now.is_hidden,
        "sun_in_sight": now.is_in_sight,
        "sun_covered": now.sun_covered,
        "eclipse": now.eclipse and str(now.eclipse.body),
        "eclipse_stops": now.expected.dimming.stops if now.expected.dimming else 0.0,
        "shadow": None
        if now.shadow is None
        else {"length_per_metre": now.shadow.length_per_metre, "bearing_deg": now.shadow.bearing_deg},
        "polarisation": None if polarised is None else _polarisation_json(polarised),
        "bow": _bow_json(now.bow, day),
        "second_bow": _bow_json(now.second_bow, day),
        "water": {"brewster_deg": brewster_angle_deg(), "depression_deg": 90.0 - brewster_angle_deg()},
        **expected_json(now.expected, now.witnesses),
        "expected_of": {
            "front": now.expected.seen.front,
            "open_shade": now.expected.seen.shade,
            "ground": now.expected.seen.ground,
            "sky_towards_sun": now.expected.seen.towards,
            "sky_away_from_sun": now.expected.seen.away,
        },
        "ground_lx": now.expected.ground_lx,
        "moon_azimuth_deg": now.moon.azimuth_deg,
        "moon_altitude_deg": now.moon.altitude_deg,
        "moon_in_sight": now.is_moon_in_sight,
        "moon_phase": str(now.moon_phase.name),
        "moon_illuminated_fraction": now.moon_phase.illuminated_fraction,
        "working": working(day, now),
    }


def _polarisation_json(polarised: "SkyPolarisation") -> dict[str, Any]:
    return {
        "effect": str(polarised.effect),
        "evenness": str(polarised.evenness),
        "least": polarised.least,
        "greatest": polarised.greatest,
        "band_azimuths_deg": list(polarised.band_azimuths_deg),
        "band_top_azimuth_deg": polarised.band_top_azimuth_deg,
        "band_top_altitude_deg": polarised.band_top_altitude_deg,
        "all_round": polarised.all_round,
    }


def _bow_json(bow: "Bow | None", day: "LightDay") -> dict[str, Any] | None:
    if bow is None:
        return None
    return {
        "centre_azimuth_deg": bow.centre_azimuth_deg,
        "centre_altitude_deg": bow.centre_altitude_deg,
        "radius_deg": bow.radius_deg,
        "top_altitude_deg": bow.top_altitude_deg,
        "in_frame": bow.in_frame if day.view else None,
        "spray_in_frame": bow.spray_in_frame if day.view else None,
    }


def _spans(day: "LightDay", spans: Sequence["FrameSpan"]) -> list[dict[str, str]]:
    zone = day.standpoint.zone
    return spans_json([span.shown_in(zone) for span in spans])


def _iso(day: "LightDay", at: datetime) -> str:
    return local_iso(at, day.standpoint.zone)
