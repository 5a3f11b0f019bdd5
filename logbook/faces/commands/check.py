"""`logbook check`: whether a book and what it speaks of are sound, and putting right what can be."""

from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated, Any

import typer

from logbook.domain.errors import BookError
from logbook.domain.said import figured
from logbook.faces import options
from logbook.faces.opened import open_book
from logbook.faces.terminal import answer, answer_json, answer_prose, progress, say

if TYPE_CHECKING:
    from logbook.services.books.checks import Checked, Finding, Repaired
    from logbook.store.text_index.keeping import Differences

app = typer.Typer(name="check-command")
LISTED = 12  # findings of one kind that are listed; --json has them all


@options.command(app, "check", "logbook check")
def check(
    repair: Annotated[
        bool, typer.Option("--repair", help="Back up, repair what can be repaired, and check again.")
    ] = False,
    originals: Annotated[
        bool, typer.Option("--originals", help="Read every picture in full, not only the changed ones.")
    ] = False,
    rebuild_index: Annotated[
        bool, typer.Option("--rebuild-index", help="Only rebuild the search index from the book.")
    ] = False,
    accept: Annotated[
        bool,
        typer.Option("--accept", help="Back up, then accept records changed from outside."),
    ] = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Check the book, its pictures and its search index."""
    from logbook.services.books import checks

    opened = open_book(book, even_damaged=True)
    if rebuild_index:
        _show_index(checks.rebuild_index(opened), as_json)
        return
    with progress("Checking") as shown:
        found = checks.check_book(opened, by_hash=originals, progress=shown)
        mend = repair or accept
        repaired = checks.repair_book(opened, found, shown, accept=accept) if mend else None
    after = repaired.after if repaired else found
    if as_json:
        answer_json(_as_json(found, repaired))
    else:
        _show(found, repaired)
    if after.wrong:
        hint = " --repair fixes what it can." if not mend and any(o.fix for o in after.wrong) else ""
        if any(one.is_changed for one in after.wrong):
            hint += ' "logbook restore" puts a backup in place; --accept keeps changed records as they are.'
        raise BookError(f"{_things(len(after.wrong))} wrong.{hint}")


def _things(count: int) -> str:
    return "One thing is" if count == 1 else f"{count} things are"


def _show_index(found: "Differences", as_json: bool) -> None:
    if as_json:
        answer_json({"index": asdict(found) | {"in_step": found.in_step, "rebuilt": True}})
    elif found.in_step:
        answer(f"The index was rebuilt and matches the book: {found.documents} documents.")
    if not found.in_step:
        raise BookError(
            'The index still does not match the book: the file is damaged; "logbook restore" puts a '
            "backup in its place."
        )


def _show(found: "Checked", repaired: "Repaired | None") -> None:
    if repaired is not None:
        for one in repaired.done:
            answer_prose(f"Repaired: {one.where}: {one.what}; {one.repair}.")
        if repaired.backup is not None:
            say(f"The book as it was before is in {repaired.backup}.")
        found = repaired.after
    if not found.wrong:
        answer("The book is sound.")
    by_kind: dict[str, list[Finding]] = {}
    for one in found.findings:
        by_kind.setdefault(one.kind, []).append(one)
    for kind, findings in by_kind.items():
        for one in findings[:LISTED]:
            named = f" [{one.id}]" if one.id and one.kind in ("row", "reference", "set") else ""
            can = f" With --repair {one.repair}." if one.repair else ""
            answer_prose(f"{kind}: {one.where}{named}: {one.what}.{can}")
        if len(findings) > LISTED:
            answer(f"{kind}: and {len(findings) - LISTED} more; --json lists them all.")
    records, pictures = figured(found.records, "record"), figured(found.originals, "picture")
    how = f"read {pictures} in full" if found.by_hash else f"{pictures} for changes since they were last read"
    answer(f"Checked {records}, and {how}." if found.originals else f"Checked {records}.")
    if found.unread:
        them = "one file was" if found.unread == 1 else f"{found.unread} files were"
        answer_prose(
            f"Of these, {them} never read on this computer, only compared by size; "
            "--originals reads them all."
        )


def _as_json(found: "Checked", repaired: "Repaired | None") -> dict[str, Any]:
    after = repaired.after if repaired else found
    index = after.index
    return {
        "sound": not after.wrong,
        "records": after.records,
        "originals": after.originals,
        "by_hash": after.by_hash,
        "unread": after.unread,
        "findings": [_finding_json(one) for one in after.findings],
        "repaired": [_finding_json(one) for one in repaired.done] if repaired else [],
        "backup": str(repaired.backup) if repaired and repaired.backup else None,
        "index": asdict(index) | {"in_step": index.in_step, "rebuilt": False} if index else None,
    }


def _finding_json(one: "Finding") -> dict[str, Any]:
    return {
        "kind": str(one.kind),
        "where": one.where,
        "what": one.what,
        "id": one.id,
        "wrong": one.is_wrong,
        "repair": one.repair,
    }
