"""The archive's places, conditions and lessons: every field of them."""

from logbook.domain.condition import Condition
from logbook.domain.lesson import Lesson
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.faces.report import parts
from logbook.faces.report.models import Entry, Fact, Passage, PlaceBlock
from logbook.faces.report.order import Order
from logbook.faces.report.privacy import PageDiscretion
from logbook.faces.words.phrases import bearing_text, date_text, listed, uncapitalised


def entry(say: PageDiscretion, condition: Condition) -> Entry | None:
    """Return one observation in full."""
    return parts.entry(
        condition,
        direction=say.line(condition.direction),
        note=say.line(condition.note),
        source=say.line(condition.source),
    )


def conditions(order: Order, say: PageDiscretion) -> tuple[PlaceBlock, ...]:
    """Return every observation by place, with its slug."""
    found: dict[str, list[Entry]] = {}
    for condition in order.account.conditions:
        if seen := entry(say, condition):
            where = say.place(condition.viewpoint_id, condition.site_id) or parts.ON_THE_WAY
            caution = " ".join(filter(None, (seen.caution, f"[{say.line(condition.slug)}]")))
            found.setdefault(where, []).append(Entry(seen.when, seen.what, seen.note, caution))
    return tuple(PlaceBlock(title, entries=tuple(entries)) for title, entries in found.items())


def place(order: Order, say: PageDiscretion, site: Site) -> PlaceBlock:
    """Return a site and its viewpoints in full."""
    viewpoints = [v for v in order.account.viewpoints.values() if v.site_id == site.id]
    return PlaceBlock(
        say.line(site.title),
        parts.facts(
            parts.fact("Also called", *(say.line(name) for name in site.also_called)),
            parts.fact("Kind", listed([str(kind).replace("-", " ") for kind in site.kinds])),
            parts.fact("Region", say.line(site.region)),
            parts.fact("Position", say.position(site)),
            parts.fact("Elevation", f"{site.elevation_m:.0f} m" if site.elevation_m is not None else ""),
            parts.fact("Zone", say.line(site.zone)),
            parts.fact("Footing", str(site.footing or "")),
            parts.fact("Walk", f"{site.walk_min} min" if site.walk_min is not None else ""),
            parts.fact("Shown to others", str(order.account.shown(site))),
            parts.fact("Slug", say.line(site.slug)),
            *(fact for viewpoint in viewpoints for fact in _viewpoint(order, say, viewpoint)),
        ),
        parts.passages(
            parts.passage(say, site.hazards, "Hazards"),
            parts.passage(say, site.access, "Access"),
            parts.passage(say, site.notes, "Notes"),
            *(text for viewpoint in viewpoints for text in _texts(say, viewpoint)),
        ),
        entries=(Entry("", parts.first_noted((site, *viewpoints))),),
    )


def about(order: Order, say: PageDiscretion, lesson: Lesson) -> str:
    """Return what a lesson is tied to, when, and for whom it is."""
    shot = next((shot for shot in order.shots if shot.id == lesson.shot_id), None)
    return "; ".join(
        filter(
            None,
            (
                say.line(lesson.technique),
                parts.shot_reference(order, shot, say.line(shot.title)) if shot else "",
                say.place(lesson.viewpoint_id, lesson.site_id),
                date_text(lesson.on_date) if lesson.on_date else "",
                f"shown to {lesson.shown_to}" if lesson.shown_to else "for the photographer alone",
                say.line(lesson.slug),
            ),
        )
    )


def _viewpoint(order: Order, say: PageDiscretion, viewpoint: Viewpoint) -> tuple[Fact, ...]:
    return parts.facts(
        parts.fact(
            say.line(viewpoint.title),
            *(f"also called {say.line(name)}" for name in viewpoint.also_called),
            f"faces {bearing_text(viewpoint.facing_deg)}" if viewpoint.facing_deg is not None else "",
            f"view: {uncapitalised(say.line(viewpoint.looks_at))}" if viewpoint.looks_at else "",
            f"horizon: {viewpoint.horizon.words}" if viewpoint.horizon else "",
            f"tripods: {viewpoint.tripod_rule}",
            f"footing: {viewpoint.footing}" if viewpoint.footing else "",
            say.position(viewpoint),
            f"{viewpoint.elevation_m:.0f} m" if viewpoint.elevation_m is not None else "",
            f"shown to others: {order.account.shown(viewpoint)}",
            say.line(viewpoint.slug),
        )
    )


def _texts(say: PageDiscretion, viewpoint: Viewpoint) -> tuple[Passage, ...]:
    title = say.line(viewpoint.title)
    return parts.passages(
        parts.passage(say, viewpoint.hazards, f"Hazards at {title}"),
        parts.passage(say, viewpoint.access, f"Access to {title}"),
        parts.passage(say, viewpoint.notes, f"Notes on {title}"),
    )
