"""The brief on the terminal, as JSON and as one page in the field sheet's look."""

from pathlib import Path
from typing import Any

from logbook.faces.alike_shown import counts_json, hang, lesson_json, shot_json, site_json
from logbook.faces.before.models import Brief, BriefSection
from logbook.faces.plain import feasibility_json, plain, record_json
from logbook.faces.reached import reach_json, spans_json
from logbook.faces.sheet.models import Paper
from logbook.faces.sheet.writing import complete_page
from logbook.faces.terminal import answer, answer_prose, answer_table
from logbook.faces.words.continued import return_command
from logbook.faces.words.phrases import settings_words
from logbook.faces.worked_shown import worked_json
from logbook.services.before import Before, Hour, StillWanted
from logbook.store.outputs import Purpose

BRIEF = Purpose("brief", is_private=True)
LABEL_WIDTH, LABEL_MAX = 14, 18  # columns


def show_brief(brief: Brief, found: Before) -> None:
    """Print the brief, and the commands that plan what is still to get; paper has no use for those."""
    answer_prose(f"Before going back: {brief.place} ({brief.slug}). {brief.day}.")
    for item in brief.first:
        hang(item.label, item.text, LABEL_WIDTH)
    for section in brief.sections:
        show_section(section)
    answer("")
    answer_prose("Cautions")
    for caution in brief.cautions:
        hang("–", caution, 2)
    if found.wanted:
        answer("")
        answer_prose("To plan a new trip with what is still to get:")
        for command in return_commands(found):
            answer(command)


def return_commands(found: Before) -> list[str]:
    """Return the commands that plan what earlier trips left to get here, one a trip."""
    return [return_command(trip) for trip in dict.fromkeys(one.trip for one in found.wanted)]


def show_section(section: BriefSection) -> None:
    """Print one section under its heading."""
    answer("")
    answer_prose(section.heading)
    if section.note:
        answer_prose(section.note, "   ")
    if section.table:
        answer_table(section.table.heads, section.table.rows, "")
    width = min(LABEL_MAX, max((len(item.label) + 1 for item in section.items), default=0))
    for item in section.items:
        rests = f" [{item.rests_on}]" if item.rests_on else ""
        hang(item.label, f"{item.text}{rests}", max(width, len(item.label) + 1))


def rendered(brief: Brief, templates: Path, paper: Paper = Paper.A4) -> str:
    """Return the brief as HTML, complete in itself."""
    return complete_page("before.html", ("sheet.css", "before.css"), paper, templates, brief=brief)


def before_json(found: Before, brief: Brief) -> dict[str, Any]:
    """Return the brief as JSON: every count and every date beside the ids of the rows it came from."""
    names = {one.id: one.slug for one in found.places}
    return {
        "site": found.site.slug,
        "title": found.site.title,
        "id": found.site.id,
        "focus": found.focus.slug if found.focus else None,
        "on_date": plain(found.on_date),
        "here": {
            "counts": counts_json(found.here),
            "outcomes": [shot_json(shot) for shot in found.here.shots],
            "lessons": [lesson_json(lesson) for lesson in found.here.lessons],
            "kept": {
                shot.slug: [
                    {"keeper": one.slug, "id": one.id, "settings": settings_words(one)}
                    | {name: plain(getattr(one, name)) for name in ("filters", "support", "sharpness")}
                    for one in found.kept[shot.id]
                ]
                for shot in found.here.shots
                if shot.id in found.kept
            },
        },
        "plan_again": return_commands(found),
        "still_to_get": [_wanted_json(one, names) for one in found.wanted],
        "observed": [record_json(one, names) | {"check_again": True} for one in found.observed],
        "hazards": [
            {"text": place.hazards, "from": place.slug, "id": place.id, "written": plain(place.created)}
            for place in found.places
            if place.hazards
        ],
        "light": {
            "unknown": found.unknown_light,
            "hours": [_hour_json(one) for one in found.hours],
            "views": [
                {
                    "viewpoint": one.viewpoint.slug,
                    "facing_deg": one.viewpoint.facing_deg,
                    "horizon": plain(one.viewpoint.horizon),
                    "horizon_deg": one.light.standpoint.observer.horizon_deg,
                    "zone": str(one.light.standpoint.zone),
                    "sun_in_frame": spans_json(one.light.sun_in_frame),
                }
                for one in found.light
            ],
        },
        "wish": _wish_json(found),
        "worked": worked_json(found.worked),
        "alike": [site_json(one, found.alike) for one in found.alike.sites],
        "cautions": list(brief.cautions),
    }


def _wanted_json(one: StillWanted, names: dict[str, str]) -> dict[str, Any]:
    shot, outcome = one.shot, one.outcome
    return {
        "shot": shot.slug,
        "title": shot.title,
        "trip": one.trip,
        "viewpoint": names.get(shot.viewpoint_id or ""),
        "on_date": plain(shot.on_date),
        "outcome": str(one.word),
        "reasons": [str(reason) for reason in outcome.reasons] if outcome else [],
        "note": outcome.note if outcome else None,
        "replaced_by": one.replaced_by,
        "planned_again": one.again.slug if one.again else None,
        "planned": {
            name: plain(getattr(shot, name))
            for name in ("technique", "focal_mm", "f_number", "exposure_s", "iso", "filters", "support")
        },
        "shot_id": shot.id,
        "outcome_id": outcome.id if outcome else None,
    }


def _hour_json(one: Hour) -> dict[str, Any]:
    return {
        "name": str(one.name),
        "at": one.at.isoformat(timespec="seconds"),
        "azimuth_deg": one.azimuth_deg,
        "altitude_deg": one.altitude_deg,
        "phase": str(one.phase),
        "views": [
            {
                "viewpoint": fall.viewpoint.slug,
                "direction": fall.direction and str(fall.direction),
                "off_axis_deg": fall.off_axis_deg,
            }
            for fall in one.falls
        ],
        "scene_ev100": one.expected.scene_ev100,
        "reach": one.reached and reach_json(one.reached),
    }


def _wish_json(found: Before) -> dict[str, Any] | None:
    wish, reached = found.wish, found.reached
    if wish is None:
        return None
    answer_ = {
        "exposure_s": plain(wish.exposure_s),
        "f_number": wish.f_number,
        "iso": wish.iso,
        "focal_mm": wish.focal_mm,
        "support": wish.support and str(wish.support),
        "owned": [item.slug for item in found.owned],
        "unknown": found.no_reach,
    }
    if reached is None:
        return answer_
    return answer_ | {
        "feasibility": feasibility_json(reached.feasibility),
        "working": reached.feasibility.working,
        "low_enough": spans_json(reached.low_enough),
        "possible": spans_json(reached.possible),
        "zone": reached.zone,
    }
