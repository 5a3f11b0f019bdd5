"""Facts as words of the index: how an aperture, a support or the light of a moment is spelled there.

One surprising decision: facts are asked in the same breath as words, in one query of the index, so that
"f/16 tripod dusk" costs no more than three words do.
"""

import re
from collections.abc import Iterable
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache

# The nouns that have documents, which are also their tables.
NOUNS = (
    "trip",
    "site",
    "viewpoint",
    "shot",
    "visit",
    "condition",
    "lesson",
    "day",
    "keeper",
    "kit",
    "loose_line",
)


class FactKind(StrEnum):
    """What a fact is about; the value is its beginning as a word of the index, which no typed word has."""

    APERTURE = "qap"
    EXPOSURE = "qex"
    FOCAL = "qfo"
    ISO = "qis"
    FILTER = "qfn"
    FILTER_KIND = "qfk"
    FILTER_STOPS = "qfs"
    SUPPORT = "qsu"
    TRIPOD_RULE = "qru"
    CROWD = "qcr"
    WATER = "qwa"
    WIND = "qwi"
    LIGHT = "qli"
    OUTCOME = "qou"
    REASON = "qre"
    SHARPNESS = "qsh"
    MONTH = "qmo"
    YEAR = "qye"
    SEASON = "qse"
    SUBJECT = "qki"
    NOUN = "qno"
    TRIP = "qtr"
    SITE = "qst"
    HAS = "qha"
    CONDITION = "qco"
    VERB = "qve"


NUMERIC = {
    FactKind.APERTURE,
    FactKind.EXPOSURE,
    FactKind.FOCAL,
    FactKind.ISO,
    FactKind.FILTER_STOPS,
    FactKind.WIND,
}
KNOWN = "known"  # a record says something on this kind of fact, whatever it is
# Kinds of fact that decide: a record that knows its own is not found by words that speak of another.
DECIDING = NUMERIC - {FactKind.WIND} | {
    FactKind.FILTER,
    FactKind.FILTER_KIND,
    FactKind.SUPPORT,
    FactKind.TRIPOD_RULE,
    FactKind.CROWD,
    FactKind.WATER,
    FactKind.LIGHT,
}
# Kinds of which another value contradicts; of the rest a record may say several, or say it in passing.
TELLING = DECIDING | {
    FactKind.WIND,
    FactKind.OUTCOME,
    FactKind.SHARPNESS,
    FactKind.MONTH,
    FactKind.YEAR,
    FactKind.SEASON,
}
# Words by which a record says that nobody knows.
UNTOLD = {FactKind.TRIPOD_RULE: ("unknown",), FactKind.OUTCOME: ("open",)}


@lru_cache(maxsize=4096)
def word_token(kind: FactKind, word: str) -> str:
    """The index's word for a fact that is a word itself."""
    return kind.value + re.sub(r"[\W_]+", "", word.lower())


@lru_cache(maxsize=4096)
def number_token(kind: FactKind, number: float | Fraction) -> str:
    """The index's word for a fact that is a number; exposure times stay exact."""
    if isinstance(number, Fraction):
        return f"{kind.value}{number.numerator}o{number.denominator}"
    return kind.value + f"{number:.4g}".replace(".", "p").replace("e+", "e").replace("-", "m")


def number_of(token: str) -> float:
    """The number behind a word that `number_token` made."""
    text = token[3:]
    if "o" in text:
        top, bottom = text.split("o")
        return int(top) / int(bottom)
    return float(text.replace("p", ".").replace("m", "-"))


def tokens(
    kind: FactKind, values: Iterable[str | float | Fraction | None], *, deciding: bool = True
) -> list[str]:
    """The index's words for the known ones among values, with the word that says that something is known.

    Not `deciding`: that it is known does not keep the record's own words from counting.
    """
    found = [
        word_token(kind, value) if isinstance(value, str) else number_token(kind, value)
        for value in values
        if value is not None
    ]
    return [*found, kind.value + KNOWN] if found and deciding and kind in DECIDING else found
