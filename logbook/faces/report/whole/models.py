"""What the page over all trips may show, as frozen values."""

from dataclasses import dataclass

from markupsafe import Markup

from logbook.faces.report.models import Drawing, Fact


@dataclass(frozen=True, slots=True)
class Link:
    """Words that lead to a page or a part of one."""

    text: str
    href: str


@dataclass(frozen=True, slots=True)
class Thumbnail:
    """A small picture that stands for something, by its smallest file: path, size and words."""

    path: str
    width_px: int
    height_px: int
    alternative: str
    tone: str


@dataclass(frozen=True, slots=True)
class TripLine:
    """One trip in the list: its number by date, where its pages begin, and how it went in a line each."""

    number: int
    title: str
    href: str
    dates: str
    region: str
    shots: str
    pictures: str
    picture: Thumbnail | None = None


@dataclass(frozen=True, slots=True)
class SiteLine:
    """One site, and the trips that went there."""

    anchor: str
    title: str
    facts: tuple[Fact, ...]
    trips: tuple[Link, ...]
    picture: Thumbnail | None = None


@dataclass(frozen=True, slots=True)
class WholeLesson:
    """One lesson of any trip: its verb, its text, what it is about, and where it was learned."""

    verb: str
    html: Markup
    about: str
    trip: Link | None


@dataclass(frozen=True, slots=True)
class WholePage:
    """The page over all trips."""

    counts: tuple[str, ...]
    trips: tuple[TripLine, ...]
    drawings: tuple[Drawing, ...]
    sites: tuple[SiteLine, ...]
    lessons: tuple[WholeLesson, ...]
    kit: tuple[str, ...]
    documents: int  # how many the search looks through
