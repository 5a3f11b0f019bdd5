"""The planned windows of a trip as an iCalendar (RFC 5545), each with the light of its day.

One surprising decision: instants are written in UTC, which every calendar turns into its owner's clock; only
where no zone is known does a window float, as the wall time it was planned in (RFC 5545, section 3.3.5).
"""

from datetime import date, datetime, tzinfo
from typing import Any

from logbook.craft.minutes import clock_text
from logbook.craft.settings_text import settings_told
from logbook.domain.account import TripAccount
from logbook.domain.day import in_utc, window_on
from logbook.domain.shot import Shot
from logbook.domain.shown import Shown
from logbook.domain.zones import zone_words
from logbook.services.exports.places import one_line, prose
from logbook.services.light.standpoints import Standpoint, standpoint_of
from logbook.sky.errors import SkyValueError
from logbook.sky.events import EventName, local_day, sky_day

PRODUCT = "-//shoot-logbook//shoot-logbook//EN"
HOST = "shoot-logbook"  # behind the id of a shot, so that its event is the same in every export
_LIGHT = (
    EventName.CIVIL_DAWN,
    EventName.MORNING_GOLDEN_BEGINS,
    EventName.SUNRISE,
    EventName.MORNING_GOLDEN_ENDS,
    EventName.EVENING_GOLDEN_BEGINS,
    EventName.SUNSET,
    EventName.EVENING_GOLDEN_ENDS,
    EventName.CIVIL_DUSK,
)


def calendar_text(shown: Shown) -> str:
    """Return the planned windows as the text of an iCalendar file; shots without a date are not in it."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("name", one_line(shown.trip.title))  # RFC 7986, section 5.1
    for shot in shown.shots:
        if shot.on_date is not None:
            calendar.add_component(_event(shown, shot, shot.on_date))
    return str(calendar.to_ical().decode("utf-8"))


def _event(account: TripAccount, shot: Shot, on_date: date) -> Any:
    from icalendar import Event

    viewpoint = account.viewpoints.get(shot.viewpoint_id or "")
    site = account.site_of(shot.viewpoint_id)
    stand = standpoint_of(account, shot.viewpoint_id, on_date)
    zone = account.zone_on(on_date, shot.viewpoint_id)
    event = Event()
    event.add("uid", f"shot-{shot.id}@{HOST}")
    event.add("dtstamp", shot.updated.replace(microsecond=0))
    event.add("summary", one_line(shot.title))
    begin, end = window_on(on_date, shot.window_from, shot.window_to, account.trip.day_ends_at)
    _add_window(event, begin, end, on_date, zone)
    places = [one_line(place.title) for place in (viewpoint, site) if place]
    if places:
        event.add("location", ", ".join(dict.fromkeys(places)))
    if stand:
        event.add("geo", (stand.position.latitude_deg, stand.position.longitude_deg))
    lit = stand if account.counts(on_date) else None
    event.add("description", "\n".join(_description(shot, lit, begin.date() if begin else on_date)))
    event.add("categories", [str(shot.priority)])
    return event


def _add_window(
    event: Any, begin: datetime | None, end: datetime | None, on_date: date, zone: tzinfo | None
) -> None:
    """Give an event its begin and end: a whole day where no begin was planned."""
    if begin is None:
        event.add("dtstart", on_date)
        return
    starts = _moment(begin, zone)
    event.add("dtstart", starts)
    if end is not None and _moment(end, zone) > starts:  # an end must lie after its begin
        event.add("dtend", _moment(end, zone))


def _moment(local: datetime, zone: tzinfo | None) -> datetime:
    whole = local.replace(microsecond=0)
    return whole if zone is None else in_utc(whole, zone)


def _description(shot: Shot, stand: Standpoint | None, on_date: date) -> list[str]:
    lines = [prose(shot.intent), one_line(shot.technique), _settings(shot)]
    if shot.window_from is None and shot.window_to is not None:
        lines.append(f"Until {shot.window_to:%H:%M}.")
    return [line for line in lines if line] + _light(stand, on_date)


def _settings(shot: Shot) -> str:
    parts = settings_told(shot)
    parts.append(" + ".join(shot.filters) or "no filter" if shot.filters is not None else "")
    parts.append(str(shot.support) if shot.support is not None else "")
    return ", ".join(part for part in parts if part)


def _light(stand: Standpoint | None, on_date: date) -> list[str]:
    """The light of the day at the place's own clock; nothing where no place or no sky is known."""
    if stand is None:
        return []
    try:
        day = sky_day(stand.observer, *local_day(on_date, stand.zone))
    except SkyValueError:
        return []
    over = f", over {stand.horizon_text}" if stand.horizon else ""
    lines = [f"Light on {on_date} ({zone_words(stand.zone)}){over}:"]
    lines += [
        f"{clock_text(event.at.astimezone(stand.zone))} {event.name}"
        for event in day.events
        if event.name in _LIGHT
    ]
    if day.sun_stays:
        lines.append(f"the sun stays {day.sun_stays} the horizon")
    return lines
