"""Filters by type: how each is written, what it takes from the light in stops, and how it is said back.

One surprising decision: a filter's loss is a range with a typical value, and any of the three may be None for
unknown; a graduated filter counts as 0 stops, because it does not change the exposure of the whole scene.
Texts are read in the plain spelling of `craft.filters`.
"""

import math
import re
from collections.abc import Callable, Iterable, Mapping
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
    def type(self) -> "FilterType":
        """What is known of filters of its kind."""
        return TYPES.get(self.kind, OTHER)

    @property
    def working(self) -> str:
        """How the stops come about, in one line."""
        if self.type.is_partial:
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


@dataclass(frozen=True, slots=True, kw_only=True)
class FilterType:
    """One type of filter: how it is written, what it takes, how it is looked for and shown.

    A type is written by one of its `names`, or in a way that `read` understands (None where it does not).
    """

    names: Mapping[str, str]  # the name that is kept, by every name that people write
    stops: tuple[float, float, float] | None = None  # least, typical, most that those by name take
    read: Callable[[str], Filter | None] | None = None
    factor: str = ""  # what stands before the factor in the name of one that is sold by it: nd8
    marks: tuple[str, ...] = ()  # what may stand before figures that are no keeper's number: nd1000
    examples: tuple[str, ...] = ()
    is_neutral: bool = False  # takes the same from all of the picture, and is looked for by its stops
    is_partial: bool = False  # takes from a part of the picture only
    leaves_mark: bool = True  # whether a picture shows more of it than less light
    dims: bool = True  # whether the exposure of the whole scene changes behind it
    says: str = ""  # in a question that asks for any such filter
    phrases: tuple[str, ...] = ()  # that ask so
    asked: str = ""  # how a question writes one (a pattern)
    synonyms: tuple[str, ...] = ()  # words for it that a question may use for one another
    code: str = ""  # how its name stands in a sentence of the arithmetic (a pattern)
    shown: Callable[[str], str | None] = lambda _name: None  # on pages; None as it is written

    def named(self, kind: FilterKind, name: str) -> Filter:
        """Return the filter of this type that is kept under a name."""
        return Filter(name, kind, *(self.stops or (None, None, None)))


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
# What makers engrave alone: densities in steps of 0.3, and factors that nobody takes for stops.
_BARE_DENSITIES = {f"{tenths / 10:.1f}" for tenths in range(3, 40, 3)}
_BARE_FACTORS = {"16", "32", "64", "128", "256", "400", "500", "512", "1000", "1024"}


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
            f"Filter {shown(text)} blocks no light; write a factor of 2 or more, such as nd8."
        )
    return f"nd{number_text(number, 6)}", factor_stops(number)


def _variable_named(name: str) -> Filter | None:
    found = _VARIABLE.fullmatch(name)
    return _variable(found[1], found[2], are_stops=found[3] is not None) if found else None


def _neutral(name: str) -> Filter | None:
    """A neutral density filter by its strength; alone, `0.9` is a density and `64` a factor."""
    if name in _BARE_DENSITIES:
        name = f"od{name}"
    elif name in _BARE_FACTORS:
        name = f"nd{name}"
    if not re.search(r"[a-z]", name) or not (strength := _strength(name)):
        return None
    return Filter(strength[0], FilterKind.ND, strength[1], strength[1], strength[1])


def _marked(name: str) -> str | None:
    """The name of a filter as it is engraved, with capitals: "ND8", "OD 0.9", "soft graduated ND8"."""
    found = _MARK.fullmatch(name)
    if found is None:
        return None
    unit = "OD " if found["unit"] == "od" else "ND"
    graduated = "graduated " if found["grad"] else ""
    return f"{found['edge'] or ''}{graduated}{unit}{found['strength'].replace('-', '–')}"


def _all(name: str, written: Iterable[str]) -> dict[str, str]:
    """Return the one name that is kept of several."""
    return dict.fromkeys(written, name)


_MARK = re.compile(r"(?P<edge>[a-z]+ )?(?P<grad>g?)(?P<unit>nd|od)(?P<strength>.*)")
_EDGED = r"(?:(?:soft|medium|hard|reverse) )?"
_CODE_N = r"[0-9]+(?:\.[0-9]+)?"
_ASKED_N = r"\d+(?:[.,]\d+)?"

TYPES: Mapping[FilterKind, FilterType] = {
    FilterKind.ND: FilterType(
        names={"nd": "nd"},
        read=_neutral,
        factor="nd",
        marks=("nd", "od"),
        examples=("nd8", "od0.9"),
        is_neutral=True,
        leaves_mark=False,
        says="a neutral density filter",
        phrases=("nd", "nd filter", "neutral density", "neutral density filter"),
        asked=(
            rf"nd\s*-?\s*{_ASKED_N}(?:\s*filters?)?|(?:od\s*{_ASKED_N})"
            r"|\d+[\s-]*stops?(?:\s*(?:nd\s*)?filters?)"
        ),
        synonyms=("neutral density", "nd", "nd filter", "grey filter", "gray filter"),
        code=rf"{_EDGED}nd{_CODE_N}(?:-[0-9]+)?|od{_CODE_N}",
        shown=_marked,
    ),
    FilterKind.POLARISER: FilterType(
        names=_all(
            "pol",
            (
                *("pol", "cpl", "pl", "c-pl", "c-pol", "pola", "polar", "circular pol"),
                *("polariser", "polarizer", "circular polariser", "circular polarizer"),
                *("polarising", "polarizing", "polarising filter", "polarizing filter"),
                *("pol filter", "cpl filter", "polariser filter", "polarizer filter"),
            ),
        ),
        stops=(POLARISER_LOW, POLARISER_TYPICAL, POLARISER_HIGH),
        examples=("pol",),
        says="a polariser",
        phrases=("polariser", "polarizer", "pol", "cpl", "polarising filter"),
        synonyms=("polariser", "polarizer", "pol", "cpl", "polarising filter", "polarizing filter"),
        code="pol",
        shown=lambda _name: "polariser",
    ),
    FilterKind.GRADUATED: FilterType(
        names={},
        read=_graduated,
        factor="gnd",
        marks=("gnd",),
        examples=("gnd8",),
        is_partial=True,
        dims=False,
        says="a graduated filter",
        phrases=("graduated filter", "grad", "gnd", "graduated nd"),
        asked=rf"gnd\s*-?\s*{_ASKED_N}(?:\s*filters?)?",
        synonyms=("graduated filter", "grad", "gnd", "graduated nd"),
        code=rf"{_EDGED}gnd(?:{_CODE_N}(?:-[0-9]+)?)?",
        shown=_marked,
    ),
    FilterKind.VARIABLE: FilterType(
        names=_all("variable nd", ("vnd", "vario nd", "variable nd", "var nd", "variable")),
        read=_variable_named,
        marks=("vnd",),
        leaves_mark=False,
        shown=lambda name: f"variable {_marked(name.removeprefix('variable '))}",
    ),
    FilterKind.CLEAR: FilterType(
        names={name: name for name in ("uv", "clear", "protector", "protection", "skylight")},
        stops=(0.0, 0.0, 0.0),
        leaves_mark=False,
        examples=("uv",),
        dims=False,
        shown=lambda name: "UV filter" if name == "uv" else f"{name} filter",
    ),
}
OTHER = FilterType(names={})
