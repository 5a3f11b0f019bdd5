"""Where the originals are: looked at in the background, and found again where they were moved.

One surprising decision: looking is asked for and never begins by itself. Opening a page would wake a card
reader or a disk on the network otherwise.
"""

from dataclasses import dataclass
from datetime import datetime
from functools import partial

from flask import Blueprint, Response, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.errors import LogbookError
from logbook.faces.private.jobs import Tell
from logbook.faces.private.places import folder_typed
from logbook.faces.private.workplace import PageTold, back_to, book, page, say_next, workplace
from logbook.services.keepers.locating import Located, locate
from logbook.services.keepers.originals import OriginalFinding, check_originals
from logbook.services.keepers.picture_files import files_of
from logbook.store.book import Book

part = Blueprint("originals", __name__)

JOB = "originals"
LISTED = 60  # findings on the page
DOING = {"looking": "Checking the originals", "searching": "Searching the folder"}


@dataclass(frozen=True, slots=True)
class LookedAt:
    """How the originals stand: when and how many were looked at, what is wrong, what was found again."""

    at: datetime
    originals: int
    wrong: tuple[OriginalFinding, ...]
    located: Located | None = None


def looked_at() -> LookedAt | None:
    """Return what the last look of this run found, where there was one."""
    job = workplace().jobs.of(JOB)
    return job.result if job is not None else None


@part.get("/originals")
def originals() -> Response:
    """How the originals stand, as far as they were looked at."""
    return _shown(None, 200)


@part.post("/originals")
def look() -> AnyResponse:
    """Look at all originals, or first search a folder for those that were moved."""
    opened = book("originals found again")
    folder = None
    try:
        if request.form.get("do") == "search":
            folder = folder_typed(request.form.get("folder", ""))
    except LogbookError as error:
        return _shown(PageTold((str(error),), is_refusal=True), 422)

    def work(tell: Tell) -> LookedAt:
        located = locate(opened, [folder], progress=partial(tell, "searching")) if folder else None
        return _looked(opened, tell, located)

    if not workplace().jobs.begin(JOB, work):
        say_next("The originals are already being checked.")
    return back_to(url_for("originals.originals"))


def _looked(opened: Book, tell: Tell, located: Located | None) -> LookedAt:
    with opened.reading() as shelves:
        keepers = shelves.keepers.all()
        known = shelves.known_files.of(path for one in keepers for path in files_of(one))
    found = check_originals(keepers, known, by_hash=False, progress=partial(tell, "looking"))
    wrong = tuple(one for one in found if one.is_wrong)
    return LookedAt(datetime.now().astimezone(), len(keepers), wrong, located)


def _shown(told: PageTold | None, status: int) -> Response:
    opened = book()
    found = looked_at()
    with opened.reading() as shelves:
        trips = {one.id: one.slug for one in shelves.trips.all()}
    return page(
        "originals.html",
        told,
        status,
        opened=opened,
        job=workplace().jobs.of(JOB),
        doing=DOING,
        found=found,
        wrong=found.wrong[:LISTED] if found else (),
        trips=trips,
        typed=request.form,
        title="Originals",
    )
