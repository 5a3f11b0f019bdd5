"""From a day in the book to a field sheet: every value worded, what is unknown called unknown.

One surprising decision: long notes are cut at a length that a pocket can hold, and say so; access and hazards
are allowed more than the rest.
"""

from fractions import Fraction

from logbook.craft.exposure import dial_exposure
from logbook.craft.filters import stack_text
from logbook.craft.light import spans_text
from logbook.craft.marks import exact_exposure_s, number_text
from logbook.craft.settings_text import LENS_FIRST, settings_told
from logbook.domain.errors import LogbookError
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.position import position_text
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import KitKind, Packing, Priority, Support, TripodRule
from logbook.faces.sheet.models import (
    KitLine,
    Paper,
    Sheet,
    SheetObservation,
    SheetPlace,
    ShotBlock,
    StandBlock,
)
from logbook.faces.sheet.skies import sky_of
from logbook.faces.sheet.stacks import filter_table, watch_text
from logbook.faces.words.cautions import cautions
from logbook.faces.words.phrases import (
    clock,
    condition_text,
    date_text,
    sentence,
    short_date,
    window_text,
)
from logbook.faces.words.prose import line
from logbook.faces.words.shots import feasibility_words
from logbook.faces.words.sky import sun_text, towards
from logbook.services.light.standpoints import standpoint_of
from logbook.services.plans.packing import packed_filters
from logbook.services.plans.sheets import FieldDay

NOTE_LENGTH = 200  # characters; three lines of a narrow column
SAFETY_LENGTH = 400  # characters of access and hazards
OBSERVED_MAX = 16  # observations; the rest stays in the book and is counted
_SUPPORTS = {Support.UNKNOWN: "support unknown", Support.OTHER: "other support"}
_RULES = {
    TripodRule.ALLOWED: "tripod allowed",
    TripodRule.AWKWARD: "tripod awkward",
    TripodRule.FORBIDDEN: "tripod FORBIDDEN",
    TripodRule.UNKNOWN: "tripod rule unknown: ask",
}


def build_sheet(day: FieldDay, paper: Paper) -> Sheet:
    """Return the sheet of a day."""
    account = day.account
    filters = packed_filters(account)
    sky_unknown = None
    if not day.skies:
        sky_unknown = day.unknown_sky or (
            "Sun and moon unknown: none of the day's places has a position in the book."
        )
    pack, undecided, left = (_kit(day, one) for one in (Packing.TAKEN, Packing.CONSIDERED, Packing.LEFT))
    return Sheet(
        trip=line(account.trip.title),
        trip_slug=account.trip.slug,
        day=date_text(day.on_date, weekday=True),
        on_date=day.on_date.isoformat(),
        paper=paper,
        sentence=_sentence(day),
        shots=tuple(_shot(day, shot) for shot in day.shots),
        filters=filter_table(filters) if filters else None,
        filters_unknown=None if filters else _no_filters(day),
        sky=sky_of(day) if day.skies else None,
        sky_unknown=sky_unknown,
        places=tuple(_place(day, site) for site in day.sites),
        observed=_observations(day),
        pack=pack,
        undecided=undecided,
        left=left,
        cautions=cautions(
            (kind for site in day.sites for kind in site.kinds),
            [*(site.footing for site in day.sites), *(one.footing for one in day.viewpoints)],
            (one.kind for one in day.observed),
        ),
    )


def _sentence(day: FieldDay) -> str | None:
    trip = day.account.trip
    said = []
    if not day.shots:
        places = "the trip's places are below." if day.sites else "the trip has no places yet."
        said.append(f"No shot is planned for this day; {places}")
    before = trip.starts_on is not None and day.on_date < trip.starts_on
    if before or (trip.ends_on is not None and day.on_date > trip.ends_on):
        said.append("This day is outside the dates of the trip.")
    return " ".join(said) or None


def _shot(day: FieldDay, shot: Shot) -> ShotBlock:
    viewpoint = day.account.viewpoints.get(shot.viewpoint_id or "")
    site = day.account.sites.get(viewpoint.site_id) if viewpoint else None
    judged = day.feasibility[shot.id]
    by_id = {one.id: one for one in day.account.shots}
    original = by_id.get(shot.fallback_for_id or "")
    where = [line(one.title) for one in (viewpoint, site) if one]
    return ShotBlock(
        slug=shot.slug,
        title=line(shot.title),
        window=window_text(shot.window_from, shot.window_to) or "no time planned",
        priority="" if shot.priority is Priority.WANTED else str(shot.priority),
        viewpoint=", ".join(where) or "viewpoint unknown",
        bearing=_bearing(viewpoint),
        tripod=_RULES[viewpoint.tripod_rule] if viewpoint else "",
        light=_light(day, shot),
        sun_caution=f"Sun in or near the frame {spans_text(judged.sun_near)}: compose on the screen."
        if judged.sun_near
        else None,
        verdict=feasibility_words(judged),
        reason=line(judged.reason),
        settings=_settings(shot),
        in_this_light=_in_this_light(day, shot),
        intent=_cut(shot.intent),
        notes=_cut(shot.notes),
        fallbacks=tuple(_other(one, day) for one in day.account.shots if one.fallback_for_id == shot.id),
        fallback_for=line(original.title) if original else None,
    )


def _other(shot: Shot, day: FieldDay) -> str:
    when = window_text(shot.window_from, shot.window_to)
    if shot.on_date and shot.on_date != day.on_date:
        when = f"{short_date(shot.on_date)} {when}".strip()
    viewpoint = day.account.viewpoints.get(shot.viewpoint_id or "")
    return ", ".join(filter(None, (line(shot.title), when, line(viewpoint.title) if viewpoint else "")))


def _bearing(viewpoint: Viewpoint | None) -> str:
    if viewpoint is None or viewpoint.facing_deg is None:
        return "direction unknown"
    return f"towards {towards(viewpoint.facing_deg)}"


def _light(day: FieldDay, shot: Shot) -> str:
    lit = day.light.get(shot.id)
    if lit is None:
        if standpoint_of(day.account, shot.viewpoint_id, day.on_date) is None:
            return "light unknown: the place has no position"
        return "light unknown" if day.unknown_sky else "light unknown: no time planned"
    return sun_text(lit)


def _settings(shot: Shot) -> str:
    known = settings_told(shot, LENS_FIRST)
    if shot.filters is None:
        known.append("filters unknown")
    else:
        known.append(" + ".join(map(line, shot.filters)) or "no filter")
    known.append(_SUPPORTS.get(shot.support or Support.UNKNOWN) or str(shot.support))
    if shot.technique:
        known.append(line(shot.technique))
    return ", ".join(known)


def _in_this_light(day: FieldDay, shot: Shot) -> str | None:
    """The bare time the expected light asks for, and the stack that comes nearest to the plan."""
    from logbook.services.plans.feasibility import reach_shot

    if shot.exposure_s is None or shot.id not in day.feasibility:
        return None
    try:
        found = reach_shot(day.account, shot)
        bare = dial_exposure(_log2(shot.exposure_s) - found.reach.needed_stops)
    except (LogbookError, ValueError):  # the plan says too little, or no time exposes that light
        return None
    best = found.reach.best
    with_it = f", {watch_text(best.exposure_s)} with {stack_text(best.filters)}" if best.filters else ""
    return (
        f"At {clock(found.moment.at)} these settings need about {watch_text(bare)} without "
        f"filters{with_it} (meter it)"
    )


def _log2(exposure_s: Fraction) -> float:
    from math import log2

    return log2(exact_exposure_s(exposure_s))


def _no_filters(day: FieldDay) -> str:
    if not day.account.packed:
        return "The book has nothing packed for this trip yet, so its filters are unknown."
    return "No filter is packed for this trip."


def _place(day: FieldDay, site: Site) -> SheetPlace:
    facts = [line(site.region)]
    if site.walk_min is not None:
        facts.append(f"walk {site.walk_min} min")
    else:
        facts.append("walk unknown")
    if site.footing:
        facts.append(f"on {site.footing}")
    stands = tuple(_stand(one, site) for one in day.viewpoints if one.site_id == site.id)
    return SheetPlace(
        line(site.title),
        tuple(filter(None, facts)),
        _cut(site.access, SAFETY_LENGTH),
        _cut(site.hazards, SAFETY_LENGTH),
        stands,
    )


def _stand(viewpoint: Viewpoint, site: Site) -> StandBlock:
    position = "position unknown"
    if viewpoint.position:
        position = position_text(viewpoint.position)
    elif site.position:
        position = f"position unknown; the site's is {position_text(site.position)}"
    elevation_m = viewpoint.elevation_m
    facts = [
        f"{number_text(elevation_m, 0)} m" if elevation_m is not None else "",
        f"faces {towards(viewpoint.facing_deg)}" if viewpoint.facing_deg is not None else "direction unknown",
        viewpoint.horizon.words if viewpoint.horizon else "",
        _RULES[viewpoint.tripod_rule],
        f"on {viewpoint.footing}" if viewpoint.footing else "",
    ]
    return StandBlock(
        line(viewpoint.title),
        position,
        tuple(filter(None, facts)),
        _cut(viewpoint.access, SAFETY_LENGTH),
        _cut(viewpoint.hazards, SAFETY_LENGTH),
    )


def _observations(day: FieldDay) -> tuple[SheetObservation, ...]:
    found = []
    for one in day.observed:
        viewpoint = day.account.viewpoints.get(one.viewpoint_id or "")
        site = day.account.sites.get(one.site_id or "")
        said = condition_text(one.kind, one.level, line(one.direction) or None) if one.level else ""
        text = ": ".join(filter(None, (said, _cut(one.note) or "")))
        seen = f"{short_date(one.on_date)} {one.on_date.year}" + (f" {clock(one.at)}" if one.at else "")
        seen += f", {_cut(one.source)}" if one.source else ", source not noted"
        place = line(viewpoint.title) if viewpoint else line(site.title) if site else "place unknown"
        found.append(SheetObservation(str(one.kind), sentence(text), place, seen))
    rest = len(found) - OBSERVED_MAX
    if rest > 0:
        more = SheetObservation("more", f'{rest} more in the book: "logbook condition list".', "", "")
        return (*found[:OBSERVED_MAX], more)
    return tuple(found)


def _kit(day: FieldDay, packing: Packing) -> tuple[KitLine, ...]:
    """The kit of one decision, by kind."""
    items = [
        (day.account.kit[one.item_id], one)
        for one in day.account.packed
        if one.packing is packing and one.item_id in day.account.kit
    ]
    order = list(KitKind)
    items.sort(key=lambda pair: (order.index(pair[0].kind), pair[0].slug))
    return tuple(_kit_line(item, packed) for item, packed in items)


def _kit_line(item: KitItem, packed: PackedItem) -> KitLine:
    return KitLine(str(item.kind), line(item.title), _cut(packed.why))


def _cut(text: str | None, length: int = NOTE_LENGTH) -> str | None:
    """One plain line of at most so many characters; what is cut says so."""
    whole = line(text)
    if len(whole) <= length:
        return whole or None
    return f"{whole[:length].rsplit(' ', 1)[0].rstrip()} … (cut; the rest is in the book)"
