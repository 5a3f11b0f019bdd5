"""The pages of a report as a whole: what stands on each, and what all of them share.

One surprising decision: a page is a list of blocks in their order; which there are is the edition's word, so
that three audiences need no page models of their own.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from logbook.faces.report.models import AskedAndDelivered, Content, Figure, Opening, PicturePage, Table


@dataclass(frozen=True, slots=True)
class Block:
    """One section of a page; without content it is not shown."""

    section: str  # the macro that draws it
    anchor: str
    title: str
    lead: str
    content: Content | None


@dataclass(frozen=True, slots=True)
class Leaf:
    """One page beside the large views: its file, what it is called, and its sections."""

    file: str
    name: str
    detail: str  # the date of a day
    holds: str  # how much of what, for those who choose a page
    sections: tuple[Block, ...]
    is_first: bool = False
    is_day: bool = False
    cover: Figure | None = None  # its best picture

    @property
    def title(self) -> str:
        """What it is called where it stands alone: "Day 2, Tuesday 14 October 2031"."""
        return ", ".join(filter(None, (self.name, self.detail)))

    @property
    def contents(self) -> tuple[tuple[str, str, bool], ...]:
        """Anchor and title of each section, and whether it is shown."""
        return tuple((one.anchor, one.title, one.content is not None) for one in self.sections)


@dataclass(frozen=True, slots=True)
class Page:
    """The pages of one trip for one audience; `alone`: for nobody but the photographer.

    `leaves` are the pages of text, the first one first, and `homes` says on which of them each anchor stands.
    """

    name: str
    alone: bool
    pictures_first: bool
    opening: Opening
    summary: Markup | None
    leaves: tuple[Leaf, ...]
    homes: Mapping[str, str]
    picture_pages: tuple[PicturePage, ...]
    credit: str
    rights: str
    contact: Markup | None = None
    description: str = ""  # one line for those who are sent a link
    url: str = ""  # where the pages will stand, with a slash at its end; "" where nobody said

    @property
    def counts(self) -> tuple[str, ...]:
        """The counts that stand under the summary, unless they stand beside what was asked."""
        beside = any(isinstance(one.content, AskedAndDelivered) for one in self.leaves[0].sections)
        return () if beside else self.opening.counts

    @property
    def is_one(self) -> bool:
        """Whether everything stands on one page."""
        return len(self.leaves) == 1

    def home(self, anchor: str) -> Leaf:
        """Return the page on which an anchor stands; KeyError where nothing has it."""
        file = self.homes[anchor]
        return next(one for one in self.leaves if one.file == file)

    def at(self, anchor: str, leaf: Leaf) -> str:
        """Return what a link on a page says to lead to an anchor, wherever that stands."""
        file = self.homes[anchor]
        return f"#{anchor}" if file == leaf.file else f"{file}#{anchor}"

    @property
    def tables(self) -> tuple[Table, ...]:
        """The tables that lie beside the pages as files too."""
        contents = (one.content for leaf in self.leaves for one in leaf.sections)
        return tuple(one for one in contents if isinstance(one, Table) and one.download)
