"""The pictures of a trip: seen, seen large, selected and noted many at once; and their files for the pages.

One surprising decision: a selection is a form's checkboxes. Keys and shift only tick them, so that everything
can be done without the script as well.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any

from flask import Blueprint, Response, abort, request, send_file, url_for
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.errors import LogbookError, WrongUseError
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.said import figured
from logbook.domain.trip import Trip
from logbook.domain.words import Audience
from logbook.domain.written.choices import sharpness_written, support_written
from logbook.domain.written.filters import stacks_written
from logbook.faces.private.guard import POLICY
from logbook.faces.private.workplace import PageTold, back_to, book, page, say_next, workplace
from logbook.faces.report.writing import WHOM
from logbook.services import kinds
from logbook.services.accounts import account_of, day_of
from logbook.services.keepers.keeping import Showing, note_by_id
from logbook.services.keepers.originals import check_originals
from logbook.services.keepers.showing import arrange, as_shown
from logbook.services.keepers.thumbnails import LARGE_PX, SMALL_PX
from logbook.services.records import find
from logbook.store.book import Book
from logbook.store.desk import Desk as Shelves

part = Blueprint("pictures", __name__)

WIDTHS = {"small": SMALL_PX, "large": LARGE_PX}
AUDIENCES = (Audience.CLIENT, Audience.STUDENTS)  # who see less than the photographer
ABSENT_POLICY = "default-src 'none'; style-src 'unsafe-inline'"  # the one file whose style lies in it
KEEP_OFF, BACK_ON = "hide", "show"  # what buttons about audiences begin with
READERS: dict[str, Callable[[str], Any]] = {  # of the form's fields, named as the keeper's
    "support": support_written,
    "shot": str,
    "viewpoint": str,
    "sharpness": sharpness_written,
    "caption": str,
}


@part.get("/picture/<keeper_id>/<size>")
def picture(keeper_id: str, size: str) -> AnyResponse:
    """A small or large picture of a keeper, by its id; its name and why where it cannot be shown."""
    with book().reading() as shelves:
        keeper = shelves.keepers.get(keeper_id)
    if keeper is None:
        abort(404)
    return sent(keeper, size)


def sent(keeper: Keeper, size: str) -> AnyResponse:
    """Send a small or large picture of a keeper; one that says why where there is none."""
    if size not in WIDTHS:
        abort(404)
    found = workplace().maker.get(keeper, WIDTHS[size])
    if isinstance(found, str):
        says = workplace().pages.get_template("private/absent.svg").render(file=keeper.file, why=found)
        return Response(says, 404, {POLICY: ABSENT_POLICY}, mimetype="image/svg+xml")
    response = send_file(found, mimetype="image/jpeg")
    response.headers["Content-Disposition"] = "inline"
    return response


@part.get("/trip/<slug>/pictures")
def pictures(slug: str) -> Response:
    """All pictures of a trip, or those of a day, in the order of time or of an audience."""
    return _shown(book(), slug, None, 200, {})


@part.post("/trip/<slug>/pictures")
def note(slug: str) -> AnyResponse:
    """Note what the form says of the pictures that are ticked."""
    opened = book(f"pictures of {slug}")
    try:
        say_next(noted(opened, slug))
    except LogbookError as error:
        return _shown(opened, slug, PageTold((str(error),), is_refusal=True), 422, dict(request.form))
    return back_to(request.form.get("here") or url_for("pictures.pictures", slug=slug))


@part.get("/trip/<slug>/picture/<keeper_id>")
def large(slug: str, keeper_id: str) -> Response:
    """One picture large, with its neighbours a key away."""
    opened = book()
    with opened.reading() as shelves:
        trip = find(shelves, kinds.TRIP, slug)
        day = request.args.get("day")
        of_trip = _keepers(shelves, trip)
        of_day = _of_day(of_trip, trip, day)
        keepers = of_day if any(one.id == keeper_id for one in of_day) else of_trip  # a plan's, on any day
        at = next((number for number, one in enumerate(keepers) if one.id == keeper_id), None)
        if at is None:
            abort(404)
        shots = {one.id: one.title for one in shelves.shots.all(trip_id=trip.id)}
        places = {one.id: one.title for one in shelves.viewpoints.all()}
    workplace().maker.wish(keepers[max(0, at - 1) : at + 2], LARGE_PX)
    return page(
        "large.html",
        opened=opened,
        trip=trip,
        keeper=keepers[at],
        at=at,
        of=len(keepers),
        before=keepers[at - 1] if at else None,
        after=keepers[at + 1] if at + 1 < len(keepers) else None,
        day=day,
        back=_back(slug, day, keeper_id),
        wrong=next(check_originals(keepers[at : at + 1], {}, by_hash=False), None),
        shots=shots,
        places=places,
        title=keepers[at].caption or keepers[at].file,
    )


def _back(slug: str, day: str | None, keeper_id: str) -> str:
    if request.args.get("from") == "evening" and day:
        return url_for("evening.evening", slug=slug, day=day) + f"#picture-{keeper_id}"
    return url_for("pictures.pictures", slug=slug, day=day) + f"#picture-{keeper_id}"


def _keepers(shelves: Shelves, trip: Trip) -> tuple[Keeper, ...]:
    return tuple(in_order(shelves.keepers.all(trip_id=trip.id)))


def _of_day(keepers: tuple[Keeper, ...], trip: Trip, day: str | None) -> tuple[Keeper, ...]:
    return tuple(one for one in keepers if not day or str(day_of(one, trip)) == day)


def _shown(opened: Book, slug: str, told: PageTold | None, status: int, typed: dict[str, str]) -> Response:
    with opened.reading() as shelves:
        trip = find(shelves, kinds.TRIP, slug)
        day = request.args.get("day")
        everything = _keepers(shelves, trip)
        keepers = _of_day(everything, trip, day)
        form = noting_form(shelves, {trip.id})
    order = request.args.get("order")
    chosen = as_shown(account_of(opened, slug), Audience(order)) if order in AUDIENCES else None
    days = sorted({found for one in everything if (found := day_of(one, trip)) is not None})
    return page(
        "pictures.html",
        told,
        status,
        opened=opened,
        trip=trip,
        keepers=keepers,
        of=len(everything),
        days=days,
        day=day,
        order=order,
        chosen=chosen,
        typed=typed,
        title=f"Pictures of {trip.title}",
        **form,
    )


def noting_form(shelves: Shelves, trip_ids: Collection[str]) -> Mapping[str, Any]:
    """Return what the form that notes ticked pictures of some trips is made of."""
    shots = shelves.shots.all(trip_id=set(trip_ids))
    return {
        "shots": shots,
        "shot_names": {one.id: one.slug for one in shots},
        "viewpoints": shelves.viewpoints.all(),
        "audiences": AUDIENCES,
        "ticked": set(request.form.getlist("tick")),
    }


def noted(opened: Book, slug: str | None = None) -> str:
    """Note the ticked pictures, all or none; return what was done, in a sentence.

    Only those of a trip, named by its slug, can be put in order.
    """
    ticked = list(dict.fromkeys(request.form.getlist("tick")))
    if not ticked:
        raise WrongUseError("Tick the pictures first; nothing was noted.")
    asked, _, rest = request.form.get("do", "").partition(":")
    how_many = figured(len(ticked), "picture")
    if asked in ("arrange", KEEP_OFF, BACK_ON) and rest not in list(Audience):
        raise WrongUseError(f'"{rest}" is not an audience; nothing was changed.')
    if asked == "arrange" and slug is not None:
        with opened.reading() as shelves:
            found = [one for one in map(shelves.keepers.get, ticked) if one is not None]
        arrange(opened, slug, ",".join(one.slug for one in found), Audience(rest))
        return f"Shown first to {WHOM[Audience(rest)]}, in this order: {how_many}."
    if asked in ("opening", KEEP_OFF, BACK_ON):
        return shown_to(opened, ticked, asked, rest)
    changes = {
        name: read(text) for name, read in READERS.items() if (text := request.form.get(name, "").strip())
    }
    filters = request.form.get("filters", "").strip()
    note_by_id(opened, ticked, changes, stacks_written(filters) if filters else ())
    return f"Noted for {how_many}."


def shown_to(opened: Book, ticked: Sequence[str], asked: str, audience: str) -> str:
    """Let a picture open the report, or say who sees some pictures; return what was done, in a sentence."""
    if not ticked:
        raise WrongUseError("Tick the pictures first; nothing was noted.")
    if asked == "opening":
        (opens,) = note_by_id(opened, ticked, {"opening": True}).records
        return f"{opens.file} opens the report."
    readers = (Audience(audience),)
    showing = Showing(readers, ()) if asked == KEEP_OFF else Showing((), readers)
    note_by_id(opened, ticked, {}, (), showing)
    how_many = figured(len(ticked), "picture")
    return f"{how_many} {'hidden from' if asked == KEEP_OFF else 'shown to'} {WHOM[readers[0]]}."
