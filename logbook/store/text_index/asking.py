"""Asking the index: one query, best first, with the words that matched marked in a snippet."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection

from logbook.store.text_index import keeping, numbering
from logbook.store.text_index.clauses import Clause, WantedFact, contradicted, said
from logbook.store.text_index.marking import BEGIN_MARK, marked
from logbook.store.text_index.spelling import near_words

# What a word counts in title, body and context; facts decide and do not rank. Chosen on the questions of
# tests/truth/questions.toml.
WEIGHTS = (6.0, 2.0, 1.0, 0.0)
HELD_ROWS = 500  # rows of an inner answer that are handed on one by one; more are asked for again
_INNER = "SELECT rowid FROM search_text WHERE search_text MATCH ?"
_SLUGLESS = ("day", "loose_line")


@dataclass(frozen=True, slots=True)
class FoundDocument:
    """One document that was found; names are None where it belongs to none; a higher score is better."""

    kind: str
    record_id: str
    slug: str | None
    on_date: str | None
    trip: str | None
    trip_title: str | None
    site: str | None
    site_title: str | None
    title: str
    snippet: str
    score: float


@dataclass(frozen=True, slots=True)
class Ranked:
    """A document by its number, with its score; a higher one is better."""

    row: int
    score: float


@dataclass(frozen=True, slots=True)
class Days:
    """Days that limit an answer, as ISO text, both included."""

    since: str | None = None
    until: str | None = None


@dataclass(frozen=True, slots=True)
class Index:
    """The index within one transaction."""

    connection: Connection

    @property
    def is_behind(self) -> bool:
        """Whether somebody wrote to the book without bringing the index up to date."""
        return keeping.is_behind(self.connection)

    def refresh(self) -> None:
        """Bring the documents of everything that changed up to date."""
        keeping.refresh(self.connection)

    def rebuild(self) -> None:
        """Rebuild the index from the book alone."""
        keeping.rebuild(self.connection)

    def compared(self) -> keeping.Differences:
        """Bring the index up to date and compare it with a fresh one."""
        keeping.refresh(self.connection)
        return keeping.differences(self.connection)

    def differences(self) -> keeping.Differences:
        """Compare the index with a fresh one."""
        return keeping.differences(self.connection)

    def said(self, clauses: Sequence[Clause]) -> list[str]:
        """Return each clause in the index's language."""
        numbers = self._numbers(clauses)
        return [said(clause, numbers) for clause in clauses]

    def contradicted(self, clauses: Sequence[Clause]) -> list[str | None]:
        """Return what contradicts each clause, in the index's language."""
        numbers = self._numbers(clauses)
        return [contradicted(clause, numbers) for clause in clauses]

    def _numbers(self, clauses: Sequence[Clause]) -> list[str]:
        if not any(isinstance(clause, WantedFact) and clause.low is not None for clause in clauses):
            return []
        return [row[0] for row in self._cursor().execute("SELECT token FROM search_value").fetchall()]

    def occurs(self, query: str) -> bool:
        """Whether any document answers a query."""
        asked = "SELECT 1 FROM search_text WHERE search_text MATCH ? LIMIT 1"
        return self._cursor().execute(asked, (query,)).fetchone() is not None

    def near_words(self, typed: str) -> list[str]:
        """Return words that the book has, as written, a slip away from the typed one."""
        return near_words(self._cursor(), typed)

    def rank(self, words: str | None, within: str | None, days: Days, limit: int) -> list[Ranked]:
        """Return the best documents for words among those that `within` allows; without words, the newest.

        Both are in the index's language; one of them may be None.
        """
        first, last = numbering.rows_between(days.since, days.until)
        if words is None:
            ranked = self._cursor().execute(
                "SELECT rowid, -1.0 FROM search_text WHERE search_text MATCH ? AND rowid BETWEEN ? AND ?"
                " ORDER BY rowid DESC LIMIT ?",
                (within, first, last, limit),
            )
        else:
            allowed = ""
            parameters: list[str | int] = [words, first, last]
            if within is not None:
                rows = self._some_rows(within, first, last)
                if not rows:
                    return []  # found out without weighing anything
                few = len(rows) <= HELD_ROWS
                inner = ", ".join("?" * len(rows)) if few else _INNER
                # The plus keeps SQLite from asking the index once for each row of the inner answer.
                allowed = f" AND +rowid IN ({inner})"
                parameters += rows if few else [within]
            ranked = self._cursor().execute(
                f"SELECT rowid, bm25(search_text, {_WEIGHTS}) AS score FROM search_text"
                f" WHERE search_text MATCH ? AND rowid BETWEEN ? AND ?{allowed}"
                " ORDER BY score, rowid DESC LIMIT ?",
                (*parameters, limit),
            )
        return [Ranked(row, -score) for row, score in ranked]

    def _some_rows(self, query: str, first: int, last: int) -> list[int]:
        """The rows that answer a query, or one more than are worth holding."""
        asked = f"{_INNER} AND rowid BETWEEN ? AND ? LIMIT {HELD_ROWS + 1}"
        return [row for (row,) in self._cursor().execute(asked, (query, first, last))]

    def has_at_most(self, documents: int) -> bool:
        """Whether the whole index holds no more documents than so many."""
        asked = "SELECT count(*) FROM (SELECT 1 FROM search_document LIMIT ?)"
        return int(self._cursor().execute(asked, (documents + 1,)).fetchone()[0]) <= documents

    def rows(self, query: str, days: Days) -> set[int]:
        """Return all rows that answer a query."""
        between = numbering.rows_between(days.since, days.until)
        asked = f"{_INNER} AND rowid BETWEEN ? AND ?"
        return {row for (row,) in self._cursor().execute(asked, (query, *between))}

    def among(self, rows: Iterable[int], query: str) -> set[int]:
        """Return those of some rows that answer a query."""
        rows = list(rows)
        if not rows:
            return set()
        marks = ", ".join("?" * len(rows))
        asked = f"{_INNER} AND rowid BETWEEN ? AND ? AND +rowid IN ({marks})"
        return {row for (row,) in self._cursor().execute(asked, (query, min(rows), max(rows), *rows))}

    def show(self, ranked: Sequence[Ranked], marking: str | None) -> list[FoundDocument]:
        """Return the documents behind rows, in their order; `marking` is what is marked in their text."""
        cursor = self._cursor()
        asked = _SHOWN.format(rows=", ".join("?" * len(ranked)))
        held = {row[0]: row[1:] for row in cursor.execute(asked, [one.row for one in ranked])}
        slugs = self._slugs(held.values())
        texts = marked(((row, *one[-3:]) for row, one in held.items()), marking)
        found: list[FoundDocument] = []
        for one in ranked:
            kind, record_id, on_date, trip, trip_title, site, site_title, *_ = held[one.row]
            title, body, context = texts[one.row]
            told = BEGIN_MARK in body or BEGIN_MARK in title
            found.append(
                FoundDocument(
                    kind=kind,
                    record_id=record_id,
                    slug=slugs.get(record_id),
                    on_date=on_date,
                    trip=trip,
                    trip_title=trip_title,
                    site=site,
                    site_title=site_title,
                    title=title,
                    snippet=body if told or BEGIN_MARK not in context else context,
                    score=one.score,
                )
            )
        return found

    def _slugs(self, rows: Iterable[Sequence[Any]]) -> dict[str, str]:
        by_kind: dict[str, list[str]] = {}
        for kind, record_id, *_ in rows:
            by_kind.setdefault(kind, []).append(record_id)
        found: dict[str, str] = {}
        for kind, ids in by_kind.items():
            if kind not in _SLUGLESS:
                marks = ", ".join("?" * len(ids))
                found |= dict(
                    self._cursor().execute(f"SELECT id, slug FROM {kind} WHERE id IN ({marks})", ids)
                )
        return found

    def _cursor(self) -> Any:
        return self.connection.connection.cursor()


_WEIGHTS = ", ".join(str(weight) for weight in WEIGHTS)
_SHOWN = (
    "SELECT d.rowid, d.kind, d.record_id, d.on_date, trip.slug, trip.title, site.slug, site.title,"
    " t.title, t.body, t.context"
    " FROM search_document d JOIN search_text t ON t.rowid = d.rowid"
    " LEFT JOIN trip ON trip.id = d.trip_id LEFT JOIN site ON site.id = d.site_id"
    " WHERE d.rowid IN ({rows})"
)
