"""`logbook shot`: planned pictures, and what became of them.

One surprising decision: `shot edit` takes both the plan and the outcome, but once an outcome is known the
plan is closed: it stays what was planned.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any

import typer

from logbook.domain.shot import Shot
from logbook.domain.words import OutcomeWord, Priority, Reason
from logbook.faces import options, typed
from logbook.faces.nouns import Face, Name, add_remove, remark_on_day
from logbook.faces.opened import open_book
from logbook.faces.plain import shot_json
from logbook.faces.told import Together, Told

if TYPE_CHECKING:
    from logbook.services.records import Listing

app = options.noun_app("shot")
FACE = Face(
    "shot",
    ("shot", "viewpoint", "when", "planned", "feasible", "outcome"),
    lambda record, listing: shot_json(record, listing.names),
    lambda row: [
        row["slug"],
        row["viewpoint"] or "",
        _when(row["planned"]),
        _planned(row["planned"]),
        _feasible(row["feasibility"]),
        _outcome(row),
    ],
)


def _when(planned: dict[str, str | None]) -> str:
    window = "-".join(part for part in (planned["window_from"], planned["window_to"]) if part)
    return " ".join(part for part in (planned["on_date"], window) if part)


def _planned(planned: dict[str, object]) -> str:
    parts = [planned["exposure"], planned["f_number"] and f"f/{planned['f_number']:g}"]
    return " ".join(str(part) for part in parts if part)


def _feasible(judged: Mapping[str, Any] | None) -> str:
    if judged is None:
        return ""
    return judged["words"] if judged["verdict"] != "feasible" else "yes"


def _outcome(row: Mapping[str, object]) -> str:
    reasons = row["reasons"]
    assert isinstance(reasons, list)
    return f"{row['outcome']} ({', '.join(reasons)})" if reasons else str(row["outcome"])


ViewpointName = Annotated[str | None, typer.Option("--viewpoint", metavar="NAME", help="Where to stand.")]


@dataclass(frozen=True, slots=True)
class PlanOptions(Told):
    """What may be planned of a shot besides its title."""

    noun = Shot

    viewpoint: ViewpointName = None
    intent: Annotated[
        str | None, typer.Option("--intent", metavar="TEXT", help="What the picture should say.")
    ] = None
    on_date: options.On = None
    window: Annotated[
        str | None,
        typer.Option("--window", metavar="FROM-TO", help="Times at the place, such as 17:20-18:45."),
        Together(("window_from", "window_to"), ("window",), typed.a_window),
    ] = None
    technique: Annotated[
        str | None, typer.Option("--technique", metavar="TEXT", help="Technique, such as 'smooth water'.")
    ] = None
    focal_mm: options.Focal = None
    f_number: options.FNumber = None
    exposure_s: options.Exposure = None
    iso: options.Iso = None
    filters: options.Filters = None
    support: options.SupportName = None
    priority: Annotated[Priority | None, typer.Option("--priority", help="How much it matters.")] = None
    fallback_for: Annotated[
        str | None,
        typer.Option("--fallback-for", metavar="SHOT", help="The shot that this one is a fallback for."),
    ] = None
    continues: Annotated[
        str | None,
        typer.Option("--continues", metavar="SHOT", help="The shot of an earlier trip to try again."),
    ] = None
    notes: Annotated[
        str | None, typer.Option("--plan-notes", metavar="TEXT", help="Anything else about the plan.")
    ] = None


@options.command(
    app,
    "add",
    'logbook shot add "Ridge at dawn" --trip high-valley --viewpoint dune-shoulder --on 2025-10-17 '
    "--window 06:10-07:00 --focal 35 --f-number 11 --exposure 1/60 --iso 100 --support tripod",
)
def add(
    title: Annotated[str, typer.Argument(metavar="TITLE", help="What the shot is called.")],
    trip: options.TripName = None,
    *,
    told: PlanOptions,
    slug: options.Slug = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Plan a shot."""
    from logbook.services.plans import outcomes

    fields = {"title": title, **told.fields()}
    opened = open_book(book)
    planned = outcomes.plan_shot(opened, trip, fields, slug)
    FACE.show(planned, as_json, "planned")
    remark_on_day(opened, planned)


@options.command(
    app,
    "list",
    "logbook shot list --trip high-valley --to-get",
    short="List planned shots and what became of them.",
)
def list_(
    trip: options.OnlyTrip = None,
    viewpoint: ViewpointName = None,
    on: options.On = None,
    outcome: Annotated[
        list[OutcomeWord] | None, typer.Option("--outcome", help="Only this outcome; may be repeated.")
    ] = None,
    to_get: Annotated[
        bool,
        typer.Option(
            "--to-get", help="Only shots still to get: made neither on that trip nor on a later one."
        ),
    ] = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """List planned shots, whether they are feasible, and what became of them."""
    from logbook.services.plans import outcomes
    from logbook.services.plans.feasibility import with_feasibility

    within = typed.given(trip=trip, viewpoint=viewpoint, on_date=typed.a_date(on))
    opened = open_book(book)
    listing = with_feasibility(opened, outcomes.list_shots(opened, within, outcome or (), to_get=to_get))
    FACE.list(listing, as_json, 'No such shot in the book; "logbook shot add TITLE" plans one.')


@options.command(
    app, "show", "logbook shot show bridge-smooth", short="Show one plan, its feasibility and its outcome."
)
def show(name: Name, as_json: options.Json = False, book: options.Book = None) -> None:
    """Show one plan, whether it is feasible and why, and its outcome."""
    from logbook.services.plans import outcomes
    from logbook.services.plans.feasibility import with_feasibility

    opened = open_book(book)
    FACE.show(with_feasibility(opened, outcomes.show_shot(opened, name)), as_json)


@options.command(
    app,
    "edit",
    'logbook shot edit pan-mirror --outcome missed --reason weather --note "Wind all evening."',
    short="Record an outcome, or change a plan that is still open.",
)
def edit(
    name: Name,
    title: options.Title = None,
    *,
    told: PlanOptions,
    outcome: Annotated[
        str | None, typer.Option("--outcome", metavar="|".join(OutcomeWord), help="What became of it.")
    ] = None,
    reasons: Annotated[
        list[str] | None, typer.Option("--reason", metavar="|".join(Reason), help="Why; may be repeated.")
    ] = None,
    note: Annotated[
        str | None, typer.Option("--note", metavar="TEXT", help="What happened, in your words.")
    ] = None,
    replaced_by: Annotated[
        str | None,
        typer.Option("--replaced-by", metavar="NAME", help="The shot or keeper made in its place."),
    ] = None,
    slug: options.NewSlug = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Record an outcome or add to it, or change a plan whose outcome is still open.

    What you said about an outcome stays until you change it; a different --outcome starts afresh.
    """
    from logbook.faces.asking import Chosen, settled
    from logbook.services.plans import outcomes

    changes = told.changes(clear, title=title, slug=slug)
    opened = open_book(book)

    def edited(meant: Chosen) -> "Listing":
        by = replaced_by and meant(replaced_by)
        return outcomes.edit_shot(opened, name, changes, typed.outcome(outcome, reasons, note, by))

    changed = settled(edited, as_json=as_json)
    FACE.show(changed, as_json, "changed")
    if told.on_date is not None:
        remark_on_day(opened, changed)


add_remove(app, "shot", "logbook shot remove pan-stars --with-dependents")
