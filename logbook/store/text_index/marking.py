"""Marking the words that matched, in the few texts that are shown.

One surprising decision: the texts go into a small index in memory and are asked there. The large one would
look for every word of a question once more for each text, which takes longer than finding them.
"""

import sqlite3
from collections.abc import Iterable
from contextlib import closing

from logbook.store.text_index.objects import TOKENISER

BEGIN_MARK, END_MARK = "\x02", "\x03"  # around each word that matched; no text of a person holds them
SNIPPET_WORDS = 18
_MARKS = f"'{BEGIN_MARK}', '{END_MARK}'"

Texts = tuple[str, str, str]  # title, body, context


def marked(texts: Iterable[tuple[int, str, str, str]], query: str | None) -> dict[int, Texts]:
    """Return title, snippet of the body and snippet of the context by row; what the query finds is marked."""
    texts = list(texts)
    found = {row: (title, _beginning(body), context) for row, title, body, context in texts}
    if query is None or not texts:
        return found
    with closing(sqlite3.connect(":memory:")) as memory:
        memory.execute(
            f"CREATE VIRTUAL TABLE shown USING fts5(title, body, context, tokenize = '{TOKENISER}')"
        )
        memory.executemany("INSERT INTO shown (rowid, title, body, context) VALUES (?, ?, ?, ?)", texts)
        answered = memory.execute(
            f"SELECT rowid, highlight(shown, 0, {_MARKS}), snippet(shown, 1, {_MARKS}, '…', {SNIPPET_WORDS}),"
            f" snippet(shown, 2, {_MARKS}, '…', {SNIPPET_WORDS}) FROM shown WHERE shown MATCH ?",
            (query,),
        )
        return found | {row: (title, body, context) for row, title, body, context in answered}


def _beginning(body: str) -> str:
    """As many words of a text as a snippet has."""
    words = body.split(" ")
    return " ".join(words[:SNIPPET_WORDS]) + ("…" if len(words) > SNIPPET_WORDS else "")
