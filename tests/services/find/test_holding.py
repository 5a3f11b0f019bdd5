"""Parts that are combined here are what the index says of their combinations."""

from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import combinations
from pathlib import Path

import pytest

from logbook.services.find.holding import Holdings, parts_of
from logbook.services.find.reading import read
from logbook.services.find.synonyms import synonyms_with
from logbook.store.book import Book
from logbook.store.text_index.asking import Days, Index
from logbook.store.text_index.clauses import all_of, any_of

AUTUMN = Days("2025-10-01", "2025-10-16")


@pytest.fixture
def index(demo_book: Path) -> Iterator[Index]:
    book = Book(demo_book, lambda: datetime(2031, 1, 1, tzinfo=UTC), create=False)
    with book.reading() as desk:
        yield desk.index


def answering(index: Index, query: str, days: Days) -> set[int]:
    return {one.row for one in index.newest(query, days, 100_000)}


@pytest.mark.parametrize("days", [Days(), AUTUMN])
@pytest.mark.parametrize(
    "question",
    ["silky water", "harbour dusk tripod", "lanterns f/16 silky water handheld", "river not dusk 2s"],
)
def test_so_many_of_the_parts_are_had_by_what_answers_their_combinations(
    index: Index, question: str, days: Days
) -> None:
    parts = parts_of(index, read(question, synonyms_with()).terms)
    holdings = Holdings(index, days)
    for count in range(1, len(parts) + 1):
        asked = any_of(all_of(part.said for part in some) for some in combinations(parts, count))
        assert holdings.with_most(parts, count, ()) == answering(index, asked, days)
    assert holdings.with_most(parts, 1, ())


def test_what_is_within_limits_the_rows(index: Index) -> None:
    river, dusk, tripod = parts_of(index, read("river dusk tripod", synonyms_with()).terms)
    found = Holdings(index, Days()).with_most([river, dusk], 1, [tripod.said])
    asked = all_of([any_of([river.said, dusk.said]), tripod.said])
    assert found == answering(index, asked, Days())
    assert found


def test_words_apart_find_all_that_their_phrase_does(index: Index) -> None:
    (part,) = parts_of(index, read("silky water", synonyms_with()).terms)
    holdings = Holdings(index, Days())
    assert holdings.having(part) == answering(index, part.said, Days())
    assert holdings.of(part.typed) < holdings.having(part)
