"""`logbook report`: the static website of a trip."""

from pathlib import Path
from typing import Annotated

import typer

from logbook.domain.words import Audience
from logbook.faces import options
from logbook.faces.opened import open_book
from logbook.faces.resources import resource
from logbook.faces.terminal import answer, answer_json, progress, say

app = typer.Typer()


@options.command(app, "report", "logbook report high-valley --for client --into for-the-client")
def report(
    trip: Annotated[str, typer.Argument(metavar="TRIP", help="Slug of the trip, or the beginning of one.")],
    audience: Annotated[
        Audience, typer.Option("--for", help="Who will see it; each sees only its own part.")
    ],
    into: Annotated[Path, typer.Option("--into", metavar="DIR", help="The folder to make.")],
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Build the website of a trip for one audience."""
    from logbook.faces.report.build import build_report
    from logbook.services.accounts import account_of
    from logbook.services.feasibility import judge_all

    account = account_of(open_book(book), trip)
    with progress("Building pages") as tell:
        built = build_report(
            account,
            audience,
            into.expanduser(),
            templates=resource("templates"),
            feasibility=judge_all(account),
            progress=lambda _what, done, total: tell(done, total),
        )
    for missing in built.missing:
        say(f"The picture {missing.path} is not shown: {missing.why}")
    if as_json:
        answer_json(
            {
                "index": str(built.index),
                "pages": [str(page) for page in built.pages],
                "pictures": built.pictures,
                "missing": [missing.path for missing in built.missing],
            }
        )
    else:
        answer(f"Open {built.index}")
