"""The words that name facts: supports, light, crowds, outcomes; what each says, and how it is said back.

One surprising decision: words that mean a fact only sometimes ("may", "fall", "made") are not here; they
are looked for as words.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from logbook.craft.filter_types import TYPES
from logbook.domain.condition_kinds import KINDS
from logbook.domain.dates import MONTHS
from logbook.domain.words import OutcomeWord, Reason, Support, TripodRule
from logbook.services.find.synonyms import folded
from logbook.store.text_index import about
from logbook.store.text_index.about import FactKind

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
SEASONS = {
    "spring": "spring",
    "summer": "summer",
    "autumn": "autumn",
    "winter": "winter",
    "fall season": "autumn",
}
WITHOUT_TRIPOD = (Support.HANDHELD, Support.BRACED, Support.MONOPOD)
FAILED = (OutcomeWord.MISSED, OutcomeWord.PARTLY, OutcomeWord.REPLACED)


@dataclass(frozen=True, slots=True)
class Meant:
    """What a phrase means: a fact in words or numbers, and how it is said back.

    `is_other`: anything known but that; `alternatives` answer as well.
    """

    kind: FactKind
    says: str
    words: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    is_other: bool = False
    alternatives: tuple["Meant", ...] = ()

    def denied(self) -> "Meant":
        """Return what "not" before the phrase makes of it: what is known to be otherwise."""
        return replace(self, says=f"not {self.says}", is_other=not self.is_other)


def _phrases() -> Iterator[tuple[str, Meant]]:
    yield from _supports()
    yield from _filters()
    yield from _conditions()
    yield from _light()
    yield from _results()
    yield from _dates()
    yield from _nouns()


def _supports() -> Iterator[tuple[str, Meant]]:
    for support in (Support.TRIPOD, Support.MONOPOD, Support.BRACED, Support.HANDHELD):
        yield support.value, Meant(about.SUPPORT, f"support {support}", (support,))
    for text in ("hand held", "free hand"):
        yield text, Meant(about.SUPPORT, "support handheld", (Support.HANDHELD,))
    forbidden = Meant(about.TRIPOD_RULE, "tripod forbidden", (TripodRule.FORBIDDEN,))
    says = "no tripod (other support, or forbidden there)"
    without = Meant(about.SUPPORT, says, WITHOUT_TRIPOD, alternatives=(forbidden,))
    for text in ("no tripod", "without tripod", "without a tripod", "tripodless"):
        yield text, without
    rules = {
        TripodRule.FORBIDDEN: (
            "tripod forbidden",
            "tripod not allowed",
            "forbidden tripod",
            "no tripod allowed",
            "tripod banned",
        ),
        TripodRule.ALLOWED: ("tripod allowed", "tripod rule allowed"),
        TripodRule.AWKWARD: ("tripod awkward", "awkward tripod"),
    }
    for rule, texts in rules.items():
        for text in texts:
            yield text, Meant(about.TRIPOD_RULE, f"tripod {rule}", (rule,))


def _filters() -> Iterator[tuple[str, Meant]]:
    for kind, of in TYPES.items():
        for text in of.phrases:
            yield text, Meant(about.FILTER_KIND, of.says, (kind,))
    for text in ("no filter", "without filter", "without a filter", "without any filter", "unfiltered"):
        yield text, Meant(about.FILTER, "no filter", ("none",))


def _conditions() -> Iterator[tuple[str, Meant]]:
    for kind, of in KINDS.items():
        for asked in of.asked:
            fact = about.LEVELS[kind]
            forces = [int(level) for level in asked.levels] if fact.is_number else []
            meant = (
                Meant(fact, asked.says, low=min(forces), high=max(forces))
                if forces
                else Meant(fact, asked.says, asked.levels)
            )
            yield from ((phrase, meant) for phrase in asked.phrases)


def _light() -> Iterator[tuple[str, Meant]]:
    for name in ("dawn", "sunrise", "sunset", "dusk", "twilight", "night", "golden hour"):
        yield name, Meant(about.LIGHT, f"light {name}", (name,))
    for text, name in {
        "golden light": "golden hour",
        "afterglow": "dusk",
        "first light": "dawn",
        "daylight": "day",
        "daytime": "day",
        "in the dark": "night",
        "after dark": "night",
        "at night": "night",
        "by day": "day",
    }.items():
        yield text, Meant(about.LIGHT, f"light {name}", (name,))
    for text in ("blue hour", "blue light"):  # people mean more of the twilight by it than the tables do
        yield text, Meant(about.LIGHT, "light blue hour or twilight", ("blue hour", "twilight"))


def _results() -> Iterator[tuple[str, Meant]]:
    outcomes: dict[str, tuple[str, ...]] = {
        "missed": ("missed",),
        "partly": ("partly",),
        "replaced": ("replaced",),
        "failed": FAILED,
        "failure": FAILED,
        "did not work": FAILED,
        "went wrong": FAILED,
        "worked": ("made",),
        "success": ("made",),
        "succeeded": ("made",),
        "what worked": ("made",),
        "shot made": ("made",),
    }
    for text, words in outcomes.items():
        yield text, Meant(about.OUTCOME, f"outcome {' or '.join(words)}", words)
    for reason in Reason:
        for text in (
            f"reason {reason}",
            f"because of {reason}",
            f"because of the {reason}",
            f"due to {reason}",
        ):
            yield text, Meant(about.REASON, f"reason {reason}", (reason,))
        yield f"missed because of {reason}", Meant(about.REASON, f"reason {reason}", (reason,))
    for text in ("sharp", "tack sharp"):
        yield text, Meant(about.SHARPNESS, "judged sharp", ("sharp",))
    for text in ("unsharp", "not sharp", "blurred", "blurry"):
        yield text, Meant(about.SHARPNESS, "judged soft", ("soft",))


def _dates() -> Iterator[tuple[str, Meant]]:
    for number, name in enumerate(MONTHS, start=1):
        meant = Meant(about.MONTH, name, (f"{number:02}",))
        yield f"in {name}", meant
        if name not in ("May", "March"):  # those are words of other meaning as well
            yield name, meant
            yield name[:3] if name != "June" else "jun", meant
    for text, season in SEASONS.items():
        yield text, Meant(about.SEASON, season, (season,))
        yield f"in {text}", Meant(about.SEASON, season, (season,))


def _nouns() -> Iterator[tuple[str, Meant]]:
    nouns = {"lesson": "lesson", "keeper": "keeper", "picture": "keeper", "photo": "keeper"}
    for text, noun in nouns.items():
        yield text, Meant(about.NOUN, f"a {noun}", (noun,))


def day_named(text: str) -> date | None:
    """Return the day that a text such as 2025-10-14 names; None for any other."""
    if not _DAY.fullmatch(text):
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:  # not a date in the calendar; looked for as a word
        return None


@lru_cache(maxsize=1)
def vocabulary() -> Mapping[str, Meant]:
    """Return what phrases mean, by folded phrase."""
    return {folded(text): meant for text, meant in _phrases()}
