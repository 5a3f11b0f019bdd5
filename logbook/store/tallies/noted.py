"""Levels of conditions by place and day, and which of them holds for a moment there."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from typing import NamedTuple

from logbook.domain.day import moment_on

NEAR = timedelta(hours=1)  # between a picture and a level that was noted (own convention)


class Noted(NamedTuple):
    """A level that was noted, when, and on which visit, where that is known."""

    kind: str
    at: str | None
    level: str
    visit_id: str | None

    def holds_on(self, visit_id: str | None) -> bool:
        """Whether it may hold on a visit: where it names one, on that alone; None is outside all visits."""
        return self.visit_id in (None, visit_id) or (visit_id is None and self.at is not None)


class Levels:
    """Levels of all kinds of condition, by place and day."""

    def __init__(self, rows: Iterable[tuple[str, str, Noted]]) -> None:
        """Take levels in, each with the id of its place and its day."""
        self._at: dict[tuple[str, str], list[Noted]] = defaultdict(list)
        for place, day, one in rows:
            self._at[place, day].append(one)

    def all_on(
        self, viewpoint_id: str, site_id: str, day: str, visit_id: str | None = None
    ) -> dict[str, list[str]]:
        """Every level noted at a viewpoint or its site on a day, by kind; of a visit, none of others."""
        found: dict[str, set[str]] = {}
        for place in (viewpoint_id, site_id):
            for one in self._at.get((place, day), ()):
                if visit_id is None or one.holds_on(visit_id):
                    found.setdefault(one.kind, set()).add(one.level)
        return {kind: sorted(levels) for kind, levels in sorted(found.items())}

    def nearest(
        self,
        viewpoint_id: str,
        site_id: str,
        day: str,
        local: datetime | None,
        day_ends_at: str,
        visit_id: str | None,
    ) -> dict[str, str]:
        """The level of each kind that was noted nearest in time; none where none was within an hour.

        What was noted at the site counts for a kind of which nothing was noted at the viewpoint.
        """
        found: dict[str, str] = {}
        known: dict[str, list[Noted]] = {}
        for place in (viewpoint_id, site_id):
            here: dict[str, list[Noted]] = {}
            for one in self._at.get((place, day), ()):
                here.setdefault(one.kind, []).append(one)
            known = here | known
        for kind, noted in known.items():
            level = _nearest(noted, day, local, day_ends_at, visit_id)
            if level is not None:
                found[kind] = level
        return found


def _nearest(
    noted: Iterable[Noted], day: str, local: datetime | None, day_ends_at: str, visit_id: str | None
) -> str | None:
    holding = [one for one in noted if one.holds_on(visit_id)]
    timed = [
        (abs(noted_at(day, one.at, day_ends_at) - local), one.level)
        for one in holding
        if one.at is not None and local is not None
    ]
    near = min(timed, default=None)
    if near and near[0] <= NEAR:
        return near[1]
    whole = {one.level for one in holding if one.at is None}
    return whole.pop() if len(whole) == 1 else None


@lru_cache(maxsize=4096)
def noted_at(day: str, at: str, day_ends_at: str) -> datetime:
    """Return the local moment of a time that was noted on a day of a trip."""
    return moment_on(date.fromisoformat(day), time.fromisoformat(at), time.fromisoformat(day_ends_at))
