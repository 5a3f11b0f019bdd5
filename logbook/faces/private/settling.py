"""What waits for a word: proposals, with the pictures they are about, and lines of day files to sort out.

One surprising decision: taking or declining one is the evening's own answer, so that nobody is asked twice.
"""

from datetime import date

from flask import Blueprint, Response, abort, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.errors import LogbookError
from logbook.domain.trip import Trip
from logbook.domain.words import JoinedKind
from logbook.faces.private.workplace import PageTold, back_to, book, page, say_next, trip_named, workplace
from logbook.services.dayfiles.settling import dismiss_line, keep_as_journal, lines_to_settle, settle_line
from logbook.services.find.pictured import of_day
from logbook.services.keepers.sets import join, split
from logbook.services.keepers.thumbnails import SMALL_PX
from logbook.services.night.days_waiting import days_of_trip
from logbook.services.night.proposed import ProposedOn, proposed_on
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night
from logbook.store.book import Book

part = Blueprint("settling", __name__, url_prefix="/trip/<slug>")

NO_PLAN = "none"  # what declining the plan that pictures seem to serve says of them
WHAT = {
    Asks.CLOCK: "A camera's clock",
    Asks.ZONE: "The day's time zone",
    Asks.VIEWPOINT: "Where it was",
    Asks.TIMES: "From when to when",
    Asks.FILTERS: "Filters",
    Asks.CHANGED: "A filter change, or the light",
    Asks.SHOT: "The planned shot they are for",
    Asks.SHARPNESS: "Sharp or soft",
    Asks.TRIES: "How many tries",
    Asks.SUPPORT: "Support",
}


@part.get("/proposals")
def proposals(slug: str) -> Response:
    """What is proposed of a day; without one, of the first day of which anything is."""
    return _proposals(slug, request.args.get("day", ""), None, 200)


@part.post("/proposals")
def decide(slug: str) -> AnyResponse:
    """Take a proposal, decline it, or say what it was instead."""
    day = request.form.get("day", "")
    opened = book(f"proposals for {day}")
    try:
        trip = trip_named(opened, slug)
        say_next(*(_decided(opened, trip, day) or ("Kept.",)))
    except LogbookError as error:
        return _proposals(slug, day, PageTold((str(error),), is_refusal=True), 422)
    return back_to(url_for("settling.proposals", slug=slug, day=day))


@part.get("/sort-out")
def sort_out(slug: str) -> Response:
    """The lines of day files that were not understood."""
    return _lines(slug, None, 200)


@part.post("/sort-out")
def settle(slug: str) -> AnyResponse:
    """Correct a line, keep it as journal text, or dismiss it."""
    opened = book(f"a line to sort out in {slug}")
    try:
        say_next(*_settled(opened))
    except LogbookError as error:
        return _lines(slug, PageTold((str(error),), is_refusal=True), 422)
    return back_to(url_for("settling.sort_out", slug=slug))


def _settled(opened: Book) -> tuple[str, ...]:
    """Do what the pressed button says of a line; return what was done, in sentences."""
    act, _, line_id = request.form.get("do", "").partition(":")
    if act == "journal":
        keep_as_journal(opened, line_id)
        return ("It is in the day's journal.",)
    if act == "dismiss":
        dismiss_line(opened, line_id)
        return ("Dismissed.",)
    text, viewpoint = request.form.get("text", ""), request.form.get("viewpoint", "").strip()
    return ("The line is in the book.", *settle_line(opened, line_id, text, viewpoint or None))


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        abort(404)


def _decided(opened: Book, trip: Trip, day: str) -> tuple[str, ...]:
    """Do what the pressed button says; return what was understood, in sentences."""
    on_date = _day(day)
    act, _, rest = request.form.get("do", "").partition(":")
    if act in ("join", "split"):
        which = ",".join(request.form.getlist("frame"))
        if act == "split":
            split(opened, trip.slug, which)
            return ("Noted: not a set.",)
        if rest not in list(JoinedKind):
            abort(400)
        join(opened, trip.slug, which, JoinedKind(rest))
        return (f"Noted: a {rest}.",)
    key = request.form.get("key", "")
    said = {"take": "y", "decline": NO_PLAN if key.endswith(f".{Asks.SHOT}") else "?", "pick": rest}
    line = request.form.get("line", "").strip()
    return Night(opened, trip, on_date).say(key, said.get(act, line))


def _proposals(slug: str, day: str, told: PageTold | None, status: int) -> Response:
    opened = book()
    trip = trip_named(opened, slug)
    days = [one.on_date for one in days_of_trip(opened, trip.slug) if one.keepers]
    shown = _day(day) if day else None
    found: ProposedOn | None = proposed_on(opened, trip, shown) if shown else None
    for one in days if found is None else ():
        shown, found = one, proposed_on(opened, trip, one)
        if found.count:
            break
    if found is not None:
        asked = (one.keepers for one in found.items)
        workplace().maker.wish((keeper for group in asked for keeper in group), SMALL_PX)
    with opened.reading() as shelves:
        places, shots = shelves.viewpoints.columns("slug", "title"), shelves.shots.columns("slug", "title")
    return page(
        "proposals.html",
        told,
        status,
        opened=opened,
        trip=trip,
        days=days,
        day=shown,
        found=found,
        what=WHAT,
        titles=dict((*places, *shots)),
        typed=request.form,
        title="Proposals" + (f": {shown:%A} {shown.day} {shown:%B %Y}" if shown else ""),
    )


def _lines(slug: str, told: PageTold | None, status: int) -> Response:
    opened = book()
    trip = trip_named(opened, slug)
    lines = lines_to_settle(opened, trip.slug)
    with opened.reading() as shelves:
        viewpoints = shelves.viewpoints.all()
        stands = {one.slug: one.id for one in viewpoints}
        seen = {
            one.line.id: of_day(
                shelves, trip.id, one.line.on_date, {*filter(None, [stands.get(one.viewpoint)])}
            )
            for one in lines
        }
    return page(
        "sort_out.html",
        told,
        status,
        opened=opened,
        trip=trip,
        lines=lines,
        seen=seen,
        viewpoints=viewpoints,
        typed=request.form,
        title=f"To sort out: {trip.title}",
    )
