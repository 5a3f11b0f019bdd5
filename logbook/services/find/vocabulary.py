"""The words that name facts: supports, light, crowds, outcomes; what each says, and how it is said back.

One surprising decision: words that mean a fact only sometimes ("may", "fall", "made") are not here; they
are looked for as words.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from logbook.domain.words import Crowd, OutcomeWord, Reason, Support, TripodRule, Water
from logbook.services.find.synonyms import folded
from logbook.store.text_index.facts import FactKind

# Beaufort forces, lowest and highest; WMO-No. 306: strong breeze, gale, light air
STRONG_WIND, GALE, CALM = (6, 12), (8, 12), (0, 1)
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
SEASONS = {
    "spring": "spring",
    "summer": "summer",
    "autumn": "autumn",
    "winter": "winter",
    "fall season": "autumn",
}
WITHOUT_TRIPOD = (Support.HANDHELD, Support.BRACED, Support.MONOPOD)
FAILED = (OutcomeWord.MISSED, OutcomeWord.PARTLY, OutcomeWord.REPLACED)
FEW_OR_NONE = (Crowd.NONE, Crowd.FEW)
MANY = (Crowd.DOZENS, Crowd.HUNDREDS, Crowd.THOUSANDS)


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
        yield support.value, Meant(FactKind.SUPPORT, f"support {support}", (support,))
    for text in ("hand held", "free hand"):
        yield text, Meant(FactKind.SUPPORT, "support handheld", (Support.HANDHELD,))
    forbidden = Meant(FactKind.TRIPOD_RULE, "tripod forbidden", (TripodRule.FORBIDDEN,))
    says = "no tripod (held otherwise, or forbidden there)"
    without = Meant(FactKind.SUPPORT, says, WITHOUT_TRIPOD, alternatives=(forbidden,))
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
            yield text, Meant(FactKind.TRIPOD_RULE, f"tripod {rule}", (rule,))


def _filters() -> Iterator[tuple[str, Meant]]:
    kinds = {
        ("nd", "a neutral density filter"): ("nd", "nd filter", "neutral density", "neutral density filter"),
        ("polariser", "a polariser"): ("polariser", "polarizer", "pol", "cpl", "polarising filter"),
        ("graduated", "a graduated filter"): ("graduated filter", "grad", "gnd", "graduated nd"),
    }
    for (kind, says), texts in kinds.items():
        for text in texts:
            yield text, Meant(FactKind.FILTER_KIND, says, (kind,))
    for text in ("no filter", "without filter", "without a filter", "without any filter", "unfiltered"):
        yield text, Meant(FactKind.FILTER, "no filter", ("none",))


def _conditions() -> Iterator[tuple[str, Meant]]:
    for crowd in Crowd:
        meant = Meant(FactKind.CROWD, f"crowd {crowd}", (crowd,))
        yield f"crowd {crowd}", meant
        if crowd is not Crowd.NONE:
            yield f"{crowd} people", meant
            yield f"{crowd} of people", meant
    for crowd in MANY[1:] + MANY[:1]:
        yield crowd.value, Meant(FactKind.CROWD, f"crowd {crowd}", (crowd,))
    for text in (
        "nobody",
        "no crowd",
        "no people",
        "deserted",
        "nobody there",
        "without people",
        "without crowd",
        "without a crowd",
        "empty",
    ):
        yield text, Meant(FactKind.CROWD, "crowd none", (Crowd.NONE,))
    for text in ("not crowded", "uncrowded", "not busy", "hardly anybody", "not many people"):
        yield text, Meant(FactKind.CROWD, "crowd few or none", FEW_OR_NONE)
    for text in ("crowded", "crowd", "busy", "big crowd", "large crowd"):
        yield text, Meant(FactKind.CROWD, "crowd dozens or more", MANY)
    for water in Water:
        yield f"water {water}", Meant(FactKind.WATER, f"water {water}", (water,))
        yield f"{water} water", Meant(FactKind.WATER, f"water {water}", (water,))
    for text in ("flood", "flooded"):
        yield text, Meant(FactKind.WATER, "water flood", (Water.FLOOD,))
    for text in ("strong wind", "windy", "high wind"):
        yield text, Meant(FactKind.WIND, "wind force 6 or more", low=STRONG_WIND[0], high=STRONG_WIND[1])
    for text in ("gale", "storm"):
        yield text, Meant(FactKind.WIND, "wind force 8 or more", low=GALE[0], high=GALE[1])
    for text in ("calm", "no wind", "windless", "still air"):
        yield text, Meant(FactKind.WIND, "wind force 0 or 1", low=CALM[0], high=CALM[1])


def _light() -> Iterator[tuple[str, Meant]]:
    for name in ("dawn", "sunrise", "sunset", "dusk", "twilight", "night", "golden hour"):
        yield name, Meant(FactKind.LIGHT, f"light {name}", (name,))
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
        yield text, Meant(FactKind.LIGHT, f"light {name}", (name,))
    for text in ("blue hour", "blue light"):  # people mean more of the twilight by it than the tables do
        yield text, Meant(FactKind.LIGHT, "light blue hour or twilight", ("blue hour", "twilight"))


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
        yield text, Meant(FactKind.OUTCOME, f"outcome {' or '.join(words)}", words)
    for reason in Reason:
        for text in (
            f"reason {reason}",
            f"because of {reason}",
            f"because of the {reason}",
            f"due to {reason}",
        ):
            yield text, Meant(FactKind.REASON, f"reason {reason}", (reason,))
        yield f"missed because of {reason}", Meant(FactKind.REASON, f"reason {reason}", (reason,))
    for text in ("sharp", "tack sharp"):
        yield text, Meant(FactKind.SHARPNESS, "judged sharp", ("sharp",))
    for text in ("unsharp", "not sharp", "blurred", "blurry"):
        yield text, Meant(FactKind.SHARPNESS, "judged soft", ("soft",))


def _dates() -> Iterator[tuple[str, Meant]]:
    for number, name in enumerate(MONTHS, start=1):
        meant = Meant(FactKind.MONTH, name, (f"{number:02}",))
        yield f"in {name}", meant
        if name not in ("May", "March"):  # those are words of other meaning as well
            yield name, meant
            yield name[:3] if name != "June" else "jun", meant
    for text, season in SEASONS.items():
        yield text, Meant(FactKind.SEASON, season, (season,))
        yield f"in {text}", Meant(FactKind.SEASON, season, (season,))


def _nouns() -> Iterator[tuple[str, Meant]]:
    nouns = {"lesson": "lesson", "keeper": "keeper", "picture": "keeper", "photo": "keeper"}
    for text, noun in nouns.items():
        yield text, Meant(FactKind.NOUN, f"a {noun}", (noun,))


def day_named(text: str) -> date | None:
    """Return the day that a text such as 2025-10-14 names; None for any other."""
    if not _DAY.fullmatch(text):
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:  # no day of the calendar; looked for as a word
        return None


@lru_cache(maxsize=1)
def vocabulary() -> Mapping[str, Meant]:
    """Return what phrases mean, by folded phrase."""
    return {folded(text): meant for text, meant in _phrases()}
