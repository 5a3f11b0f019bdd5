"""Building a trip's report from the open book, and what to say of it: for the command and for the page."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from logbook.domain.words import Audience
from logbook.faces.resources import resource

if TYPE_CHECKING:
    from logbook.faces.report.build import BuiltReport, MissingPicture
    from logbook.store.book import Book

TOLD = 3  # pictures, or files of a person's own, that are told one by one


def built_for(
    book: "Book",
    trip: str,
    audience: Audience,
    into: Path,
    *,
    tell: Callable[[str, int, int], None],
    leave_out: Sequence[str] = (),
    keep_mine: bool = False,
    url: str = "",
) -> "BuiltReport":
    """Build the report of a trip for an audience; `tell` hears what is being done and how much of it.

    `leave_out` names keepers as a person does. Raises as `build_report` does, and NotFoundError for a name.
    """
    from logbook.faces.light_limits import light_limits
    from logbook.faces.report.build import build_report
    from logbook.services.accounts import account_of
    from logbook.services.keepers.keeping import ids_meant
    from logbook.services.keepers.originals import survey
    from logbook.services.plans.feasibility import judge_all

    limits = light_limits()
    account = account_of(book, trip)
    left_out = frozenset(one for which in leave_out for one in ids_meant(book, trip, which))
    return build_report(
        account,
        audience,
        into.expanduser(),
        templates=resource("templates"),
        feasibility=judge_all(account),
        progress=tell,
        needs_pictures=audience is not Audience.ARCHIVE,  # nobody sends a report without any
        limits=limits,
        look=lambda keepers: survey(book, keepers, lambda done, total: tell("originals", done, total)),
        left_out=left_out,
        keep_mine=keep_mine,
        url=url,
    )


def missing_lines(missing: "Sequence[MissingPicture]", pictures: int) -> Iterator[str]:
    """Yield which pictures are not shown and why; where there are many, only how many for each reason."""
    changed = any(one.is_changed for one in missing)
    if len(missing) <= TOLD:
        for one in missing:
            yield f"The picture {one.path} is not shown: {one.why}"
    else:
        for why, count in Counter(_reason(one) for one in missing).most_common():
            first = next(one.path for one in missing if _reason(one) == why)
            yield f"{count} of {pictures + len(missing)} pictures are not shown, such as {first}: {why}"
    if changed or len(missing) > TOLD:
        yield 'If originals were moved, "logbook keeper locate FOLDER" finds them again.'
    if changed:
        yield 'If they were edited, "logbook keeper import FOLDER" imports the new versions.'


def kept_lines(kept: Sequence[str]) -> Iterator[str]:
    """Yield what of a person's own was kept in a report's folder, and that nobody else is to have it."""
    if kept:
        more = f" and {len(kept) - TOLD} more" if len(kept) > TOLD else ""
        yield (
            f"Kept your own changes: {', '.join(kept[:TOLD])}{more}. They are not part of the report: "
            f"not searched, packed or served. Take them out before you send the folder."
        )


def _reason(one: "MissingPicture") -> str:
    return "the file has changed since it was imported" if one.is_changed else one.why
