"""A trip's report for an audience: built in the background, looked at in place, then written or downloaded.

One surprising decision: it is built on the bench, not where it will go. What is looked at is then copied file
by file, so that what is sent is what was seen.
"""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from flask import Blueprint, Response, abort, request, send_file, url_for
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.errors import LogbookError, NotFoundError, WrongUseError
from logbook.domain.keeper import in_order
from logbook.domain.names import Amended
from logbook.domain.trip import Trip
from logbook.domain.words import Audience
from logbook.faces.built import built_for, kept_lines, missing_lines
from logbook.faces.private.guard import POLICY
from logbook.faces.private.jobs import Job, JobState, Tell
from logbook.faces.private.places import folder_typed
from logbook.faces.private.workplace import PageTold, back_to, book, page, say_next, trip_named, workplace
from logbook.faces.report.build import BuiltReport
from logbook.faces.report.editions import EDITIONS
from logbook.faces.report.handing import hand_over, listed_file
from logbook.faces.report.serving import type_of
from logbook.faces.report.zipping import zip_report
from logbook.faces.struck_shown import struck_words
from logbook.services import kinds
from logbook.services.accounts import account_of
from logbook.services.books.undo import newest_change
from logbook.services.keepers.showing import as_shown
from logbook.services.records import edit

part = Blueprint("sending", __name__)

PREVIEW_POLICY = (  # a report asks for nothing but its own files, and sends nothing anywhere
    "default-src 'none'; img-src 'self'; style-src 'self'; script-src 'self'; font-src 'self' data:; "
    "connect-src 'none'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"
)
AT_A_GLANCE = 24  # pictures that follow in time order; more are folded
DOING = {"originals": "Checking the originals", "pictures": "Making pictures", "pages": "Writing pages"}


@dataclass(frozen=True, slots=True)
class ReportDraft:
    """A report on the bench: where it lies, what came of building it, when, and after which change."""

    folder: Path
    built: BuiltReport
    at: datetime
    after_change: tuple[int, int]


@part.get("/trip/<slug>/send")
def whom(slug: str) -> Response:
    """The same for whom the trip is."""
    return _shown(slug, trip_named(book(), slug).audience or Audience.CLIENT, None, 200)


@part.get("/trip/<slug>/send/<audience>")
def send(slug: str, audience: str) -> Response:
    """What will be in a report, how building it stands, and where it can go."""
    return _shown(slug, _audience(audience), None, 200)


@part.post("/trip/<slug>/send/<audience>")
def act(slug: str, audience: str) -> AnyResponse:
    """Build the report, write it to a folder or a zip, or let a word stand."""
    whom = _audience(audience)
    asked, _, rest = request.form.get("do", "build").partition(":")
    try:
        if asked == "stand":
            opened = book(f"a word allowed in reports of {slug}")
            edit(opened, kinds.TRIP, slug, {"may_say": Amended(add=(rest,))})
            say_next(f"“{rest}” is now allowed in reports of this trip. Build the report again.")
        elif asked in ("folder", "zip"):
            say_next(*_written(slug, whom, is_zip=asked == "zip"))
        else:
            _build(slug, whom, request.form.get("leave_out", "").strip())
    except LogbookError as error:
        return _shown(slug, whom, PageTold((str(error),), is_refusal=True), 422)
    return back_to(url_for("sending.send", slug=slug, audience=whom))


@part.get("/trip/<slug>/send/<audience>/preview/<path:name>")
def preview(slug: str, audience: str, name: str) -> Response:
    """A file of the finished report, under a policy of its own; nothing else."""
    draft = _draft(trip_named(book(), slug), _audience(audience))
    found = listed_file(draft.folder, name) if draft else None
    if found is None:
        abort(404)
    response = send_file(found)
    response.headers["Content-Type"] = type_of(found)
    response.headers[POLICY] = PREVIEW_POLICY
    return response


@part.get("/trip/<slug>/send/<audience>/zip")
def download(slug: str, audience: str) -> Response:
    """The finished report as one file."""
    whom = _audience(audience)
    draft = _draft(trip_named(book(), slug), whom)
    if draft is None:
        abort(404)
    packed = zip_report(draft.folder, is_private=whom is Audience.ARCHIVE)
    return send_file(packed, mimetype="application/zip", as_attachment=True)


def _audience(word: str) -> Audience:
    if word not in list(Audience):
        abort(404)
    return Audience(word)


def _name(trip: Trip, audience: Audience) -> str:
    return f"report {trip.id} {audience}"


def _draft(trip: Trip, audience: Audience) -> ReportDraft | None:
    job = workplace().jobs.of(_name(trip, audience))
    return job.result if job is not None and job.state is JobState.DONE else None


def _build(slug: str, audience: Audience, leave_out: str) -> None:
    given = workplace()
    opened = book(f"report for {audience}")
    trip = trip_named(opened, slug)
    folder = given.bench.place(f"{trip.id}-{audience}", f"{trip.slug}-{audience}")

    def work(tell: Tell) -> ReportDraft:
        after = newest_change(opened)
        built = built_for(
            opened, trip.slug, audience, folder, tell=tell, leave_out=[leave_out] if leave_out else []
        )
        return ReportDraft(folder, built, datetime.now().astimezone(), after)

    if not given.jobs.begin(_name(trip, audience), work):
        say_next("This report is already being built.")


def _written(slug: str, audience: Audience, *, is_zip: bool) -> list[str]:
    """Write the finished report to where the form says; return what was done, in sentences."""
    draft = _draft(trip_named(book(), slug), audience)
    if draft is None:
        raise NotFoundError("Build the report first, then write it to a folder.")
    into = folder_typed(request.form.get("into", ""))
    if is_zip:
        target = into if into.suffix == ".zip" else into.with_name(f"{into.name}.zip")
        if not target.parent.is_dir():
            raise WrongUseError(
                f"The folder {target.parent} does not exist; create it, or choose another place."
            )
        return [f"Written: {zip_report(draft.folder, target, is_private=audience is Audience.ARCHIVE)}"]
    kept = hand_over(draft.folder, into, keep_mine="keep_mine" in request.form)
    return [f"Written: {into}", *kept_lines(kept)]


def _shown(slug: str, audience: Audience, told: PageTold | None, status: int) -> Response:
    opened = book()
    account = account_of(opened, slug)
    trip, keepers = account.trip, account.keepers
    job: Job | None = workplace().jobs.of(_name(trip, audience))
    draft = _draft(trip, audience)
    return page(
        "send.html",
        told,
        status,
        opened=opened,
        trip=trip,
        audience=audience,
        audiences=tuple(Audience),
        edition=EDITIONS[audience],
        hidden=[one for one in in_order(keepers) if audience in one.hidden_from],
        at_a_glance=AT_A_GLANCE,
        keepers=len(keepers),
        chosen=as_shown(account, audience) if keepers else None,
        job=job,
        doing=DOING,
        draft=draft,
        is_older=draft is not None and draft.after_change != newest_change(opened),
        missing=tuple(missing_lines(draft.built.missing, draft.built.pictures)) if draft else (),
        struck=struck_words(draft.built.struck) if draft else {},
        typed=request.form,
        title=f"Send {trip.title}",
    )
