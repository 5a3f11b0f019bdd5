"""Lines of a day file that were not understood: corrected, kept as journal, or dismissed."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.errors import InvalidValueError, LogbookError, NotFoundError
from logbook.domain.words import OutcomeWord
from logbook.services.dayfiles.days import read_day
from logbook.services.dayfiles.settling import dismiss_line, keep_as_journal, lines_to_settle, settle_line
from logbook.store.book import Book
from tests.examples import first

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
DAY = """---
trip: valley
date: 2031-10-14
---
Ice on the tent at six.

## Quarry ledge 17:20-18:45 shooting
- crowd: dozens at 17:20
- shot bridge-nowhere: made
- tries: a lot
- wind: 99
"""


@pytest.fixture
def loose(book: Book, keepers: Path, tmp_path: Path) -> dict[str, str]:
    """The ids of the lines to sort out, by their first word."""
    (tmp_path / "day.md").write_text(DAY, encoding="utf-8")
    read_day(book, tmp_path / "day.md")
    found = lines_to_settle(book, "valley")
    assert {one.viewpoint for one in found} == {"quarry-ledge"}
    return {one.line.text.removeprefix("- ").partition(" ")[0].rstrip(":"): one.line.id for one in found}


def left(book: Book) -> int:
    return len(lines_to_settle(book, "valley"))


def test_an_outcome_corrected_is_in_the_book_and_its_line_is_gone(book: Book, loose: dict[str, str]) -> None:
    assert settle_line(book, loose["shot"], "shot bridge-flow: made", "quarry-ledge") == ()
    with book.reading() as desk:
        (outcome,) = desk.outcomes.all()
        assert outcome.word is OutcomeWord.MADE
        assert len(desk.visits.all()) == 1, "the heading it stood under is the visit there is"
    assert left(book) == len(loose) - 1


def test_tries_belong_to_the_visit_that_the_line_stood_under(book: Book, loose: dict[str, str]) -> None:
    settle_line(book, loose["tries"], "- tries: 14", "quarry-ledge")
    with book.reading() as desk:
        (visit,) = desk.visits.all()
        assert visit.tries == 14
        assert visit.arrived_at is not None, "and what the file said of it stays"


def test_what_was_observed_belongs_to_that_visit(book: Book, loose: dict[str, str]) -> None:
    settle_line(book, loose["wind"], "wind: 4 from west", "quarry-ledge")
    with book.reading() as desk:
        (visit,) = desk.visits.all()
        (wind,) = [one for one in desk.conditions.all() if str(one.kind) == "wind"]
        assert (wind.level, wind.visit_id) == ("4", visit.id)


@pytest.mark.parametrize(
    ("text", "viewpoint"),
    first(
        [
            ("", None),
            ("shot nowhere: made", "quarry-ledge"),
            ("wind: 77", "quarry-ledge"),
            ("we ran out of tea", "quarry-ledge"),
            ("- we ran out of tea", None),
            ("tries: 14", None),
            ("tries: 14", "dune-crest"),
            ("crowd: few", "nowhere"),
            ("crowd: few\n- wind: 4", "quarry-ledge"),
        ],
        2,
    ),
)
def test_what_is_still_not_understood_changes_nothing(
    book: Book, loose: dict[str, str], dump: Dump, text: str, viewpoint: str | None
) -> None:
    before = dump()
    with pytest.raises(LogbookError):
        settle_line(book, loose["shot"], text, viewpoint)
    assert dump() == before


def test_a_heading_can_be_corrected(book: Book, loose: dict[str, str]) -> None:
    settle_line(book, loose["shot"], "## Dune crest 19:00-19:30 scouting", None)
    with book.reading() as desk:
        assert len(desk.visits.all()) == 2


def test_words_can_be_kept_as_journal_or_dismissed(book: Book, loose: dict[str, str]) -> None:
    keep_as_journal(book, loose["tries"])
    dismiss_line(book, loose["shot"])
    with book.reading() as desk:
        (day,) = desk.days.all()
        assert day.journal == "Ice on the tent at six.\n\n- tries: a lot"
    assert left(book) == len(loose) - 2
    with pytest.raises(NotFoundError):
        dismiss_line(book, loose["shot"])


def test_the_file_mended_in_the_same_words_means_the_same_record(
    book: Book, loose: dict[str, str], tmp_path: Path
) -> None:
    settle_line(book, loose["wind"], "wind: 4", "quarry-ledge")
    with book.reading() as desk:
        before = {one.id for one in desk.conditions.all()}
    (tmp_path / "day.md").write_text(DAY.replace("wind: 99", "wind: 4"), encoding="utf-8")
    read_day(book, tmp_path / "day.md")
    with book.reading() as desk:
        assert {one.id for one in desk.conditions.all()} == before


def test_a_word_that_nobody_knows_is_named(book: Book, loose: dict[str, str]) -> None:
    with pytest.raises(InvalidValueError, match="begin it with a word"):
        settle_line(book, loose["shot"], "we ran out of tea", None)
