"""`logbook plan`: the shots of a trip as a text or a sheet, written out and taken in.

One surprising decision: what a draft is written as follows from the file's name where nobody says it, so that
`--into plan.csv` is a sheet.
"""

from pathlib import Path
from typing import Annotated

import typer

from logbook.domain.formats import PlanForm
from logbook.domain.said import figured
from logbook.faces import options
from logbook.faces.opened import open_book
from logbook.faces.read_shown import read_json, show_read
from logbook.faces.terminal import answer, answer_file, answer_json, answer_unbroken

app = options.noun_app("plan")


@options.command(
    app,
    "draft",
    "logbook plan draft slate-coast --as csv",
    short="Write the open shots of a trip as a plan file.",
)
def draft(
    trip: Annotated[
        str | None, typer.Argument(metavar="TRIP", help="The trip; needed if there are several.")
    ] = None,
    form: Annotated[
        PlanForm | None,
        typer.Option("--as", help="A text or a sheet; by default, as the file's name ends."),
    ] = None,
    into: Annotated[
        Path | None, typer.Option("--into", metavar="FILE", help="Write it to a new file; - prints it.")
    ] = None,
    trip_too: options.TripToo = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Write the open shots of a trip as a plan file; for a new trip, an example and viewpoints.

    Edit it, or fill it in on a phone or in a spreadsheet, then run "logbook plan read FILE". A text names its
    trip; a sheet does not, so read it with --trip.
    """
    from logbook.services.planfiles.draft import draft_plan
    from logbook.store.outputs import STDOUT, Purpose, put_files

    is_sheet = into is not None and into.suffix.lower() == ".csv"
    form = form or (PlanForm.CSV if is_sheet else PlanForm.MARKDOWN)
    made = draft_plan(open_book(book), options.either(trip, trip_too, "trip"), form)
    if into == STDOUT:
        into = None
    if into is not None:
        may_be_edited = "it may hold your edits; choose another name"
        put_files({into: made.content}, Purpose("plan draft", True, False, may_be_edited))
    if as_json:
        answer_json({"trip": made.trip, "form": str(form), "shots": made.shots, "text": made.text})
    elif into is None and form is PlanForm.CSV:
        answer_file(made.text)
    elif into is None:
        answer_unbroken(made.text.rstrip())
    else:
        of_trip = f" --trip {made.trip}" if form is PlanForm.CSV else ""
        answer(f"{_shots(made.shots)} written. Edit {into}, then: logbook plan read {into}{of_trip}")


@options.command(
    app,
    "read",
    "logbook plan read sample_trip/slate-coast-winter/plan.md",
    short="Read a plan file; reading it again changes nothing.",
)
def read(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="A plan in Markdown, or a sheet saved as CSV.")
    ],
    trip: options.TripName = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Read a plan file into the book. Reading it again changes nothing; lines not understood are kept.

    A heading is a day or a viewpoint; a line with a dash is a shot: "- Mill at low water 18:10-18:50, 24
    mm f/11 2 s ISO 100, nd8 + nd64, tripod, must have; else mill-from-bridge". A sheet has a row of
    headings, in any order: title, viewpoint, date, from, to, focal mm, f-number, shutter speed, ISO,
    filters, support, priority, technique, note; also intent, fallback for and short name. A plan whose
    outcome is known does not change.
    """
    from logbook.services.planfiles.taking import take_plan

    done = take_plan(open_book(book), file.expanduser(), trip=trip)
    if as_json:
        brought = {"viewpoints_added": list(done.entered), "remarks": list(done.remarks)}
        answer_json(read_json(done) | brought)
        return
    entered = f"New viewpoints: {', '.join(done.entered)}." if done.entered else ""
    remarks = (f"{file.name}: {sentence}" for sentence in done.remarks)
    show_read(file, "plan", done, *filter(None, (entered, *remarks)))


def _shots(count: int) -> str:
    return figured(count, "open shot")
