"""The viewpoint that a heading names: figures that belong to a known name are no times."""

from dataclasses import replace

from logbook.domain.errors import LogbookError
from logbook.domain.names import slug_of
from logbook.domain.viewpoint import Viewpoint
from logbook.intake.dayfile import Section
from logbook.services.kinds import VIEWPOINT
from logbook.services.records import find
from logbook.store.desk import Desk


def headed(desk: Desk, section: Section) -> tuple[Section, Viewpoint]:
    """Return a section as the book knows its place, and that place.

    Raises LogbookError, with the nearest names, where the book has none.
    """
    if section.in_full:
        try:
            there = find(desk, VIEWPOINT, section.in_full)
        except LogbookError:
            pass
        else:
            if slug_of(section.in_full) in (there.slug, slug_of(there.title)):
                named = replace(section, viewpoint=section.in_full, arrived=None, departed=None, told="")
                return replace(named, times_proposed=False), there
    return section, find(desk, VIEWPOINT, section.viewpoint or "")
