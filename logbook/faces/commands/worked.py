"""`logbook worked`: what worked, of how many, and how sure that is.

One surprising decision: `--near SITE` means that site and those like it, wherever they lie; only with
`--within-km` does it mean distance.
"""

from enum import StrEnum
from typing import Annotated

import typer

from logbook.domain.condition_kinds import DIVIDING, LIMITING
from logbook.domain.words import ConditionKind, SubjectKind
from logbook.faces import options, typed
from logbook.faces.commands.alike import Tripod
from logbook.faces.level_options import Levels, level_options
from logbook.faces.opened import open_book
from logbook.faces.option_groups import Group
from logbook.faces.terminal import answer_json, say


class Against(StrEnum):
    """What k may be counted against."""

    TRIES = "tries"
    SHOTS = "shots"
    FILES = "files"


# What is compared: the words of `services.worked.By`, which the help need not load, and kinds of condition
_BY = ("support", "filters", "technique", "phase", *(kind.value for kind in DIVIDING), "reason")
_ByWord = StrEnum("_ByWord", [(word, word) for word in _BY])  # type: ignore[misc]
By = Group(
    {"by": (Annotated[_ByWord, typer.Option("--by", help="What to compare.")], _ByWord("support"))},
    lambda said: str(said["by"]),
)

app = typer.Typer()


@options.command(app, "worked", "logbook worked --by support")
def worked(
    *,
    by: Annotated[str, By],
    kind: Annotated[
        SubjectKind | None,
        typer.Option("--kind", metavar="KIND", help="Only sites of this kind, such as gorge."),
    ] = None,
    near: Annotated[
        str | None, typer.Option("--near", metavar="SITE", help="Only that site and those like it.")
    ] = None,
    within_km: Annotated[
        float | None, typer.Option("--within-km", min=0, help="With --near: those within this distance.")
    ] = None,
    levels: Annotated[Levels, level_options(LIMITING)],
    tripod: Tripod = None,
    technique: Annotated[
        str | None, typer.Option("--technique", metavar="TEXT", help="Only shots of this technique.")
    ] = None,
    support: options.SupportName = None,
    of: Annotated[
        Against | None,
        typer.Option("--of", help="What to count successes out of; by default, the best known for each row."),
    ] = None,
    explain: options.Explain = False,
    plain: options.Plain = False,  # noqa: ARG001  # its callback does the work
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Show what worked and how often, with a 95% interval; also why shots failed, shared settings and
    lessons.
    """
    from logbook.faces.worked_glance import answer_worked, show_glance
    from logbook.faces.worked_shown import NOTHING, show_worked, worked_json
    from logbook.services import worked as service

    against = None
    if of is not None:
        against = service.Denominator.FILES if of is Against.FILES else service.Denominator(of)
    question = service.WorkedQuestion(
        ConditionKind(by) if by in DIVIDING else service.By(by),
        kind,
        near,
        within_km,
        levels,
        tripod,
        technique,
        typed.support(support),
        against,
    )
    found = service.worked(open_book(book), question)
    if as_json:
        answer_json(worked_json(found))
    elif not found.rows:
        say(NOTHING)
    else:
        answer_worked(found)
        (show_worked if explain else show_glance)(found)
