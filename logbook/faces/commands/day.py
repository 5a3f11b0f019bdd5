"""`logbook day`: day files, and what a day holds."""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from logbook.domain.belonging import visit_seen_on
from logbook.domain.errors import WrongUseError
from logbook.domain.said import figured
from logbook.domain.trip_days import day_name, day_number
from logbook.faces import options, typed
from logbook.faces.commands.keeper import BY_CAMERA, explain_doubts
from logbook.faces.ink import Ink
from logbook.faces.opened import open_book
from logbook.faces.plain import keeper_json, record_json, shot_json, words
from logbook.faces.read_shown import read_json, show_read
from logbook.faces.terminal import (
    CHECK_AGAIN,
    answer,
    answer_json,
    answer_prose,
    answer_table,
    answer_unbroken,
    say,
)
from logbook.faces.words.phrases import settings_words, unstated_of_visit

if TYPE_CHECKING:
    from logbook.domain.account import TripAccount
    from logbook.domain.condition import Condition
    from logbook.services.days import DayShown

app = options.noun_app("day")
_SOFT_BREAK = re.compile(
    r"(?<=\S)\n(?=[^\W\d_])"
)  # within a paragraph: the terminal breaks lines by its width


@options.command(
    app,
    "draft",
    "logbook day draft --trip high-valley --on 2025-10-18",
    short="Write a day file prefilled with the plan and proposals.",
)
def draft(
    trip: options.TripName = None,
    on: options.On = None,
    into: Annotated[
        Path | None, typer.Option("--into", metavar="FILE", help="Write it to a new file; - prints it.")
    ] = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Write a day file prefilled with the plan, the frames found and the proposals."""
    from logbook.services.dayfiles.draft import draft_day
    from logbook.services.night.session import day_to_write
    from logbook.store.outputs import STDOUT, Purpose, put_files

    opened = open_book(book)
    of_trip, on_date = day_to_write(opened, trip, typed.a_date(on))
    made = draft_day(opened, of_trip.slug, on_date)
    if into == STDOUT:
        into = None
    if into is not None:
        may_be_edited = "it may hold your edits; choose another name"
        put_files({into: made.text.encode()}, Purpose("day draft", True, False, may_be_edited))
    if as_json:
        answer_json({"trip": made.trip, "date": made.on_date.isoformat(), "text": made.text})
    elif into is None:
        answer_unbroken(made.text.rstrip())
    else:
        answer(f"Edit {into}, then: logbook day read {into}")


@options.command(
    app,
    "read",
    "logbook day read sample_trip/high-valley-autumn/days/2025-10-14.md",
    short="Read a day file; reading it again changes nothing.",
)
def read(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A day file in Markdown.")],
    trip: options.TripName = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Read a day file into the book. Reading it again changes nothing; lines not understood are kept."""
    from logbook.services.dayfiles import days

    done = days.read_day(open_book(book), file.expanduser(), trip=trip)
    if as_json:
        moved_from = done.moved_from.isoformat() if done.moved_from else None
        answer_json(read_json(done) | {"date": done.on_date.isoformat(), "moved_from": moved_from})
        return
    moved = (
        f"It was previously read under {done.moved_from}; its entries have moved to {done.on_date}."
        if done.moved_from
        else ""
    )
    show_read(file, done.on_date, done, *filter(None, (moved,)))


@options.command(
    app,
    "unread",
    "logbook day unread 2025-10-14.md --trip high-valley --dry-run",
    short="Remove from the book what a day file brought in.",
)
def unread(
    which: Annotated[str, typer.Argument(metavar="FILE|DATE", help="A day file that was read, or a date.")],
    trip: options.TripName = None,
    on: Annotated[
        str | None, typer.Option("--on", metavar="DATE", help="The date given when it was read.")
    ] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only show what would be removed.")] = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Remove what a day file brought in; what has since been changed or said elsewhere stays, and is listed.

    To correct its date, remove it, correct the date in the file, and read the file again. What it
    said about clocks stays.
    """
    from logbook.domain.written.moments import date_written
    from logbook.services.dayfiles.unread import unread_day

    day = date_written(which)
    if day is not None and on is not None:
        raise WrongUseError("Name a file with --on DATE, or a date alone.")
    done = unread_day(
        open_book(book),
        trip,
        file=None if day else Path(which).name,
        on_date=day or typed.a_date(on),
        dry_run=dry_run,
    )
    if as_json:
        answer_json(
            {
                "trip": done.trip,
                "date": done.on_date.isoformat(),
                "files": list(done.files),
                "removed": done.removed,
                "to_sort_out_removed": done.loose,
                "kept": list(done.kept),
                "dry_run": dry_run,
            }
        )
        return
    words = "would be removed" if dry_run else "removed"
    entries = figured(done.removed, "entry", "entries")
    loose = f" and {figured(done.loose, 'line')} to sort out" if done.loose else ""
    answer_prose(
        f"{', '.join(done.files)} of {done.on_date}: {entries}{loose} {words}, {len(done.kept)} kept."
    )
    for sentence in done.kept:
        say(sentence)


@options.command(app, "show", "logbook day show 2025-10-14 --trip high-valley")
def show(
    on: Annotated[str | None, typer.Argument(metavar="DATE", help="Date, such as 2031-10-14.")] = None,
    trip: options.TripName = None,
    on_too: options.OnToo = None,
    plain: options.Plain = False,  # noqa: ARG001  # its callback does the work
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Show what the book holds for one day."""
    from logbook.services.days import show_day

    wanted = typed.a_date(options.either(on, on_too, "date"))
    if wanted is None:
        raise WrongUseError("Say which day: logbook day show 2031-10-14.")
    day = show_day(open_book(book), trip, wanted)
    if as_json:
        answer_json(_day_json(day))
    else:
        print_day(day)


def _day_json(day: "DayShown") -> dict[str, Any]:
    account, names = day.account, day.listing.names
    journal = account.days[0] if account.days else None
    return {
        "trip": account.trip.slug,
        "date": day.on_date.isoformat(),
        "day": day_number(account.trip, day.on_date) if account.trip.starts_on else None,
        "zone": (journal.zone if journal else None) or account.trip.zone,
        "journal": journal.journal if journal else None,
        "visits": [record_json(one, names) for one in account.visits],
        "conditions": [record_json(one, names) for one in account.conditions],
        "shots": [shot_json(one, names) for one in day.shots],
        "keepers": [keeper_json(one, day.listing) for one in account.keepers],
        "lessons": [record_json(one, names) for one in account.lessons],
        "to_sort_out": [
            {"file": one.file, "line": one.line, "text": one.text, "why": one.why}
            for one in account.loose_lines
        ],
    }


def _where(seen: "Condition", account: "TripAccount", names: Mapping[str, str]) -> str:
    """The place of an observation, and where it was visited more than once that day, on which visit."""
    place = names.get(seen.viewpoint_id or seen.site_id or "", "")
    visits = [one for one in account.visits if one.viewpoint_id == seen.viewpoint_id]
    if len(visits) < 2:
        return place
    visit_id = visit_seen_on(seen, account.visits, account.trip.day_ends_at)
    arrived = next((one.arrived_at for one in visits if one.id == visit_id), None)
    return f"{place} from {arrived:%H:%M}" if arrived else place


def print_day(day: "DayShown") -> None:
    """Print what one day holds."""
    from logbook.faces.light_strip import answer_day_light

    account, names = day.account, day.listing.names
    which = day_name(account.trip, day.on_date) if account.trip.starts_on else ""
    title = ", ".join(filter(None, (account.trip.title, f"{day.on_date:%A} {day.on_date}", which.lower())))
    answer_prose(title, ink=Ink.HEADING)
    journal = account.days[0].journal if account.days else None
    held = (account.visits, account.conditions, day.shots, account.keepers, account.lessons, journal)
    if not any(held) and not account.loose_lines:
        say("Nothing has been written down for that day.")
        return
    answer_day_light(day)
    if journal:
        answer(f"\n{_SOFT_BREAK.sub(' ', journal)}")
    for visit in account.visits:
        times = "-".join(f"{at:%H:%M}" for at in (visit.arrived_at, visit.departed_at) if at)
        tries = None if visit.tries is None else figured(visit.tries, "try", "tries")
        head = (names[visit.viewpoint_id], times, visit.purpose, visit.support, tries)
        answer(f"\n{' · '.join(str(part) for part in head if part)}")
        if unstated := unstated_of_visit(visit.provenance):
            answer_prose(f"not stated: {unstated}", indent="  ")
        if visit.journal:
            answer(_SOFT_BREAK.sub(" ", visit.journal))
    if account.conditions:
        rows = [
            [
                f"{one.at:%H:%M}" if one.at else "",
                _where(one, account, names),
                str(one.kind),
                " ".join(part for part in (one.level, one.direction, one.note) if part),
            ]
            for one in account.conditions
        ]
        answer("")
        answer_table(("at", "where", "seen", ""), rows, "")
        say(CHECK_AGAIN)
    if day.shots:
        rows = [
            [
                one.shot.slug,
                settings_words(one.shot),
                str(one.outcome.word) if one.outcome else "open",
                ", ".join(one.outcome.reasons) if one.outcome else "",
            ]
            for one in day.shots
        ]
        answer("")
        answer_table(("shot", "planned", "outcome", "why"), rows, "")
    if account.keepers:
        rows = [
            [
                one.file,
                f"{one.place_time:%H:%M}" + (f"\n{BY_CAMERA}" if one.is_by_camera else "")
                if one.place_time
                else "",
                settings_words(one),
                "unknown" if one.filters is None else words(one.filters),
            ]
            for one in account.keepers
        ]
        answer("")
        answer_table(("keeper", "at", "settings", "filters"), rows, "")
        explain_doubts(account.keepers, day.listing)
    for lesson in account.lessons:
        answer(f"{str(lesson.verb).capitalize()}: {lesson.text}")
    for line in account.loose_lines:
        say(f"To sort out, {line.file}:{line.line}: {line.text.strip()} ({line.why})")
