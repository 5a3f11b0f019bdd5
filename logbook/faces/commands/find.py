"""`logbook find`: one question to everything written down and everything read from pictures."""

from typing import Annotated

import typer

from logbook.domain.condition_kinds import LIMITING
from logbook.domain.errors import WrongUseError
from logbook.domain.words import OutcomeWord, SubjectKind, Support
from logbook.faces import options, typed
from logbook.faces.level_options import Levels, level_options
from logbook.faces.opened import open_book
from logbook.faces.terminal import answer_json, say
from logbook.services.find.choices import Has, In

app = typer.Typer(name="find-command")
LIMIT = 20  # results


@options.command(
    app,
    "find",
    'logbook find "f/11 tripod dusk" --in shots --in keepers',
)
def find(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="WORDS...",
            help="What to look for: words, settings (f/16, 6s, 24mm, nd8), light (dusk), outcomes (missed).",
            show_default=False,
        ),
    ] = None,
    trip: Annotated[
        str | None, typer.Option("--trip", "-t", metavar="NAME", help="Only in this trip.")
    ] = None,
    site: Annotated[str | None, typer.Option("--site", metavar="NAME", help="Only at this site.")] = None,
    kind: Annotated[
        SubjectKind | None,
        typer.Option("--kind", metavar="KIND", help="Only at sites of this kind, such as gorge."),
    ] = None,
    since: Annotated[str | None, typer.Option("--since", metavar="DATE", help="Not before this day.")] = None,
    until: Annotated[str | None, typer.Option("--until", metavar="DATE", help="Not after this day.")] = None,
    *,
    levels: Annotated[Levels, level_options(LIMITING, noted=True)],
    support: Annotated[Support | None, typer.Option("--support", help="What supported the camera.")] = None,
    outcome: Annotated[OutcomeWord | None, typer.Option("--outcome", help="What became of the shot.")] = None,
    has: Annotated[
        list[Has] | None,
        typer.Option("--has", metavar="WHAT", help=f"What it has: {', '.join(Has)}. May be repeated."),
    ] = None,
    within: Annotated[
        list[In] | None,
        typer.Option("--in", metavar="WHERE", help=f"Where to look: {', '.join(In)}. May be repeated."),
    ] = None,
    limit: Annotated[
        int, typer.Option("--limit", min=1, max=1000, metavar="N", help="Show at most this many.")
    ] = LIMIT,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Search everything written down or read from pictures, failures included.

    All words must match; results that match most of them are listed below. Quotes keep words together
    ('"smooth water"'), and a star stands for any ending (lantern*). Settings, light, supports, crowds,
    outcomes and days (2025-10-14) are understood, and the first line shows how.

    Words that mean the same (ND, neutral density) are known. Add your own, one group per line, separated
    by commas, in a file "words.txt" in your settings folder, or in one beside the book, named after it and
    ending in ".words.txt".
    """
    from logbook.faces.found import found_json, nothing_words, own_synonyms, show_found
    from logbook.services.find.limits import Limits
    from logbook.services.find.searching import find as search

    limits = Limits(
        trip=trip,
        site=site,
        kind=kind,
        since=typed.a_date(since),
        until=typed.a_date(until),
        levels=levels,
        support=support,
        outcome=outcome,
        has=tuple(has or ()),
        within=tuple(within or ()),
    )
    question = " ".join(words or ())
    if not question.strip() and not limits.says:
        raise WrongUseError('Say what to look for, such as: logbook find "f/16 tripod dusk".')
    opened = open_book(book)
    found = search(opened, question, limits, own_synonyms(opened.path), limit=limit)
    if as_json:
        answer_json(found_json(found))
        return
    show_found(found)
    if nothing := nothing_words(found):
        say(nothing)
