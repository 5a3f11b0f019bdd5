"""Room for a visit among the others of its day: a person is at one place at a time.

One surprising decision: where two visits would overlap, times that were only worked out make room for those
that somebody stated, and a long one is cut around a short one; two statements that contradict are refused.
"""

from collections.abc import Collection
from dataclasses import replace
from datetime import datetime

from logbook.domain.belonging import Spell, spell_of
from logbook.domain.errors import ConflictError
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance
from logbook.services.visits.cuts import split
from logbook.store.desk import Desk

Part = tuple[datetime | None, datetime | None]
ENDS = ("arrived_at", "departed_at")


def make_room(
    desk: Desk, trip: Trip, visit: Visit, now: datetime, ignoring: Collection[str] = ()
) -> tuple[Visit, list[str]]:
    """Trim whatever overlaps a visit elsewhere; return the visit, trimmed itself or not, and what to tell.

    The visit is not written. Raises ConflictError, before anything is written, for two statements.
    """
    told: list[str] = []
    own = spell_in(trip, visit)
    yielding: list[Visit] = []
    for other in desk.visits.held(trip_id=trip.id, on_date=visit.on_date):
        if other.viewpoint_id == visit.viewpoint_id or other.id == visit.id or other.id in ignoring:
            continue
        spell = spell_in(trip, other)
        if not own.overlaps(spell):
            continue
        if _yields(other, spell, parts_left(spell, own)):
            yielding.append(other)
            continue
        parts = parts_left(own, spell)
        if len(parts) > 1 or not _yields(visit, own, parts):
            raise ConflictError(_refusal(desk, other))
        visit = _with_times(visit, parts[0] if parts else (None, None), now)
        own = spell_in(trip, visit)
        told.append(f"Its times were only inferred, and gave way to {other.slug}.")
    return visit, told + [_make_way(desk, trip, one, own, now) for one in yielding]


def spell_in(trip: Trip, visit: Visit) -> Spell:
    """Return from when to when a visit of a trip lasted."""
    return spell_of(visit.id, visit.on_date, visit.arrived_at, visit.departed_at, trip.day_ends_at)


def parts_left(own: Spell, other: Spell) -> list[Part]:
    """Return what is left of one visit beside another that it overlaps: nothing, a part, or one each side."""
    begin, end = other.arrived or other.departed, other.departed or other.arrived
    assert begin is not None
    assert end is not None
    parts: list[Part] = []
    if own.arrived is not None and own.arrived < begin:
        parts.append((own.arrived, begin))
    if own.departed is not None and own.departed > end:
        parts.append((end, own.departed))
    return parts


def _yields(visit: Visit, own: Spell, parts: list[Part]) -> bool:
    """Whether a visit may shrink to some parts: no time that a person stated of it is lost."""
    stated = [visit.provenance_of(name) is Provenance.STATED for name in ENDS]
    kept = [bool(parts) and parts[0][0] == own.arrived, bool(parts) and parts[-1][1] == own.departed]
    if len(parts) > 1 and all(stated):
        return False
    return all(is_kept for is_kept, is_stated in zip(kept, stated, strict=True) if is_stated)


def _make_way(desk: Desk, trip: Trip, visit: Visit, other: Spell, now: datetime) -> str:
    """Shrink a visit beside another, and tell it."""
    own = spell_in(trip, visit)
    parts = parts_left(own, other)
    why = "its times were only inferred"
    if len(parts) > 1 and parts[0][1] is not None:
        visit, later = split(desk, visit, parts[0][1].time(), now)
        desk.visits.put(_worked_out(_with_times(visit, parts[0], now), ENDS[1]))
        desk.visits.put(_worked_out(_with_times(later, parts[1], now), ENDS[0]))
        return f"{visit.slug} was cut around it into {visit.slug} and {later.slug}: {why}."
    trimmed = _with_times(visit, parts[0] if parts else (None, None), now)
    desk.visits.put(trimmed)
    if not parts:
        return f"{visit.slug} fell within it; its times were only inferred, and are now unknown."
    begin, end = (f"{at:%H:%M}" if at else "?" for at in parts[0])
    return f"{visit.slug} was shortened and now lasts from {begin} to {end}: {why}."


def _with_times(visit: Visit, part: Part, now: datetime) -> Visit:
    """Return a visit with other times; those that changed are inferred."""
    times = dict(zip(ENDS, (at.time() if at else None for at in part), strict=True))
    changed = [name for name, at in times.items() if getattr(visit, name) != at]
    after = replace(visit, arrived_at=times[ENDS[0]], departed_at=times[ENDS[1]], updated=now)
    return _worked_out(after, *changed)


def _worked_out(visit: Visit, *names: str) -> Visit:
    words = {name: word for name, word in visit.provenance.items() if name not in names}
    words |= {name: Provenance.INFERRED for name in names if getattr(visit, name) is not None}
    return replace(visit, provenance=words)


def _refusal(desk: Desk, other: Visit) -> str:
    viewpoint = desk.viewpoints.get(other.viewpoint_id)
    place = viewpoint.slug if viewpoint else "another viewpoint"
    times = " to ".join(f"{at:%H:%M}" for at in (other.arrived_at, other.departed_at) if at)
    return (
        f"You were at {place} then ({other.slug}, {times}), and nobody can be in two places at once; "
        f'choose other times, or change that visit first with "logbook visit edit" or "visit split".'
    )
