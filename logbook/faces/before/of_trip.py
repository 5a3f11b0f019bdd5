"""The brief of a whole trip on the terminal and as JSON."""

from collections.abc import Sequence
from typing import Any

from logbook.domain.said import figured
from logbook.faces.alike_shown import hang
from logbook.faces.before.builder import build_brief
from logbook.faces.before.writing import before_json, show_section
from logbook.faces.plain import feasibility_json, plain
from logbook.faces.terminal import answer, answer_prose
from logbook.faces.words.phrases import listed
from logbook.services.before import Before
from logbook.services.before.of_trip import BeforeTrip, ToAsk
from logbook.services.plans.outfit import PlanPacked

LABEL_WIDTH = 14  # columns
OF_A_PLACE = ("wanted", "light", "lessons")  # of a place's own brief, what a trip needs


def show_before_trip(found: BeforeTrip) -> None:
    """Print the brief: what to pack, what cannot be done as planned, what to ask; then each place."""
    trip = found.trip
    plans, places = figured(len(found.shots), "open plan"), figured(len(found.places), "place")
    answer_prose(f"Before {trip.title} ({trip.slug}): {plans} at {places}.")
    pieces = [(str(item.kind), f"{item.title} [{item.slug}]") for item in found.outfit.pieces]
    nothing = [("nothing", "no filters or supports; cameras and lenses as you like")]
    _list("What to pack for the most plans", pieces or nothing)
    lost = [(plan.shot.slug, _why(plan)) for plan in found.outfit.not_as_planned]
    _list("Not feasible as planned", lost)
    _list("What to ask before you go", [(one.place, _asked(one)) for one in found.ask])
    for place in found.places:
        _show_place(place)
    answer("")
    answer_prose('"logbook before SITE" shows everything seen at a place, and similar places.')


def before_trip_json(found: BeforeTrip) -> dict[str, Any]:
    """Return the brief as JSON, each place as its own brief has it."""
    return {
        "trip": found.trip.slug,
        "title": found.trip.title,
        "places": [before_json(one, build_brief(one)) for one in found.places],
        "pack": [{"kit": item.slug, "kind": str(item.kind)} for item in found.outfit.pieces],
        "plans": [_plan_json(plan) for plan in found.outfit.plans],
        "not_as_planned": [plan.shot.slug for plan in found.outfit.not_as_planned],
        "ask": [
            {"place": one.place, "whom": one.whom, "what": one.what, "observed": plain(one.observed)}
            for one in found.ask
        ],
    }


def _plan_json(plan: PlanPacked) -> dict[str, Any]:
    return {
        "shot": plan.shot.slug,
        "is_reached": plan.is_reached,
        "missing": list(plan.missing),
        "instead": None if plan.instead is None else [one.slug for one in plan.instead],
        "feasibility": feasibility_json(plan.feasibility),
    }


def _show_place(place: Before) -> None:
    brief = build_brief(place)
    _section(f"{brief.place} ({brief.slug}), {brief.day}")
    for item in brief.first:
        if item.label != "still to get":  # which its section says in full
            hang(item.label, item.text, LABEL_WIDTH)
    for section in brief.sections:
        if section.key in OF_A_PLACE and (section.items or section.table):
            show_section(section)


def _list(heading: str, rows: Sequence[tuple[str, str]]) -> None:
    if rows:
        _section(heading)
    width = max((len(label) + 1 for label, _ in rows), default=0)
    for label, text in rows:
        hang(label, text, width)


def _section(heading: str) -> None:
    answer("")
    answer_prose(heading)


def _why(plan: PlanPacked) -> str:
    why = f"{plan.feasibility.verdict}, {plan.feasibility.reason}"
    if plan.missing:
        why = f"you own no {listed(list(plan.missing))} for it"
    return f"{plan.shot.title}: {why}{_would_do(plan)}"


def _would_do(plan: PlanPacked) -> str:
    if plan.instead is None:
        return ""
    own = " + ".join(one.slug for one in plan.instead)
    return f"; your {own} would do" if own else "; it would work without a filter"


def _asked(one: ToAsk) -> str:
    whom = f"Ask {one.whom} " if one.whom else "Ask "
    seen = f" ({one.observed})" if one.observed else ""
    return f"{whom}{one.what}{seen}"
