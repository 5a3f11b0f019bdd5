"""On which page each anchor stands: asked by every link, in pages, large views and the book over all trips.

One surprising decision: it is read off the finished pages, so that a link leads to what is really drawn
there. A picture stands where its day is told, and only without a day's telling among the best or the rest.
"""

from collections.abc import Iterator, Mapping, Sequence

from logbook.faces.report.editions import PageSection
from logbook.faces.report.models import (
    DayBlock,
    Drawing,
    Exercise,
    Figure,
    MadeShot,
    Pair,
    PlaceBlock,
    Spread,
    Story,
)
from logbook.faces.report.page_models import Block, Leaf

_ANCHORED = (Spread, MadeShot, Pair, Exercise, Drawing)
_PICTURES = (PageSection.PLATES, PageSection.MORE)


def homes_of(leaves: Sequence[Leaf], lead: Figure | None = None) -> Mapping[str, str]:
    """Return the file of the page on which each anchor stands; of several that draw one, the first.

    `lead` is the picture that opens the first page.
    """
    homes: dict[str, str] = {}
    for leaf in leaves:
        for block in leaf.sections:
            for anchor in _drawn(block):
                homes.setdefault(anchor, leaf.file)
    for leaf in leaves:
        for block in leaf.sections:
            for anchor in _pictures(block):
                homes.setdefault(anchor, leaf.file)
    if lead:
        homes.setdefault(lead.anchor, leaves[0].file)
    return homes


def _drawn(block: Block) -> Iterator[str]:
    content = block.content
    if content is None:
        return
    yield block.anchor
    if isinstance(content, Story):
        for day in content.days:
            yield from _of_day(day)
        yield from (one.anchor for one in content.undated)
    elif isinstance(content, tuple):
        yield from (one.anchor for one in content if isinstance(one, _ANCHORED))
        places = (one for one in content if isinstance(one, PlaceBlock))
        yield from (entry.anchor for place in places for entry in place.entries if entry.anchor)


def _of_day(day: DayBlock) -> Iterator[str]:
    yield day.anchor
    yield from (one.anchor for one in day.drawings)
    for visit in day.visits:
        yield from (one.anchor for one in visit.observed if one.anchor)
        yield from (one.anchor for one in visit.figures)
    yield from (one.anchor for one in day.other_figures)


def _pictures(block: Block) -> Iterator[str]:
    if block.section in _PICTURES and isinstance(block.content, tuple):
        yield from (one.anchor for one in block.content if isinstance(one, Figure))
