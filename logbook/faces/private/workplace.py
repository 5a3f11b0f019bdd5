"""The web application: its guard, what all pages share, and where pages are found.

One surprising decision: Flask and waitress, for the services below are synchronous and one person asks at a
time; an event loop would only move the waiting for SQLite into threads of its own.
"""

import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from flask import Flask, Response, abort, g, make_response, redirect, request, send_file, url_for
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response as AnyResponse

from logbook.craft.marks import exposure_text
from logbook.domain.errors import BookError, ConflictError, LogbookError, NotFoundError
from logbook.domain.keeper import Keeper
from logbook.domain.said import figured
from logbook.domain.trip import Trip
from logbook.domain.written.filters import stack_words
from logbook.faces.private.bench import Bench
from logbook.faces.private.guard import HEADERS, POLICY, Guard, Refusal, comes_from_us
from logbook.faces.private.jobs import Jobs
from logbook.faces.private.making import PictureMaker
from logbook.faces.private.mistakes import our_mistake
from logbook.faces.words.phrases import date_text, short_date, span_text
from logbook.services.books.undo import last_change, undo
from logbook.services.keepers.thumbnails import SMALL_PX, Thumbnails
from logbook.services.kinds import TRIP
from logbook.services.records import find
from logbook.store.book import Book
from logbook.store.changes.journal import Run

if TYPE_CHECKING:
    from jinja2 import Environment

LARGEST_FORM_BYTES = 2 * 2**20  # a long evening's texts; pictures come by the import
MOST_FIELDS = 20_000  # of a form: a trip of thousands of pictures, each with its box
STYLES = {"light.css": "text/css", "icon.svg": "image/svg+xml"}
OWN = {
    "desk.css": "text/css",
    "desk.js": "text/javascript",
    "further.css": "text/css",
    "plan.css": "text/css",
    "plan.js": "text/javascript",
    "working.js": "text/javascript",
}


@dataclass(frozen=True, slots=True)
class Workplace:
    """What pages work with: how a book is opened for one act, the templates, the pictures, how to end.

    `jobs` is what goes on in the background, `bench` where reports lie before they are sent.
    """

    open_book: Callable[[Run], Book]
    templates: Path
    pages: "Environment"  # made once: a template is read and compiled at its first page
    maker: PictureMaker
    guard: Guard
    close: Callable[[], None]
    bench: Bench
    jobs: Jobs = field(default_factory=Jobs)
    said: list[str] = field(default_factory=list)  # what the next page says of an act that has been done


@dataclass(frozen=True, slots=True)
class PageTold:
    """What a page says of the act before it; `is_refusal` where nothing was done."""

    sentences: tuple[str, ...] = ()
    is_refusal: bool = False


def workplace() -> Workplace:
    """Return what this request works with."""
    from flask import current_app

    found: Workplace = current_app.extensions["workplace"]
    return found


def book(act: str = "page") -> Book:
    """Open the book for one request; what it changes is one entry of undo, named by the act."""
    opened = workplace().open_book(Run(secrets.token_hex(16), act))
    _at_hand().append(opened)
    return opened


def _at_hand() -> list[Book]:
    """The books that this request has opened."""
    opened: list[Book] = g.setdefault("opened", [])
    return opened


def _let_go(_error: BaseException | None) -> None:
    for one in _at_hand():
        one.let_go()


def trip_named(opened: Book, slug: str) -> Trip:
    """Return a trip by its name in an address; raises NotFoundError."""
    with opened.reading() as shelves:
        return find(shelves, TRIP, slug)


def page(name: str, told: PageTold | None = None, status: int = 200, **shown: Any) -> Response:
    """Return a page."""
    opened = shown.pop("opened", None) or next(reversed(_at_hand()), None) or book()
    change = last_change(opened)
    html = (
        workplace()
        .pages.get_template(f"private/{name}")
        .render(
            told=said_before() if told is None else told,
            token=workplace().guard.token,
            last=_would_take_back(change.command),
            change=change.mark,
            here=request.full_path if request.query_string else request.path,
            url_for=url_for,
            exposure=exposure_text,
            stack=stack_words,
            shape=_height_px,
            counted=figured,
            date_text=date_text,
            short_date=short_date,
            span_text=span_text,
            **shown,
        )
    )
    return make_response(html, status)


def _height_px(keeper: Keeper) -> int:
    """Return how high a small picture is, so that a page stands still while it loads."""
    width, height = keeper.upright_px or (3, 2)
    return max(1, round(SMALL_PX * height / width))


def back_to(address: str) -> AnyResponse:
    """Send the browser to a page of ours after an act, so that loading it again does nothing twice."""
    is_ours = address.startswith("/") and not address.startswith("//") and "\\" not in address
    return redirect(address if is_ours else url_for("trips.trips"), 303)


def application(given: Workplace) -> Flask:
    """Return the application; nothing of it is reached without the guard."""
    from logbook.faces.private import (
        comparing,
        evening,
        helping,
        incoming,
        looking,
        originals,
        pictures,
        plans,
        sending,
        settling,
        trips,
    )

    app = Flask("logbook", static_folder=None, template_folder=None)
    app.url_map.merge_slashes = False
    app.config |= {
        "MAX_CONTENT_LENGTH": LARGEST_FORM_BYTES,
        "MAX_FORM_MEMORY_SIZE": LARGEST_FORM_BYTES,
        "MAX_FORM_PARTS": MOST_FIELDS,
    }
    app.extensions["workplace"] = given
    app.before_request(_guarded)
    app.after_request(_closed)
    app.teardown_request(_let_go)
    app.register_error_handler(LogbookError, _refused)
    app.register_error_handler(HTTPException, _not_found)
    app.register_error_handler(Exception, _mistake)
    for one in (
        *(trips, evening, plans, pictures, sending, incoming),
        *(looking, comparing, settling, originals, helping),
    ):
        app.register_blueprint(one.part)
    app.add_url_rule("/brought/<path:name>", "brought", _brought)
    app.add_url_rule("/undo", "undo", _undo, methods=["POST"])
    app.add_url_rule("/close", "close", _close, methods=["POST"])
    return app


def _guarded() -> AnyResponse | None:
    guard = workplace().guard
    key = request.args.get("key")
    if key is not None and request.method == "GET" and request.path == "/":
        headers = dict(request.headers)
        if (because := guard.not_to_us(headers)) is None and (cookie := guard.exchange(key)):
            response = back_to(request.args.get("to", "/"))
            if not comes_from_us(headers):  # a browser sends no strict cookie where others sent it on
                response = _short("Your logbook is opening.", 200, response.headers["Location"])
            response.set_cookie(guard.cookie_name, cookie, httponly=True, samesite="Strict", path="/")
            return response
        return _short(because or Refusal.KEY, 403)
    refusal = guard.refusal(
        request.method,
        dict(request.headers),
        request.cookies.get(guard.cookie_name, ""),
        request.form.get("token", "") if request.method == "POST" else "",
    )
    return _short(refusal, 403) if refusal else None


def _closed(response: Response) -> Response:
    own_policy = response.headers.get(POLICY)  # a report's own pages have one
    response.headers.update(HEADERS | ({POLICY: own_policy} if own_policy else {}))
    return response


def _short(sentence: str, status: int, then: str | None = None) -> Response:
    """Return a page of one sentence, which tells nothing of the book; `then` is where it leads to."""
    short = workplace().pages.get_template("private/short.html")
    return make_response(short.render(sentence=str(sentence), then=then), status)


def _refused(error: Exception) -> Response:
    if isinstance(error, BookError):
        return _short(str(error), 500)
    status = 404 if isinstance(error, NotFoundError) else 409 if isinstance(error, ConflictError) else 422
    return page("refused.html", PageTold((str(error),), is_refusal=True), status, title="Not done")


def _not_found(error: Exception) -> Response:
    status = getattr(error, "code", None) or 500
    sentences = {
        404: "This page does not exist.",
        405: "That cannot be done here.",
        413: "That is too much for one form; send it in parts.",
    }
    return _short(sentences.get(status, "The page could not be made."), status)


def _mistake(error: Exception) -> Response:
    return _short(our_mistake(error), 500)


def _brought(name: str) -> Response:
    """Return a style, script or font of the program; names are looked up, never joined to a path."""
    templates = workplace().templates
    files = {one: (templates / "report" / one, kind) for one, kind in STYLES.items()}
    files |= {one: (templates / "private" / one, kind) for one, kind in OWN.items()}
    for one in (templates / "type").iterdir():
        kind = {".css": "text/css", ".woff2": "font/woff2"}.get(one.suffix, "text/plain")
        files[f"type/{one.name}"] = (one, kind)
    if name not in files:
        abort(404)
    path, kind = files[name]
    return send_file(path, mimetype=kind)


def _undo() -> AnyResponse:
    try:
        taken = undo(book("undo"), shown=request.form.get("change"))
    except ConflictError as error:
        say_next(str(error))
    else:
        say_next(f"Undone: {_would_take_back(taken.change.command)}.")
    return back_to(request.form.get("here", "/"))


def _would_take_back(command: str | None) -> str:
    """Return a change in words, empty where there is none."""
    return "" if command is None else command or "a change by another program"


def _close() -> Response:
    workplace().close()
    return _short("The book is closed. You can close this page too.", 200)


def say_next(*sentences: str) -> None:
    """Let the next page say something of an act that ends with a redirect."""
    workplace().said.extend(sentences)


def said_before() -> PageTold:
    """Return what the last act left to be said, once."""
    said = workplace().said
    sentences = tuple(said)
    said.clear()
    return PageTold(sentences)


def maker_in(folder: Path) -> PictureMaker:
    """Return what makes small pictures into a folder."""
    return PictureMaker(Thumbnails(folder))
