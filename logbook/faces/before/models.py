"""What a return brief shows, as frozen values of plain text; terminal and page show the same words."""

from dataclasses import dataclass
from itertools import groupby


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to know: a short label, what it says, and what it rests on (quietly shown).

    `about` is the id of the record that it is about, so that a page can show pictures of that.
    The terminal names the rows of the book, which commands take; the page names their `source` in words.
    """

    label: str
    text: str
    rests_on: str = ""
    source: str = ""
    about: str | None = None


@dataclass(frozen=True, slots=True)
class BriefTable:
    """Figures by hour: the heads of its columns, and rows whose first cell names the row."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class BriefSection:
    """One part of the brief; `key` names it in the page, `note` stands under its heading."""

    key: str
    heading: str
    items: tuple[Item, ...] = ()
    note: str = ""
    table: BriefTable | None = None


@dataclass(frozen=True, slots=True)
class Brief:
    """One place's return brief."""

    place: str
    slug: str
    day: str
    first: tuple[Item, ...]
    sections: tuple[BriefSection, ...]
    cautions: tuple[str, ...]

    @property
    def runs(self) -> tuple[tuple[bool, tuple[BriefSection, ...]], ...]:
        """The parts in runs that follow each other, those with a table apart from those without."""
        runs = groupby(self.sections, key=lambda one: one.table is not None)
        return tuple((with_table, tuple(run)) for with_table, run in runs)
