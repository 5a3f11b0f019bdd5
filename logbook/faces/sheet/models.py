"""What a field sheet shows, as frozen values of plain text; the template adds nothing of its own.

One surprising decision: every value is text already worded, or None for unknown, so that the page and the
JSON answer cannot differ in what they claim.
"""

from dataclasses import dataclass
from enum import StrEnum


class Paper(StrEnum):
    """The sheet sizes it prints on."""

    A4 = "a4"
    LETTER = "letter"


@dataclass(frozen=True, slots=True)
class ShotBlock:
    """One planned shot; `in_this_light` says what bare time the expected light asks for."""

    slug: str
    title: str
    window: str
    priority: str
    viewpoint: str
    bearing: str
    tripod: str
    light: str
    sun_caution: str | None
    verdict: str
    reason: str
    settings: str
    in_this_light: str | None
    intent: str | None
    notes: str | None
    fallbacks: tuple[str, ...]
    fallback_for: str | None


@dataclass(frozen=True, slots=True)
class StackColumn:
    """One stack of filters: its name and its stops as text."""

    name: str
    stops: str


@dataclass(frozen=True, slots=True)
class FilterRow:
    """A bare time and the time with each stack; None where a stack asks for more than a day."""

    bare: str
    times: tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class FilterTable:
    """The times with each useful stack of the packed filters, and what no column can say."""

    stacks: tuple[StackColumn, ...]
    rows: tuple[FilterRow, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SkyColumn:
    """The clock of one place, or of several that keep the same times to two minutes."""

    places: str
    zone: str
    times: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sky:
    """Sun and moon of the day: one row an event, one column a place."""

    events: tuple[str, ...]
    columns: tuple[SkyColumn, ...]
    moon: str
    limits: str
    horizon: str


@dataclass(frozen=True, slots=True)
class SheetObservation:
    """What was observed, where, and the words that say when and by whom."""

    kind: str
    text: str
    place: str
    seen: str


@dataclass(frozen=True, slots=True)
class StandBlock:
    """One viewpoint: where it is and what it is like to stand there."""

    title: str
    position: str
    facts: tuple[str, ...]
    access: str | None
    hazards: str | None


@dataclass(frozen=True, slots=True)
class SheetPlace:
    """A site and its viewpoints of the day."""

    title: str
    facts: tuple[str, ...]
    access: str | None
    hazards: str | None
    stands: tuple[StandBlock, ...]


@dataclass(frozen=True, slots=True)
class KitLine:
    """A piece of kit, or several of one kind, and why it was decided so."""

    kind: str
    title: str
    why: str | None


@dataclass(frozen=True, slots=True)
class Sheet:
    """One day's field sheet."""

    trip: str
    trip_slug: str
    day: str
    on_date: str
    paper: Paper
    sentence: str | None
    shots: tuple[ShotBlock, ...]
    filters: FilterTable | None
    filters_unknown: str | None
    sky: Sky | None
    sky_unknown: str | None
    places: tuple[SheetPlace, ...]
    observed: tuple[SheetObservation, ...]
    pack: tuple[KitLine, ...]
    undecided: tuple[KitLine, ...]
    left: tuple[KitLine, ...]
    cautions: tuple[str, ...]
