"""Settings in a question: apertures, times, focal lengths, ISO, filters, wind forces, years.

One surprising decision: a number counts as a fact only when it is written as photographers write that
setting; a bare 24 is a word.
"""

import math
import re
from collections.abc import Callable
from fractions import Fraction

from logbook.craft.errors import CraftValueError
from logbook.craft.filter_types import TYPES
from logbook.craft.filters import parse_filter
from logbook.craft.marks import (
    aperture_text,
    exact_aperture,
    exact_exposure_s,
    exact_iso,
    exposure_text,
    parse_aperture,
    parse_exposure,
    parse_iso,
)
from logbook.domain.condition_kinds import KINDS
from logbook.domain.dates import MONTHS
from logbook.domain.words import ConditionKind
from logbook.services.find.vocabulary import Meant
from logbook.store.text_index import about

NEAR_STOPS = 1 / 3 + 0.02  # stops; a third of a stop, with room for how marks are rounded
NEAR_FOCAL = 0.04  # of the focal length; 23.9 mm is a 24, 28 is not
LONG_S, SHORT_S = 1.0, 1 / 500  # s; common practice, no source
HIGH_ISO = 1600  # common practice, no source
LONGEST_S, SHORTEST_S, HIGHEST_ISO = 86_400.0, 1e-6, 1e7
_SPOKEN_S = {
    "half a second": "1/2 s",
    "half second": "1/2 s",
    "a quarter of a second": "1/4 s",
    "quarter second": "1/4 s",
    "an eighth of a second": "1/8 s",
    "one second": "1 s",
    "two seconds": "2 s",
    "half a minute": "30 s",
    "one minute": "60 s",
}
_NUMBER = r"\d+(?:[.,]\d+)?"

Reader = Callable[[str], Meant]


def _aperture(text: str) -> Meant:
    f_number = parse_aperture(text)
    exact, factor = exact_aperture(f_number), 2 ** (NEAR_STOPS / 2)
    return Meant(
        about.APERTURE,
        f"aperture {aperture_text(f_number)} (within a third of a stop)",
        low=exact / factor,
        high=exact * factor,
    )


def _exposure(text: str) -> Meant:
    time_s = parse_exposure(text)
    exact, factor = exact_exposure_s(time_s), 2**NEAR_STOPS
    says = f"shutter speed {exposure_text(time_s)} (within a third of a stop)"
    return Meant(about.EXPOSURE, says, low=exact / factor, high=exact * factor)


def _spoken(text: str) -> Meant:
    return _exposure(_SPOKEN_S[text.lower()])


def _focal(text: str) -> Meant:
    focal_mm = float(text.replace(",", ".").lower().removesuffix("mm"))
    if not 1 <= focal_mm <= 5000:
        raise CraftValueError("no focal length")
    return Meant(
        about.FOCAL,
        f"focal length {focal_mm:g} mm",
        low=focal_mm * (1 - NEAR_FOCAL),
        high=focal_mm * (1 + NEAR_FOCAL),
    )


def _iso(text: str) -> Meant:
    iso = parse_iso(text)
    exact, factor = exact_iso(iso), 2**NEAR_STOPS
    return Meant(about.ISO, f"ISO {iso}", low=exact / factor, high=exact * factor)


def _filter(text: str) -> Meant:
    known = parse_filter(text.removesuffix("filter").removesuffix("filters"))
    if known.type.is_neutral and known.typical_stops is not None:
        stops = known.typical_stops
        says = f"{known.type.says} of {stops:.3g} stops"
        return Meant(about.FILTER_STOPS, says, low=stops - NEAR_STOPS, high=stops + NEAR_STOPS)
    return Meant(about.FILTER, f"filter {known.name}", (known.name,))


def _figure(kind: ConditionKind) -> Reader:
    """Return how a question's level in figures is read: `force 4`, `5 bft`."""

    def read(text: str) -> Meant:
        level = str(int(re.sub(r"\D", "", text)))
        if level not in KINDS[kind].levels:
            raise CraftValueError(f"no {kind}")
        return Meant(about.LEVELS[kind], KINDS[kind].titles[level], low=int(level), high=int(level))

    return read


def _year(text: str) -> Meant:
    return Meant(about.YEAR, f"in {text}", (text,))


def _month(text: str) -> Meant:
    year, month = text.split("-")
    return Meant(about.MONTH, f"{MONTHS[int(month) - 1]} {year}", (f"{year}{month}",))


def _long(_text: str) -> Meant:
    return Meant(about.EXPOSURE, "shutter speed 1 s or slower", low=LONG_S * 0.999, high=LONGEST_S)


def _short(_text: str) -> Meant:
    return Meant(about.EXPOSURE, "shutter speed 1/500 s or faster", low=SHORTEST_S, high=SHORT_S * 1.001)


def _high_iso(_text: str) -> Meant:
    return Meant(about.ISO, "ISO 1600 or more", low=HIGH_ISO, high=HIGHEST_ISO)


_PATTERNS: tuple[tuple[re.Pattern[str], Reader], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), reader)
    for pattern, reader in (
        (rf"[fƒ]\s*/?\s*{_NUMBER}", _aperture),
        (
            rf"\d+/\d+\s*(?:s|sec|secs|seconds?)?|{_NUMBER}\s*(?:s|secs?|seconds?|mins?|minutes?|h|hours?)",
            _exposure,
        ),
        (r"\d+\s*(?:m|mins?|minutes?)\s*\d+\s*(?:s|secs?|seconds?)", _exposure),
        ("|".join(_SPOKEN_S), _spoken),
        (rf"{_NUMBER}\s*mm", _focal),
        (r"iso\s*\d+", _iso),
        *((of.asked, _filter) for of in TYPES.values() if of.asked),
        *((of.asked_number, _figure(kind)) for kind, of in KINDS.items() if of.asked_number),
        (r"(?:in\s+)?(?:19|20)\d\d", lambda text: _year(text[-4:])),
        (r"(?:19|20)\d\d-(?:0[1-9]|1[0-2])", _month),
        (r"long (?:exposures?|times?)|slow shutter|time exposures?", _long),
        (r"short (?:exposures?|times?)|fast shutter", _short),
        (r"high iso", _high_iso),
    )
)
LONGEST = 5  # words that a setting may take: "a quarter of a second"


def setting_of(text: str) -> Meant | None:
    """Return what a few words mean as a setting, or None; numbers that no camera has are words."""
    for pattern, reader in _PATTERNS:
        if pattern.fullmatch(text):
            try:
                return reader(text)
            except (CraftValueError, ValueError, OverflowError):
                return None
    return None


def spelled(meant: Meant, text: str) -> tuple[str, ...]:
    """Return how a setting may be written in notes: as typed, and as photographers write it."""
    if meant.low is None or meant.high is None or meant.high / max(meant.low, 1e-9) > 4:
        return (text,)
    middle = math.sqrt(meant.low * meant.high)
    if meant.kind is about.EXPOSURE:
        return (text, exposure_text(Fraction(middle).limit_denominator(10_000)))
    if meant.kind is about.FOCAL:
        return (text, f"{middle:.3g} mm", f"{middle:.3g}mm")
    return (text,)
