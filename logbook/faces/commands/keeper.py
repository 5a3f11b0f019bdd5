"""`logbook keeper`: selected pictures, their settings, and what the camera cannot know."""

import sys
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from logbook.craft.settings_text import TIME_FIRST, setting_text
from logbook.domain.errors import InvalidValueError, NotFoundError
from logbook.domain.keeper import Keeper
from logbook.domain.said import figured
from logbook.domain.words import Audience, Sharpness
from logbook.faces import options, typed
from logbook.faces.commands import (
    keeper_arrange,
    keeper_clocks,
    keeper_locate,
    keeper_move,
    keeper_propose,
    keeper_sets,
)
from logbook.faces.imported import LISTED, counted_in, import_lines
from logbook.faces.nouns import Face, WithDependents, remove_record
from logbook.faces.opened import open_book
from logbook.faces.plain import keeper_json, marked, plain
from logbook.faces.terminal import answer, answer_json, answer_prose, progress, say
from logbook.faces.told import Told

if TYPE_CHECKING:
    from logbook.services.keepers.bare_lens import BareLens
    from logbook.services.records import Listing

app = options.noun_app("keeper")
FACE = Face(
    "keeper",
    ("keeper", "taken", "settings", "filters", "support", "viewpoint, shot"),
    lambda record, listing: keeper_json(record, listing),
    lambda row: [
        _files(row),
        _taken(row),
        _settings(row),
        marked(row, "filters"),
        marked(row, "support"),
        _where(row),
    ],
)

ShotName = Annotated[str | None, typer.Option("--shot", metavar="NAME", help="The planned shot it is for.")]
ViewpointName = Annotated[str | None, typer.Option("--viewpoint", metavar="NAME", help="Where it was taken.")]

BY_CAMERA = "camera's clock"


def _files(row: Mapping[str, Any]) -> str:
    """The file that is shown, and the suffix of the raw one: `IMG_0412.JPG + CR2`."""
    raws = [Path(one["path"]).suffix[1:] for one in row["also"] if not one["path"].lower().endswith(".xmp")]
    return " + ".join([row["file"], *raws])


def _taken(row: Mapping[str, Any]) -> str:
    """Day and time at the place; where only the camera's clock is known, that, and it says so."""
    at = row["place_time"] or row["taken_local"] or ""
    doubt = "\nimpossible light" if row["light_doubt"] else ""
    doubt += f"\n{row['time_doubt']['words']}" if row["time_doubt"] else ""
    return at.replace("T", "\n")[:16] + ("" if row["place_time"] or not at else f"\n{BY_CAMERA}") + doubt


def _settings(row: dict[str, Any] | Any) -> str:
    """Exposure and aperture over ISO and focal length, so that no unit is parted from its figure."""
    aperture, speed, length = (
        None if row[name] is None else setting_text(name, row[name]) for name in TIME_FIRST[1:]
    )
    lines = (" ".join(filter(None, pair)) for pair in ((row["exposure"], aperture), (speed, length)))
    return "\n".join(filter(None, lines))


def _where(row: Mapping[str, Any]) -> str:
    """Where it was made, and the shot it serves: one column, because two are too wide for 80 columns."""
    return marked(row, "viewpoint") + (f" for {marked(row, 'shot')}" if row["shot"] else "")


@options.command(
    app,
    "import",
    "logbook keeper import sample_trip/high-valley-autumn/pictures --trip high-valley",
    short="Import selected pictures; running it again changes nothing.",
)
def import_(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="The folder of selected pictures.")],
    trip: options.TripName = None,
    recursive: Annotated[bool, typer.Option("--recursive", "-r", help="Include its subfolders.")] = False,
    zone: Annotated[
        str | None,
        typer.Option("--zone", metavar="ZONE", help="The camera's time zone, if its files do not say."),
    ] = None,
    clock: Annotated[
        str | None,
        typer.Option("--clock", metavar="TIME", help="How fast or slow its clock was, such as '7 min slow'."),
    ] = None,
    rating: Annotated[
        int | None,
        typer.Option(
            "--rating", min=-1, max=5, metavar="STARS", help="Only pictures with at least this many stars."
        ),
    ] = None,
    label: Annotated[
        str | None,
        typer.Option("--label", metavar="WORD", help="Only pictures with this label, such as Red."),
    ] = None,
    keyword: Annotated[
        list[str] | None,
        typer.Option("--keyword", metavar="WORD", help="Only pictures with this keyword; may be repeated."),
    ] = None,
    measure: keeper_propose.Measure = True,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Import selected pictures; running it again changes nothing. Nothing is written to them.

    Stars, labels and keywords are read from the pictures and from XMP files beside them, as are any time
    and settings the camera did not write. A raw file and the JPEG of the same frame become one
    keeper. Then the sharpness of the pictures is measured; Ctrl-C stops that, and nothing is lost.
    """
    from logbook.services.keepers.importing import take_in
    from logbook.services.keepers.picture_files import WantedMarks

    if folder.expanduser().is_file():
        raise NotFoundError(f"{folder} is a file, not a folder; name the folder it is in.")
    opened = open_book(book)
    with progress("Reading pictures") as tell:
        done = take_in(
            opened,
            folder.expanduser(),
            trip=trip,
            recursive=recursive,
            zone=typed.a_zone(zone),
            clock_offset_s=typed.correction(clock),
            wanted=WantedMarks(rating, label, tuple(keyword or ())),
            progress=tell,
        )
    if as_json:
        answer_json(plain(asdict(done)))
    else:
        answer_prose(counted_in(done))
        for line in import_lines(done, 'Use "logbook undo"'):
            say(line)
    if measure:
        sys.stdout.flush()  # what is taken in is acknowledged before anything else is begun
        keeper_propose.after_import(opened, trip)


@options.command(app, "list", "logbook keeper list --trip high-valley")
def list_(
    trip: options.OnlyTrip = None,
    viewpoint: ViewpointName = None,
    shot: ShotName = None,
    on: options.On = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """List keepers in the order they were taken."""
    from logbook.services import accounts
    from logbook.services.keepers import keeping

    opened, on_date = open_book(book), typed.a_date(on)
    listing = keeping.list_keepers(opened, trip, typed.given(viewpoint=viewpoint, shot=shot))
    if on_date is not None:
        listing = accounts.of_day(opened, listing, on_date)
    FACE.list(
        listing,
        as_json,
        'No such keeper in the book; "logbook keeper import FOLDER" imports pictures.',
    )
    if not as_json:
        explain_doubts(listing.records, listing)


def explain_doubts(keepers: Sequence[Keeper], listing: "Listing") -> None:
    """Say which pictures may not have been made at their time, the first of them each in a sentence."""
    for reasons, more in (
        (
            {key: one.reason for key, one in listing.light_doubts.items()},
            "light that does not fit the time given",
        ),
        ({key: one.reason for key, one in listing.time_doubts.items()}, "a doubtful time"),
    ):
        doubted = [one for one in keepers if one.id in reasons]
        for one in doubted[:LISTED]:
            answer_prose(f"{one.file}: {reasons[one.id]}.")
        if len(doubted) > LISTED:
            answer_prose(
                f"{figured(len(doubted) - LISTED, 'more picture')} with {more}; --json lists them all."
            )


@options.command(app, "show", "logbook keeper show 0412 --trip high-valley")
def show(
    which: options.KeeperNames,
    trip: options.TripName = None,
    on: options.OfDay = None,
    body: options.OfBody = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Show one keeper, and where each value came from."""
    from logbook.faces.asking import settled
    from logbook.services.keepers import keeping

    opened, narrow = open_book(book), typed.narrowed(on, body)
    found = settled(lambda name: keeping.show_keeper(opened, trip, name(which), narrow), as_json=as_json)
    FACE.show(found, as_json)


@dataclass(frozen=True, slots=True)
class NoteOptions(Told):
    """What may be said of a keeper that the camera cannot know."""

    noun = Keeper

    filters: options.Filters = None
    support: options.SupportName = None
    shot: ShotName = None
    viewpoint: ViewpointName = None
    caption: Annotated[
        str | None, typer.Option("--caption", metavar="TEXT", help="The caption below the picture.")
    ] = None
    alternative: Annotated[
        str | None,
        typer.Option("--alternative", metavar="TEXT", help="What it shows, for people who cannot see it."),
    ] = None
    sharpness: Annotated[
        Sharpness | None, typer.Option("--judged", help="Whether it is sharp; the worked command uses this.")
    ] = None
    note: Annotated[
        str | None, typer.Option("--note", metavar="TEXT", help="Anything else, for yourself.")
    ] = None
    opening: Annotated[
        bool | None, typer.Option("--opening", help="Make it the picture that opens its trip's reports.")
    ] = None


@options.command(
    app,
    "note",
    "logbook keeper note 0412-0413 --trip high-valley --filters nd64,pol --support tripod",
    short="State what the camera cannot know, for one or more keepers.",
)
def note(
    which: options.KeeperNames,
    trip: options.TripName = None,
    on: options.OfDay = None,
    body: options.OfBody = None,
    *,
    told: NoteOptions,
    sure: Annotated[
        bool,
        typer.Option(
            "--sure", help="Confirm that there was no filter, even though the exposure suggests one."
        ),
    ] = False,
    hide_from: Annotated[
        list[Audience] | None,
        typer.Option(
            "--hide-from", metavar="AUDIENCE", help="Keep it from the client or students; may be repeated."
        ),
    ] = None,
    show_to: Annotated[
        list[Audience] | None,
        typer.Option("--show-to", metavar="AUDIENCE", help="Undo --hide-from; may be repeated."),
    ] = None,
    clear: options.Clear = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """State what the camera cannot know, for one or more keepers.

    Filters can differ by keeper: --filters "1201 none, 1207 nd8 + pol, rest none". If several cameras or
    days share a number, you are asked which you mean; it is never noted for all of them.
    """
    from logbook.faces.asking import Chosen, settled
    from logbook.services.keepers import keeping
    from logbook.services.keepers.bare_lens import doubted_in_note
    from logbook.services.keepers.keeping import Showing

    stacks = typed.filters_by_keeper(told.filters)
    changes = told.cleared(told.fields(but=("filters",)), clear)
    showing = Showing(tuple(hide_from or ()), tuple(show_to or ()))
    opened, narrow = open_book(book), typed.narrowed(on, body)

    def noting(name: Chosen) -> "Listing":
        meant = name(which)
        if stacks and not sure:
            _make_sure(doubted_in_note(opened, trip, meant, stacks, narrow))
        return keeping.note_keepers(opened, trip, meant, changes, stacks, narrow, showing)

    noted = settled(noting, as_json=as_json)
    if as_json:
        answer_json([keeper_json(keeper, noted) for keeper in noted.records])
    else:
        answer(f"Noted for {', '.join(keeper.file for keeper in noted.records)}.")


def _make_sure(doubted: "Sequence[BareLens]") -> None:
    """Ask once whether there was really no filter; without a terminal, ask for --sure."""
    if not doubted:
        return
    told = " ".join(f"{one.file}: {one.reason}." for one in doubted)
    if sys.stdin is None or not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise InvalidValueError(f"{told} Add --sure if there was really none.")
    say(told)
    if not typer.confirm("Was there really no filter?", err=True):
        raise InvalidValueError("Nothing was noted; write the filters, or unknown.")


app.registered_commands += keeper_arrange.app.registered_commands
app.registered_commands += keeper_clocks.app.registered_commands
app.registered_commands += keeper_sets.app.registered_commands
app.registered_commands += keeper_locate.app.registered_commands
app.registered_commands += keeper_move.app.registered_commands
app.registered_commands += keeper_propose.app.registered_commands


@options.command(app, "remove", "logbook keeper remove 0412 --trip high-valley")
def remove(
    which: options.KeeperNames,
    trip: options.TripName = None,
    on: options.OfDay = None,
    body: options.OfBody = None,
    with_dependents: WithDependents = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Remove a keeper from the book; its file is not touched."""
    from logbook.faces.asking import settled
    from logbook.services.keepers import keeping

    opened, narrow = open_book(book), typed.narrowed(on, body)
    trip_id, slug = settled(
        lambda name: keeping.slug_of_keeper(opened, trip, name(which), narrow), as_json=as_json
    )
    remove_record("keeper", slug, with_dependents, as_json, book, trip_id=trip_id)
