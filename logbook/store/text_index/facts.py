"""Facts as words of the index: how an aperture, a support or the light of a moment is spelled there.

One surprising decision: facts are asked in the same breath as words, in one query of the index, so that
"f/16 tripod dusk" costs no more than three words do.
"""

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from logbook.store.text_index.about import FactKind

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


KNOWN = "known"  # a record says something on this kind of fact, whatever it is


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
    return [*found, kind.value + KNOWN] if found and deciding and kind.decides else found
