"""What an export for others leaves out beside what they may not see: all that is of withheld places.

One surprising decision: a page says that somebody was at a place which is withheld, and a file does not: a
program that reads it could make nothing of such a place.
"""

import json
from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC
from hashlib import sha256

from logbook.domain.account import TripAccount
from logbook.domain.discretion import account_for
from logbook.domain.record import cut
from logbook.domain.shown import Shown
from logbook.domain.track import TrackRecord
from logbook.domain.words import Audience


def exported(account: TripAccount, *, private: bool) -> Shown:
    """Return a trip as it is written for oneself, or for others; what students may see is the measure."""
    if private:
        return account_for(account, Audience.ARCHIVE)
    return without_withheld(account_for(account, Audience.STUDENTS))


def without_withheld(shown: Shown) -> Shown:
    """Return the account without withheld places, what was done or seen there, and kit."""
    viewpoints, sites = shown.viewpoints, shown.sites
    visits = tuple(one for one in shown.visits if not shown.hides(one.viewpoint_id))
    visit_ids = {one.id for one in visits}
    conditions = tuple(
        cut(one, "visit_id", visit_ids)
        for one in shown.conditions
        if not shown.hides(one.viewpoint_id) and not shown.hides(None, one.site_id)
    )
    told = visit_ids | {one.id for one in conditions}
    left_out = {one.id for one in (*shown.visits, *shown.conditions)} - told
    return replace(
        shown,
        shots=tuple(cut(one, "viewpoint_id", viewpoints) for one in shown.shots),
        visits=visits,
        conditions=conditions,
        lessons=tuple(cut(cut(one, "viewpoint_id", viewpoints), "site_id", sites) for one in shown.lessons),
        keepers=tuple(cut(one, "viewpoint_id", viewpoints) for one in shown.keepers),
        kit={},
        packed=(),
        withheld={},
        struck=tuple(one for one in shown.struck if one.record_id not in left_out),
    )


def track_records(shown: Shown, records: Iterable[TrackRecord]) -> tuple[TrackRecord, ...]:
    """Return the tracks of an account as one record, under the id of the first there was."""
    first = next(iter(records), None)
    if first is None or not shown.tracks:
        return ()
    segments = [
        [[fix.at.astimezone(UTC).isoformat(), fix.latitude_deg, fix.longitude_deg, None] for fix in one]
        for one in shown.tracks
    ]
    points = json.dumps(segments)
    hashed = sha256(points.encode()).hexdigest()
    blurred = replace(first, file="track", hash=hashed, title=None, points=points, doubts=(), provenance={})
    return (blurred,)
