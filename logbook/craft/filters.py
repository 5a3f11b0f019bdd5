"""Filters as people write them, and what they take from the light, in stops.

One surprising decision: a filter's loss is a range with a typical value, and any of the three may be None for
unknown; a graduated filter counts as 0 stops, because it does not change the exposure of the whole scene.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from logbook.craft.errors import CraftValueError, shown
from logbook.craft.marks import counted_stops, number_text

POLARISER_LOW, POLARISER_TYPICAL, POLARISER_HIGH = (
    1.0,
    1.5,
    2.5,
)  # stops; factors 2.3-2.8 and makers' ranges, Ray
STOPS_MAX = 30.0  # stops; far beyond any filter sold (common practice, no source)
COUNT_MAX = 6  # filters in one stack; more do not hold together (common practice, no source)
_TEXT_MAX = 120  # characters in a written stack


class FilterKind(StrEnum):
    """What a filter is for."""

    ND = "nd"
    VARIABLE = "variable"
    POLARISER = "polariser"
    GRADUATED = "graduated"
    CLEAR = "clear"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Filter:
    """One filter: its name in canonical form and the stops it takes from the whole scene; None is unknown."""

    name: str
    kind: FilterKind
    low_stops: float | None
    typical_stops: float | None
    high_stops: float | None
    dark_stops: float | None = None  # graduated filters: what the dark part takes

    @property
    def working(self) -> str:
        """How the stops come about, in one line."""
        if self.kind is FilterKind.GRADUATED:
            dark = "an unknown number of" if self.dark_stops is None else number_text(self.dark_stops)
            return f"{self.name}: {dark} stops in its dark part, 0 for the whole scene"
        if self.low_stops is None or self.high_stops is None:
            return f"{self.name}: stops unknown"
        if self.low_stops != self.high_stops:
            usual = "" if self.typical_stops is None else f", usually {number_text(self.typical_stops)}"
            return (
                f"{self.name}: {number_text(self.low_stops)} to {number_text(self.high_stops)} stops{usual}"
            )
        factor = 2**self.low_stops
        return f"{self.name}: log2({number_text(factor, 1)}) = {counted_stops(self.low_stops)}"


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


def factor_stops(factor: float) -> float:
    """Return log2 of a filter factor in stops (nd8 -> 3); raise CraftValueError outside 1..2^30."""
    if not 1 <= factor <= 2**STOPS_MAX:
        raise CraftValueError(f"Filter factor {factor:g} is not possible; write 2 to 2^30, such as nd8.")
    return math.log2(factor)


def density_stops(density: float) -> float:
    """Return stops of an optical density: density / log10(2) (Hecht); raise CraftValueError outside 0..9."""
    if not 0 <= density <= 9:
        raise CraftValueError(f"Optical density {density:g} is not possible; write 0 to 9, such as od0.9.")
    return density / math.log10(2)


def stops_density(stops: float) -> float:
    """Return the optical density of a filter of so many stops: stops * log10(2)."""
    return stops * math.log10(2)


_N = r"(?P<n>[0-9]+(?:\.[0-9]+)?)"
_STRENGTH = re.compile(
    rf"(?:(?:nd|od|density)\s*)?{_N}(?:\s*x|\s*(?P<unit>stop(?:per|s)?|density|od))?(?:\s*(?:of\s+)?nd)?(?:\s+filter)?"
)
_GRADUATED = re.compile(r"\b(?:gnd|grad(?:uated)?)(?:\s+(?:nd|filter))?(?![a-z])")
_OPENS_GRADUATED = re.compile(r"(?:(?:soft|medium|hard|reverse) )?(?:gnd|grad(?:uated)?)(?![a-z])")
_EDGE = re.compile(r"\b(?P<edge>soft|medium|hard|reverse)\b(?:[ -]edged?\b)?")
_VARIABLE = re.compile(
    r"(?:v(?:ario)?|var(?:iable)?\.? )?nd ?([0-9.]+) ?(?:-|–|—|to) ?(?:nd ?)?([0-9.]+)( ?stops?)?"
)
_VARIABLE_UNKNOWN = {"vnd", "vario nd", "variable nd", "var nd", "variable"}
# A comma between figures parts two filters, except in a density or in stops: nd0,9, od1,8, nd 1,8, 1,5 stops.
_COMMA = re.compile(
    r"((?<![0-9])0|\bod ?[0-9]+),(?=[0-9])|([0-9]),(?=[0-9]+[ -]?stop)"
    r"|(\bg?nd ?[1-3]),(?=[0-9](?![0-9a-z×]| ?[x×]))"
)
_NUMBER_WORDS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "eight": 8, "ten": 10}
_NUMBER_WORD = re.compile(rf"\b({'|'.join(_NUMBER_WORDS)})[ -](?=stop)")
# What makers engrave alone: densities in steps of 0.3, and factors that nobody takes for stops.
_BARE_DENSITIES = {f"{tenths / 10:.1f}" for tenths in range(3, 40, 3)}
_BARE_FACTORS = {"16", "32", "64", "128", "256", "400", "500", "512", "1000", "1024"}
_DASHES = str.maketrans("‐‑", "--")
_TIMES = re.compile(r"([2-9]) ?[x×] ?(.*[0-9].*)|(.*[0-9].*) [x×] ?([2-9])")
_POLARISERS = {"pol", "cpl", "pl", "c-pl", "c-pol", "polariser", "polarizer", "circular polariser"}
_POLARISERS |= {
    "circular polarizer",
    "polarising filter",
    "polarizing filter",
    "pola",
    "polar",
    "circular pol",
}
_POLARISERS |= {
    "pol filter",
    "cpl filter",
    "polariser filter",
    "polarizer filter",
    "polarising",
    "polarizing",
}
_CLEAR = {"uv", "clear", "protector", "protection", "skylight"}
_NONE = {"none", "no filter", "no filters", "without", "-", "–", "bare", "bare lens", "naked", "naked lens"}
_NONE |= {"without filter", "without filters", "without a filter", "without any filter", "w/o", "w/o filter"}
_UNKNOWN = {"", "unknown", "?"}


def parse_filter(text: str) -> Filter:
    """Read one filter: `nd8` is a factor, `od0.9` and `nd0.9` a density, also `3 stops`, `pol`, `gnd8`, `uv`.

    Alone, `0.9` is a density and `64` a factor, as makers engrave them. Any other name is kept with unknown
    stops. Raises CraftValueError for an impossible strength.
    """
    name = _plain(text)
    if name in _POLARISERS:
        return Filter("pol", FilterKind.POLARISER, POLARISER_LOW, POLARISER_TYPICAL, POLARISER_HIGH)
    if name in _CLEAR:
        return Filter(name, FilterKind.CLEAR, 0.0, 0.0, 0.0)
    if found := _VARIABLE.fullmatch(name):
        return _variable(found[1], found[2], are_stops=found[3] is not None)
    if name in _VARIABLE_UNKNOWN:
        return Filter("variable nd", FilterKind.VARIABLE, None, None, None)
    if (graduated := _graduated(name)) is not None:
        return graduated
    if name in _BARE_DENSITIES:
        name = f"od{name}"
    elif name in _BARE_FACTORS:
        name = f"nd{name}"
    if re.search(r"[a-z]", name) and (strength := _strength(name)):
        return Filter(strength[0], FilterKind.ND, strength[1], strength[1], strength[1])
    kind = FilterKind.ND if name == "nd" else FilterKind.OTHER
    return Filter(name or "unknown", kind, None, None, None)


def parse_stack(text: str) -> tuple[Filter, ...] | None:
    """Read filters in the order written: `nd8 + nd8`, `2x nd16`, `nd64, pol`; `none` is (), `unknown` None.

    Raises CraftValueError for an impossible strength, for `none` beside a filter, and for a text too long.
    """
    if len(text) > _TEXT_MAX:
        raise CraftValueError(f"Filters {shown(text)} are too long to read; write them like nd8 + pol.")
    plain = _plain(text)
    if plain in _UNKNOWN:
        return None
    if plain in _NONE:
        return ()
    found: list[Filter] = []
    for part in re.split(r"\s*(?:[+,;&]|\band\b)\s*", plain):
        if part in _NONE:
            raise CraftValueError(
                f"Filters {shown(text)} say none beside a filter; write only one of the two."
            )
        if part and (times := _TIMES.fullmatch(part)):
            found += [parse_filter(times[2] or times[3])] * int(times[1] or times[4])
        elif part:
            found.append(parse_filter(part))
    if len(found) > COUNT_MAX:
        raise CraftValueError(
            f"Filters {shown(text)} are more than {COUNT_MAX}; write those that were on the lens."
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


def _variable(first: str, second: str, *, are_stops: bool) -> Filter:
    if not all(re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", end) for end in (first, second)):
        raise CraftValueError(f"Filter {shown(f'nd{first}-{second}')} is not a range; write it as nd2-400.")
    read = float if are_stops else lambda end: factor_stops(float(end))
    low, high = sorted((read(first), read(second)))
    if not 0 < low < high <= STOPS_MAX:
        raise CraftValueError(
            f"A filter from {low:g} to {high:g} stops is not possible; write it as nd2-400 or 1-9 stops."
        )
    return Filter(f"nd{2**low:.0f}-{2**high:.0f}", FilterKind.VARIABLE, low, None, high)


def _graduated(name: str) -> Filter | None:
    """The words of a graduated filter in any order: `0.6 gnd`, `soft grad nd8`; others only behind."""
    if not _GRADUATED.search(name):
        return None
    found = _EDGE.search(name)
    edge = f"{found['edge']} " if found else ""
    rest = " ".join(_GRADUATED.sub(" ", _EDGE.sub(" ", name)).split()).removesuffix(" nd")
    plain = " ".join(re.sub(r"\bnd\b", " ", rest).split())
    label, stops = (_strength(rest) if rest else None) or (f" {plain}".rstrip(), None)
    if plain and stops is None and not _OPENS_GRADUATED.match(name):
        return None
    shown = f"{edge}gnd{label.removeprefix('nd').removeprefix('od')}"
    return Filter(shown, FilterKind.GRADUATED, 0.0, 0.0, 0.0, stops)


def _strength(text: str) -> tuple[str, float] | None:
    """Canonical name and stops of `nd8`, `8`, `od0.9`, `0.9 density` or `3 stops`; None for others."""
    found = _STRENGTH.fullmatch(text)
    if not found:
        return None
    number = float(found["n"])
    unit = found["unit"] or ""
    if unit.startswith("stop"):
        if not 0 < number <= STOPS_MAX:
            raise CraftValueError(f"A filter of {number:g} stops is not possible; write up to {STOPS_MAX:g}.")
        whole = number == int(number)
        return (f"nd{2 ** int(number)}" if whole else f"{number} stops"), number
    # makers write density with a decimal point and factors without one: nd0.9 is nd8
    if unit or text.startswith(("od", "density")) or ("." in found["n"] and number <= 5):
        return f"od{number}", density_stops(number)
    if number < 2:
        raise CraftValueError(
            f"Filter {shown(text)} takes no light; write a factor of 2 or more, such as nd8."
        )
    return f"nd{number_text(number, 6)}", factor_stops(number)


def _sum(stops: list[float | None]) -> float | None:
    known = [value for value in stops if value is not None]
    return math.fsum(known) if len(known) == len(stops) else None


def _plain(text: str) -> str:
    """Lower case, single spaces, decimal points; `nd-8` is `nd 8`, `10-stop` is `10 stop`."""
    plain = " ".join(text.lower().translate(_DASHES).split())
    plain = _COMMA.sub(r"\1\2\3.", plain)
    plain = _NUMBER_WORD.sub(lambda found: f"{_NUMBER_WORDS[found[1]]} ", plain)
    return re.sub(r"(?<=nd)-(?=[0-9])|(?<=[0-9])-(?=stop)", " ", plain)
