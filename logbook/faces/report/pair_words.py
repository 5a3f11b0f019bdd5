"""What a page says of a comparison pair: the one thing, what to look at, and the stops worked out.

One surprising decision: what made up for the decision is named with the trace that it leaves itself (noise,
movement), so that nobody takes it for the work of what was decided.
"""

import re
from collections.abc import Callable, Mapping

from logbook.craft.bearings import turn_deg
from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import SAME_STOPS, compare, same
from logbook.craft.filter_types import Filter, FilterKind
from logbook.craft.light import SUN_UP_DEG, LightDirection, light_direction
from logbook.craft.marks import counted_stops, iso_text, number_text, written_aperture, written_exposure
from logbook.craft.one_change import Decision, MadeUp
from logbook.craft.steadiness import steadiness
from logbook.domain.condition_kinds import KINDS
from logbook.domain.words import Provenance
from logbook.faces.report.frames import MeteredPicture
from logbook.faces.report.models import Fact, Pair, Value
from logbook.faces.report.observed import observed_lines
from logbook.faces.report.order import Order
from logbook.faces.report.pairs import ViewPair, light_change, matches, sun_at
from logbook.faces.report.parts import PageDraft, fact, facts
from logbook.faces.report.settings import settings_line
from logbook.faces.report.where import place_name
from logbook.faces.words.glass import filters_text, readable
from logbook.faces.words.phrases import capitalised, clock, date_text, listed, sentence, short_date
from logbook.faces.words.prose import line

_NAMES: Mapping[Decision, str] = {
    Decision.FILTER: "Filter",
    Decision.APERTURE: "Aperture",
    Decision.TIME: "Shutter speed",
    Decision.ISO: "ISO",
    Decision.SUPPORT: "Support",
    Decision.LIGHT: "Light",
}
_FIELD_WORDS = {
    "filters": "filters",
    "f_number": "aperture",
    "exposure_s": "time",
    "iso": "ISO",
    "support": "support",
}
_FROM = {
    LightDirection.FRONT: "behind the camera",
    LightDirection.SIDE: "to the side",
    LightDirection.BACK: "in front of the camera",
    LightDirection.TOP: "overhead",
}


def pairs(draft: PageDraft) -> tuple[Pair, ...]:
    """Return the pairs as a page shows them, numbered from 1."""
    return tuple(
        Pair(
            number=number,
            anchor=f"pair-{number}",
            title=_title(match),
            place=place_name(draft.order.account, match.first.keeper.viewpoint_id),
            look=_look(draft.order, match),
            first=draft.figures[match.first.keeper.id],
            second=draft.figures[match.second.keeper.id],
            first_facts=_facts(draft, match, match.first),
            second_facts=_facts(draft, match, match.second),
            finding=_finding(match),
            working=_working(match),
            doubt=_guessed(match),
        )
        for number, match in enumerate(matches(draft.order), start=1)
    )


def _title(match: ViewPair) -> str:
    """The one thing and its two values: "Shutter speed: 1/500 s and 2 s"."""
    if match.decision is Decision.LIGHT:
        values = _when(match.first, match.second)
    else:
        values = [_VALUE[match.decision](frame) for frame in (match.first, match.second)]
    return f"{_NAMES[match.decision]}: {' and '.join(values)}"


def _filters(frame: MeteredPicture) -> str:
    return line(filters_text(frame.keeper.filters or ())) or "no filter"


_VALUE: Mapping[Decision, Callable[[MeteredPicture], str]] = {
    Decision.FILTER: _filters,
    Decision.APERTURE: lambda frame: written_aperture(frame.settings.f_number),
    Decision.TIME: lambda frame: written_exposure(frame.settings.exposure_s),
    Decision.ISO: lambda frame: iso_text(frame.settings.iso),
    Decision.SUPPORT: lambda frame: frame.support,
}


def _when(*taken_by: MeteredPicture) -> list[str]:
    """The clock times, with their days where those differ."""
    taken = [frame.keeper.place_time for frame in taken_by if frame.keeper.place_time]
    one_day = len({moment.date() for moment in taken}) == 1
    return [clock(moment) if one_day else f"{clock(moment)}, {short_date(moment.date())}" for moment in taken]


def _look(order: Order, match: ViewPair) -> str:
    """What to look at in the pictures."""
    low, high = sorted((match.first, match.second), key=_LOW_TO_HIGH[match.decision])
    if match.decision is Decision.APERTURE:
        wide, narrow = (written_aperture(one.settings.f_number) for one in (low, high))
        return (
            f"Look at the nearest and the farthest edges: {narrow} (picture {high.number}) keeps more "
            f"of both sharp than {wide} (picture {low.number})."
        )
    if match.decision is Decision.TIME:
        short, long = (written_exposure(one.settings.exposure_s) for one in (low, high))
        return (
            f"Look at {_moving(order, match)}: {short} (picture {low.number}) stops movement, {long} "
            f"(picture {high.number}) blurs it. What stood still is the same in both."
        )
    if match.decision is Decision.ISO:
        return (
            f"Look at even tones and shadows at full size: {iso_text(high.settings.iso)} (picture "
            f"{high.number}) shows more noise and less fine detail than {iso_text(low.settings.iso)}."
        )
    if match.decision is Decision.SUPPORT:
        return "Look at fine edges that stood still, at full size: only the camera’s own movement differs."
    return _look_at_light(order, match) if match.decision is Decision.LIGHT else _look_through(match)


_LOW_TO_HIGH: Mapping[Decision, Callable[[MeteredPicture], float]] = {
    decision: lambda frame: frame.number for decision in Decision
} | {
    Decision.APERTURE: lambda frame: frame.settings.f_number,
    Decision.TIME: lambda frame: float(frame.settings.exposure_s),
    Decision.ISO: lambda frame: frame.settings.iso,
}


def _moving(order: Order, match: ViewPair) -> str:
    """What moved before the camera, as far as somebody noted it."""
    visits = {order.visit_by_keeper.get(frame.keeper.id) for frame in (match.first, match.second)}
    noted = [
        KINDS[seen.kind].moving
        for visit in order.account.visits
        if visit.id in visits
        for seen in order.conditions_of_visit(visit)
        if KINDS[seen.kind].moves(seen.level)
    ]
    return listed(list(dict.fromkeys(noted))) or "whatever moved"


def _look_through(match: ViewPair) -> str:
    """What a filter does to a picture beside taking light."""
    with_it = [frame for frame in (match.first, match.second) if _marking(frame)]
    kinds = {one.kind for frame in with_it for one in _marking(frame)}
    number = with_it[-1].number if with_it else 0
    if FilterKind.POLARISER in kinds:
        return (
            "Look at reflections on water, wet stone and leaves, and at how deep the blue of the sky is: "
            f"only the polariser (picture {number}) can change those."
        )
    if FilterKind.GRADUATED in kinds:
        return (
            "Look at the sky, and at what rises into it: the graduated filter (the stronger one in picture "
            f"{_stronger(match)}) holds the sky back and leaves the foreground as it was."
        )
    dark = match.second if match.change.stops < 0 else match.first
    return f"Look only at the brightness: a neutral filter leaves no other trace (picture {dark.number})."


def _marking(frame: MeteredPicture) -> list[Filter]:
    return [one for one in frame.settings.filters or () if one.type.leaves_mark]


def _stronger(match: ViewPair) -> int:
    """The picture with the more of a graduated filter."""

    def dark(frame: MeteredPicture) -> float:
        return sum(1 + (one.dark_stops or 0.0) for one in _marking(frame))

    return max((match.first, match.second), key=dark).number


def _look_at_light(order: Order, match: ViewPair) -> str:
    words = "Look at the colours, at where the shadows fall and at how hard their edges are."
    both = match.first, match.second
    stood = [(_sun(order, frame), frame.number) for frame in both]
    if not all(where for where, _ in stood):
        return words
    return f"{words} The sun was {listed([f'{where} (picture {number})' for where, number in stood])}."


def _sun(order: Order, frame: MeteredPicture) -> str:
    """Where the sun stood: "12° high, to the side"; nothing where that is not known."""
    sun = sun_at(order, frame)
    if sun is None:
        return ""
    if sun.altitude_deg < SUN_UP_DEG:
        return f"{number_text(-sun.altitude_deg, 0)}° below a level horizon"
    viewpoint = order.account.viewpoints.get(frame.keeper.viewpoint_id or "")
    facing_deg = frame.keeper.bearing_deg
    if facing_deg is None and viewpoint is not None:
        facing_deg = viewpoint.facing_deg
    height = f"{number_text(max(0.0, sun.altitude_deg), 0)}° high"
    if facing_deg is None:
        return height
    side = light_direction(facing_deg, sun.azimuth_deg, sun.altitude_deg)
    turn = turn_deg(facing_deg, sun.azimuth_deg)
    where = f"to the {'right' if turn > 0 else 'left'}" if side is LightDirection.SIDE else _FROM[side]
    return f"{height}, {where}"


def _facts(draft: PageDraft, match: ViewPair, frame: MeteredPicture) -> tuple[Fact, ...]:
    taken = frame.keeper.place_time
    assert taken is not None
    seen = _light_seen(draft, frame) if match.decision is Decision.LIGHT else ()
    steady = match.decision in (Decision.TIME, Decision.SUPPORT)
    return facts(
        fact("Taken", f"{date_text(taken.date())}, {clock(taken)}"),
        fact("Settings", *settings_line(frame.keeper)),
        fact("Scene", _scene(frame)),
        fact("Steadiness", line(_steady(frame)) if steady else ""),
        fact("Seen", *seen),
    )


def _light_seen(draft: PageDraft, frame: MeteredPicture) -> tuple[str, ...]:
    """What was noted of the light on the visit of a picture."""
    order = draft.order
    during = order.visit_by_keeper.get(frame.keeper.id)
    seen = (
        one
        for visit in order.account.visits
        if visit.id == during
        for one in order.conditions_of_visit(visit)
        if KINDS[one.kind].is_of_light
    )
    return tuple(words.removesuffix(".") for words in observed_lines(draft, seen))


def _scene(frame: MeteredPicture) -> str | Value:
    light = frame.light
    if light.scene_ev100 is None:
        return Value("light unknown, because the filters are unknown", "unknown")
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
    stops = compare(match.first.settings, match.second.settings).working
    shown = re.sub(r"[0-9]+\.[0-9]{2,}", lambda found: number_text(float(found[0]), 1), readable(stops))
    return sentence(f"picture {match.first.number} to picture {match.second.number}: {shown}")


def _finding(match: ViewPair) -> str:
    """What the stops say: what was decided, what made up for it, and what was left."""
    change, second = match.change, match.second.number
    if change.decision is Decision.LIGHT:
        return _light_found(match)
    if change.decision is Decision.SUPPORT:
        return "Every setting is the same."
    gives = _gives(change.decision, change.stops)
    if change.made_up:
        rest = listed([_gives(one.setting, one.stops) for one in change.made_up])
        words = f"In picture {second} {gives}; to make up for it, {rest}: the exposure is the same."
        return " ".join(
            (words, *(_TRACE[one.setting](one) for one in change.made_up if one.setting in _TRACE))
        )
    if same(change.left_stops):
        return "Every other setting is the same, and so is the exposure."
    more = "brighter" if change.left_stops > 0 else "darker"
    return (
        f"Every other setting is the same. In picture {second} {gives}, and nothing makes up for it: it is "
        f"{_count(change.left_stops)} {more} too."
    )


def _light_found(match: ViewPair) -> str:
    change = match.change
    if same(change.stops):
        return "The settings are the same: what differs came with the light."
    went = "risen" if change.stops > 0 else "fallen"
    light = f"the light had {went} by {_count(change.stops)}"
    if not change.made_up:
        return f"The settings are the same. {capitalised(_metered(match, light))}."
    followed = listed([_gives(one.setting, one.stops) for one in change.made_up])
    return f"{capitalised(_metered(match, light))}; in picture {match.second.number} {followed} to follow it."


def _metered(match: ViewPair, light: str) -> str:
    """Light that the camera measured is a fact; what settings tell holds if both came out equally bright."""
    metered = match.first.is_metered and match.second.is_metered
    known = light_change(match.first, match.second)
    return light if metered and known is not None else f"if both came out equally bright, {light}"


def _gives(setting: Decision, stops: float) -> str:
    """Return "the shutter speed gives 11 stops"; filters that were taken off give them too."""
    if setting is Decision.FILTER:
        return f"{'fewer filters give' if stops > 0 else 'the filters take'} {_count(stops)}"
    subject = {
        Decision.APERTURE: "the aperture",
        Decision.TIME: "the shutter speed",
        Decision.ISO: "the ISO",
    }[setting]
    return f"{subject} {'gives' if stops > 0 else 'takes'} {_count(stops)}"


_TRACE: Mapping[Decision, Callable[[MadeUp], str]] = {
    Decision.TIME: lambda one: (
        "The slower shutter speed blurs more of what moved."
        if one.stops > 0
        else "The faster shutter speed blurs less of what moved."
    ),
    Decision.ISO: lambda one: (
        "The higher ISO brings more noise in the shadows."
        if one.stops > 0
        else "The lower ISO gives less noise in the shadows."
    ),
}


def _guessed(match: ViewPair) -> str:
    """Which of the values that this pair stands on nobody stated and no camera wrote."""
    said = [
        f"the {name} of picture {frame.number} ({origin})"
        for frame in (match.first, match.second)
        for field, name in _FIELD_WORDS.items()
        if getattr(frame.keeper, field) is not None
        and (origin := frame.keeper.provenance_of(field)) in (Provenance.ASSUMED, Provenance.INFERRED)
    ]
    return f"Not confirmed: {listed(said)}. The comparison holds only if that is right." if said else ""


def _count(stops: float) -> str:
    return counted_stops(round(abs(stops), 1))
