"""`logbook demo`: the whole main job on the sample trips, in seconds.

One surprising decision: the demo takes the very way a photographer takes (plan, keepers from files, day
files, reports); nothing in it is prepared beforehand.
"""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.errors import OutputError
from logbook.domain.words import Audience
from logbook.faces import options
from logbook.faces.opened import this_run, utc_now
from logbook.faces.resources import resource
from logbook.faces.terminal import answer, answer_json, progress, say

if TYPE_CHECKING:
    from logbook.store.book import Book

app = typer.Typer()

MAIN_TRIP = "high-valley-autumn"
SLOW_BODY = "Halvern Thistle"  # whose clock the photographer found seven minutes slow on the first evening
SLOW_BODY_FAST_S = -420  # s
UNFINISHED_TRIP = "slate-coast-winter"
NEXT_TRIP = {"title": "The wave shelf at neap tide", "starts_on": date(2031, 2, 14)}
BOOK = "book.sqlite"


@options.command(app, "demo", "logbook demo --into demo")
def demo(
    into: Annotated[Path, typer.Option("--into", metavar="DIR", help="The folder to create.")] = Path(
        "logbook-demo"
    ),
    keep_mine: options.KeepMine = False,
    as_json: options.Json = False,
) -> None:
    """Build the sample book and its three reports."""
    from logbook.faces.report.build import build_report
    from logbook.services.accounts import account_of
    from logbook.services.plans.feasibility import judge_all

    folder = into.expanduser()
    book = _fresh_book(folder)
    _fill(book)
    account = account_of(book, MAIN_TRIP)
    feasibility = judge_all(account)
    pages = {}
    for audience in Audience:
        with progress(f"Pages for {audience}") as tell:
            built = build_report(
                account,
                audience,
                folder / audience,
                templates=resource("templates"),
                feasibility=feasibility,
                progress=lambda _what, done, total, tell=tell: tell(done, total),  # type: ignore[misc]
                keep_mine=keep_mine,
            )
        pages[str(audience)] = str(built.index)
    if as_json:
        answer_json({"book": str(book.path), "reports": pages})
        return
    answer("The sample trip is invented. Here it is, as a book and three reports:")
    for audience_name, index in pages.items():
        answer(f"  {audience_name:<9} {index}")
    answer("Open the book in your browser, or query it in the terminal:")
    answer(f"  logbook --book {book.path} open")
    answer(f"  logbook --book {book.path} shot list --trip {MAIN_TRIP}")


def _fresh_book(folder: Path) -> "Book":
    from logbook.store.book import Book
    from logbook.store.outputs import refuse_stdout

    refuse_stdout(folder, "demo")
    path = folder / BOOK
    if folder.is_dir() and any(folder.iterdir()) and not path.exists():
        raise OutputError(f"{folder} already holds something else; choose another folder with --into.")
    if not folder.parent.is_dir():
        raise OutputError(
            f"The folder {folder.parent} does not exist; create it first, or choose another with --into."
        )
    if path.exists() and not _is_untouched(path):
        raise OutputError(
            f"{path} is a book of your own, or the sample with your changes in it; choose another "
            f"folder with --into."
        )
    try:
        folder.mkdir(exist_ok=True)
        for old in (path, Path(f"{path}-wal"), Path(f"{path}-shm")):
            old.unlink(missing_ok=True)
    except OSError as error:
        raise OutputError(
            f"{folder} cannot be written to ({error.strerror}); choose another with --into."
        ) from error
    return Book(path, utc_now, create=True, run=this_run())


def _is_untouched(path: Path) -> bool:
    """Whether a book was changed by this command alone, or holds nothing at all.

    The last changes tell it; one that came by another way (a restore, an update) left none, and is kept.
    """
    from logbook.services.exports.book_json import book_records
    from logbook.store.book import Book

    with Book(path, utc_now, create=True).reading() as desk:
        commands = [change.command for change in desk.journal.all()]
        if not commands:
            return not any(book_records(desk).values())
    return all(command.partition(" ")[0] == "demo" for command in commands)


def _fill(book: "Book") -> None:
    """Take the sample in as a photographer would: plan, keepers, the day files, and the next plan."""
    from logbook.services.books.imports import import_document, read_document
    from logbook.services.clocks.setting import ClockSaid, set_clock
    from logbook.services.dayfiles.days import read_day
    from logbook.services.keepers.importing import take_in
    from logbook.services.planfiles.taking import take_plan
    from logbook.services.plans.continuing import continue_trip
    from logbook.services.tracks import take_track

    sample = resource("sample_trip")
    places_and_kit = sample / "book.json"
    import_document(book, read_document(places_and_kit), places_and_kit.name)
    for plan in sorted(sample.glob("*/plan.md")):
        trip = plan.parent
        take_plan(book, plan)
        with progress(f"Keepers of {trip.name}") as tell:
            done = take_in(book, trip / "pictures", trip=trip.name, progress=tell)
        for refused in done.refused:
            say(f"Refused {refused.file}: {refused.reason}")
        if trip.name == MAIN_TRIP:
            set_clock(book, trip.name, SLOW_BODY, ClockSaid(fast_s=SLOW_BODY_FAST_S))
        for track in sorted(trip.glob("*.gpx")):
            take_track(book, track, trip.name)
        for day in sorted((trip / "days").glob("*.md")):
            read_day(book, day, trip=trip.name)
    continue_trip(book, NEXT_TRIP, None, UNFINISHED_TRIP, only_to_get=True)
