"""What kinds of value the fields of nouns hold: what follows from a kind is said here once.

A kind says how its values lie in a book, how JSON holds them and is read with suspicion, how the published
schema describes them, and what a person types for one.

One surprising decision: most fields name no kind, as their type says it already; only where one type means
several things (a text that is a slug, a number that is a bearing) a field does.
"""

from logbook.domain.kinds.kind import (
    DocumentError,
    Kind,
    ListOf,
    Names,
    Schema,
    Stored,
    a_list,
    an_object,
    list_of,
    shown,
)
from logbook.domain.kinds.nested import ORIGINS, POINTS, SET_FIELDS
from logbook.domain.kinds.numbers import (
    APERTURE,
    BEARING,
    FOCAL,
    HORIZON,
    ISO,
    NUMBER,
    RATIONAL,
    TRIES,
    TRUTH,
    WHOLE,
)
from logbook.domain.kinds.of_types import kind_of, kind_of_value, without_none
from logbook.domain.kinds.texts import (
    DIRECTION,
    FILTER,
    FILTERS,
    ID,
    IDS,
    NAMES,
    SLUG,
    TEXT,
    ZONE,
    Word,
    word_of,
)
from logbook.domain.kinds.times import DATE, INSTANT, TIME_OF_DAY, WALL_TIME

__all__ = [
    "APERTURE",
    "BEARING",
    "DATE",
    "DIRECTION",
    "FILTER",
    "FILTERS",
    "FOCAL",
    "HORIZON",
    "ID",
    "IDS",
    "INSTANT",
    "ISO",
    "NAMES",
    "NUMBER",
    "ORIGINS",
    "POINTS",
    "RATIONAL",
    "SET_FIELDS",
    "SLUG",
    "TEXT",
    "TIME_OF_DAY",
    "TRIES",
    "TRUTH",
    "WALL_TIME",
    "WHOLE",
    "ZONE",
    "DocumentError",
    "Kind",
    "ListOf",
    "Names",
    "Schema",
    "Stored",
    "Word",
    "a_list",
    "an_object",
    "kind_of",
    "kind_of_value",
    "list_of",
    "shown",
    "without_none",
    "word_of",
]
