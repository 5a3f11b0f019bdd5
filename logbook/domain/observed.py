"""Which visit an observation belongs to: every page, draft, export and count asks here.

One surprising decision: where a viewpoint was visited several times on a day, an observation of which neither
visit nor time is known is of that place and day, and of no visit.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime, time

from logbook.domain.belonging import Spell, closed, spells_of, visit_at
from logbook.domain.condition import Condition
from logbook.domain.day import moment_on
from logbook.domain.visit import Visit


def visit_meant(visit_id: str | None, at: datetime | None, spells: Sequence[Spell]) -> str | None:
    """Return which of the visits to a viewpoint on a day an observation there belongs to, by id.

    That is the one it names, else the only one, else the one that its time belongs to, else none. `spells`
    are as `closed` makes them.
    """
    if visit_id is not None:
        return visit_id
    if len(spells) == 1:
        return spells[0].visit
    return None if at is None else visit_at(at, spells)


def visits_meant(
    conditions: Iterable[Condition], there: Mapping[str, Sequence[Spell]], day_ends_at: time
) -> Iterator[tuple[Condition, str | None]]:
    """Yield a day's observations at some viewpoints, each with the id of its visit as `visit_meant` finds it.

    `there` has the spells by the viewpoint's id; a visit that is not among any of them counts as not named.
    """
    known = {spell.visit for spells in there.values() for spell in spells}
    found: dict[tuple[str, time | None], str | None] = {}  # a day has few minutes, if many lines
    for one in conditions:
        if one.viewpoint_id is None or one.viewpoint_id not in there:
            continue
        if one.visit_id in known:
            yield one, one.visit_id
            continue
        key = one.viewpoint_id, one.at and one.at.replace(second=0, microsecond=0)
        if key not in found:
            at = moment_on(one.on_date, one.at, day_ends_at) if one.at is not None else None
            found[key] = visit_meant(None, at, there[one.viewpoint_id])
        yield one, found[key]


def visit_seen_on(seen: Condition, visits: Iterable[Visit], day_ends_at: time) -> str | None:
    """Return the id of the visit that an observation belongs to; None where it is of its place and day.

    `visits` are those of its trip.
    """
    of_day = [one for one in visits if one.on_date == seen.on_date]
    there = {one.id for one in of_day if one.viewpoint_id == seen.viewpoint_id}
    spells = closed(spells_of(of_day, day_ends_at), seen.on_date, day_ends_at)
    at = moment_on(seen.on_date, seen.at, day_ends_at) if seen.at is not None else None
    return visit_meant(seen.visit_id, at, [one for one in spells if one.visit in there])


def seen_on(
    visit: Visit, conditions: Iterable[Condition], visits: Iterable[Visit], day_ends_at: time
) -> tuple[Condition, ...]:
    """Return the observations that are a visit's, in their order; `visits` are those of its trip."""
    known = tuple(visits)
    return tuple(one for one in conditions if visit_seen_on(one, known, day_ends_at) == visit.id)
