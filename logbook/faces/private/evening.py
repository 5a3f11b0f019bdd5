"""The evening of a day: its stays with their pictures, one form that takes whatever was typed.

One surprising decision: the whole evening is one form. Whichever button is pressed, every line that was typed
anywhere is kept with it, so that nothing typed is lost and the order is the person's own.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import partial

from flask import Blueprint, Response, abort, jsonify, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.errors import LogbookError
from logbook.domain.said import figured
from logbook.domain.words import Sharpness, VisitPurpose
from logbook.domain.written.filters import stack_words
from logbook.faces.private.evening_acts import act, picked, stay_shown
from logbook.faces.private.pictures import AUDIENCES
from logbook.faces.private.timeline import timeline
from logbook.faces.private.workplace import PageTold, back_to, book, page, say_next, workplace
from logbook.services.keepers.thumbnails import SMALL_PX
from logbook.services.night.cards import (
    EveningItem,
    GroupCard,
    ItemSeal,
    StayCard,
    WholeEvening,
    seal_of,
    seal_written,
)
from logbook.services.night.clocks import take_clocks
from logbook.services.night.cutting import CHANGED
from logbook.services.night.days_waiting import days_of_trip
from logbook.services.night.frame_questions import OF_FRAMES
from logbook.services.night.planned import sign_of
from logbook.services.night.questions import SEVERAL, Asks
from logbook.services.night.selecting import say_of_pictures
from logbook.services.night.sequence import SUPPORTS
from logbook.services.night.session import Night, SessionStand
from logbook.services.night.standing import StandingValue
from logbook.services.night.whole import item_at, seal_at, whole_evening
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

part = Blueprint("evening", __name__, url_prefix="/trip/<slug>/evening/<day>")

LINE, WAS, SEEN, DO = "line:", "was:", "seen:", "do"  # what the names of the form's fields begin with
PRESSED = "pressed:"
STAY_FIELDS = ("place", "times", "purpose", "seen", "note")
WHERE = "Say where that stay was; nothing about it is kept yet."
SLIDE, PICKED, STAY, CLOCKS = "slide:", "picked:", "stay:", "clocks"
SHORT_CHOICES = 12  # words of a question that stand beside it as buttons
ONLY_CHOSEN = frozenset((Asks.SHARPNESS, Asks.CHANGED, Asks.SURE, Asks.NEW_VIEWPOINT))
SHOWN_APART = frozenset((Asks.CROWD, Asks.SUPPORT, Asks.STAY))  # beside what they are chosen with
KEYS = {  # a key for each question, within its card
    Asks.VIEWPOINT: "w",
    Asks.TIMES: "t",
    Asks.TRIES: "r",
    Asks.CONDITIONS: "c",
    Asks.IN_THE_WAY: "m",
    Asks.LEARNED: "l",
    Asks.OUTCOME: "o",
    Asks.WHY: "o",
    Asks.CHANGES: "c",
    Asks.KEEP: "a",
    Asks.CHANGE: "l",
    Asks.JOURNAL: "m",
}
LABELS = {  # what a page calls a question that a terminal asks in a sentence
    Asks.VIEWPOINT: "Where",
    Asks.CONDITIONS: "Seen there",
    Asks.IN_THE_WAY: "In the way",
    Asks.LEARNED: "Learned there",
    Asks.OUTCOME: "What became of it",
    Asks.WHY: "Why",
    Asks.JOURNAL: "Journal of the day",
    Asks.CHANGES: "Closed, flooded or changed today",
}


@dataclass(slots=True)
class Sent:
    """What became of one form: what was understood, what was not and why, by the key of its question."""

    told: list[str] = field(default_factory=list)
    typed: dict[str, str] = field(default_factory=dict)  # what was not kept stands in its field again
    refused: dict[str, str] = field(default_factory=dict)
    is_done: bool = False  # what the button says


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
    if CLOCKS in request.form:
        take_clocks(night.book, night.trip, whole_evening(night).untaken)
    stays = whole_evening(night).stays if _picked() else ()
    if lines := list(_lines()):
        _keep(night, lines, sent)
    _keep_picked(night, stays, sent)
    if "place" not in _stay_typed() and _stay_typed():
        sent.refused["stay"] = WHERE
    button = request.form.get(DO, "")
    if _is_held(button, sent.refused):
        sent.told.append(
            "The button was not used, because something you typed was not understood. "
            "Correct it, then press the button again."
        )
    else:
        _do(night, button, sent)
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
    """Yield what was typed, by the key of its question; what stands as it was given is nobody's new line."""
    form = request.form
    for name, typed in form.items():
        was = _plain(form.get(f"{WAS}{name}", ""))
        if name.startswith(LINE) and _plain(typed) != was:
            yield name.removeprefix(LINE), _plain(typed) or "nothing"
        if name.startswith(SLIDE) and typed != was and typed.lstrip("-").isdigit():
            yield name.removeprefix(SLIDE), f"{int(typed) * 60:+d}"
    if _stay_typed().get("place"):
        yield "stay", _section()


def _plain(text: str) -> str:
    """A text as it was typed, with the line ends of a form made plain."""
    return text.replace("\r\n", "\n").strip()


def _section() -> str:
    """The form for a stay without a picture, as the section of a day file that it stands for."""
    given = _stay_typed()
    heading = [given[name] for name in ("place", "times", "purpose") if name in given]
    seen = given.get("seen", "").replace(";", "\n").splitlines()
    lines = [f"- {one.strip()}" for one in seen if one.strip()]
    return "\n".join([" ".join(heading), *lines, given.get("note", "")])


def _stay_typed() -> dict[str, str]:
    """What was filled into the form for a stay without a picture, by the name of the field."""
    typed = {name: _plain(request.form.get(f"{STAY}{name}", "")) for name in STAY_FIELDS}
    return {name: text for name, text in typed.items() if text}


def _keep(night: Night, lines: list[tuple[str, str]], sent: Sent) -> None:
    for said in night.say_each(lines, _changed_meanwhile):
        sent.told += said.told
        if said.refused:
            sent.typed[said.key] = said.line
            sent.refused[said.key] = said.refused


def _picked() -> dict[str, str]:
    """The filters that were typed for pictures of a stay, by the name of their field."""
    typed = {name: line.strip() for name, line in request.form.items() if name.startswith(PICKED)}
    return {name: line for name, line in typed.items() if line}


def _keep_picked(night: Night, stays: Sequence[StayCard], sent: Sent) -> None:
    """Keep the filters that were typed for pictures of a stay, as long as it is the stay that was shown."""
    for key, line in _picked().items():
        try:
            ids = picked(stay_shown(stays, key.removeprefix(PICKED)), _ticked())
            sent.told += say_of_pictures(night, ids, Asks.FILTERS, line)
        except LogbookError as error:
            sent.typed[key] = line
            sent.refused[key] = str(error)


def _ticked() -> list[str]:
    return [one for each in request.form.getlist("tick") for one in each.split(",")]


def _is_held(button: str, refused: Collection[str]) -> bool:
    """Whether a button waits for a refused line: one about the same thing, or any where it is about all."""
    word, _, rest = button.partition(":")
    what, _, sign = rest.partition("=")[0].partition(":")
    own = {rest, rest.partition("=")[0], f"{PICKED}{sign}" if what == Asks.FILTERS else ""}
    return bool(refused) and (word in ("state", "bare") or not own.isdisjoint(refused))


def _do(night: Night, button: str, sent: Sent) -> None:
    """Do what a button says."""
    word, _, rest = button.partition(":")
    try:
        sent.told += act(night, button, request.form.getlist("tick"), _seals())
        sent.is_done = True
    except LogbookError as error:
        sent.refused[rest.partition("=")[0]] = str(error)
    except (ValueError, KeyError):
        sent.refused[word] = "That button belongs to another page; nothing was changed."


def _seals() -> dict[str, ItemSeal]:
    """What the page showed when its button was pressed, by the key of the question.

    A button that was pressed while an earlier act was under way stood on an older page than its form.
    """
    form = request.form
    found = {}
    for prefix in (SEEN, PRESSED):
        for name, text in form.items():
            if name.startswith(prefix) and (seal := seal_written(text)):
                found[name.removeprefix(prefix)] = seal
    return found


def _changed_meanwhile(desk: Desk, stand: SessionStand, key: str) -> str:
    """Say that what stands in the book is not what the form showed, where it is not."""
    seen = seal_written(request.form.get(f"{SEEN}{key}", ""))
    now = seal_at(desk, stand, key)
    if seen is None or now is None:
        return ""
    if seen.about != now.about:
        return f"{CHANGED} Press Enter again to keep your line."
    if seen.value == now.value:
        return ""
    stands = item_at(desk, stand, stand.question(key)).value or "nothing"
    return f"Another window has since written {stands} here. Press Enter again to keep your line."


def name_of(key: str) -> str:
    """Return a short name for a question of a page, the same each time it is shown."""
    return f"q-{sign_of([key])}"


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
        titles = {one.slug: one.title for one in shelves.viewpoints.all()}
    days = [one for one in days_of_trip(night.book, shown.trip.slug) if one.keepers or one.plans]
    waiting = [one for one in days if not one.is_done and one.on_date != night.on_date]
    asked = sent.refused.keys() & _with_fields(shown)
    which = "it" if len(asked) == 1 else "each"
    beside = f"{figured(len(asked), 'line')} not kept; the reason is beside {which}." if asked else ""
    others = (why for key, why in sent.refused.items() if key not in asked)
    told = PageTold((*sent.told, *filter(None, [beside]), *others))
    return page(
        "evening.html",
        told if sent.refused else None,
        status or 200,
        opened=night.book,
        evening=shown,
        days=days,
        is_done=any(one.is_done for one in days if one.on_date == night.on_date),
        next_day=next((one for one in waiting if one.on_date > night.on_date), next(iter(waiting), None)),
        sent=sent,
        ticked=frozenset(() if sent.is_done else _ticked()),
        seal=partial(seal_of, plan=shown.plan),
        name_of=name_of,
        lines={line.key: timeline(line) for line in shown.clocks},
        Asks=Asks,
        is_long=lambda item: item.question.asks in SEVERAL,
        is_only_chosen=lambda item: item.question.asks in ONLY_CHOSEN,
        shown_apart=SHOWN_APART,
        keys=KEYS,
        choices=_choices,
        label=_label,
        to_settle=_to_settle,
        filters_of_all=_filters_of_all,
        supports=SUPPORTS,
        sharpnesses=tuple(Sharpness),
        audiences=AUDIENCES,
        purposes=tuple(VisitPurpose),
        title=f"{night.on_date:%A} {night.on_date.day} {night.on_date:%B %Y}",
        gone=_gone(sent, shown),
        stay_typed=dict.fromkeys(STAY_FIELDS, "") | (_stay_typed() if "stay" in sent.refused else {}),
        shots=shots,
        titles=titles,
    )


def _with_fields(shown: WholeEvening) -> set[str]:
    """The keys of the questions that have a field, beside which a refusal can stand."""
    of_stays = (one for stay in shown.stays for one in stay.items)
    of_plans = (one for card in shown.all_plans for one in card.items)
    items = (*shown.opening, *of_stays, *of_plans, *shown.of_day)
    return {one.question.key for one in items if one.question.asks not in SHOWN_APART - {Asks.STAY}}


def _label(item: EveningItem) -> str:
    """What is asked, without the names of the pictures that stand beside it."""
    asks = item.question.asks
    text = LABELS.get(asks, item.question.text)
    if item.question.key.startswith(OF_FRAMES) and asks in (Asks.FILTERS, Asks.SHOT, Asks.SHARPNESS):
        frames, _, what = text.rpartition(": ")
        return f"{frames}, {what}"
    return text[:1].upper() + text[1:]


def _choices(item: EveningItem) -> tuple[str, ...]:
    """The words that stand as buttons beside a question."""
    choices = item.question.choices
    return () if len(choices) > SHORT_CHOICES else tuple(str(one) for one in choices)


def _gone(sent: Sent, shown: WholeEvening) -> dict[str, str]:
    """What was typed where the page has no field any more, by the key of the question that is gone."""
    there = {"stay", *(one.question.key for one in shown.items)}
    there |= {f"{PICKED}{stay.sign}" for stay in shown.stays}
    return {key: line for key, line in sent.typed.items() if key not in there}


def _filters_of_all(stay: StayCard) -> StandingValue | None:
    """What is noted of the filters of every picture of a stay; None where they differ or one is unknown."""
    found = {(one.filters, one.provenance_of("filters")) for one in stay.keepers}
    filters, word = found.pop() if len(found) == 1 else (None, None)
    return None if filters is None or word is None else StandingValue(stack_words(filters), word)


def _to_settle(group: GroupCard) -> tuple[EveningItem, ...]:
    """What is proposed of a group of pictures, or has to be asked first."""
    return tuple(
        one
        for one in group.items
        if one.is_proposed or (one.is_open and one.question.asks in (Asks.CHANGED, Asks.SURE))
    )
