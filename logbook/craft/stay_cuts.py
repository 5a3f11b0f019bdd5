"""Cutting a proposed visit in two by time, and joining two into one, before anything is asked about them.

One surprising decision: a part without a frame is a visit too, because a person who cuts knows of it.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from logbook.craft.errors import CraftValueError
from logbook.craft.stays import ProposedVisit, VisitSource


def cut_proposed(
    visit: ProposedVisit, at: datetime, moments: Mapping[str, datetime]
) -> tuple[ProposedVisit, ProposedVisit]:
    """Return both parts; a frame made at `at` is in the later one. `moments` gives each frame's instant.

    Raises CraftValueError for an instant that does not lie between arrival and departure.
    """
    if not visit.arrived < at < visit.departed:
        raise CraftValueError("Choose a time between arrival and departure to cut a stay.")
    early = tuple(key for key in visit.frames if moments[key] < at)
    late = tuple(key for key in visit.frames if moments[key] >= at)
    reason = f"{visit.reason}, cut by hand"
    first = replace(visit, departed=at, frames=early, reason=reason, source=_source(visit.source, early))
    return first, replace(visit, arrived=at, frames=late, reason=reason, source=_source(visit.source, late))


def join_proposed(one: ProposedVisit, other: ProposedVisit) -> ProposedVisit:
    """Return two proposed visits as one, with all their frames; a place that only one of them knows holds.

    Raises CraftValueError for visits to two known places.
    """
    first, last = sorted((one, other), key=lambda visit: visit.arrived)
    if first.spot is not None and last.spot is not None and first.spot != last.spot:
        raise CraftValueError("Two stays at different places cannot be one; say where they were first.")
    known = first if first.spot is not None else last
    return replace(
        known,
        arrived=first.arrived,
        departed=max(first.departed, last.departed),
        source=first.source if first.source is last.source else VisitSource.BOTH,
        frames=first.frames + last.frames,
        reason=f"{known.reason}, joined by hand",
    )


def _source(source: VisitSource, frames: tuple[str, ...]) -> VisitSource:
    """What a part rests on: without frames of its own, on the track at most."""
    return VisitSource.TRACK if source is VisitSource.BOTH and not frames else source
