"""What a page shows of a report's order beforehand is the order of the report that is then built."""

import re
from datetime import UTC, datetime
from pathlib import Path

from logbook.domain.choosing import Chosen
from logbook.domain.discretion.showing import pictures_for
from logbook.domain.keeper import by_place_time
from logbook.domain.words import Audience
from logbook.services import kinds
from logbook.services.accounts import account_of
from logbook.services.keepers.showing import as_shown
from logbook.services.records import edit
from logbook.store.book import Book

TRIP = "high-valley-autumn"


def now() -> datetime:
    return datetime(2032, 1, 1, tzinfo=UTC)


def chosen_in(book: Book) -> tuple[Chosen, dict[str, int]]:
    """What is shown to the client, and the number of each picture in its report."""
    account = account_of(book, TRIP)
    shown = sorted(pictures_for(account, Audience.CLIENT), key=by_place_time)
    return as_shown(account, Audience.CLIENT), {one.id: number for number, one in enumerate(shown, start=1)}


def test_the_order_shown_is_that_of_the_report(demo: Path, demo_book: Path) -> None:
    chosen, numbers = chosen_in(Book(demo_book, now, create=False))
    page = (demo / "client" / "index.html").read_text(encoding="utf-8")
    in_report = [int(one) for one in re.findall(r'<figure[^>]* id="picture-(\d+)"', page)]
    assert chosen.opening is not None
    assert len(chosen.large) > 5
    assert [numbers[one.keeper.id] for one in chosen.plates] == in_report


def test_a_hidden_picture_is_not_in_it(demo_book: Path) -> None:
    book = Book(demo_book, now, create=False)
    opening = chosen_in(book)[0].opening
    assert opening is not None
    edit(book, kinds.KEEPER, opening.keeper.slug, {"hidden_from": (Audience.CLIENT,)})
    chosen, _ = chosen_in(book)
    assert opening.keeper.id not in {one.keeper.id for one in chosen.plates}
    assert chosen.opening is not None
