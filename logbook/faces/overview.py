"""Where one stands, for `logbook` alone: the last trip, the days that wait, the command that comes next."""

import shlex
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from logbook.domain.said import figured
from logbook.domain.trip import Trip
from logbook.domain.words import Audience
from logbook.faces.ink import Ink
from logbook.faces.opened import open_book, utc_now
from logbook.faces.terminal import answer, answer_prose, answer_unbroken
from logbook.faces.words.phrases import span_text
from logbook.services.night.days_waiting import DayWaiting, days_of_trips

Days = Sequence[DayWaiting]
WAITING_SHOWN = 5  # days; the rest are counted


def show_overview(given: Path | None) -> None:
    """Print where one stands with a book that is there."""
    book = open_book(given)
    trips = sorted(days_of_trips(book), key=lambda pair: _begins(pair[0]), reverse=True)
    if not trips:
        answer_prose("The book is empty.", ink=Ink.HEADING)
        _answer_next('logbook trip add "TITLE" --from DATE --zone ZONE')
        return
    today = utc_now().date()
    ahead = [trip for trip, _ in trips if trip.starts_on and trip.starts_on > today]
    last, days = next((pair for pair in trips if pair[0] not in ahead), trips[0])
    answer_prose(_trip_words(last, days), ink=Ink.HEADING)
    if ahead:
        answer_prose(f"Ahead: {', '.join(f'{one.title}, from {one.starts_on}' for one in reversed(ahead))}.")
    waiting = [day for _, of_trip in trips for day in of_trip if day.waits]
    answer_prose(_waiting_words(waiting, last))
    _answer_next(_next(last, days, waiting))


def _begins(trip: Trip) -> date:
    return trip.starts_on or trip.created.date()


def _trip_words(trip: Trip, days: Days) -> str:
    keepers, plans = sum(day.keepers for day in days), sum(day.plans for day in days)
    when = span_text(trip.starts_on, trip.ends_on)
    counted = f"{figured(keepers, 'keeper')}, {figured(plans, 'planned shot')}"
    return f"Last trip: {', '.join(filter(None, (trip.title, when)))}: {counted}."


def _waiting_words(waiting: Days, last: Trip) -> str:
    if not waiting:
        return "Every day is written up."
    named = [
        str(day.on_date) if day.trip.id == last.id else f"{day.on_date} ({day.trip.title})"
        for day in waiting[:WAITING_SHOWN]
    ]
    more = [f"{len(waiting) - WAITING_SHOWN} more"] if len(waiting) > WAITING_SHOWN else []
    return f"{figured(len(waiting), 'day')} still to write up: {', '.join([*named, *more])}."


def _next(last: Trip, days: Days, waiting: Days) -> str:
    """Return the command that comes next: a day to write down, pictures to take in, a report to build."""
    if waiting:
        return shlex.join(
            ("logbook", "night", "--trip", waiting[0].trip.slug, "--on", str(waiting[0].on_date))
        )
    if not any(day.keepers for day in days):
        return f"logbook keeper import FOLDER --trip {shlex.quote(last.slug)}"
    audience = last.audience or Audience.ARCHIVE
    return f"logbook report {shlex.quote(last.slug)} --for {audience} --into FOLDER"


def _answer_next(command: str) -> None:
    answer("")
    answer_unbroken(f"Next: {command}")
    answer_prose('"logbook --help" lists every command.')
