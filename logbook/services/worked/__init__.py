"""What worked: for each approach how often, of how many, how sure that is, and what its pictures share.

One surprising decision: k counts what was kept and not judged soft. Choosing a picture is a judgement; one
that nobody called sharp is still one the photographer kept, and the answer says how many were called so.
"""

from logbook.services.worked.counting import reason_rows, rows_of
from logbook.services.worked.question import (
    By,
    Denominator,
    Miss,
    Near,
    Row,
    ShotCount,
    Undivided,
    Worked,
    WorkedQuestion,
)
from logbook.services.worked.scope import scope_of
from logbook.services.worked.units import units
from logbook.store.book import Book
from logbook.store.desk import Desk

__all__ = [
    "By",
    "Denominator",
    "Miss",
    "Near",
    "Row",
    "ShotCount",
    "Undivided",
    "Worked",
    "WorkedQuestion",
    "worked",
    "worked_in",
]


def worked(book: Book, question: WorkedQuestion) -> Worked:
    """Return what worked, by approach; NotFoundError for an unknown site."""
    book.prove_tallies()
    with book.reading() as desk:
        return worked_in(desk, question)


def worked_in(desk: Desk, question: WorkedQuestion) -> Worked:
    """The same within a transaction that is open, of a book whose tallies are proven."""
    scope = scope_of(desk, question)
    found = units(desk, scope)
    if question.by is By.REASON:
        rows = reason_rows(found)
        undivided: tuple[Undivided, ...] = ()
    else:
        rows, undivided = rows_of(desk, scope, found)
    used = {row.denominator for row in rows}
    overall = used.pop() if len(used) == 1 else Denominator.MIXED if used else Denominator.NONE
    return Worked(question, overall, rows, undivided, scope.near, len(scope.site_ids))
