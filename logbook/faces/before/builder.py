"""From what the book remembers to a brief that a photographer can act on, most useful things first.

One surprising decision: what is still wanted and what was observed stand before what worked, because a shut
road makes the best technique idle.
"""

from datetime import date

from logbook.craft.marks import aperture_text, exposure_text
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import KINDS
from logbook.domain.keeper import Keeper
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import OutcomeWord, Provenance, Sharpness, Support, TripodRule
from logbook.faces.alike_shown import counts_words, how_alike, reasons
from logbook.faces.before.lit import light_section, reason_words, wish_sections
from logbook.faces.before.models import Brief, BriefSection, Item
from logbook.faces.words.cautions import cautions
from logbook.faces.words.continued import seen_text, seen_when
from logbook.faces.words.glass import filters_text
from logbook.faces.words.phrases import (
    REASONS,
    because,
    date_text,
    listed,
    sentence,
    settings_words,
    short_date,
    uncapitalised,
)
from logbook.faces.words.prose import line
from logbook.faces.words.shots import feasibility_words
from logbook.faces.worked_shown import UNKNOWN, needed_words, rate_words, spread_words
from logbook.services.alike import ALIKE_ENOUGH, AlikeSite, PastShot
from logbook.services.before import Before, StillWanted
from logbook.services.worked import Row

CHECK_AGAIN = "Seen on the dates given and not since: check each again before you rely on it."
ROWS_SHOWN = 5  # techniques
LESSONS_SHOWN = 8
WANTED_SHOWN = 8
FIRST_SHOWN = 3  # titles in the first lines
KEEPERS_SHOWN = 4  # of one shot
_MADE = (OutcomeWord.MADE, OutcomeWord.PARTLY)
_RULES = {
    TripodRule.ALLOWED: "tripod allowed",
    TripodRule.AWKWARD: "tripod awkward",
    TripodRule.FORBIDDEN: "tripod FORBIDDEN",
    TripodRule.UNKNOWN: "tripod rule unknown: ask",
}


def build_brief(found: Before) -> Brief:
    """Return the brief of a place in words."""
    day = "No date chosen" if found.on_date is None else date_text(found.on_date, weekday=True)
    sections = (
        _wanted(found),
        _observed(found),
        light_section(found),
        *wish_sections(found),
        _worked(found),
        _lessons(found),
        _alike(found),
        _stands(found),
    )
    return Brief(
        line(found.site.title),
        found.site.slug,
        day,
        _first(found),
        sections,
        cautions(
            found.site.kinds,
            [found.site.footing, *(one.footing for one in found.viewpoints)],
            (one.kind for one in found.observed),
        ),
    )


def _first(found: Before) -> tuple[Item, ...]:
    """The few sentences to read if nothing else is read."""
    items = [Item("so far", sentence(f"{counts_words(found.here)} here"))]
    if found.wanted:
        names = [line(one.shot.title) for one in found.wanted]
        more = len(names) - FIRST_SHOWN
        shown = [*names[:FIRST_SHOWN], *([f"{more} more"] if more > 0 else [])]
        items.append(Item("still to get", sentence(listed(shown))))
    shut = next((one for one in found.observed if KINDS[one.kind].is_barrier), None)
    if shut is not None:
        seen = _condition(shut, found)
        items.append(Item("closure", f"{seen.text} Seen {seen.source}; ask again."))
    if found.reached is not None and found.wish is not None:
        judged = found.reached.feasibility
        wish = f"{exposure_text(found.wish.exposure_s)} at {aperture_text(found.wish.f_number)}"
        items.append(Item("your wish", f"{wish}: {feasibility_words(judged)}. {reason_words(found)}"))
    elif found.no_reach:
        items.append(Item("your wish", found.no_reach))
    return tuple(items)


def _wanted(found: Before) -> BriefSection:
    shown = found.wanted[:WANTED_SHOWN]
    rest = len(found.wanted) - len(shown)
    note = "" if found.wanted else "There is nothing left to get here."
    if rest:
        note = f"The latest {len(shown)}; {rest} more in the book."
    return BriefSection("wanted", "Still to get", tuple(_one_wanted(one, found) for one in shown), note)


def _one_wanted(one: StillWanted, found: Before) -> Item:
    shot, outcome = one.shot, one.outcome
    where = next((view.title for view in found.viewpoints if view.id == shot.viewpoint_id), "")
    what = f"{line(shot.title)}{f', {line(where)}' if where else ''}"
    if outcome is None:
        planned = f"planned for {_date(shot.on_date)}" if shot.on_date else "planned"
        said = [sentence(f"{what}: {planned}, no outcome noted")]
    else:
        instead = f" by {line(one.instead)}" if one.instead else ""
        why = f" {because(outcome.reasons)}" if outcome.reasons else ""
        said = [sentence(f"{what}: {one.word}{instead}{why}"), line(outcome.note)]
    if settings := settings_words(shot):
        held = f", {shot.support}" if shot.support else ""
        said.append(f"Plan: {settings}{held}.")
    said.append(line(shot.notes))
    if one.again is not None:
        said.append(f"Planned again{f' for {_date(one.again.on_date)}' if one.again.on_date else ''}.")
    label = {OutcomeWord.OPEN: "not tried"}.get(one.word, str(one.word))
    text = " ".join(sentence(part) for part in said if part)
    return Item(label, text, f"shot {shot.slug}, {one.trip}", _trip(one.trip, found), shot.id)


def _trip(slug: str | None, found: Before) -> str:
    """The title of a trip, where there is one."""
    return line(found.trips.get(slug or "", ""))


def _observed(found: Before) -> BriefSection:
    items = [_condition(one, found) for one in found.observed]
    for place in found.places:
        if place.hazards:
            kind = "viewpoint" if isinstance(place, Viewpoint) else "site"
            text = f"{line(place.title)}: {line(place.hazards)}"
            items.append(
                Item("hazard", sentence(text), f"{kind} {place.slug}, {_noted(place)}", _noted(place))
            )
    if found.site.access:
        noted = _noted(found.site)
        items.append(
            Item("access", sentence(line(found.site.access)), f"site {found.site.slug}, {noted}", noted)
        )
    note = CHECK_AGAIN if items else "Nothing is noted here about closures, rules, water, ground or hazards."
    return BriefSection("seen", "Last observed: check again", tuple(items), note)


def _noted(place: Site | Viewpoint) -> str:
    """When a place was first written down: mending its title makes no danger fresher."""
    return f"first noted {_date(place.created.date())}"


def _condition(one: Condition, found: Before) -> Item:
    place = next((view.title for view in found.viewpoints if view.id == one.viewpoint_id), found.site.title)
    seen = seen_when(one)
    text = sentence(f"{line(place)}: {seen_text(one)}")
    return Item(str(one.kind), text, f"{seen}; condition {one.slug}", seen, one.id)


def _worked(found: Before) -> BriefSection:
    items = [_made(shot, found) for shot in found.here.shots if shot.outcome in _MADE]
    rows = [row for row in found.worked.rows if row.denominator != "nothing" and row.approach]
    items += [_row(row) for row in rows[:ROWS_SHOWN]]
    titles = {one.site.slug: line(one.site.title) for one in found.alike.sites}
    near = [titles.get(one.slug, one.slug) for one in found.worked.near[1:] if one.similarity is not None]
    drawn = f"this place and those like it: {listed(near)}" if near else "this place alone"
    note = f"These counts cover {drawn}. Only pictures you kept are counted; a few tries prove little."
    return BriefSection("worked", "What worked", tuple(items), note)


def _made(shot: PastShot, found: Before) -> Item:
    """A shot that was made, with what it was really made with."""
    kept = found.kept.get(shot.id, ())
    how = [_used(one) for one in kept[:KEEPERS_SHOWN]] or ["the book has no picture of it"]
    why = f" {because(shot.reasons)}" if shot.reasons else ""
    note = f" ({line(shot.note)})" if shot.note else ""
    on = _date(date.fromisoformat(shot.on_date)) if shot.on_date else "no date"
    text = f"{line(shot.title)}, {on}{why}{note}: {'; '.join(how)}"
    rests = ", ".join([f"shot {shot.slug}", *(f"keeper {one.slug}" for one in kept[:KEEPERS_SHOWN])])
    return Item(
        f"{shot.outcome} here", sentence(text), f"{rests}, {shot.trip}", _trip(shot.trip, found), shot.id
    )


def _date(day: date) -> str:
    return f"{short_date(day)} {day.year}"


def _used(keeper: Keeper) -> str:
    filters = "filters unknown" if keeper.filters is None else filters_text(keeper.filters) or "no filter"
    held = "support unknown" if keeper.support in (None, Support.UNKNOWN) else str(keeper.support)
    is_judged = keeper.provenance_of("sharpness") is Provenance.STATED
    soft = ", judged soft" if keeper.sharpness is Sharpness.SOFT and is_judged else ""
    return f"{settings_words(keeper)}, {line(filters)}, {held}{soft}"


def _row(row: Row) -> Item:
    of = {"tries": "tries kept", "shots": "planned shots made"}.get(
        row.denominator, "frames kept, by estimate"
    )
    parts = [f"{rate_words(row.rate)}, {of}"]
    if needed := needed_words(row):
        parts.append(needed)
    if row.settings:
        parts.append(", ".join(spread_words(name, spread) for name, spread in row.settings.items()))
    if row.misses:
        parts.append(
            "failed because of " + ", ".join(f"{REASONS[miss.reason]} ({miss.count})" for miss in row.misses)
        )
    return Item(line(row.approach) or UNKNOWN["technique"], sentence("; ".join(parts)))


def _lessons(found: Before) -> BriefSection:
    items = tuple(
        Item(
            str(one.verb),
            sentence(line(one.text)),
            f"lesson {one.slug}, {one.trip or 'no trip'}",
            _trip(one.trip, found),
            one.id,
        )
        for one in found.here.lessons[:LESSONS_SHOWN]
    )
    rest = len(found.here.lessons) - len(items)
    note = f"{rest} more in the book." if rest else "" if items else "No lessons were noted here."
    return BriefSection("lessons", "Lessons from here", items, note)


def _alike(found: Before) -> BriefSection:
    """The sites alike enough to lean on, or the nearest one, called what it is."""
    close = [one for one in found.alike.sites if (one.likeness.similarity or 0.0) >= ALIKE_ENOUGH]
    shown = close or found.alike.sites[:1]
    note = "" if close else "None is similar enough to rely on; this is the closest."
    if not shown:
        note = "Too little is known about any other site to compare."
    return BriefSection("alike", "Similar places", tuple(_alike_item(one, found) for one in shown), note)


def _alike_item(one: AlikeSite, found: Before) -> Item:
    for_it, against = reasons(one, found.alike.about.values)
    parts = [sentence(how_alike(one)), sentence(f"there {counts_words(one.happened)}")]
    if for_it:
        parts.append(f"Like: {'; '.join(for_it[:3])}.")
    if against:
        parts.append(f"Unlike: {'; '.join(against[:3])}.")
    failed = [
        shot for shot in one.happened.shots if shot.outcome in (OutcomeWord.MISSED, OutcomeWord.REPLACED)
    ]
    for shot in failed[:2]:
        why = f" {because(shot.reasons)}" if shot.reasons else ""
        parts.append(sentence(f"{shot.outcome} there: {line(shot.title)}{why}"))
    parts += [sentence(f"{lesson.verb}: {line(lesson.text)}") for lesson in one.happened.lessons[:2]]
    return Item(line(one.site.title), " ".join(parts), f"site {one.site.slug}", about=one.site.id)


def _stands(found: Before) -> BriefSection:
    items = []
    for one in found.viewpoints:
        view = f"view: {uncapitalised(line(one.looks_at))}" if one.looks_at else ""
        stand = "; ".join(filter(None, (_RULES[one.tripod_rule], f"on {one.footing}" if one.footing else "")))
        horizon = f"horizon: {one.horizon.words}" if one.horizon else ""
        text = " ".join(sentence(said) for said in (view, horizon, stand, line(one.access)) if said)
        items.append(Item(line(one.title), text, f"viewpoint {one.slug}", about=one.id))
    note = "" if items else "No viewpoint is noted here."
    return BriefSection("stands", "Where to stand", tuple(items), note)
