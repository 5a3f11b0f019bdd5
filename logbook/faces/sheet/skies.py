"""Sun and moon of a day as columns of clock times, one a place.

One surprising decision: places that keep the same times to two minutes share a column, because a valley has
one sunrise as far as a tripod is concerned; places over different horizons never do.
"""

from datetime import datetime, timedelta

from logbook.craft.minutes import nearest_minute
from logbook.domain.site import Site
from logbook.domain.zones import ClockTurn, turn_at, zone_words
from logbook.faces.light_limits import degrees_text, whose_words
from logbook.faces.sheet.models import Sky, SkyColumn
from logbook.faces.words.phrases import listed, sentence, whole_bearing
from logbook.faces.words.prose import line
from logbook.faces.words.sky import change_words, clock_of, eclipses_said, extremes_said
from logbook.services.light.day_light import LightDay
from logbook.services.plans.sheets import FieldDay
from logbook.sky.events import EventName, Stays
from logbook.sky.phases import CIVIL_DEG, LightLimits

ALIKE = timedelta(minutes=2)  # own convention; less than it takes to unfold a tripod
_WITH_BEARING = {EventName.SUNRISE, EventName.SUNSET, EventName.MOONRISE, EventName.MOONSET}


def _shown(limits: LightLimits) -> dict[EventName, str]:
    """What a row is called, in the order of a day; blue light has rows of its own where custom has none."""
    golden = [degrees_text(one) for one in (limits.golden_from_deg, limits.golden_to_deg)]
    blue = [degrees_text(one) for one in (limits.blue_from_deg, limits.blue_to_deg)]
    blue_ends = "" if limits.blue_to_deg != limits.golden_from_deg else ", blue"
    civil = ", blue" if limits.blue_from_deg == CIVIL_DEG else ""
    shown = {
        EventName.ASTRONOMICAL_DAWN: "night ends (−18°)",
        EventName.NAUTICAL_DAWN: "nautical dawn (−12°)",
        EventName.MORNING_BLUE_BEGINS: f"blue begins ({blue[0]})",
        EventName.CIVIL_DAWN: f"civil dawn{civil} (−6°)",
        EventName.MORNING_BLUE_ENDS: f"blue ends ({blue[1]})",
        EventName.MORNING_GOLDEN_BEGINS: f"golden begins ({golden[0]})",
        EventName.SUNRISE: "sunrise",
        EventName.MORNING_GOLDEN_ENDS: f"golden ends ({golden[1]})",
        EventName.SOLAR_NOON: "solar noon",
        EventName.EVENING_GOLDEN_BEGINS: f"golden begins ({golden[1]})",
        EventName.SUNSET: "sunset",
        EventName.EVENING_GOLDEN_ENDS: f"golden ends{blue_ends} ({golden[0]})",
        EventName.EVENING_BLUE_BEGINS: f"blue begins ({blue[1]})",
        EventName.CIVIL_DUSK: "civil dusk (−6°)",
        EventName.EVENING_BLUE_ENDS: f"blue ends ({blue[0]})",
        EventName.NAUTICAL_DUSK: "nautical dusk (−12°)",
        EventName.ASTRONOMICAL_DUSK: "night begins (−18°)",
        EventName.MOONRISE: "moonrise",
        EventName.MOONSET: "moonset",
    }
    if limits.blue_to_deg == limits.golden_from_deg:
        del shown[EventName.MORNING_BLUE_ENDS], shown[EventName.EVENING_BLUE_BEGINS]
    if limits.blue_from_deg == CIVIL_DEG:
        del shown[EventName.MORNING_BLUE_BEGINS], shown[EventName.EVENING_BLUE_ENDS]
    return shown


def sky_of(day: FieldDay) -> Sky:
    """Return sun and moon of a day whose places are known."""
    groups: list[list[tuple[Site, LightDay]]] = []
    for site, light in day.skies:
        group = next((one for one in groups if _alike(one[0][1], light)), None)
        if group is None:
            groups.append([(site, light)])
        else:
            group.append((site, light))
    moon = day.skies[0][1].moon
    return Sky(
        tuple(_shown(day.skies[0][1].limits).values()),
        tuple(_column(group, groups) for group in groups),
        f"{moon.name}, {moon.illuminated_fraction:.0%} lit",
        f"Golden, blue: {whose_words(day.skies[0][1].limits)}.",
        _horizon(groups) + _after_midnight(groups),
    )


def _horizon(groups: list[list[tuple[Site, LightDay]]]) -> str:
    """The horizon over which sun and moon rise and set, for each column where columns differ."""
    texts = [group[0][1].standpoint.horizon_text for group in groups]
    if all(group[0][1].standpoint.observer.horizon_deg is None for group in groups):
        return f"For {'; '.join(dict.fromkeys(texts))}; hills hide the sun earlier and show it later."
    if len(set(texts)) == 1:
        return f"Sun and moon rise and set over {texts[0]}."
    said = (f"over {text} at {_places(group, groups)}" for text, group in zip(texts, groups, strict=True))
    return f"Sun and moon rise and set {'; '.join(said)}."


def _places(group: list[tuple[Site, LightDay]], groups: list[list[tuple[Site, LightDay]]]) -> str:
    """The sites of a column; one that has several horizons is named with the one that is meant."""
    every = [site.id for one in groups for site, _ in one]
    names = []
    for site, light in group:
        horizon = light.standpoint.horizon
        over = f", {horizon.words if horizon else 'level horizon'}" if every.count(site.id) > 1 else ""
        names.append(line(site.title) + over)
    return listed(list(dict.fromkeys(names)))


def _alike(one: LightDay, other: LightDay) -> bool:
    if str(one.standpoint.zone) != str(other.standpoint.zone):
        return False
    if one.standpoint.horizon_text != other.standpoint.horizon_text:
        return False
    if [event.name for event in one.sky.events] != [event.name for event in other.sky.events]:
        return False
    if [eclipse.kind for eclipse in one.eclipses] != [eclipse.kind for eclipse in other.eclipses]:
        return False  # a few kilometres beside totality there is none
    pairs = zip(one.sky.events, other.sky.events, strict=True)
    return all(abs(a.at - b.at) <= ALIKE for a, b in pairs)


def _column(group: list[tuple[Site, LightDay]], groups: list[list[tuple[Site, LightDay]]]) -> SkyColumn:
    light = group[0][1]
    notes = []
    if light.clock_change is not None:
        notes.append(sentence(change_words(light.clock_change)))
    for body, stays in (("sun", light.sky.sun_stays), ("moon", light.sky.moon_stays)):
        if stays is not None:
            notes.append(f"The {body} does not {'set' if stays is Stays.ABOVE else 'rise'} on this day.")
    notes += extremes_said(light)
    notes += eclipses_said(light)
    if len(groups) == 1 and len(group) > 1:
        notes.append("The same to within two minutes at all the day's places.")
    times = tuple(_times(light, name) for name in _shown(light.limits))
    return SkyColumn(_places(group, groups), _zone(light), times, tuple(notes))


def _times(light: LightDay, name: EventName) -> str:
    found = []
    for event in light.sky.every(name):
        bearing = f" {whole_bearing(event.azimuth_deg)}" if name in _WITH_BEARING else ""
        found.append(f"{clock_of(light, event.at)}{_which(light, event.at)}{bearing}")
    return ", ".join(found) or "–"


def _which(light: LightDay, at: datetime) -> str:
    """Of a time that clocks show twice in the night, which of the two is meant."""
    shown = nearest_minute(at.astimezone(light.standpoint.zone))
    if turn_at(shown.replace(tzinfo=None, fold=0), light.standpoint.zone) is not ClockTurn.TWICE:
        return ""
    return " (second)" if shown.fold else " (first)"


def _after_midnight(groups: list[list[tuple[Site, LightDay]]]) -> str:
    """That early times are those of the night after the day, where a column has any."""
    firsts = [group[0][1] for group in groups]
    if not any(_is_late(light, event.at) for light in firsts for event in light.sky.events):
        return ""
    begins = clock_of(firsts[0], firsts[0].sky.start)
    return f" Times before {begins} are those of the night that follows."


def _is_late(light: LightDay, at: datetime) -> bool:
    return at.astimezone(light.standpoint.zone).date() > light.on_date


def _zone(light: LightDay) -> str:
    """The zone's name, and its offset from UTC on this day: both of them on a day when the clocks change."""
    ends = (light.sky.start, light.sky.end - timedelta(seconds=1))
    offsets = dict.fromkeys(at.astimezone(light.standpoint.zone).strftime("%z") for at in ends)
    utc = ", then ".join(f"UTC{offset[:3]}:{offset[3:5]}" for offset in offsets)
    name = zone_words(light.standpoint.zone)
    return utc if name == utc else f"{name}, {utc}"
