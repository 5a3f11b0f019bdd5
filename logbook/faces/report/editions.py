"""What the pages for each audience are made of: their sections in order, with their headings.

One surprising decision: editions differ here and in the account that they are made from, and nowhere else;
who may see what is decided before, in `discretion`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from logbook.domain.words import Audience, LessonVerb


class PageSection(StrEnum):
    """A section of a page; its word names the macro of `sections.html` that draws it."""

    TRIP = "trip"
    BRIEF = "brief"
    INTENT = "intent"
    LOOSE = "loose"
    SHOTS = "shots"
    PLATES = "plates"
    OTHERWISE = "otherwise"
    MADE = "made"
    MORE = "more"
    STORY = "story"
    LESSONS = "lessons"
    PAIRS = "pairs"
    EXERCISES = "exercises"
    SETTINGS = "settings"
    TRIES = "tries"
    CONDITIONS = "conditions"
    NEXT = "next"
    MAPS = "maps"
    PLACES = "places"
    KIT = "kit"
    CAUTIONS = "cautions"
    PICTURES = "pictures"
    DAYS = "days"
    WORK = "work"


class LeafKind(StrEnum):
    """A kind of page beside the large views; what is of no day stands on one of its own."""

    FIRST = "index"
    DAY = "day"
    UNDATED = "undated"
    WORK = "exercises"
    PLACES = "places"
    PICTURES = "pictures"


@dataclass(frozen=True, slots=True)
class PageHeading:
    """A section with its title, what leads into it, and the anchor that contents lead to."""

    section: PageSection
    title: str
    lead: str = ""
    anchor: str = ""

    @property
    def at(self) -> str:
        """The anchor: the section's own word unless another was given."""
        return self.anchor or str(self.section)


MANY_PICTURES = 40  # more of them and a page is a day's; own convention


@dataclass(frozen=True, slots=True)
class Edition:
    """The pages for one audience.

    `with_craft`: settings, plans, and what was observed and tried on every visit; `with_book`: the book's own
    names, files and clocks, and all that only the photographer looks for. `sections` are those of a report
    in one page. One of more than `whole_up_to` pictures, over several days, is in the pages `leaves`.
    """

    name: str
    for_whom: str
    sections: tuple[PageHeading, ...]
    leaves: Mapping[LeafKind, tuple[PageHeading, ...]]
    whole_up_to: int = MANY_PICTURES
    with_craft: bool = True
    with_book: bool = False
    pictures_first: bool = False  # the opening fills the window, and the best pictures come before any text
    verbs: Mapping[LessonVerb, str] = field(default_factory=lambda: {one: str(one) for one in LessonVerb})


def _only(headings: tuple[PageHeading, ...], *sections: PageSection) -> tuple[PageHeading, ...]:
    """Return the headings of some sections, in the order of these."""
    by_section = {one.section: one for one in headings}
    return tuple(by_section[one] for one in sections)


_PLAN_AND_OUTCOME = "The plan as it was made is on the left; what happened, and why, on the right."
_DAYS = PageHeading(PageSection.DAYS, "The days")
_TOLD = PageHeading(PageSection.STORY, "The day")
_WORK = PageHeading(PageSection.WORK, "For your own work")
_ALL = PageHeading(PageSection.PICTURES, "Every picture")
_CLIENT_SECTIONS = (
    PageHeading(PageSection.PLATES, "The pictures", anchor="pictures"),
    PageHeading(PageSection.BRIEF, "Asked for and delivered"),
    PageHeading(PageSection.PLACES, "Places"),
    PageHeading(
        PageSection.CONDITIONS,
        "Conditions that mattered",
        "Only what decided a picture, and every closure. All of it was seen on the day given and says "
        "nothing about today.",
    ),
    PageHeading(PageSection.NEXT, "Next visit"),
    PageHeading(PageSection.MAPS, "Maps"),
    PageHeading(PageSection.MORE, "All other pictures"),
    PageHeading(PageSection.SETTINGS, "Settings"),
)
_CLIENT = Edition(
    name="client",
    for_whom="For {client}",
    with_craft=False,
    pictures_first=True,
    verbs={
        LessonVerb.KEEP: "again",
        LessonVerb.CHANGE: "next time",
        LessonVerb.AVOID: "avoid",
    },  # advice, to somebody who was not there
    sections=_CLIENT_SECTIONS,
    leaves={
        LeafKind.FIRST: (
            *_only(_CLIENT_SECTIONS, PageSection.PLATES),
            _DAYS,
            *_only(
                _CLIENT_SECTIONS,
                PageSection.BRIEF,
                PageSection.PLACES,
                PageSection.CONDITIONS,
                PageSection.NEXT,
                PageSection.MAPS,
            ),
        ),
        LeafKind.DAY: (PageHeading(PageSection.STORY, "The pictures of the day"),),
        LeafKind.PICTURES: (_ALL, *_only(_CLIENT_SECTIONS, PageSection.SETTINGS)),
    },
)
_STUDENTS_SECTIONS = (
    PageHeading(PageSection.INTENT, "What the trip was for"),
    PageHeading(
        PageSection.OTHERWISE,
        "Plan and outcome",
        f"{_PLAN_AND_OUTCOME} Planned values were stated by the photographer unless marked.",
    ),
    PageHeading(PageSection.MADE, "Made as planned"),
    PageHeading(PageSection.STORY, "Day by day"),
    PageHeading(PageSection.LESSONS, "Lessons"),
    PageHeading(PageSection.PAIRS, "Pairs to compare"),
    PageHeading(PageSection.EXERCISES, "Exercises"),
    PageHeading(PageSection.SETTINGS, "Settings"),
    PageHeading(PageSection.TRIES, "Tries and failures"),
    PageHeading(
        PageSection.CONDITIONS,
        "Conditions by place and time",
        "Seen on the day and at the time given; this says nothing about today.",
    ),
    PageHeading(PageSection.MAPS, "Maps"),
    PageHeading(PageSection.PLACES, "Places and their dangers"),
    PageHeading(PageSection.CAUTIONS, "Before you go there"),
    _ALL,
)
_STUDENTS = Edition(
    name="students",
    for_whom="For students",
    sections=_STUDENTS_SECTIONS,
    whole_up_to=0,  # a class reads a day at a time
    leaves={
        LeafKind.FIRST: (
            *_only(_STUDENTS_SECTIONS, PageSection.INTENT),
            _DAYS,
            *_only(_STUDENTS_SECTIONS, PageSection.LESSONS),
            _WORK,
            *_only(_STUDENTS_SECTIONS, PageSection.TRIES),
        ),
        LeafKind.DAY: (
            _TOLD,
            *_only(
                _STUDENTS_SECTIONS,
                PageSection.OTHERWISE,
                PageSection.MADE,
                PageSection.CONDITIONS,
                PageSection.SETTINGS,
            ),
        ),
        LeafKind.WORK: _only(_STUDENTS_SECTIONS, PageSection.PAIRS, PageSection.EXERCISES),
        LeafKind.PLACES: _only(
            _STUDENTS_SECTIONS, PageSection.MAPS, PageSection.PLACES, PageSection.CAUTIONS
        ),
        LeafKind.PICTURES: _only(_STUDENTS_SECTIONS, PageSection.PICTURES, PageSection.SETTINGS),
    },
)
_ARCHIVE_SECTIONS = (
    PageHeading(PageSection.TRIP, "The trip"),
    PageHeading(PageSection.LOOSE, "To sort out"),
    PageHeading(PageSection.SHOTS, "Plan and outcome", _PLAN_AND_OUTCOME),
    PageHeading(PageSection.STORY, "Day by day"),
    PageHeading(PageSection.LESSONS, "Lessons"),
    PageHeading(PageSection.SETTINGS, "Settings"),
    PageHeading(PageSection.CONDITIONS, "Conditions by place and time"),
    PageHeading(PageSection.MAPS, "Maps"),
    PageHeading(PageSection.PLACES, "Places"),
    PageHeading(PageSection.KIT, "Kit"),
    PageHeading(PageSection.CAUTIONS, "Before you go there"),
    _ALL,
)
_ARCHIVE = Edition(
    name="archive",
    for_whom="For the photographer alone",
    with_book=True,
    sections=_ARCHIVE_SECTIONS,
    leaves={
        LeafKind.FIRST: (
            *_only(_ARCHIVE_SECTIONS, PageSection.TRIP, PageSection.LOOSE),
            _DAYS,
            *_only(_ARCHIVE_SECTIONS, PageSection.LESSONS, PageSection.KIT),
        ),
        LeafKind.DAY: (
            _TOLD,
            *_only(_ARCHIVE_SECTIONS, PageSection.SHOTS, PageSection.CONDITIONS, PageSection.SETTINGS),
        ),
        LeafKind.PLACES: _only(_ARCHIVE_SECTIONS, PageSection.MAPS, PageSection.PLACES, PageSection.CAUTIONS),
        LeafKind.PICTURES: _only(_ARCHIVE_SECTIONS, PageSection.PICTURES, PageSection.SETTINGS),
    },
)
EDITIONS: Mapping[Audience, Edition] = {
    Audience.CLIENT: _CLIENT,
    Audience.STUDENTS: _STUDENTS,
    Audience.ARCHIVE: _ARCHIVE,
}
