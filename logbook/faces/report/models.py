"""What a template can see: one frozen page model of strings, numbers and cleaned markup, for every audience.

One surprising decision: none of its shapes (a fact, a figure, a facing pair) knows the book or an audience;
what may stand in them left the account before, and which sections there are is said by the edition.
"""

from dataclasses import dataclass

from markupsafe import Markup

SHARED_PX = 1080  # across; what is made of a link shows no more (common practice, no source)


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
    tone: str = ""  # the mean colour, as the style sheet calls it; stands there until the picture has come


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
    of: int = 1  # frames of a set that it stands for
    serves: str = ""  # the planned shot, where a picture stands under what was asked

    @property
    def share_image(self) -> Candidate | None:
        """The width that those who are sent a link see first."""
        if self.image is None:
            return None
        wide = (one for one in self.image.candidates if one.width_px >= SHARED_PX)
        return next(wide, self.image.candidates[-1])


@dataclass(frozen=True, slots=True)
class PicturePage:
    """The large view of one figure."""

    figure: Figure
    facts: tuple[Fact, ...]
    passages: tuple[Passage, ...] = ()


@dataclass(frozen=True, slots=True)
class Reference:
    """Words that lead to an anchor, on whichever page that stands."""

    text: str
    anchor: str


@dataclass(frozen=True, slots=True)
class ObservedLine:
    """One observation under a visit: its line, the same in a few words, and the anchor that leads to it."""

    text: str
    brief: str
    anchor: str = ""


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
    observed: tuple[Reference, ...]  # what was seen then, and where that is told
    figures: tuple[Figure, ...]
    instead: tuple[Figure, ...] = ()  # what was made in the shot's place; it never counts as the shot


@dataclass(frozen=True, slots=True)
class Pair:
    """Two pictures of one view side by side, the one thing that differs, and the stops between them."""

    number: int
    anchor: str
    title: str
    place: str
    look: str  # what to look at in the pictures
    first: Figure
    second: Figure
    first_facts: tuple[Fact, ...]
    second_facts: tuple[Fact, ...]
    finding: str
    working: str
    doubt: str  # which values are guesses


@dataclass(frozen=True, slots=True)
class Exercise:
    """A question from the trip's own numbers, its answer, and how one comes by it, line by line."""

    number: int
    anchor: str
    title: str
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
    said: Markup | None = None  # the photographer's own words


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
    observed: tuple[ObservedLine, ...]
    figures: tuple[Figure, ...]

    @property
    def seen(self) -> str:
        """What was observed, in a few words for those who may not read on."""
        return "; ".join(dict.fromkeys(one.brief for one in self.observed))


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
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class MadeShot:
    """A shot that was made as planned: its pictures and a line."""

    number: int
    anchor: str
    title: str
    intent: Markup | None
    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class PlaceBlock:
    """A place with its facts, its texts, what was observed there, and its best picture."""

    title: str
    facts: tuple[Fact, ...] = ()
    passages: tuple[Passage, ...] = ()
    entries: tuple[Entry, ...] = ()
    figure: Figure | None = None


@dataclass(frozen=True, slots=True)
class Cell:
    """One table cell; `link` is the anchor that it leads to."""

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
class TripNotes:
    """What the book says of a trip as a whole."""

    texts: tuple[Passage, ...]
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class AskedAndDelivered:
    """What was asked, what was delivered for it, and what did not come out as it was asked."""

    asked: Markup | None
    delivered: tuple[Figure, ...]
    otherwise: tuple[OutcomeLine, ...]


@dataclass(frozen=True, slots=True)
class Story:
    """The days in order, and the pictures of which nobody knows the day."""

    days: tuple[DayBlock, ...]
    undated: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class TriesAndFailures:
    """Tries that did not become the planned picture, and how many tries each visit took."""

    failures: tuple[OutcomeLine, ...]
    table: Table


@dataclass(frozen=True, slots=True)
class NextVisit:
    """What to know for the next visit."""

    text: Markup | None
    lessons: tuple[LessonLine, ...]


@dataclass(frozen=True, slots=True)
class DayCard:
    """A day as the first page shows it: the page it has, what that holds, and its best picture."""

    file: str
    name: str
    date: str
    holds: str
    figure: Figure | None


@dataclass(frozen=True, slots=True)
class ClassWork:
    """What there is to work with, each a line that leads to it."""

    pairs: tuple[Reference, ...]
    exercises: tuple[Reference, ...]


Content = (
    Markup
    | ClassWork
    | TripNotes
    | AskedAndDelivered
    | Story
    | Table
    | TriesAndFailures
    | NextVisit
    | tuple[Spread, ...]
    | tuple[Pair, ...]
    | tuple[Exercise, ...]
    | tuple[PlaceBlock, ...]
    | tuple[LessonLine, ...]
    | tuple[Drawing, ...]
    | tuple[Figure, ...]
    | tuple[MadeShot, ...]
    | tuple[DayCard, ...]
    | tuple[str, ...]
)
