"""Words of the book that are spelled nearly as one that was typed.

One surprising decision: the index keeps stems only, so the words themselves are read out of a few documents
that have a near stem; the first letter is taken to be right, which keeps this fast in a large book.
"""

import re
from difflib import get_close_matches
from typing import Any

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


def near_words(cursor: Any, typed: str) -> list[str]:
    """Return words of the book near to a folded word, the nearest first; none for a number."""
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
