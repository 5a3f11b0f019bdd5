"""Building the folder over all trips: each trip's archive in a folder of its own, a page and a search above.

One surprising decision: the trips are built one after the other and released, so that a book of a thousand
trips needs no more memory than its largest.
"""

import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from logbook.craft.feasible import Feasibility
from logbook.domain.account import TripAccount
from logbook.domain.discretion import account_for
from logbook.domain.names import slug_of
from logbook.domain.trip import Trip
from logbook.domain.words import Audience
from logbook.faces.report.build import (
    Look,
    MissingPicture,
    Progress,
    fill,
    kept_since,
    originals_of,
)
from logbook.faces.report.editions import EDITIONS
from logbook.faces.report.order import put_in_order
from logbook.faces.report.reuse import pictures_of
from logbook.faces.report.site import brought, environment
from logbook.faces.report.whole.page import TripPages, documents, trip_pages, whole_page
from logbook.faces.report.whole.searching import write_search
from logbook.faces.report.whole.thumbnails import thumbnails
from logbook.faces.report.writing import swapped_in
from logbook.intake.report_list import read_list
from logbook.services.books.whole_book import WholeBook
from logbook.services.keepers.originals import look_at_all
from logbook.sky.phases import CUSTOMARY, LightLimits

LONGEST_NAME = 60  # characters of a folder's name


@dataclass(frozen=True, slots=True)
class BuiltWhole:
    """A finished folder: what to open, how many trips and pictures, and which originals were missing."""

    index: Path
    trips: int
    pictures: int
    missing: tuple[MissingPicture, ...]
    kept: tuple[str, ...] = ()  # a person's own in the folder, kept for the first time


def build_whole(
    book: WholeBook,
    account_of: Callable[[Trip], tuple[TripAccount, Mapping[str, Feasibility]]],
    into: Path,
    *,
    templates: Path,
    progress: Progress | None = None,
    limits: LightLimits = CUSTOMARY,
    look: Look = look_at_all,
    keep_mine: bool = False,
) -> BuiltWhole:
    """Write all trips of a book into the folder `into`, replacing an older one there.

    `look` tells how originals stand; with `keep_mine` what a person did there by hand is kept. Raises
    OutputError where `into` cannot be written or is not ours to replace; then nothing has changed.
    """
    into = into.expanduser().resolve()
    listed = read_list(into)
    pages: list[TripPages] = []
    missing: list[MissingPicture] = []
    pictures = 0
    with swapped_in(into, Audience.ARCHIVE, keep_mine=keep_mine) as building:
        (building / "trips").mkdir()
        for number, trip in enumerate(book.trips, start=1):
            account, feasibility = account_of(trip)
            shown = account_for(account, Audience.ARCHIVE, feasibility=feasibility)
            order = put_in_order(shown, limits)
            originals = originals_of(account, order)
            folder = f"trips/{number}-{slug_of(trip.slug)[:LONGEST_NAME].strip('-')}"
            (building / folder).mkdir()
            earlier = pictures_of(into, listed, f"{folder}/")
            looked = look(originals)
            edition = EDITIONS[Audience.ARCHIVE]
            filled = fill(account, order, edition, originals, building / folder, templates, earlier, looked)
            small = thumbnails(order, filled.images, filled.chosen, folder)
            pages.append(trip_pages(order, number, folder, filled.homes, small))
            missing += filled.missing
            pictures += filled.pictures
            if progress:
                progress("trips", number, len(book.trips))
        html = environment(templates).get_template("report/whole.html")
        text = html.render(page=whole_page(book, pages), root="", alone=True)
        (building / "index.html").write_text(text, encoding="utf-8", newline="\n")
        write_search(building, documents(book, pages), book.words)
        (building / "type").mkdir()
        for name, content in brought(templates).items():
            (building / name).write_bytes(content)
        shutil.copyfile(templates / "report" / "search.js", building / "search.js")
    index = into / "index.html"
    return BuiltWhole(index, len(pages), pictures, tuple(missing), kept_since(listed, into))
