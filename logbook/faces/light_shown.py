"""The light of a day as a timeline for the terminal."""

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from logbook.craft.light import TOP_FROM_DEG, LightDirection
from logbook.craft.marks import number_text
from logbook.domain.place_clock import ZoneFrom
from logbook.domain.position import position_text
from logbook.domain.zones import zone_words
from logbook.faces.ink import Ink
from logbook.faces.light_limits import limits_words
from logbook.faces.light_strip import answer_strip
from logbook.faces.reached import range_text
from logbook.faces.terminal import answer, answer_pairs, answer_prose, answer_table
from logbook.faces.words.phrases import whole_bearing
from logbook.faces.words.sky import (
    change_words,
    clock_of,
    eclipse_caution,
    eclipse_events,
    extremes_said,
    height_text,
    towards,
)
from logbook.sky.events import Stays

if TYPE_CHECKING:
    from logbook.craft.bow import Bow
    from logbook.craft.light import LightOnView
    from logbook.services.light.day_light import LightDay, LightNow
    from logbook.services.light.standpoints import Standpoint
    from logbook.sky.moon import MoonPhase

EVENLY = {  # how a polariser darkens the sky over the frame
    "even": "evenly",
    "graded": "changing gently across it",
    "uneven": "unevenly, as a dark band",
}
USUAL_CAUTIONS = (
    "Closed paths, high water, surf, edges, ice, lightning and heat: look before you go. "
    "Local rules, wardens and licensed guides decide."
)


def answer_light(day: "LightDay", now: "LightNow | None") -> None:
    """Print the light of a day as a timeline, then the light at a time, then the cautions."""
    place = day.standpoint
    title = f"{place.title or position_text(place.position)}, {day.on_date:%A} {_long_date(day)}"
    answer_prose(title, ink=Ink.HEADING)
    answer_prose(f"Times: {_zone_text(day)}, {_ZONE_FROM[place.zone_from]}.")
    if day.view is not None:
        angle, frame = day.frame.angle, day.frame
        sensor = f"{number_text(frame.sensor.width_mm)}x{number_text(frame.sensor.height_mm)}"
        assumed = "" if frame.stated else " (assumed)"
        lens = f"{number_text(frame.focal_mm)} mm"
        answer(
            f"View: {towards(day.view.facing_deg)}, {lens} on {sensor} mm{assumed}, "
            f"level: {angle.horizontal_deg:.0f}° × {angle.vertical_deg:.0f}°."
        )
    if abs(place.observer.latitude_deg) > 89.9:  # within 11 km every step turns them
        answer("So near a pole, bearings hold for this longitude only.")
    answer(_horizon_words(day.standpoint))
    answer(limits_words(day.limits))
    for body, stays in (("sun", day.sky.sun_stays), ("moon", day.sky.moon_stays)):
        if stays is not None:
            verb = "set" if stays is Stays.ABOVE else "rise"
            over = f" over {place.horizon_text}" if place.horizon else ""
            answer(f"The {body} does not {verb}{over} on this day.")
    for said in extremes_said(day):
        answer(said)
    answer_strip(day.sky.start, day.sky.end, place.zone, day.sky.kind_at)
    answer("")
    answer_table(("time", "event", "azimuth", "light from then on"), _timeline(day), "")
    answer(f"Moon: {_moon(day.moon)}.")
    if now is not None:
        _answer_now(day, now)
    caution = sun_caution(day)
    if caution:
        answer_prose(f"Caution: {caution}")
    if eclipsed := eclipse_caution(day):
        answer_prose(f"Caution: {eclipsed}")
    answer_prose(USUAL_CAUTIONS)


def _aside(lit: "LightOnView") -> str:
    """How far the sun stands to the side; under one that is overhead no side is meant."""
    if lit.direction is LightDirection.TOP:
        return "the sun nearly overhead"
    return f"{abs(lit.off_axis_deg):.0f}° to the {'right' if lit.off_axis_deg > 0 else 'left'}"


def _horizon_words(place: "Standpoint") -> str:
    """Which horizon sunrise, sunset and the moon's are told for."""
    horizon, seen_deg = place.horizon, place.observer.horizon_deg
    if horizon is None:
        return "Horizon: level, as in almanacs; --horizon sets hills or the sea."
    if seen_deg is None:
        how = (
            f'"logbook viewpoint edit {place.name} --elevation M" adds it'
            if place.name
            else "--elevation adds it"
        )
        return f"Horizon: {place.horizon_text}; {how}."
    depth = f", {number_text(-seen_deg, 2)}° below level" if horizon.skyline_deg is None else ""
    return f"Horizon: sun and moon over {place.horizon_text}{depth}."


def _timeline(day: "LightDay") -> list[list[str]]:
    """Rows in order of time; what begins at an event stands in its row."""
    kinds = {phase.start: str(phase.kind) for phase in day.sky.phases}
    rows: list[tuple[datetime, int, str, str]] = [
        (event.at, 1, str(event.name), towards(event.azimuth_deg)) for event in day.sky.events
    ]
    if day.clock_change is not None:
        rows.append((day.clock_change.at, 0, change_words(day.clock_change), ""))
    for who, spans in (("sun", day.sun_in_frame), ("moon", day.moon_in_frame)):
        for span in spans:
            if span.enters > day.sky.start:
                rows.append((span.enters, 2, f"{who} enters the frame", ""))
            if span.leaves < day.sky.end:
                rows.append((span.leaves, 2, f"{who} leaves the frame", ""))
    events = (event for one in day.eclipses for event in eclipse_events(one))
    rows += [(at, 2, text, "") for at, text in events if day.sky.start <= at < day.sky.end]
    rows += [
        (one.at, 2, f"sun behind the subject, {height_text(one.altitude_deg)}", "")
        for one in day.sun_behind_subject
    ]
    timed = {row[0] for row in rows}
    rows += [(start, 0, "", "") for start in kinds if start not in timed]
    shown = []
    for at, _, name, azimuth in sorted(rows):
        shown.append([clock_of(day, at), name, azimuth, kinds.pop(at, "")])
    return shown


def _answer_now(day: "LightDay", now: "LightNow") -> None:
    from logbook.craft.eclipsed import dimming_text
    from logbook.craft.polarisation import brewster_angle_deg

    behind = f", behind {day.standpoint.horizon_text}"
    height = _height(now.sun.altitude_deg, in_sight=now.is_in_sight) + (behind if now.is_hidden else "")
    height += f" ({'with' if now.refraction else 'without'} refraction)"
    pairs = {"sun": f"{height}, {towards(now.sun.azimuth_deg)}; {now.phase}"}
    lit = now.on_view
    if lit is not None and lit.direction is not None:
        where = _SUN_PLACE[str(lit.sun_place)]
        pairs["light"] = f"{lit.direction} light, {_aside(lit)}; sun {where}"
    if now.shadow is not None:
        length = number_text(now.shadow.length_per_metre, 1)
        pairs["shadow"] = f"{length} m per metre of height, towards {towards(now.shadow.bearing_deg)}"
    if now.polarisation is not None:
        sky = now.polarisation
        both = " and ".join(whole_bearing(one) for one in sorted(sky.band_azimuths_deg))
        strongest = (
            "strongest low down, all round the horizon" if sky.all_round else f"strongest towards {both}"
        )
        pairs["polariser"] = (
            f"{sky.effect} on this sky ({sky.least:.0%} to {sky.greatest:.0%}), "
            f"{EVENLY[sky.evenness]}; {strongest}"
        )
    pairs["water"] = f"glare is removed best {90 - brewster_angle_deg():.0f}° below the horizontal"
    if now.bow is not None:
        pairs["bow"] = _bow_words(now.bow, day)
    pairs["scene"] = _scene(now)
    moon = _height(now.moon.altitude_deg, in_sight=now.is_moon_in_sight)
    moon += behind if now.is_moon_hidden else ""
    if now.expected.dimming:
        pairs["eclipse"] = dimming_text(now.expected.dimming)
    pairs["moon"] = f"{moon}, {towards(now.moon.azimuth_deg)}; {_moon(now.moon_phase)}"
    pairs["working"] = working(day, now)
    which = "second" if now.later else "first"
    twice = f", the {which} of two such times" if now.happens_twice else ""
    answer("")
    answer_pairs(f"At {clock_of(day, now.at)}{twice}", pairs)
    answer("")


def _scene(now: "LightNow") -> str:
    """How bright the view is likely to be, what that rests on, and what else a person may expose for."""
    light, seen = now.expected, now.expected.seen
    words = f"about EV100 {number_text(light.scene_ev100, 0)} {range_text(light, now.witnesses)}"
    words += f"; open shade {number_text(seen.shade, 0)}, ground {number_text(seen.ground, 0)}"
    away = number_text(seen.away, 0)
    return f"{words}, sky towards the sun {number_text(seen.towards, 0)}, away from it {away}"


def _bow_words(bow: "Bow", day: "LightDay") -> str:
    over = towards(bow.centre_azimuth_deg)
    if bow.top_altitude_deg >= 0:
        where = f"top {bow.top_altitude_deg:.0f}° up, towards {over}"
    else:
        where = f"only below the horizon, in spray, towards {over}"
    if day.view is None:
        return where
    if bow.in_frame:
        return f"{where}; in the frame"
    seen = "in the frame only below the horizon, in spray" if bow.spray_in_frame else "not in the frame"
    return f"{where}; {seen}"


def working(day: "LightDay", now: "LightNow") -> str:
    """Return how the angles of the light at a time come about."""
    parts = []
    if now.on_view is not None and day.view is not None:
        is_top = now.on_view.direction is LightDirection.TOP
        falls = f"top from {TOP_FROM_DEG:g}° up" if is_top else "back to 45°, front from 135°"
        parts.append(
            f"sun {now.sun.azimuth_deg:.1f}° − view {day.view.facing_deg:.1f}° = "
            f"{number_text(now.on_view.off_axis_deg, 1)}° ({falls})"
        )
    if now.bow is not None and now.shadow is not None:
        shines_deg = number_text(-now.bow.centre_altitude_deg, 1)
        if shines_deg != number_text(now.sun.altitude_deg, 1):
            parts.append(f"its light comes from {shines_deg}° up, as the air lifts it")
        parts.append(
            f"bow {now.bow.radius_deg:.0f}° − sun {shines_deg}° = top "
            f"{number_text(now.bow.top_altitude_deg, 1)}°"
        )
        length = number_text(now.shadow.length_per_metre, 2)
        parts.append(f"shadow 1 / tan {shines_deg}° = {length}")
    return "; ".join(parts) or f"sun {number_text(now.sun.altitude_deg, 1)}°: no direct light"


def sun_caution(day: "LightDay") -> str | None:
    """Return the caution about sighting the sun, where it comes into or near the frame that day."""
    from logbook.services.light.day_light import SUN_CAUTION

    if not day.sun_near_frame:
        return None
    spans = ", ".join(
        f"{clock_of(day, span.enters)}-{clock_of(day, span.leaves)}" for span in day.sun_near_frame
    )
    return f"the sun is in or near the frame {spans}. {SUN_CAUTION}"


_SUN_PLACE = {
    "in frame": "in the frame",
    "near frame": "near the frame",
    "outside": "outside the frame",
    "below horizon": "below the horizon",
}
_ZONE_FROM = {
    ZoneFrom.STATED: "as stated",
    ZoneFrom.SITE: "the site's zone",
    ZoneFrom.DAY: "the zone noted for the day",
    ZoneFrom.TRIP: "the trip's zone",
    ZoneFrom.COORDINATE: "the zone at the coordinate",
}


def _zone_text(day: "LightDay") -> str:
    name, offset = zone_words(day.standpoint.zone), _zone_names(day)
    return name if name == offset else f"{name} ({offset})"


def _zone_names(day: "LightDay") -> str:
    first, last = (
        at.astimezone(day.standpoint.zone) for at in (day.sky.start, day.sky.end - timedelta(seconds=1))
    )
    names = [_zone_name(first)] + ([_zone_name(last)] if first.utcoffset() != last.utcoffset() else [])
    return ", then ".join(names)


def _zone_name(at: datetime) -> str:
    offset = at.strftime("%z")
    utc = f"UTC{offset[:3]}:{offset[3:]}"
    name = at.tzname() or ""
    return f"{name}, {utc}" if name.isalpha() and name != "UTC" else utc


def _long_date(day: "LightDay") -> str:
    return f"{day.on_date.day} {day.on_date:%B %Y}"


def _moon(moon: "MoonPhase") -> str:
    return f"{moon.name}, {moon.illuminated_fraction:.0%} lit"


def _height(altitude_deg: float, *, in_sight: bool) -> str:
    """A height over level; what is in sight is never called below the horizon."""
    below = "below level" if in_sight else "below the horizon"
    return f"{number_text(abs(altitude_deg), 1)}° {'up' if altitude_deg >= 0 else below}"
