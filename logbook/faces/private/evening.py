"""The evening of a day: its stays with their pictures, one form that takes whatever was typed.

One surprising decision: the whole evening is one form. Whichever button is pressed, every line that was typed
anywhere is kept with it, so that nothing typed is lost and the order is the person's own.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from hashlib import blake2b

from flask import Blueprint, Response, abort, jsonify, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.errors import LogbookError
from logbook.domain.written.moments import clock_text
from logbook.faces.private.workplace import PageTold, back_to, book, page, say_next, workplace
from logbook.services.keepers.thumbnails import SMALL_PX
from logbook.services.night.days_waiting import days_of_trip
from logbook.services.night.frame_questions import OF_FRAMES
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night
from logbook.services.night.whole import EveningItem, WholeEvening, whole_evening
from logbook.services.records import the_trip
from logbook.store.book import Book

part = Blueprint("evening", __name__, url_prefix="/trip/<slug>/evening/<day>")

LINE, SEEN, DO = "line:", "seen:", "do"  # what the names of the form's fields begin with
SHORT_CHOICES = 10  # words of a question that stand beside it as buttons
LONG_TEXT = frozenset((Asks.CHANGES, Asks.KEEP, Asks.CHANGE, Asks.JOURNAL))
ONLY_CHOSEN = frozenset((Asks.SHARPNESS, Asks.SUPPORT, Asks.CHANGED, Asks.SURE, Asks.NEW_VIEWPOINT))


@dataclass(slots=True)
class Sent:
    """What became of one form: what was understood, what was not and why, by the key of its question."""

    told: list[str] = field(default_factory=list)
    typed: dict[str, str] = field(default_factory=dict)  # what was not kept stands in its field again
    refused: dict[str, str] = field(default_factory=dict)


@part.get("")
def evening(slug: str, day: str) -> Response:
    """The evening as it stands."""
    night = _night(book(), slug, day)
    return _shown(night, Sent(), None)


@part.post("")
def write(slug: str, day: str) -> AnyResponse:
    """Keep what was typed, then do what the pressed button says."""
    night = _night(book(f"evening of {day}"), slug, day)
    sent = Sent()
    before = {one.question.key: one for one in whole_evening(night).items}
    for key, line in _lines():
        if key in before and _changed_meanwhile(before[key]):
            sent.typed[key] = line
            stands = before[key].value or "nothing"
            sent.refused[key] = (
                f"Meanwhile another window wrote {stands} here. Keep your line with Enter again."
            )
            continue
        _keep(night, key, line, sent)
    if not sent.refused:
        _do(night, request.form.get(DO, ""), sent)
    if sent.refused:
        return _shown(night, sent, 422)
    say_next(*sent.told)
    return back_to(url_for("evening.evening", slug=slug, day=day) + _anchor())


@part.post("/understood")
def understood(slug: str, day: str) -> Response:
    """Say what a line would be taken for; nothing is kept."""
    night = _night(book(), slug, day)
    key, line = request.form.get("key", ""), request.form.get("line", "")
    try:
        return jsonify(told=list(night.would_say(key, line)), refused="")
    except LogbookError as error:
        return jsonify(told=[], refused=str(error))


def _night(opened: Book, slug: str, day: str) -> Night:
    try:
        on_date = date.fromisoformat(day)
    except ValueError:
        abort(404)
    with opened.reading() as shelves:
        return Night(opened, the_trip(shelves, slug), on_date)


def _lines() -> Iterator[tuple[str, str]]:
    """Yield what was typed, by the key of its question."""
    for name, line in request.form.items():
        if name.startswith(LINE) and line.strip():
            yield name.removeprefix(LINE), line.replace("\r\n", "\n")


def _keep(night: Night, key: str, line: str, sent: Sent) -> None:
    try:
        sent.told += night.say(key, line)
    except LogbookError as error:
        sent.typed[key] = line
        sent.refused[key] = str(error)


def _do(night: Night, asked: str, sent: Sent) -> None:
    """Do what a button says: take a proposal, a choice or nothing, cut or join stays, state all."""
    act, _, rest = asked.partition(":")
    try:
        if act == "take":
            sent.told += night.say(rest, "y")
        elif act == "unknown":
            sent.told += night.say(rest, "?")
        elif act == "pick":
            key, _, word = rest.partition("=")
            sent.told += night.say(key, word)
        elif act == "cut":
            number, _, at = rest.partition("@")
            sent.told += night.say("changes", f"cut {number} at {at}")
        elif act == "join":
            sent.told += night.say("changes", f"join {int(rest)} {int(rest) + 1}")
        elif act == "state":
            count = night.state_shown()
            sent.told.append(f"{count} values are yours now." if count else "Nothing was left to state.")
    except LogbookError as error:
        sent.refused[rest.partition("=")[0]] = str(error)
    except ValueError:
        sent.refused[act] = "That button is of another page; nothing was changed by it."


def _changed_meanwhile(item: EveningItem) -> bool:
    """Whether what stands in the book is not what the form showed."""
    seen = request.form.get(f"{SEEN}{item.question.key}")
    return seen is not None and seen != seal(item)


def seal(item: EveningItem) -> str:
    """Return what tells a value from another, short enough to travel with a form."""
    return blake2b(f"{item.value}\n{item.word}".encode(), digest_size=6).hexdigest()


def _anchor() -> str:
    """Where the page goes on: at the question that the button belonged to."""
    at = request.form.get("at", "")
    return f"#{at}" if at.replace("-", "").isalnum() else ""


def _shown(night: Night, sent: Sent, status: int | None) -> Response:
    shown = whole_evening(night)
    for stay in shown.stays:
        workplace().maker.wish(stay.keepers, SMALL_PX)
    with night.book.reading() as shelves:
        shots = {one.id: one.slug for one in shelves.shots.all(trip_id=shown.trip.id)}
    days = [one for one in days_of_trip(night.book, shown.trip.slug) if one.keepers or one.plans]
    told = PageTold(tuple(sent.told)) if sent.refused else None
    return page(
        "evening.html",
        told,
        status or 200,
        opened=night.book,
        evening=shown,
        days=days,
        waiting=_waiting(shown),
        sent=sent,
        seal=seal,
        clock=clock_text,
        is_long=lambda item: item.question.asks in LONG_TEXT,
        is_only_chosen=lambda item: item.question.asks in ONLY_CHOSEN,
        short_choices=_choices,
        label=_label,
        title=f"{night.on_date:%A} {night.on_date.day} {night.on_date:%B %Y}",
        numbers=_numbers(shown),
        shots=shots,
    )


def _label(item: EveningItem) -> str:
    """What is asked, without the names of the pictures that stand beside it."""
    text = item.question.text
    if item.question.key.startswith(OF_FRAMES) and item.question.asks is not Asks.SURE:
        text = text.rpartition(": ")[2]
    return text[:1].upper() + text[1:]


def _choices(item: EveningItem) -> tuple[str, ...]:
    """The words that stand as buttons beside a question."""
    choices = item.question.choices
    return () if len(choices) > SHORT_CHOICES else tuple(str(one) for one in choices)


def _waiting(shown: WholeEvening) -> int:
    return sum(one.is_open for one in shown.items)


def _numbers(shown: WholeEvening) -> Mapping[str, int]:
    """Number the questions of a page, for short ids."""
    return {one.question.key: number for number, one in enumerate(shown.items, 1)}
