"""The viewpoint that a heading names: figures of a known name are no times, whatever they look like."""

from datetime import time

import pytest

from logbook.domain.errors import LogbookError
from logbook.intake.dayfile.headings import read_heading
from logbook.services import kinds, records
from logbook.services.places.headed import headed
from logbook.store.book import Book


def placed(book: Book, said: str) -> tuple[str, time | None, time | None]:
    with book.reading() as desk:
        section, there = headed(desk, read_heading(said, 1).section)
    return there.slug, section.arrived, section.departed


@pytest.fixture(autouse=True)
def terrace(book: Book) -> None:
    records.add(book, kinds.VIEWPOINT, {"title": "Terrace 1200-1300", "site": "quarry"}, None)


def test_a_viewpoint_that_is_called_so_takes_its_figures(book: Book) -> None:
    assert placed(book, "Terrace 1200-1300") == ("terrace-1200-1300", None, None)
    assert placed(book, "terrace 1200-1300 shooting") == ("terrace-1200-1300", None, None)


def test_other_figures_are_times(book: Book) -> None:
    assert placed(book, "Quarry ledge 1200-1300") == ("quarry-ledge", time(12), time(13))
    assert placed(book, "Terrace 1210-1300") == ("terrace-1200-1300", time(12, 10), time(13))


def test_years_behind_a_known_name_are_no_stay_there(book: Book) -> None:
    with pytest.raises(LogbookError):
        placed(book, "Quarry ledge 1914-1918")
