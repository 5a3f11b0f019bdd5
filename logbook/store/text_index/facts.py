"""Facts as words of the index: how an aperture, a stack of filters or the light of a moment is spelled there.

One surprising decision: facts are asked in the same breath as words, in one query of the index, so that
"f/16 tripod dusk" costs no more than three words do.
"""

import json
import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from logbook.craft.errors import CraftValueError
from logbook.craft.filters import parse_filter
from logbook.craft.settings_text import TIME_FIRST, setting_text
from logbook.store.text_index import about
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
NONE = "none"  # of filters: none at all, which a person said


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


def listed(text: str | None) -> list[str]:
    """The items of a stored list, without what is unknown."""
    return [str(item) for item in json.loads(text)] if text else []


@lru_cache(maxsize=1024)
def words_of(text: str | None) -> str:
    """A stored list as words."""
    return ", ".join(item.replace("-", " ") for item in listed(text))


def settings_text(row: Mapping[str, Any]) -> str:
    """Settings, filters and support in one line as photographers write them; unknown ones left out."""
    parts = [
        *(_told(name, row[name]) for name in TIME_FIRST if row[name] is not None),
        None if row["filters"] is None else " + ".join(listed(row["filters"])) or "unfiltered",
        row["support"] if row["support"] != "unknown" else None,
    ]
    return ", ".join(part for part in parts if part)


def settings_facts(row: Mapping[str, Any]) -> list[str]:
    """Settings, filters and support as words of the index."""
    exposure = row["exposure_s"]
    support = row["support"] if row["support"] != "unknown" else None
    return [
        *tokens(about.EXPOSURE, [None if exposure is None else Fraction(exposure)]),
        *tokens(about.APERTURE, [row["f_number"]]),
        *tokens(about.FOCAL, [row["focal_mm"]]),
        *tokens(about.ISO, [row["iso"]]),
        *tokens(about.SUPPORT, [support]),
        *([] if row["filters"] is None else filter_facts(listed(row["filters"]) or [NONE])),
        *(tokens(about.HAS, ["filters"]) if listed(row["filters"]) else []),
    ]


def filter_facts(names: Iterable[str]) -> list[str]:
    """The names and kinds of filters, and the stops that each takes, as words of the index."""
    names = list(names)
    kinds, stops = zip(*map(_kind_and_stops, names), strict=True) if names else ((), ())
    return [
        *tokens(about.FILTER, names),
        *tokens(about.FILTER_KIND, kinds),
        *(tokens(about.FILTER_STOPS, stops) or tokens(about.FILTER_STOPS, [0] if names else [])),
    ]


@lru_cache(maxsize=256)
def _kind_and_stops(name: str) -> tuple[str, float | None]:
    try:
        known = parse_filter(name)
    except CraftValueError:
        return "other", None
    if name == NONE:
        return NONE, None
    return str(known.kind), known.typical_stops if known.type.is_neutral else None


@lru_cache(maxsize=2048)
def _told(name: str, stored: str | float) -> str:
    return setting_text(name, Fraction(stored) if name == "exposure_s" else stored)
