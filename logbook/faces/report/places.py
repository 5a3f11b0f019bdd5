"""The places of a trip: their facts, their dangers, and the way to them."""

from collections.abc import Iterator

from logbook.domain.fields import facts_of
from logbook.domain.record import Record
from logbook.domain.said import field_words
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import TripodRule
from logbook.faces.plain import words
from logbook.faces.report.best_light import best_light
from logbook.faces.report.models import Entry, Fact, Figure, Passage, PlaceBlock
from logbook.faces.report.parts import PageDraft, fact, facts, first_noted, passage, passages
from logbook.faces.report.where import position_words, rounding
from logbook.faces.words.phrases import bearing_text, counted, listed, sentence, uncapitalised
from logbook.faces.words.prose import line

# What has words of its own here, or none; whatever else a place knows stands in the book by its name.
_IN_WORDS = frozenset(
    (
        *facts_of(Record),
        *("slug", "title", "site_id", "also_called", "kinds", "region", "zone", "location_shown", "notes"),
        *("latitude_deg", "longitude_deg", "elevation_m", "facing_deg", "horizon", "looks_at"),
        *("tripod_rule", "footing", "access", "walk_min", "hazards", "cost"),
    )
)
FOR_VISITORS = "As found on this trip. Local rules, signs and wardens come first."


def places(draft: PageDraft) -> tuple[PlaceBlock, ...]:
    """Return every site: with its viewpoints where a page tells of craft, else with what a visitor asks."""
    return tuple(_place(draft, site) for site in draft.order.account.sites.values())


def places_lead(draft: PageDraft) -> str:
    """Return the sentence that says why positions are only near, or nothing where none of them is."""
    account = draft.order.account
    rounded = rounding(account, account.places if draft.edition.with_craft else account.sites.values())
    return f"{rounded} {FOR_VISITORS}".strip() if not draft.edition.with_craft else rounded


def _place(draft: PageDraft, site: Site) -> PlaceBlock:
    account, edition = draft.order.account, draft.edition
    known = account.viewpoints.values() if edition.with_craft else draft.order.viewpoints_used()
    viewpoints = [one for one in known if one.site_id == site.id]
    told = facts(
        *(() if edition.with_craft else (fact("Best light", best_light(draft, site)), _tripods(viewpoints))),
        fact("Also called", *map(line, site.also_called)),
        fact("Kind", listed([str(kind).replace("-", " ") for kind in site.kinds])),
        fact("Region", line(site.region)),
        fact("Position", position_words(account, site)),
        fact("Elevation", _metres(site.elevation_m)) if edition.with_craft else None,
        fact("Zone", line(site.zone)) if edition.with_book else None,
        fact("Footing", str(site.footing or "")),
        fact("Walk", _walk(site.walk_min, edition.with_book)),
        fact("Cost", line(site.cost)),
        fact("Shown to others", str(account.shown(site))) if edition.with_book else None,
        fact("Slug", line(site.slug)) if edition.with_book else None,
        *(fact(name.capitalize(), value) for name, value in _others(site) if edition.with_book),
    )
    stands = (fact(line(one.title), *_stance(draft, one)) for one in viewpoints if edition.with_craft)
    texts = passages(*(_all_texts if edition.with_book else _texts)(site, viewpoints))
    noted = Entry("", first_noted((site, *viewpoints)))
    return PlaceBlock(
        line(site.title),
        (*told, *facts(*stands)),
        texts,
        entries=(noted,) if texts or site.cost or edition.with_book else (),
        figure=_best(draft, site) if edition.pictures_first or edition.with_book else None,
    )


def _tripods(viewpoints: list[Viewpoint]) -> Fact | None:
    """Where a tripod may stand: in a word where it is one for all, else rule by rule; nothing unknown."""
    by_rule: dict[TripodRule, list[str]] = {}
    for one in viewpoints:
        by_rule.setdefault(one.tripod_rule, []).append(line(one.title))
    if len(by_rule) == 1 and TripodRule.UNKNOWN not in by_rule:
        return fact("Tripods", *map(str, by_rule))
    return fact(
        "Tripods",
        *(f"{rule} at {listed(by_rule[rule])}" for rule in by_rule if rule is not TripodRule.UNKNOWN),
    )


def _best(draft: PageDraft, site: Site) -> Figure | None:
    """The picture that says most of a place: the first that was chosen there."""
    account = draft.order.account
    here = (one for one in draft.chosen.plates if account.site_id_of(one.keeper.viewpoint_id) == site.id)
    figures = (draft.figures[one.keeper.id] for one in here)
    return next((one for one in figures if one.image), None)


def _metres(elevation_m: float | None) -> str:
    return f"{elevation_m:.0f} m" if elevation_m is not None else ""


def _walk(walk_min: int | None, is_short: bool) -> str:
    if walk_min is None:
        return ""
    return f"{walk_min} min" if is_short else counted(walk_min, "minute")


def _texts(site: Site, viewpoints: list[Viewpoint]) -> Iterator[Passage | None]:
    """Dangers first, wherever they are."""
    yield passage(site.hazards, "Hazards")
    yield from (passage(one.hazards, f"Hazards at {line(one.title)}") for one in viewpoints)
    yield passage(site.access, "Access")
    yield from (passage(one.access, f"Access to {line(one.title)}") for one in viewpoints)


def _all_texts(site: Site, viewpoints: list[Viewpoint]) -> Iterator[Passage | None]:
    """Everything, place by place."""
    yield passage(site.hazards, "Hazards")
    yield passage(site.access, "Access")
    yield passage(site.notes, "Notes")
    for one in viewpoints:
        title = line(one.title)
        yield passage(one.hazards, f"Hazards at {title}")
        yield passage(one.access, f"Access to {title}")
        yield passage(one.notes, f"Notes on {title}")


def _others(place: Site | Viewpoint) -> Iterator[tuple[str, str]]:
    """What else is known of a place, by name: a field that was added and has no words of its own yet."""
    for name in facts_of(type(place)):
        value = getattr(place, name)
        if name not in _IN_WORDS and value not in (None, ()):
            yield field_words(name), line(words(value))


def _stance(draft: PageDraft, viewpoint: Viewpoint) -> tuple[str, ...]:
    """What it is like to stand at a viewpoint: in sentences, and in the book value by value."""
    account = draft.order.account
    facing = f"faces {bearing_text(viewpoint.facing_deg)}" if viewpoint.facing_deg is not None else ""
    looks = f"view: {uncapitalised(line(viewpoint.looks_at))}" if viewpoint.looks_at else ""
    horizon = f"horizon: {viewpoint.horizon.words}" if viewpoint.horizon else ""
    position = position_words(account, viewpoint)
    if draft.edition.with_book:
        return (
            *(f"also called {line(name)}" for name in viewpoint.also_called),
            facing,
            looks,
            horizon,
            f"tripods: {viewpoint.tripod_rule}",
            f"footing: {viewpoint.footing}" if viewpoint.footing else "",
            position,
            _metres(viewpoint.elevation_m),
            f"shown to others: {account.shown(viewpoint)}",
            line(viewpoint.slug),
            *(f"{name}: {value}" for name, value in _others(viewpoint)),
        )
    footing = f"footing {viewpoint.footing}" if viewpoint.footing else ""
    rule = f"tripods {viewpoint.tripod_rule}" if viewpoint.tripod_rule != "unknown" else "tripod rule unknown"
    stands = "; ".join(filter(None, (footing, rule, horizon, position)))
    return (" ".join(sentence(said) for said in (facing, looks, stands) if said),)
