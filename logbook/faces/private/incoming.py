"""Pictures taken in by the page: a folder of this machine, read in the background, as often as one likes.

One surprising decision: how sharp the pictures are is measured afterwards, in the same work. Whoever closes
the book meanwhile has lost nothing: all are in, and the next import goes on measuring.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from flask import Blueprint, Response, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.errors import LogbookError
from logbook.domain.kinds import ZONE
from logbook.domain.trip import Trip
from logbook.domain.words import Sharpness
from logbook.domain.written.corrections import correction_text, correction_written
from logbook.faces.imported import counted_in, import_lines
from logbook.faces.private.jobs import Tell
from logbook.faces.private.places import folder_typed
from logbook.faces.private.workplace import PageTold, back_to, book, page, say_next, trip_named, workplace
from logbook.services.keepers.importing import TakenIn, take_in
from logbook.services.keepers.sharpness import judged_of, measure
from logbook.store.book import Book

part = Blueprint("incoming", __name__)

DOING = {"reading": "Reading pictures", "measuring": "All imported; measuring their sharpness"}
UNDO = "Use Undo"


@dataclass(frozen=True, slots=True)
class Came:
    """What an import did: the folder, what came in, how many were measured and seem soft, and why not."""

    folder: Path
    taken: TakenIn
    soft: int = 0
    unmeasured: str = ""


@part.get("/trip/<slug>/import")
def incoming(slug: str) -> Response:
    """Which folder to take in, how that stands, and what came of the last one."""
    return _shown(slug, None, 200)


@part.post("/trip/<slug>/import")
def begin(slug: str) -> AnyResponse:
    """Begin to take a folder in."""
    given, form = workplace(), request.form
    opened = book(f"import into {slug}")
    try:
        trip = trip_named(opened, slug)
        folder = folder_typed(form.get("folder", ""))
        zone, clock = (form.get(name, "").strip() for name in ("zone", "clock"))
        clock_offset_s = correction_written(clock) if clock else 0
        work = partial(
            _work,
            opened,
            trip.slug,
            folder,
            take=partial(
                take_in,
                opened,
                folder,
                trip=trip.slug,
                recursive="recursive" in form,
                zone=ZONE.typed(zone) if zone else None,
                clock_offset_s=clock_offset_s,
            ),
        )
    except LogbookError as error:
        return _shown(slug, PageTold((str(error),), is_refusal=True), 422)
    if not given.jobs.begin(_name(trip), work):
        say_next("Another folder is being imported; this one was not started.")
    elif clock:
        say_next(correction_text(clock_offset_s))
    return back_to(url_for("incoming.incoming", slug=slug))


def _work(opened: Book, trip: str, folder: Path, tell: Tell, *, take: Callable[..., TakenIn]) -> Came:
    taken = take(progress=partial(tell, "reading"))
    try:
        measure(opened, trip, partial(tell, "measuring"))
    except LogbookError as error:
        return Came(folder, taken, unmeasured=str(error))
    return Came(folder, taken, Counter(one.asks for one in judged_of(opened, trip))[Sharpness.SOFT])


def _name(trip: Trip) -> str:
    return f"import {trip.id}"


def _shown(slug: str, told: PageTold | None, status: int) -> Response:
    opened = book()
    trip = trip_named(opened, slug)
    job = workplace().jobs.of(_name(trip))
    came: Came | None = job.result if job else None
    return page(
        "import.html",
        told,
        status,
        opened=opened,
        trip=trip,
        job=job,
        doing=DOING,
        came=came,
        came_in=counted_in(came.taken) if came else "",
        lines=tuple(import_lines(came.taken, UNDO)) if came else (),
        typed=request.form,
        title=f"Import pictures: {trip.title}",
    )
