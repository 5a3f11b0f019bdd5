"""Asking the index: one query, best first, with the words that matched marked in a snippet.

One surprising decision: the few texts that are shown go into a small index in memory and are marked there.
The large one would look for every word of a question once more for each text, which takes longer than
finding them. Making the small one takes as long as marking with it, so the empty one is kept.
"""

import atexit
import json
import re
import sqlite3
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from threading import Lock
from typing import Any

from sqlalchemy import Connection

from logbook.store.text_index import keeping, numbering
from logbook.store.text_index.clauses import Clause, WantedFact, said
from logbook.store.text_index.objects import TOKENISER

# What a word counts in title, body and context; facts decide and do not rank. Chosen on the questions of
# tests/truth/questions.toml.
WEIGHTS = (6.0, 2.0, 1.0, 0.0)
_SCORE = f"-bm25(search_text, {', '.join(str(weight) for weight in WEIGHTS)})"
_ANSWERS = "FROM search_text WHERE search_text MATCH ? AND rowid BETWEEN ? AND ?"
_AMONG = "+rowid IN (SELECT value FROM json_each(?))"  # the plus: not once for each of them
_SLUGLESS = ("day", "loose_line")
_STEMS = "CREATE VIRTUAL TABLE IF NOT EXISTS temp.search_stems USING fts5vocab(main, search_text, row)"
_NEAR_STEMS = (
    "SELECT term FROM temp.search_stems WHERE term >= ? AND term < ? AND length(term) BETWEEN ? AND ?"
)
_TEXTS = "SELECT title, body, context FROM search_text WHERE search_text MATCH ? LIMIT 3"
_WORD = re.compile(r"[^\W\d_]{3,}")
SHORTEST = 3  # letters; anything is near to a shorter word
LONGEST_ENDING = 3  # letters that a stem lacks of its word ("ing"), or a slip leaves out
NEAR_STEMS = 3
NEAR = 0.75  # of difflib's ratio; one slip in four letters
BEGIN_MARK, END_MARK = "\x02", "\x03"  # around each word that matched; no text of a person holds them
SNIPPET_WORDS = 18
_MARKS = f"'{BEGIN_MARK}', '{END_MARK}'"
_ASKED = (
    f"SELECT rowid, highlight(shown, 0, {_MARKS}), snippet(shown, 1, {_MARKS}, '…', {SNIPPET_WORDS}),"
    f" snippet(shown, 2, {_MARKS}, '…', {SNIPPET_WORDS}) FROM shown WHERE shown MATCH ?"
)
_one_at_a_time = Lock()
Texts = tuple[str, str, str]  # title, body, context


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
        numbers: list[str] = []
        if any(isinstance(clause, WantedFact) and clause.low is not None for clause in clauses):
            numbers = [row[0] for row in self._cursor().execute("SELECT token FROM search_value").fetchall()]
        return [said(clause, numbers) for clause in clauses]

    def occurs(self, query: str) -> bool:
        """Whether any document answers a query."""
        asked = "SELECT 1 FROM search_text WHERE search_text MATCH ? LIMIT 1"
        return self._cursor().execute(asked, (query,)).fetchone() is not None

    def near_words(self, typed: str) -> list[str]:
        """Return words that the book has, as written, a slip away from the typed one."""
        return _near_words(self._cursor(), typed)

    def best(self, words: str, days: Days, limit: int) -> list[Ranked]:
        """Return the best documents for words in the index's language."""
        asked = f"SELECT rowid, {_SCORE} AS score {_ANSWERS} ORDER BY score DESC, rowid DESC LIMIT ?"
        between = numbering.rows_between(days.since, days.until)
        return [Ranked(*one) for one in self._cursor().execute(asked, (words, *between, limit))]

    def newest(self, query: str, days: Days, limit: int) -> list[Ranked]:
        """Return the newest documents that answer a query in the index's language, all equally good."""
        asked = f"SELECT rowid, 1.0 {_ANSWERS} ORDER BY rowid DESC LIMIT ?"
        between = numbering.rows_between(days.since, days.until)
        return [Ranked(*one) for one in self._cursor().execute(asked, (query, *between, limit))]

    def scores(self, words: str, rows: Collection[int]) -> dict[int, float]:
        """Return how good each of some rows is for words."""
        if not rows:
            return {}
        asked = f"SELECT rowid, {_SCORE} {_ANSWERS} AND {_AMONG}"
        return dict(self._cursor().execute(asked, (words, min(rows), max(rows), json.dumps([*rows]))))

    def rows(self, query: str, days: Days) -> frozenset[int]:
        """Return all rows that answer a query."""
        asked = f"SELECT json_group_array(rowid) {_ANSWERS}"  # as one text: faster than one by one
        between = numbering.rows_between(days.since, days.until)
        return frozenset(json.loads(self._cursor().execute(asked, (query, *between)).fetchone()[0]))

    def among(self, rows: Collection[int], query: str) -> set[int]:
        """Return those of some rows that answer a query."""
        if not rows:
            return set()
        asked = f"SELECT rowid {_ANSWERS} AND {_AMONG}"
        parameters = (query, min(rows), max(rows), json.dumps([*rows]))
        return {row for (row,) in self._cursor().execute(asked, parameters)}

    def show(self, ranked: Sequence[Ranked], marking: str | None) -> list[FoundDocument]:
        """Return the documents behind rows, in their order; `marking` is what is marked in their text."""
        cursor = self._cursor()
        listed = json.dumps([one.row for one in ranked])
        held = {row[0]: row[1:] for row in cursor.execute(_SHOWN, (listed,))}
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
                asked = f"SELECT id, slug FROM {kind} WHERE id IN (SELECT value FROM json_each(?))"
                found |= dict(self._cursor().execute(asked, (json.dumps(ids),)))
        return found

    def _cursor(self) -> Any:
        return self.connection.connection.cursor()


_SHOWN = (
    "SELECT d.rowid, d.kind, d.record_id, d.on_date, trip.slug, trip.title, site.slug, site.title,"
    " t.title, t.body, t.context"
    " FROM search_document d JOIN search_text t ON t.rowid = d.rowid"
    " LEFT JOIN trip ON trip.id = d.trip_id LEFT JOIN site ON site.id = d.site_id"
    " WHERE d.rowid IN (SELECT value FROM json_each(?))"
)


def _near_words(cursor: Any, typed: str) -> list[str]:
    """Words of the book near to a folded word, the nearest first; none for a number.

    The index keeps stems only, so the words themselves are read out of a few documents that have a near stem;
    the first letter is taken to be right, which keeps this fast in a large book.
    """
    if not _WORD.fullmatch(typed):
        return []
    cursor.execute(_STEMS)
    first, size = typed[0], len(typed)
    bounds = (first, chr(ord(first) + 1), max(SHORTEST, size - LONGEST_ENDING), size + 1)
    stems = [row[0] for row in cursor.execute(_NEAR_STEMS, bounds)]
    words: set[str] = set()
    for stem in get_close_matches(typed, stems, NEAR_STEMS, NEAR - 0.1):
        for texts in cursor.execute(_TEXTS, (f'{{title body context}}:"{stem}"',)).fetchall():
            words |= {word.casefold() for text in texts for word in _WORD.findall(text or "")}
    return get_close_matches(typed, words, NEAR_STEMS, NEAR)


def marked(texts: Iterable[tuple[int, str, str, str]], query: str | None) -> dict[int, Texts]:
    """Return title, snippet of the body and snippet of the context by row; what the query finds is marked."""
    texts = list(texts)
    found = {row: (title, _beginning(body), context) for row, title, body, context in texts}
    if query is None or not texts:
        return found
    with _one_at_a_time:
        memory = _kept()
        memory.execute("BEGIN")
        try:
            memory.executemany("INSERT INTO shown (rowid, title, body, context) VALUES (?, ?, ?, ?)", texts)
            answered = memory.execute(_ASKED, (query,)).fetchall()
        finally:
            memory.execute("ROLLBACK")
    return found | {row: (title, body, context) for row, title, body, context in answered}


@cache
def _kept() -> sqlite3.Connection:
    memory = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    atexit.register(memory.close)
    memory.execute(f"CREATE VIRTUAL TABLE shown USING fts5(title, body, context, tokenize = '{TOKENISER}')")
    return memory


def _beginning(body: str) -> str:
    """As many words of a text as a snippet has."""
    words = body.split(" ")
    return " ".join(words[:SNIPPET_WORDS]) + ("…" if len(words) > SNIPPET_WORDS else "")
