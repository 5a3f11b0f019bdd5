"""The whole book at once: every trip, place and piece of kit, and what can be searched for in it.

One surprising decision: the words come from the text index itself, stems and all, so that a page that
searches without this program finds what the program finds.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from logbook.domain.kit import KitItem
from logbook.domain.lesson import Lesson
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.store.book import Book
from logbook.store.text_index.contents import IndexedDocument, indexed_documents, indexed_words


@dataclass(frozen=True, slots=True)
class WholeBook:
    """All that stands above the single trips; `words`: stem to document number to weight."""

    trips: tuple[Trip, ...]  # by their first day, the undated last
    sites: tuple[Site, ...]
    viewpoints: tuple[Viewpoint, ...]
    lessons: tuple[Lesson, ...]
    kit: tuple[KitItem, ...]
    documents: tuple[IndexedDocument, ...]
    words: Mapping[str, Mapping[int, int]]


def whole_book(book: Book) -> WholeBook:
    """Return the whole book as it stands at one moment."""
    book.prove_index()
    with book.deriving() as desk:
        desk.index.refresh()
    with book.reading() as desk:
        documents = indexed_documents(desk.index.connection)
        numbers = {one.row: number for number, one in enumerate(documents)}
        return WholeBook(
            trips=tuple(
                sorted(desk.trips.all(), key=lambda trip: (trip.starts_on is None, trip.starts_on, trip.slug))
            ),
            sites=tuple(sorted(desk.sites.all(), key=lambda site: site.title.casefold())),
            viewpoints=tuple(desk.viewpoints.all()),
            lessons=tuple(desk.lessons.all()),
            kit=tuple(sorted(desk.kit.all(), key=lambda item: item.title.casefold())),
            documents=documents,
            words={
                stem: {numbers[row]: weight for row, weight in found.items()}
                for stem, found in indexed_words(desk.index.connection).items()
            },
        )
