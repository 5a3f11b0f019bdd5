"""Comparison pairs: two pictures of one view that differ in filters, in support or in the light.

One surprising decision: a filter that nobody noted makes a pair worth showing, because in the same light the
other settings tell how many stops it took; the page says that this is worked out and on what condition.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from itertools import combinations

from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import SAME_STOPS, Comparison, compare, same
from logbook.craft.marks import counted_stops, number_text, written_exposure
from logbook.craft.steadiness import steadiness
from logbook.domain.words import Support
from logbook.faces.report.frames import MeteredPicture, brackets, frames
from logbook.faces.report.models import Fact, Figure, Pair, Value
from logbook.faces.report.order import Order
from logbook.faces.report.parts import fact, facts
from logbook.faces.report.settings import settings_line
from logbook.faces.words.glass import filters_text, readable
from logbook.faces.words.phrases import capitalised, clock, date_text, listed, sentence, short_date
from logbook.faces.words.prose import line

PAIRS_MAX = 6  # a class looks at no more
NEAR_FRAMING = 1.25  # longer to shorter focal length; still the same view (common practice, no source)
NEAR_BEARING_DEG = 20.0  # degrees between two bearings of one view (common practice, no source)
SAME_HOURS = timedelta(hours=3)  # further apart, the light and not the filter is what differs
SAME_LIGHT = timedelta(
    minutes=30
)  # within it the light may be taken as the same where nothing says otherwise
LIGHT_STOPS = 1.0  # stops; less difference in light is not worth a pair


class Contrast(StrEnum):
    """What a pair shows, the most telling first."""

    FILTERS = "With and without filters"
    SUPPORT = "Two supports"
    LIGHT = "The same view in another light"


@dataclass(frozen=True, slots=True)
class ViewPair:
    """Two pictures of one view, the earlier first, and what they show."""

    contrast: Contrast
    first: MeteredPicture
    second: MeteredPicture
    compared: Comparison


def matches(order: Order) -> tuple[ViewPair, ...]:
    """Return the best pairs, in the order of their pictures; no picture is in two, no place withheld."""
    usable = [
        frame
        for frame in frames(order)
        if frame.keeper.place_time
        and frame.keeper.viewpoint_id in order.account.viewpoints
        and not _off_on_purpose(order, frame)
    ]
    found = [match for pair in combinations(usable, 2) if (match := _match(*pair))]
    found.sort(key=lambda m: (list(Contrast).index(m.contrast), _gap(m), m.first.number, m.second.number))
    chosen: list[ViewPair] = []
    taken: set[int] = set()
    for match in found:
        numbers = {match.first.number, match.second.number}
        if not numbers & taken and len(chosen) < PAIRS_MAX:
            chosen.append(match)
            taken |= numbers
    return tuple(sorted(chosen, key=lambda m: m.first.number))


def pairs(order: Order, figures: Mapping[str, Figure]) -> tuple[Pair, ...]:
    """Return the pairs as a page shows them: two figures, their settings, and the stops worked out."""
    return tuple(
        Pair(
            number=number,
            anchor=f"pair-{number}",
            title=_title(order, match),
            place=", ".join(filter(None, (str(match.contrast), _site(order, match)))),
            first=figures[match.first.keeper.id],
            second=figures[match.second.keeper.id],
            first_facts=_facts(match.first),
            second_facts=_facts(match.second),
            working=sentence(_working(match)),
            finding=_finding(match),
        )
        for number, match in enumerate(matches(order), start=1)
    )


def unnoted_stops(match: ViewPair) -> float | None:
    """Return the stops that the filters nobody noted took, had the light been the same; None without one."""
    first, second = match.first.light.filter_stops, match.second.light.filter_stops
    if (match.first.keeper.filters is None) == (match.second.keeper.filters is None):
        return None
    gained = match.compared.aperture_stops + match.compared.time_stops + match.compared.iso_stops
    if match.second.keeper.filters is None:
        return None if first is None else first + gained
    return None if second is None else second - gained


def light_change(match: ViewPair) -> float | None:
    """Return by how many stops the scene of the second was brighter (+), or None where that is unknown."""
    before, after = match.first.scene_ev100, match.second.scene_ev100
    return None if before is None or after is None else after - before


def _match(first: MeteredPicture, second: MeteredPicture) -> ViewPair | None:
    if first.keeper.viewpoint_id != second.keeper.viewpoint_id or not _same_framing(first, second):
        return None
    compared = compare(first.settings, second.settings)
    match = ViewPair(Contrast.LIGHT, first, second, compared)
    change = light_change(match)
    if _gap(match) <= SAME_HOURS:
        if None not in (first.keeper.filters, second.keeper.filters):
            if sorted(first.keeper.filters or ()) != sorted(second.keeper.filters or ()):
                return ViewPair(Contrast.FILTERS, first, second, compared)
        elif _gap(match) <= SAME_LIGHT and (unnoted_stops(match) or 0.0) >= LIGHT_STOPS:
            return ViewPair(Contrast.FILTERS, first, second, compared)
        noted = {first.support, second.support} - {str(Support.UNKNOWN), str(Support.OTHER)}
        if len(noted) == 2:
            return ViewPair(Contrast.SUPPORT, first, second, compared)
    if _gap(match) >= SAME_LIGHT and change is not None and abs(change) >= LIGHT_STOPS:
        return match
    return None


def _same_framing(first: MeteredPicture, second: MeteredPicture) -> bool:
    one, other = first.keeper, second.keeper
    if one.direction_deg is not None and other.direction_deg is not None:
        apart = abs((one.direction_deg - other.direction_deg + 180) % 360 - 180)
        if apart > NEAR_BEARING_DEG:
            return False
    lengths = one.focal_35mm, other.focal_35mm
    if None in lengths and one.body is not None and one.body == other.body:
        lengths = one.focal_mm, other.focal_mm
    if not lengths[0] or not lengths[1]:
        return False
    return max(lengths[0], lengths[1]) / min(lengths[0], lengths[1]) <= NEAR_FRAMING


def _off_on_purpose(order: Order, frame: MeteredPicture) -> bool:
    """Frames of a panorama look elsewhere; of a bracket only the middle one was meant as it is."""
    for one in order.account.sets:
        if frame.keeper.id in one.keeper_ids and one.keeper_ids not in brackets(order):
            return frame.keeper.id != one.keeper_ids[0]
    for bracket in brackets(order):
        if frame.keeper.id in bracket:
            members = sorted(
                (k for k in order.keepers if k.id in bracket and k.exposure_s),
                key=lambda k: k.exposure_s or 0,
            )
            return frame.keeper.id != members[len(members) // 2].id
    return bool(frame.keeper.auto_bracket and frame.keeper.bias_stops)


def _gap(match: ViewPair) -> timedelta:
    before, after = match.first.keeper.place_time, match.second.keeper.place_time
    assert before is not None
    assert after is not None
    return after - before


def _title(order: Order, match: ViewPair) -> str:
    """Where a pair was made and what tells its pictures apart: "Walkway rail: 1/500 s and 2 s"."""
    viewpoint = order.account.viewpoints.get(match.first.keeper.viewpoint_id or "")
    where = line(viewpoint.title) if viewpoint else ""
    first, second = match.first, match.second
    apart = [written_exposure(one.settings.exposure_s) for one in (first, second)]
    if match.contrast is Contrast.SUPPORT:
        apart = [first.support, second.support]
    elif match.contrast is Contrast.LIGHT:
        apart = _when(first, second)
    elif apart[0] == apart[1]:
        apart = [line(_filters(one)) for one in (first, second)]
    return f"{where}: {' and '.join(apart)}" if where else capitalised(" and ".join(apart))


def _site(order: Order, match: ViewPair) -> str:
    site = order.account.site_of(match.first.keeper.viewpoint_id)
    return line(site.title) if site else ""


def _filters(frame: MeteredPicture) -> str:
    names = frame.keeper.filters
    return "filters unknown" if names is None else filters_text(names) or "no filter"


def _when(*frames: MeteredPicture) -> list[str]:
    """The clock times, with their days where those differ."""
    taken = [frame.keeper.place_time for frame in frames if frame.keeper.place_time]
    one_day = len({moment.date() for moment in taken}) == 1
    return [clock(moment) if one_day else f"{short_date(moment.date())}, {clock(moment)}" for moment in taken]


def _facts(frame: MeteredPicture) -> tuple[Fact, ...]:
    taken = frame.keeper.place_time
    assert taken is not None
    return facts(
        fact("Taken", f"{date_text(taken.date())}, {clock(taken)}"),
        fact("Settings", *settings_line(frame.keeper)),
        fact("Scene", _scene(frame)),
        fact("Steadiness", line(_steady(frame))),
    )


def _scene(frame: MeteredPicture) -> str | Value:
    light = frame.light
    if light.scene_ev100 is None:
        return Value("light unknown, because the filters are", "unknown")
    low, high = light.scene_low_ev100, light.scene_high_ev100
    text = f"EV {number_text(light.scene_ev100, 1)} at ISO 100"
    if low is not None and high is not None and high - low > SAME_STOPS:
        text += f" (between {number_text(low, 1)} and {number_text(high, 1)}, as the polariser was turned)"
    return text


def _steady(frame: MeteredPicture) -> str:
    if frame.keeper.focal_35mm is None:
        return ""
    try:
        steady = steadiness(frame.settings.exposure_s, frame.keeper.focal_35mm, frame.support)
        return sentence(steady.working)
    except CraftValueError:
        return ""  # a focal length that no lens has


def _working(match: ViewPair) -> str:
    stops = match.compared.working.removesuffix(": unknown stops")
    return f"picture {match.first.number} to picture {match.second.number}: {_rounded(readable(stops))}"


def _rounded(text: str) -> str:
    """Text with its stops to a tenth; no light is known better."""
    return re.sub(r"[0-9]+\.[0-9]{2,}", lambda found: number_text(float(found[0]), 1), text)


def _finding(match: ViewPair) -> str:
    """What the stops say, in words."""
    compared, second = match.compared, match.second
    if compared.difference_stops is None:
        return _without_filters(match)
    parts = (
        ("the time", compared.time_stops),
        ("the aperture", compared.aperture_stops),
        ("the ISO", compared.iso_stops),
        ("the filters", compared.filter_stops or 0.0),
    )
    gives = _clause("give", [(name, stops) for name, stops in parts if stops > SAME_STOPS])
    takes = _clause("take", [(name, -stops) for name, stops in parts if stops < -SAME_STOPS])
    total = compared.difference_stops
    together = (
        "the same exposure" if same(total) else f"{_count(abs(total))} {'more' if total > 0 else 'less'}"
    )
    said = "; ".join(filter(None, (gives, takes)))
    words = f"In picture {second.number} {said}: together {together}." if said else ""
    return " ".join(filter(None, (words, _light(match))))


def _clause(verb: str, parts: list[tuple[str, float]]) -> str:
    """Return "the aperture takes 2 stops, the ISO 2 stops and the filters 6 stops"; lost filters "give"."""
    if not parts:
        return ""
    name, stops = parts[0]
    does = verb if name == "the filters" else f"{verb}s"
    return listed([f"{name} {does} {_count(stops)}", *(f"{n} {_count(s)}" for n, s in parts[1:])])


def _light(match: ViewPair) -> str:
    change = light_change(match)
    if change is None:
        return ""
    if same(change):
        return "If both came out equally bright, the light had not changed."
    went = "risen" if change > 0 else "fallen"
    return f"If both came out equally bright, the light had {went} by {_count(abs(change))}."


def _without_filters(match: ViewPair) -> str:
    stops = unnoted_stops(match)
    silent = match.first if match.first.light.filter_stops is None else match.second
    if stops is None or stops <= SAME_STOPS:
        return (
            f"What the filters of picture {silent.number} took is unknown, so the light cannot be compared."
        )
    return (
        f"Nobody noted the filters of picture {silent.number}. If the light was the same, they took "
        f"{_count(stops)}: worked out from the other settings, not noted."
    )


def _count(stops: float) -> str:
    return counted_stops(round(stops, 1))
