"""`logbook keeper move`: pictures that were taken into the wrong trip."""

from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.said import figured
from logbook.faces import options, typed
from logbook.faces.joined import DryRun
from logbook.faces.opened import open_book
from logbook.faces.plain import plain
from logbook.faces.terminal import answer_json, answer_prose, say

if TYPE_CHECKING:
    from logbook.services.keepers.moving import KeepersMoved

app = options.noun_app("keeper")


@options.command(
    app,
    "move",
    "logbook keeper move 0412-0413 --trip high-valley --to-trip slate-coast --dry-run",
    short="Move keepers to another trip.",
)
def move(
    which: options.KeeperNames,
    to_trip: Annotated[str, typer.Option("--to-trip", metavar="TRIP", help="The trip they belong to.")],
    trip: options.TripName = None,
    on: options.OfDay = None,
    body: options.OfBody = None,
    drop_shots: Annotated[
        bool, typer.Option("--drop-shots", help="Drop their links to shots of the trip they leave.")
    ] = False,
    dry_run: DryRun = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Move keepers to another trip, with their sets; their files are not touched.

    Times that followed the old trip's zone now follow the new one's. Importing the same folder
    into the old trip later leaves them where they are now. Keepers linked to shots of the old trip move
    only with --drop-shots.
    """
    from logbook.faces.asking import Chosen, settled
    from logbook.services.keepers.moving import move_keepers

    opened, narrow = open_book(book), typed.narrowed(on, body)

    def moved(name: Chosen) -> "KeepersMoved":
        which_ones = name(which)
        return move_keepers(opened, trip, which_ones, to_trip, narrow, drop_shots=drop_shots, dry_run=dry_run)

    done = settled(moved, as_json=as_json)
    if as_json:
        answer_json(plain(asdict(done)))
    else:
        _show(done)


def _show(done: "KeepersMoved") -> None:
    would = "Would move" if done.dry_run else "Moved"
    answer_prose(f"{would} from {done.old} to {done.new}: {', '.join(done.keepers)}.")
    for tie in done.dropped:
        is_no_longer = "would no longer be" if done.dry_run else "is no longer"
        say(f"{tie.file} {is_no_longer} linked to {tie.shot}.")
    for before, after in done.renamed:
        say(f"{done.new} already has a {before}, so it is called {after} there.")
    if done.parted:
        split = "Would split" if done.dry_run else "Split"
        say(f"{split} {figured(done.parted, 'set')}: some of the keepers stay and some move.")
    if done.retimed:
        changed = "Would change" if done.dry_run else "Changed"
        say(f"{changed} to that trip's time zone: {figured(done.retimed, 'keeper')}.")
    for day in done.evenings:
        say(
            f'The evening session of {day} asked about them; "logbook night --trip {done.old} --on {day}" '
            f"asks again."
        )
