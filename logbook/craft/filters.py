"""Filters and stacks of them as people write them, and what a stack takes from the light, in stops.

What a single type of filter is, is said in `filter_types`.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from logbook.craft.errors import CraftValueError, shown
from logbook.craft.filter_types import TYPES, Filter, FilterKind
from logbook.craft.marks import number_text

COUNT_MAX = 6  # filters in one stack; more do not hold together (common practice, no source)
_TEXT_MAX = 120  # characters in a written stack


@dataclass(frozen=True, slots=True)
class StackStops:
    """What a stack of filters takes together, in stops; None is unknown."""

    low_stops: float | None
    typical_stops: float | None
    high_stops: float | None
    working: str

    @property
    def transmission(self) -> float | None:
        """Share of the light that passes, 0..1."""
        return None if self.typical_stops is None else transmission(self.typical_stops)


def transmission(stops: float) -> float:
    """Return the share of light, 0..1, that passes a filter of so many stops: 2^-stops."""
    return float(2**-stops)


def stops_density(stops: float) -> float:
    """Return the optical density of a filter of so many stops: stops * log10(2)."""
    return stops * math.log10(2)


# A comma between figures parts two filters, except in a density or in stops: nd0,9, od1,8, nd 1,8, 1,5 stops.
_COMMA = re.compile(
    r"((?<![0-9])0|\bod ?[0-9]+),(?=[0-9])|([0-9]),(?=[0-9]+[ -]?stop)"
    r"|(\bg?nd ?[1-3]),(?=[0-9](?![0-9a-z×]| ?[x×]))"
)
_NUMBER_WORDS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "eight": 8, "ten": 10}
_NUMBER_WORD = re.compile(rf"\b({'|'.join(_NUMBER_WORDS)})[ -](?=stop)")
_DASHES = str.maketrans("‐‑", "--")
_TIMES = re.compile(r"([2-9]) ?[x×] ?(.*[0-9].*)|(.*[0-9].*) [x×] ?([2-9])")
_NONE = {"none", "no filter", "no filters", "without", "-", "–", "bare", "bare lens", "naked", "naked lens"}
_NONE |= {"without filter", "without filters", "without a filter", "without any filter", "w/o", "w/o filter"}
_UNKNOWN = {"", "unknown", "?"}


def parse_filter(text: str) -> Filter:
    """Read one filter: `nd8` is a factor, `od0.9` and `nd0.9` a density, also `3 stops`, `pol`, `gnd8`, `uv`.

    Alone, `0.9` is a density and `64` a factor, as makers engrave them. Any other name is kept with unknown
    stops. Raises CraftValueError for an impossible strength.
    """
    name = _plain(text)
    for kind, of in TYPES.items():
        if name in of.names:
            return of.named(kind, of.names[name])
    for of in TYPES.values():
        if of.read is not None and (found := of.read(name)) is not None:
            return found
    return Filter(name or "unknown", FilterKind.OTHER, None, None, None)


def parse_stack(text: str) -> tuple[Filter, ...] | None:
    """Read filters in the order written: `nd8 + nd8`, `2x nd16`, `nd64, pol`; `none` is (), `unknown` None.

    Raises CraftValueError for an impossible strength, for `none` beside a filter, and for a text too long.
    """
    if len(text) > _TEXT_MAX:
        raise CraftValueError(f"{shown(text)} is too long for a list of filters; write it like nd8 + pol.")
    plain = _plain(text)
    if plain in _UNKNOWN:
        return None
    if plain in _NONE:
        return ()
    found: list[Filter] = []
    for part in re.split(r"\s*(?:[+,;&]|\band\b)\s*", plain):
        if part in _NONE:
            raise CraftValueError(f"{shown(text)} gives both none and a filter; write one or the other.")
        if part and (times := _TIMES.fullmatch(part)):
            found += [parse_filter(times[2] or times[3])] * int(times[1] or times[4])
        elif part:
            found.append(parse_filter(part))
    if len(found) > COUNT_MAX:
        raise CraftValueError(
            f"{shown(text)} names more than {COUNT_MAX} filters; write those that were on the lens."
        )
    return tuple(found) or None


def stack_text(filters: Sequence[Filter] | None) -> str:
    """Return a stack as it is written: `nd8 + pol`, `none` or `unknown`."""
    if filters is None:
        return "unknown"
    return " + ".join(item.name for item in filters) or "none"


def stack_stops(filters: Sequence[Filter] | None) -> StackStops:
    """Return what a stack takes: factors multiply, so stops add; one unknown filter makes the sum unknown."""
    if filters is None:
        return StackStops(None, None, None, "filters unknown")
    low, typical, high = (
        _sum([getattr(item, name) for item in filters])
        for name in ("low_stops", "typical_stops", "high_stops")
    )
    if not filters:
        working = "no filter: 0 stops"
    elif len(filters) == 1:
        working = filters[0].working
    else:
        parts = " + ".join("?" if f.typical_stops is None else number_text(f.typical_stops) for f in filters)
        total = "unknown" if typical is None else number_text(typical)
        working = f"{stack_text(filters)}: {parts} = {total} stops"
    return StackStops(low, typical, high, working)


def vignetting_warning(filters: Sequence[Filter] | None, focal_35mm: float) -> str | None:
    """Return one sentence when stacked filters may darken the corners at this 35 mm-equivalent focal length.

    Two filters below 28 mm, three or more below 50 mm (common practice, no source).
    """
    count = len(filters or ())
    if (count >= 2 and focal_35mm < 28) or (count >= 3 and focal_35mm < 50):
        return f"{count} filters at {number_text(focal_35mm, 0)} mm may darken the corners; check one frame."
    return None


def _sum(stops: list[float | None]) -> float | None:
    known = [value for value in stops if value is not None]
    return math.fsum(known) if len(known) == len(stops) else None


def _plain(text: str) -> str:
    """Lower case, single spaces, decimal points; `nd-8` is `nd 8`, `10-stop` is `10 stop`."""
    plain = " ".join(text.lower().translate(_DASHES).split())
    plain = _COMMA.sub(r"\1\2\3.", plain)
    plain = _NUMBER_WORD.sub(lambda found: f"{_NUMBER_WORDS[found[1]]} ", plain)
    return re.sub(r"(?<=nd)-(?=[0-9])|(?<=[0-9])-(?=stop)", " ", plain)
