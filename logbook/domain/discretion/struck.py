"""Which words were struck from what others get, and where in the book they stand.

One surprising decision: it lists what was struck from texts that were asked for, not from all the book holds;
a note to oneself that nobody else gets loses nothing.
"""

from collections.abc import Iterator
from dataclasses import fields
from enum import Enum
from typing import TYPE_CHECKING

from logbook.domain.plain_text import plain
from logbook.domain.record import Record
from logbook.domain.shot import Outcome
from logbook.domain.shown import Struck

if TYPE_CHECKING:
    from logbook.domain.discretion.audience import Discretion

_NO_TEXT = frozenset(("id", "path", "hash", "provenance"))


def struck_from(say: "Discretion") -> tuple[Struck, ...]:
    """Return every word that was struck so far, each once for a field, in order of the words."""
    asked = {text.casefold(): words for text, words in say.struck().items() if words}
    if not asked:
        return ()
    found: dict[Struck, None] = {}
    told: set[str] = set()
    for record, name in _records(say):
        for field, text in _texts(record):
            whole = text.strip().casefold()
            if whole and any(whole in one for one in asked):
                for word in say.words_struck(text):
                    found[Struck(word, name, field, record.id)] = None
                    told.add(word)
    rest = {word for words in asked.values() for word in words} - told
    found |= dict.fromkeys(Struck(word, "", "") for word in rest)  # of a text that was put together
    return tuple(sorted(found, key=lambda one: (one.word.casefold(), one.record, one.field)))


def _records(say: "Discretion") -> Iterator[tuple[Record, str]]:
    account = say.account
    slugs = {shot.id: shot.slug for shot in account.shots}
    several: tuple[Record, ...] = (
        account.trip,
        *account.sites.values(),
        *account.viewpoints.values(),
        *account.shots,
        *account.outcomes.values(),
        *account.visits,
        *account.conditions,
        *account.lessons,
        *account.days,
        *account.keepers,
        *account.kit.values(),
    )
    for one in several:
        name = getattr(one, "slug", None) or getattr(one, "on_date", "")
        if isinstance(one, Outcome):
            name = slugs.get(one.shot_id, "")
        yield one, f"{type(one).__name__.lower()} {name}"


def _texts(record: Record) -> Iterator[tuple[str, str]]:
    for field in fields(record):
        value = getattr(record, field.name)
        if field.name in _NO_TEXT or isinstance(value, Enum):
            continue
        for text in value if isinstance(value, tuple) else (value,):
            if isinstance(text, str) and not isinstance(text, Enum):
                yield field.name, plain(text)
