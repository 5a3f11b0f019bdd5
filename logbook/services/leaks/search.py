"""Searching one text for all that others must not be told.

One surprising decision: a finding keeps the words beside it, by which it is found again in the record it came
from, so that a refusal can say what to mend.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from logbook.services.leaks.readings import FileReading
from logbook.services.leaks.secrets import HASH_BEGINS, Secrets
from logbook.services.leaks.words import read

POSITION = "the coordinates of a place whose position is kept private"
BEARING = "the direction of a withheld place"
HASH = "the hash of an original"
_HEX = re.compile(rf"(?<![0-9a-z])[0-9a-f]{{{HASH_BEGINS},}}", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class FoundSecret:
    """One thing that must not be told: what it is, which one, as it is written, and the words beside it."""

    what: str
    key: str  # equal for all spellings of one secret
    written: str
    before: str = ""
    after: str = ""

    @property
    def hint(self) -> str:
        """How it begins and how long it is, which tells its writer enough and a bystander little."""
        shown = self.written.strip()
        return f"“{shown[:2]}…”, {len(shown)} characters"


def find_in_reading(reading: FileReading, secrets: Secrets) -> Iterator[FoundSecret]:
    """Yield all that a text gives away."""
    yield from _named(reading.words, secrets)
    yield from _literal(reading.words, secrets)
    for place in secrets.positions.in_text(read(reading.figures).plain):
        yield FoundSecret(POSITION, "".join(filter(str.isalnum, place)), place)
    for bearing in secrets.bearings.in_reading(reading):
        yield FoundSecret(BEARING, "".join(filter(str.isdigit, bearing)), bearing)


def _named(words: str, secrets: Secrets) -> Iterator[FoundSecret]:
    text = read(words)
    for found in secrets.names.in_text(text):
        written = text.plain[text.words[found.first].start : text.words[found.end - 1].end]
        before = text.words[found.first - 1].plain if found.first else ""
        after = text.words[found.end].plain if found.end < len(text.words) else ""
        yield FoundSecret(found.name.what, found.name.text, written, before, after)


def _literal(words: str, secrets: Secrets) -> Iterator[FoundSecret]:
    folded = read(words).plain.casefold()
    for secret, what in secrets.texts.items():
        if secret in folded and re.search(rf"(?<![^\W_]){re.escape(secret)}(?![^\W_])", folded):
            yield FoundSecret(what, secret, secret)
    for run in _HEX.findall(folded):
        if run[:HASH_BEGINS] in secrets.hashes:
            yield FoundSecret(HASH, run[:HASH_BEGINS], run)
