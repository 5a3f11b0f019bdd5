"""What a template can see: frozen page models of strings, numbers and cleaned markup, one per audience.

One surprising decision: the small shapes (a fact, a figure, a facing pair) are shared and know nothing of the
book; what may stand in them is decided by each audience's builder alone.
"""

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True, slots=True)
class Value:
    """One shown value; `origin` is a word that is printed beside it, "unknown" only sets it apart."""

    text: str
    origin: str = ""
    code: str = ""  # how a file for programs writes it, where that differs


@dataclass(frozen=True, slots=True)
class Fact:
    """A label and its values."""

    label: str
    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Passage:
    """Free text under an optional label."""

    html: Markup
    label: str = ""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One width of a picture: path inside the report, pixels across."""

    path: str
    width_px: int


@dataclass(frozen=True, slots=True)
class Image:
    """A picture in several widths; the last candidate is the widest and has the size given here."""

    candidates: tuple[Candidate, ...]
    width_px: int
    height_px: int
    shape: int  # width to height in hundredths, the nearest that the style sheet knows


@dataclass(frozen=True, slots=True)
class Figure:
    """A numbered picture with its words; `image` is None where the original was not found."""

    number: int
    anchor: str
    page: str
    image: Image | None
    alternative: str
    caption: str
    place: str
    when: str
    time: str
    settings: tuple[Value, ...] = ()


@dataclass(frozen=True, slots=True)
class PicturePage:
    """The large view of one figure."""

    figure: Figure
    facts: tuple[Fact, ...]
    passages: tuple[Passage, ...] = ()


@dataclass(frozen=True, slots=True)
class Reference:
    """A link to something on the same page."""

    text: str
    anchor: str


@dataclass(frozen=True, slots=True)
class Spread:
    """Facing pages of one shot: the plan on the left, what became of it on the right."""

    number: int
    anchor: str
    title: str
    plan: tuple[Fact, ...]
    plan_text: tuple[Passage, ...]
    status: str
    became: str
    in_its_place: tuple[Reference, ...]  # what replaced the shot
    result: tuple[Fact, ...]
    result_text: tuple[Passage, ...]
    observed: tuple[str, ...]
    figures: tuple[Figure, ...]
    instead: tuple[Figure, ...] = ()  # what was made in the shot's place; it never counts as the shot


@dataclass(frozen=True, slots=True)
class Pair:
    """Two pictures of one view side by side, and the stops between them."""

    number: int
    anchor: str
    title: str
    place: str
    first: Figure
    second: Figure
    first_facts: tuple[Fact, ...]
    second_facts: tuple[Fact, ...]
    working: str
    finding: str


@dataclass(frozen=True, slots=True)
class Exercise:
    """A question from the trip's own numbers, its answer, and how one comes by it, line by line."""

    number: int
    anchor: str
    question: str
    see: tuple[Reference, ...]
    answer: str
    working: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OutcomeLine:
    """What became of one planned shot, why, and where to look for what stands in its place."""

    number: int
    anchor: str
    title: str
    status: str
    why: str
    instead: tuple[Reference, ...]


@dataclass(frozen=True, slots=True)
class PlannedLine:
    """One planned shot in a day's list."""

    number: int
    anchor: str
    title: str
    when: str
    status: str


@dataclass(frozen=True, slots=True)
class VisitBlock:
    """One visit as it is told."""

    place: str
    when: str
    facts: tuple[Fact, ...]
    journal: Markup | None
    observed: tuple[str, ...]
    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing for a page and, where that would be too small on a phone, another for a narrow one."""

    anchor: str
    title: str
    wide: Markup
    narrow: Markup | None
    note: str
    said: tuple[str, ...]  # the same facts in words, one a line


@dataclass(frozen=True, slots=True)
class DayBlock:
    """One day: the plan for it, its journal, its visits, and pictures from between them."""

    name: str
    anchor: str
    date: str
    planned: tuple[PlannedLine, ...]
    journal: Markup | None
    visits: tuple[VisitBlock, ...]
    other_figures: tuple[Figure, ...]
    drawings: tuple[Drawing, ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """One observation: when, what, and the words said about it."""

    when: str
    what: str
    note: str = ""
    caution: str = ""


@dataclass(frozen=True, slots=True)
class PlaceBlock:
    """A place with its facts, its texts and what was observed there."""

    title: str
    facts: tuple[Fact, ...] = ()
    passages: tuple[Passage, ...] = ()
    entries: tuple[Entry, ...] = ()


@dataclass(frozen=True, slots=True)
class Cell:
    """One table cell; `link` leads to an anchor on the same page."""

    values: tuple[Value, ...]
    link: str = ""
    figures: bool = False  # set in tabular numerals, aligned right
    exact: str = ""  # the bare number behind a marked value, which sorting and the download go by


@dataclass(frozen=True, slots=True)
class Column:
    """What a column means, the heading of its bare numbers, and where its values come from by default."""

    heading: str
    meaning: str
    exact: str = ""
    usual: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table: the first cell of each row heads the row; `explained` is empty or has one for every column."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    legend: str = ""
    explained: tuple[Column, ...] = ()
    download: str = ""  # the name of the same table as a file beside the page


@dataclass(frozen=True, slots=True)
class LessonLine:
    """One lesson: its verb, what it is about, its text."""

    verb: str
    about: str
    html: Markup


@dataclass(frozen=True, slots=True)
class Opening:
    """The first two pages."""

    title: str
    for_whom: str
    dates: str
    region: str
    lead: Figure | None
    counts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ClientPage:
    """What a client is sent."""

    opening: Opening
    summary: Markup | None
    brief: Markup | None
    otherwise: tuple[OutcomeLine, ...]  # what did not come out as it was asked
    spreads: tuple[Spread, ...]
    days: tuple[DayBlock, ...]
    undated: tuple[Figure, ...]
    conditions: tuple[PlaceBlock, ...]
    places: tuple[PlaceBlock, ...]
    places_lead: str
    next_visit: Markup | None
    lessons: tuple[LessonLine, ...]
    settings: Table
    credit: str
    rights: str
    picture_pages: tuple[PicturePage, ...]
    maps: tuple[Drawing, ...] = ()


@dataclass(frozen=True, slots=True)
class StudentsPage:
    """What a class is given."""

    opening: Opening
    summary: Markup | None
    purpose: Markup | None
    days: tuple[DayBlock, ...]
    undated: tuple[Figure, ...]
    spreads: tuple[Spread, ...]
    pairs: tuple[Pair, ...]
    exercises: tuple[Exercise, ...]
    settings: Table
    tries: Table
    failures: tuple[OutcomeLine, ...]
    conditions: tuple[PlaceBlock, ...]
    places: tuple[PlaceBlock, ...]
    places_lead: str
    cautions: tuple[str, ...]
    lessons: tuple[LessonLine, ...]
    credit: str
    rights: str
    picture_pages: tuple[PicturePage, ...]
    maps: tuple[Drawing, ...] = ()


@dataclass(frozen=True, slots=True)
class ArchivePage:
    """Everything, for the photographer alone."""

    opening: Opening
    trip_facts: tuple[Fact, ...]
    trip_text: tuple[Passage, ...]
    days: tuple[DayBlock, ...]
    undated: tuple[Figure, ...]
    spreads: tuple[Spread, ...]
    settings: Table
    conditions: tuple[PlaceBlock, ...]
    places: tuple[PlaceBlock, ...]
    lessons: tuple[LessonLine, ...]
    kit: Table
    loose: Table
    cautions: tuple[str, ...]
    picture_pages: tuple[PicturePage, ...]
    maps: tuple[Drawing, ...] = ()


Page = ClientPage | StudentsPage | ArchivePage
