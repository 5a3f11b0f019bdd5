"""A server killed at any moment: what a page said was kept is in the book, and the next one goes on there."""

import random
import shutil
import time
from http.client import HTTPException
from pathlib import Path
from threading import Thread

import pytest

from logbook.domain.words import Provenance
from logbook.services.books.checks import check_book
from logbook.services.night.questions import Asks
from logbook.store.book import Book
from tests.examples import slow
from tests.faces.private.test_evening import PAGE, evening, value_of
from tests.faces.private.test_open_command import port_of, running
from tests.faces.private.visitor import Visitor
from tests.services.night.sittings import now

MOMENTS = 25  # in each of four parts, which makes a hundred
LONGEST_S = 2.5  # after the first form is on its way


def kept_until_killed(book: Path, chance: random.Random) -> list[tuple[str, str]]:
    """Send forms until the server is gone; return what it said was kept, by key and value."""
    keys = [one.question.key for one in evening(book).items if one.question.asks is Asks.TRIES]
    kept: list[tuple[str, str]] = []
    with running(book) as server:
        assert server.stdout is not None
        line = server.stdout.readline()
        visitor = Visitor(port_of(line))
        visitor.come_in(line.strip())
        token = visitor.token()

        def work() -> None:
            try:
                for number in range(1, 500):
                    key = keys[number % len(keys)]
                    answer = visitor.ask(
                        PAGE, "POST", [("token", token), (f"line:{key}", str(number)), ("do", "keep")]
                    )
                    if answer.status == 303:
                        kept.append((key, str(number)))
            except (OSError, HTTPException):
                return  # it is gone

        working = Thread(target=work)
        working.start()
        time.sleep(chance.uniform(0, LONGEST_S))
        server.kill()
        working.join(60)
        assert not working.is_alive()
    return kept


@pytest.mark.parametrize("part", slow(*range(4)))
def test_nothing_that_was_acknowledged_is_lost(sample_book: Path, tmp_path: Path, part: int) -> None:
    chance = random.Random(part)
    acknowledged = 0
    for moment in range(MOMENTS):
        book = Path(shutil.copyfile(sample_book, tmp_path / f"{moment}.sqlite"))
        kept = kept_until_killed(book, chance)
        acknowledged += len(kept)
        for key, value in dict(kept).items():
            found, word = value_of(book, key)
            assert word is Provenance.STATED
            assert int(found) >= int(value), "a later form may have been kept and not acknowledged"
        assert not check_book(Book(book, now, create=False)).wrong
    assert acknowledged >= MOMENTS // 2, "something was kept before it was killed"
