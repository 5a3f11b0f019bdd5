"""Sites alike, what worked, and what to know before going back: the commands' own words, with the pictures.

One surprising decision: a row of what worked shows a few of the pictures behind it, and those under its
count, so that the count is read before the eye decides.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar
from urllib.parse import urlencode

from flask import Blueprint, Response, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.condition_kinds import DIVIDING, KINDS, LIMITING
from logbook.domain.errors import InvalidValueError, LogbookError, WrongUseError
from logbook.domain.keeper import Keeper, in_order, of_each
from logbook.domain.kinds import DATE
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import ConditionKind, SubjectKind, Support, TripodRule
from logbook.domain.written.choices import support_written
from logbook.faces import typed
from logbook.faces.alike_shown import how_alike, lesson_lines, site_lines
from logbook.faces.before.builder import LESSONS_SHOWN, build_brief
from logbook.faces.before.models import Brief
from logbook.faces.light_limits import light_limits
from logbook.faces.measured import plainly
from logbook.faces.private.looking import MOST_PICTURES, pictures_page
from logbook.faces.private.pictures import noted
from logbook.faces.private.workplace import PageTold, back_to, book, page, say_next
from logbook.faces.worked_shown import (
    MIXED,
    NOTHING,
    UNDIVIDED_HEADING,
    counted_words,
    heading_words,
    name_of,
    places_words,
    row_lines,
    title_words,
    undivided_words,
)
from logbook.services.alike import alike as alike_to
from logbook.services.before import USUAL_ISO, Before, Wish
from logbook.services.before import before as brief_of
from logbook.services.find.pictured import PICTURES_OF_RECORD, of_record, of_site, planned_first
from logbook.services.worked import By, Denominator, Row, Worked, WorkedQuestion
from logbook.services.worked import worked as what_worked
from logbook.store.desk import Desk as Shelves

part = Blueprint("comparing", __name__)

Word = TypeVar("Word", bound=StrEnum)

SITES_SHOWN = 5
PICTURES_OF_SITE = 4
BEHIND_SHOWN = 6  # pictures of a row; all of them are a page away
PICTURES_OF_PLACE = 6  # by which a place is known again, before anything is read about it
TRIPS_SHOWN = 12  # whose places are offered before one is named
AGAINST = (Denominator.TRIES, Denominator.SHOTS, Denominator.FILES)


@dataclass(frozen=True, slots=True)
class RowShown:
    """A row as the page shows it; `heading` where another kind of count begins."""

    heading: str
    name: str
    counted: str
    row: Row
    lines: tuple[tuple[str, str], ...]
    lessons: tuple[tuple[str, str], ...]
    keepers: tuple[Keeper, ...]


@dataclass(frozen=True, slots=True)
class PlannedPlace:
    """Where shots of a trip were planned, for which day, and a picture made there on any trip."""

    viewpoint: Viewpoint
    day: str
    keeper: Keeper | None


@part.get("/look/alike")
def alike() -> Response:
    """Sites like one of the book, why, and what worked and failed there."""
    wanted = request.args.get("site", "").strip()
    opened = book()
    found = alike_to(opened, wanted, {}, SITES_SHOWN) if wanted else None
    with opened.reading() as shelves:
        sites = sorted(shelves.sites.all(), key=lambda one: one.title)
        pictures = {
            one.site.id: of_site(shelves, one.site.id)[:PICTURES_OF_SITE]
            for one in (found.sites if found else ())
        }
        trips = {one.id: one.slug for one in shelves.trips.all()}
    return page(
        "alike.html",
        opened=opened,
        sites=sites,
        wanted=found.about.slug if found else "",
        found=found,
        cards=[(one, how_alike(one), tuple(site_lines(one, found))) for one in found.sites] if found else (),
        pictures=pictures,
        trips=trips,
        title=f"Sites like {found.about.title}" if found else "Similar sites",
    )


@part.get("/look/worked")
def worked() -> Response:
    """What worked, of how many, and how sure that is."""
    opened = book()
    found = what_worked(opened, _worked_question())
    with opened.reading() as shelves:
        sites = sorted(shelves.sites.all(), key=lambda one: one.title)
        rows = _rows(shelves, found)
        trips = {one.id: one.slug for one in shelves.trips.all()}
    return page(
        "worked.html",
        opened=opened,
        found=found,
        rows=rows,
        asked=request.args.to_dict(),
        by=str(found.question.by),
        all_by=(*By, *DIVIDING),
        sites=sites,
        kinds=tuple(SubjectKind),
        supports=[one for one in Support if one is not Support.UNKNOWN],
        tripods=[one for one in TripodRule if one is not TripodRule.UNKNOWN],
        levels={str(kind): KINDS[kind].levels for kind in LIMITING},
        against=AGAINST,
        places=places_words(found),
        nothing=NOTHING,
        mixed=MIXED if found.denominator is Denominator.MIXED else "",
        undivided_heading=UNDIVIDED_HEADING,
        undivided=[undivided_words(one) for one in found.undivided],
        trips=trips,
        title=title_words(found),
    )


@part.get("/look/worked/pictures")
def behind() -> Response:
    """All pictures behind a row of what worked, to select."""
    return _behind(None, 200)


@part.post("/look/worked/pictures")
def note_behind() -> AnyResponse:
    """Note what the form says of those that are ticked."""
    try:
        say_next(noted(book("pictures behind what worked")))
    except LogbookError as error:
        return _behind(PageTold((str(error),), is_refusal=True), 422)
    return back_to(request.form.get("here") or url_for("comparing.worked"))


def _behind(told: PageTold | None, status: int) -> Response:
    opened = book()
    found = what_worked(opened, _worked_question())
    wanted = request.args.get("row", "")
    rows = [one for one in found.rows if name_of(one, found) == wanted]
    ids = [keeper_id for row in rows for keeper_id in row.sources.get("keepers", ())][:MOST_PICTURES]
    with opened.reading() as shelves:
        keepers = in_order(one for one in map(shelves.keepers.get, ids) if one is not None)
    asked = urlencode([(name, said) for name, said in request.args.items() if name != "row"])
    back = f"{url_for('comparing.worked')}?{asked}"
    words = counted_words(rows[0]) if rows else ""
    return pictures_page(opened, keepers, told, status, f"{title_words(found)}: {wanted}", words, back)


@part.get("/look/before")
def before() -> Response:
    """What to know before going back to a place, on a day, with a wish."""
    asked = {name: value.strip() for name, value in request.args.items()}
    opened = book()
    brief: Brief | None = None
    found: Before | None = None
    if asked.get("place"):
        on_date = DATE.typed(asked["on"]) if asked.get("on") else None
        limits = light_limits()
        with plainly():
            found = brief_of(opened, asked["place"], on_date, _wish(asked), limits)
        brief = build_brief(found)
    with opened.reading() as shelves:
        seen = _seen(shelves, found) if found else {}
        trips = {one.id: one for one in shelves.trips.all()}
        places = [*shelves.sites.all(), *shelves.viewpoints.all()]
        planned = _planned(shelves) if brief is None else ()
    return page(
        "before.html",
        opened=opened,
        asked=asked,
        brief=brief,
        seen=seen,
        places=places,
        planned=planned,
        made_here=seen[found.site.id] if found else (),
        trips={key: one.slug for key, one in trips.items()},
        supports=[one for one in Support if one is not Support.UNKNOWN],
        title=f"Before going back: {brief.place}" if brief else "Before going back",
    )


def _worked_question() -> WorkedQuestion:
    asked = {name: value.strip() for name, value in request.args.items() if value.strip()}
    by = asked.get("by", By.SUPPORT)
    levels = {kind: asked[kind] for kind in LIMITING if kind in asked}
    for kind, level in levels.items():
        if level not in KINDS[kind].levels:
            raise InvalidValueError(f'"{level}" is not a level of {kind}; choose one from the list.')
    within = asked.get("within_km")
    return WorkedQuestion(
        ConditionKind(by) if by in DIVIDING else _one_of(By, by),
        _one_of(SubjectKind, asked["kind"]) if "kind" in asked else None,
        asked.get("near"),
        typed.a_number(within, "distance", "km") if within else None,
        levels,
        _one_of(TripodRule, asked["tripod"]) if "tripod" in asked else None,
        asked.get("technique"),
        support_written(asked["support"]) if "support" in asked else None,
        _one_of(Denominator, asked["of"]) if "of" in asked else None,
    )


def _one_of(words: type[Word], text: str) -> Word:
    if text not in list(words):
        raise InvalidValueError(f'"{text}" cannot be chosen here; choose one from the list.')
    return words(text)


def _rows(shelves: Shelves, found: Worked) -> list[RowShown]:
    shown: list[RowShown] = []
    by = str(found.question.by)
    last = None
    for row in found.rows:
        heading = heading_words(row, found) if row.denominator != last else ""
        last = row.denominator
        behind = [shelves.keepers.get(one) for one in row.sources.get("keepers", ())[:BEHIND_SHOWN]]
        shown.append(
            RowShown(
                heading,
                name_of(row, found),
                counted_words(row),
                row,
                tuple(row_lines(row, by)),
                tuple(lesson_lines(row.lessons, None)),
                tuple(in_order(one for one in behind if one is not None)),
            )
        )
    return shown


def _seen(shelves: Shelves, found: Before) -> Mapping[str, Sequence[Keeper]]:
    """The pictures of what a brief says, by the id of what each item is about."""
    views = {one.id for one in found.viewpoints}
    here = shelves.keepers.all(viewpoint_id=views) if views else []
    of_shots = of_each(here, "shot_id") | dict(found.kept)
    of_views = {key: planned_first(group) for key, group in of_each(here, "viewpoint_id").items()}
    of_sites = {one.site.id: of_site(shelves, one.site.id) for one in found.alike.sites}
    said = {key: group[:PICTURES_OF_SITE] for key, group in (of_shots | of_views | of_sites).items()}
    timed = [one for one in found.observed if one.at is not None]  # of a whole day they would all be the same
    lessons = [shelves.lessons.get(one.id) for one in found.here.lessons[:LESSONS_SHOWN]]
    said |= {
        one.id: of_record(shelves, one)[:PICTURES_OF_RECORD] for one in (*timed, *lessons) if one is not None
    }
    return said | {found.site.id: planned_first(here)[:PICTURES_OF_PLACE]}


def _planned(shelves: Shelves) -> list[tuple[str, list[PlannedPlace]]]:
    """Each trip's title, the latest trip first, with where its shots were planned, and when."""
    stands = {one.id: one for one in shelves.viewpoints.all()}
    trips = sorted(shelves.trips.all(), key=lambda one: str(one.starts_on or ""), reverse=True)
    found = []
    for trip in trips[:TRIPS_SHOWN]:
        shots = [one for one in shelves.shots.all(trip_id=trip.id) if one.viewpoint_id in stands]
        places = {(str(one.on_date or ""), one.viewpoint_id or "") for one in shots}
        if places:
            own = {place for _, place in places}
            made = of_each(shelves.keepers.all(viewpoint_id=own), "viewpoint_id")
            seen = {place: planned_first(group)[0] for place, group in made.items()}
            named = [PlannedPlace(stands[place], day, seen.get(place)) for day, place in sorted(places)]
            found.append((trip.title, named))
    return found


def _wish(asked: dict[str, str]) -> Wish | None:
    names = ("wish", "f_number", "iso", "focal")
    said = {name: asked[name] for name in names if asked.get(name)}
    support = support_written(asked["support"]) if asked.get("support") else None
    if "wish" not in said:
        if said or support:
            raise WrongUseError(
                "Aperture, ISO, focal length and support need a shutter speed; enter one too."
            )
        return None
    if "f_number" not in said:
        raise WrongUseError("A wish needs an aperture too, such as 16.")
    read = typed.settings(
        exposure=said["wish"], f_number=said["f_number"], iso=said.get("iso"), focal=said.get("focal")
    )
    return Wish(
        read["exposure_s"], read["f_number"], read.get("iso", USUAL_ISO), read.get("focal_mm"), support
    )
