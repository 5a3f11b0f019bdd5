"""A finished report put where a person wants it, file by file as it was built and looked at.

One surprising decision: it is copied and not built again, so that what is sent is what was seen.
"""

import shutil
from pathlib import Path

from logbook.domain.errors import OutputError
from logbook.faces.report.build import kept_since
from logbook.faces.report.writing import swapped_in
from logbook.intake.report_list import LIST_NAME, read_list


def hand_over(report: Path, into: Path, *, keep_mine: bool = False) -> tuple[str, ...]:
    """Copy a finished report to a folder, over an older one; return what is kept of a person's own.

    Raises OutputError as building there would, and where `report` is none.
    """
    listed = read_list(report)
    if listed is None:
        raise OutputError("The report is gone; build it again.")
    into = into.expanduser().resolve()
    before = read_list(into)
    with swapped_in(into, listed.audience, listed.trip_id or "", keep_mine=keep_mine) as building:
        for name in listed.digests:
            (building / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(report / name, building / name)
    return kept_since(before, into)


def listed_file(report: Path, name: str) -> Path | None:
    """Return a file of a finished report by its name in the list; None for anything else, and for links."""
    listed, path = read_list(report), report / name
    if listed is None or name not in listed.digests or name == LIST_NAME:
        return None
    return path if path.is_file() and path.resolve() == path else None  # no link to it or to its folder
