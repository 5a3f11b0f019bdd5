"""`logbook merge`: the book of another computer into this one.

One surprising decision: where both books say otherwise and nobody decides, nothing at all is merged, because
half a merge is harder to understand than none.
"""

import sys
from collections import Counter
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from logbook.domain.errors import ConflictError, NotFoundError
from logbook.domain.said import counted, field_words
from logbook.faces import options
from logbook.faces.opened import open_book
from logbook.faces.terminal import answer, answer_json, answer_prose, clean, say

if TYPE_CHECKING:
    from logbook.services.books.merges import MergeResult
    from logbook.store.merging.copies import Conflict, Decide, Side

app = typer.Typer()
LISTED = 20  # conflicts and names that are listed; --json has them all
LONGEST_VALUE = 60  # characters of a value beside another


class Prefer(StrEnum):
    """Who decides where both books say otherwise."""

    NEWER = "newer"
    THIS = "this"
    OTHER = "other"
    ASK = "ask"


@options.command(
    app,
    "merge",
    "logbook merge laptop.sqlite --dry-run",
)
def merge(
    other: Annotated[Path, typer.Argument(metavar="OTHER", help="The other book; it is only read.")],
    prefer: Annotated[
        Prefer | None, typer.Option("--prefer", help="Which book wins where they contradict each other.")
    ] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only show what would change.")] = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Merge another copy of the book into this one. Merging again changes nothing; a merge can be undone."""
    from logbook.services.books import merges

    opened = open_book(book)
    if not other.expanduser().exists():
        raise NotFoundError(f"There is no file {other}; name the book to merge from. It will not be changed.")
    decide: Decide = merges.undecided
    if prefer is Prefer.ASK or (prefer is None and sys.stdin.isatty() and not dry_run and not as_json):
        decide = _ask
    elif prefer is not None:
        decide = merges.PREFERRED[prefer]
    done = merges.merge(opened, other.expanduser(), decide, dry_run=dry_run)
    if as_json:
        answer_json(_as_json(done))
    else:
        _show(done, dry_run)
    if done.undecided and not dry_run:
        raise ConflictError(
            f"The books contradict each other in {counted_conflicts(len(done.undecided))}, so nothing "
            f"was merged; "
            "decide with --prefer newer, this, other or ask."
        )


def counted_conflicts(count: int) -> str:
    """Return conflicts counted."""
    return "one place" if count == 1 else f"{count} places"


def _ask(conflict: "Conflict") -> "Side | None":
    from logbook.store.merging.copies import Side

    for line in _conflict_lines(conflict):
        say(line)
    while True:
        said = typer.prompt("Which wins, this book or the other (this, other)?", err=True).strip().lower()
        for side in Side:
            if said and str(side).startswith(said):
                return side
        say("Type t for this book, o for the other; Ctrl-C leaves everything as it is.")


def _show(done: "MergeResult", dry_run: bool) -> None:
    if done.undecided:
        for conflict in done.undecided[:LISTED]:
            for line in _conflict_lines(conflict):
                answer(line)
        if len(done.undecided) > LISTED:
            answer(f"And {len(done.undecided) - LISTED} more; --json lists them all.")
    told = [f"{counted(table, count)} {verb}" for (verb, table), count in sorted(done.counts.items())]
    verb = "Merged" if done.is_done else "Would merge"
    if not told:
        answer("Nothing to merge: this book already has everything in the other.")
    elif done.is_done or dry_run:
        answer_prose(f"{verb}: {', '.join(told)}.")
        if done.decided:
            sides = Counter(str(side) for _, side in done.decided)
            answer(
                f"The books contradicted each other in {counted_conflicts(len(done.decided))}: this "
                f"book won in {sides['this']}, the other in {sides['other']}."
            )
        for one in done.renamed[:LISTED]:
            answer(f"Two were called {one.old}: the {one.table} made later is now {one.new}.")
    if done.is_done and done.not_here:
        pictures = "picture is" if done.not_here == 1 else "pictures are"
        say(f'{done.not_here} {pictures} not where they were; "logbook keeper locate FOLDER" finds them.')
    if done.backup is not None:
        say(f"The book as it was before is in {done.backup}.")


def _conflict_lines(conflict: "Conflict") -> list[str]:
    what = counted(conflict.table, 1).removeprefix("1 ")
    lines = [f"{what} {conflict.name}: {conflict.clash}"]
    if conflict.needed_by is not None:
        table, name = conflict.needed_by
        lines[0] += f" by {table.replace('_', ' ')} {name}"
    for name, this, other in conflict.fields:
        lines.append(f"  {field_words(name)}: {_short(this)} in this book, {_short(other)} in the other")
    if not conflict.fields:
        gone = {True: "removed", False: "kept"}
        lines.append(
            f"  {gone[conflict.this is None]} in this book, {gone[conflict.other is None]} in the other"
        )
    return lines


def _short(value: Any) -> str:
    if value is None:
        return "unknown"
    text = clean(" ".join(str(value).split()))
    return text if len(text) <= LONGEST_VALUE else text[: LONGEST_VALUE - 1] + "…"


def _as_json(done: "MergeResult") -> dict[str, Any]:
    return {
        "merged": done.is_done,
        "changes": [
            {
                "noun": one.table,
                "slug": one.name or None,
                "id": (one.after or one.before or {})["id"],
                "verb": one.verb,
            }
            for one in done.differences
        ],
        "conflicts": [
            _conflict_json(one, side)
            for one, side in (*((one, None) for one in done.undecided), *done.decided)
        ],
        "renamed": [
            {"noun": one.table, "id": one.id, "old": one.old, "new": one.new} for one in done.renamed
        ],
        "pictures_not_here": done.not_here,
        "backup": str(done.backup) if done.backup else None,
    }


def _conflict_json(one: "Conflict", side: "Side | None") -> dict[str, Any]:
    return {
        "noun": one.table,
        "name": one.name,
        "id": one.id,
        "how": str(one.clash),
        "fields": {name: {"this": this, "other": other} for name, this, other in one.fields},
        "this_at": one.this_at,
        "other_at": one.other_at,
        "removed_in": "this" if one.this is None else "other" if one.other is None else None,
        "decided": str(side) if side else None,
    }
