"""What an import did, in sentences; for the command and the page."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from logbook.domain.said import each_counted

if TYPE_CHECKING:
    from logbook.services.keepers.importing import TakenIn

LISTED = 5  # pictures that are explained one by one


def counted_in(done: "TakenIn") -> str:
    """Return how many pictures an import added, knew, moved, joined, updated, passed over and refused."""
    counts = {
        "added": done.added,
        "already known": done.known,
        "moved": done.moved,
        "joined to a keeper": done.joined,
        "updated": done.updated,
        "skipped without the stars, label or keyword asked for": done.passed_over,
        "refused": len(done.refused),
    }
    return f"{each_counted(counts)}."


def import_lines(done: "TakenIn", undo: str) -> Iterator[str]:
    """Yield what may not have been meant, and what was refused; `undo` says how it is taken back."""
    if done.outside:
        were = f"{done.outside} of those added {'was' if done.outside == 1 else 'were'}"
        yield f"{were} taken outside the dates of the trip. Not intended? {undo}."
    for slug, count in done.elsewhere.items():
        already = "is already a keeper" if count == 1 else "are already keepers"
        yield f"{count} of those added {already} of {slug}. Not intended? {undo}."
    for slug, count in done.left.items():
        moved = "was moved to {} and stays" if count == 1 else "were moved to {} and stay"
        yield f"{count} of those already known {moved.format(slug)} there."
    for report, count in done.made_here.items():
        yield f"Skipped {report}: {count} of its pictures were made by this program for a report."
    if done.renewed:
        named = ", ".join(done.renewed[:LISTED])
        more = f" and {len(done.renewed) - LISTED} more" if len(done.renewed) > LISTED else ""
        yield f"Updated because their files have changed: {named}{more}. Not intended? {undo}."
    for doubted in done.doubted[:LISTED]:
        yield f"{doubted.file}: {doubted.reason}."
    if len(done.doubted) > LISTED:
        yield f'{len(done.doubted) - LISTED} more have a doubtful time; "logbook keeper list" shows them.'
    for one in done.refused:
        yield f"Refused {one.file}: {one.reason.removeprefix(one.file).strip()}"
