"""Marking the words that matched, in the few texts that are shown.

One surprising decision: the texts go into a small index in memory and are asked there. The large one would
look for every word of a question once more for each text, which takes longer than finding them. Making the
small one takes as long as marking with it, so the empty one is kept.
"""

import atexit
import sqlite3
from collections.abc import Iterable
from functools import cache
from threading import Lock

from logbook.store.text_index.objects import TOKENISER

BEGIN_MARK, END_MARK = "\x02", "\x03"  # around each word that matched; no text of a person holds them
SNIPPET_WORDS = 18
_MARKS = f"'{BEGIN_MARK}', '{END_MARK}'"
_ASKED = (
    f"SELECT rowid, highlight(shown, 0, {_MARKS}), snippet(shown, 1, {_MARKS}, '…', {SNIPPET_WORDS}),"
    f" snippet(shown, 2, {_MARKS}, '…', {SNIPPET_WORDS}) FROM shown WHERE shown MATCH ?"
)
_one_at_a_time = Lock()

Texts = tuple[str, str, str]  # title, body, context


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
