"""Stays of a day put right by hand before anything is asked about them: `cut 2 at 10:40`, `join 2 3`.

One surprising decision: only the plan of the evening is cut, or the visit that the book already has; frames
keep all that was worked out about them, but what only the plans said of a place is asked of each part again.
"""

import re
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from itertools import pairwise
from uuid import uuid4

from logbook.domain.account import TripAccount
from logbook.domain.day import moment_on
from logbook.domain.errors import WrongUseError
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.words import Provenance
from logbook.domain.written.moments import clock_text, time_written
from logbook.services.night.frames_told import counted_frames, label_of, settings_of
from logbook.services.night.plan import guessed, with_frames
from logbook.services.night.planned import NightPlan, PlannedGroup, PlannedVisit

CORRECTING = "wrong? correct it here first, such as: cut 1 at 10:40, or: join 1 2"
_CUT = re.compile(r"(?:cut|split)\s+#?(?P<number>[0-9]{1,3})\s+(?:at|@)\s*(?P<at>.+)", re.IGNORECASE)
_JOIN = re.compile(
    r"join\s+#?(?P<one>[0-9]{1,3})\s*(?:,|\+|&|-|and|with|to)?\s*#?(?P<other>[0-9]{1,3})", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Cut:
    """A stay, by its number in the list, is cut at a time of the place's clock.

    `late` are the ids of the keepers of the later part, where more than the time tells.
    """

    number: int
    at: time
    late: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class CutBefore:
    """A new stay begins with a keeper, by its id, whichever stay it is in."""

    keeper_id: str


@dataclass(frozen=True, slots=True)
class Join:
    """A stay and the next one are one, by the number of the first."""

    number: int


@dataclass(frozen=True, slots=True)
class JoinShown:
    """Two neighbours are one, by their signs: only as long as both are the stays that were seen."""

    first: str
    last: str


Correction = Cut | CutBefore | Join | JoinShown
CHANGED = "That stay has changed since this page was opened; look again. Nothing was noted for it."


def correction_of_stays(text: str) -> Cut | Join | None:
    """Return what a line puts right, or None where it is about something else.

    Raises InvalidValueError for a time that is none, and WrongUseError for stays that are not neighbours.
    """
    if found := _CUT.fullmatch(text.strip().rstrip(".")):
        return Cut(int(found["number"]), time_written(found["at"]))
    if found := _JOIN.fullmatch(text.strip().rstrip(".")):
        first, last = sorted((int(found["one"]), int(found["other"])))
        if last != first + 1:
            raise WrongUseError("Only a stay and the next one can be joined, such as: join 2 3.")
        return Join(first)
    return None


def stay_lines(plan: NightPlan) -> tuple[str, ...]:
    """Return the stays of a day as a list: number, times, place, frames."""
    return tuple(f"{number}  {_told(visit)}" for number, visit in enumerate(plan.visits, 1))


def _told(visit: PlannedVisit) -> str:
    times = "-".join(dict.fromkeys(at for at in (visit.arrived, visit.departed) if at)) or "time unknown"
    place = visit.viewpoint or (f"{visit.guess}, as planned" if visit.guess else "no viewpoint yet")
    labels = [group.label for group in visit.groups]
    count = sum(len(group.keeper_ids) for group in visit.groups)
    frames = f": {counted_frames(count)}, {labels[0]}{' …' if len(labels) > 1 else ''}" if labels else ""
    return f"{times}  {place}{frames}"


@dataclass(frozen=True, slots=True)
class DayStays:
    """The plan of a day with its frames: what cutting and joining need to know."""

    plan: NightPlan
    account: TripAccount
    keepers: Mapping[str, Keeper]  # those of the day by id, with times as the evening has them
    on_date: date

    def meant(self, said: Correction) -> Cut | Join:
        """Return a correction by the numbers of stays; raises WrongUseError where they are others by now."""
        if isinstance(said, JoinShown):
            both = list(pairwise(visit.sign for visit in self.plan.visits))
            if (said.first, said.last) not in both:
                raise WrongUseError(CHANGED)
            return Join(both.index((said.first, said.last)) + 1)
        if not isinstance(said, CutBefore):
            return said
        for number, visit in enumerate(self.plan.visits, 1):
            ids = self._in_order(visit.groups)
            if said.keeper_id in ids and (begin := self.keepers[said.keeper_id].place_time):
                minute = begin.time().replace(second=0, microsecond=0)
                return Cut(number, minute, frozenset(ids[ids.index(said.keeper_id) :]))
        raise WrongUseError(CHANGED)

    def is_told_by_minute(self, said: Cut) -> bool:
        """Whether the minute of a cut alone tells which keepers came before it."""
        at, ids = self._moment(said.at), _ids(self._visit(said.number).groups)
        times = ((one, self.keepers[one].place_time) for one in ids)
        return said.late is None or all((when >= at) == (one in said.late) for one, when in times if when)

    def cut(self, said: Cut, new_id: str | None = None) -> NightPlan:
        """Return the plan with a stay parted at a time; `new_id` is that of the later visit, if it has one.

        Raises WrongUseError where there is no such stay, or the time does not lie within it.
        """
        visit = self._visit(said.number)
        at = self._moment(said.at)
        first, last = (self._moment(time.fromisoformat(one)) if one else None for one in _times(visit))
        is_within = first is not None and last is not None and first < at <= last
        ids = _ids(visit.groups)
        by_time = {one for one in ids if (self.keepers[one].place_time or at) >= at}
        early, late = self._parted(visit.groups, by_time if said.late is None else said.late)
        if said.late is not None and not (early and late):
            raise WrongUseError("A stay already begins with that picture.")
        if said.late is None and (not is_within or (visit.groups and not (early and late))):
            raise WrongUseError(
                f"Stay {said.number} covers {'-'.join(filter(None, _times(visit)))}; give a time within it, "
                "with frames before and after."
            )
        parts = (
            replace(
                visit,
                groups=early,
                departed=clock_text(max(self._moments(early), default=at).time()),
                stated=tuple(name for name in visit.stated if name in ("arrived_at", "support")),
                tries=None,
            ),
            replace(
                visit,
                id=new_id or uuid4().hex,
                groups=late,
                arrived=clock_text(min(self._moments(late), default=at).time()),
                stated=tuple(name for name in visit.stated if name in ("departed_at", "support")),
                tries=None,
                reason=f"cut at {clock_text(said.at)}",
            ),
        )
        return self._with(said.number, 1, [self._told(part) for part in parts])

    def join(self, said: Join, kept_id: str | None = None) -> NightPlan:
        """Return the plan with a stay and the next one as one; `kept_id` is that of a visit the book has.

        Raises WrongUseError where there are no such two stays, or both are at known viewpoints.
        """
        one, other = self._visit(said.number), self._visit(said.number + 1)
        if one.viewpoint and other.viewpoint and one.viewpoint != other.viewpoint:
            raise WrongUseError(
                f"{one.viewpoint} and {other.viewpoint} are different places; they remain two visits."
            )
        kept = one if one.viewpoint or not other.viewpoint else other
        joined = replace(
            kept,
            id=kept_id or kept.id,
            arrived=one.arrived or other.arrived,
            departed=other.departed or one.departed,
            groups=(*one.groups, *other.groups),
            tries=None,
            stated=tuple(
                name
                for side, name in ((one, "arrived_at"), (other, "departed_at"), (kept, "support"))
                if name in side.stated
            ),
            reason="joined by hand",
        )
        return self._with(said.number, 2, [self._told(joined)])

    def _visit(self, number: int) -> PlannedVisit:
        if not 1 <= number <= len(self.plan.visits):
            raise WrongUseError(
                f"There is no stay {number}; the list goes from 1 to {len(self.plan.visits)}."
            )
        return self.plan.visits[number - 1]

    def _with(self, number: int, count: int, parts: Iterable[PlannedVisit]) -> NightPlan:
        visits = self.plan.visits
        return replace(self.plan, visits=(*visits[: number - 1], *parts, *visits[number - 1 + count :]))

    def _told(self, visit: PlannedVisit) -> PlannedVisit:
        """Say again what the frames of a part tell, and which place the plans name for it."""
        keepers = [self.keepers[one] for group in visit.groups for one in group.keeper_ids]
        return guessed(with_frames(replace(visit, guess=None, settings=""), keepers), self.account)

    def _moment(self, at: time) -> datetime:
        return moment_on(self.on_date, at, self.account.trip.day_ends_at)

    def _parted(
        self, groups: Iterable[PlannedGroup], late_ids: Container[str]
    ) -> tuple[tuple[PlannedGroup, ...], tuple[PlannedGroup, ...]]:
        several = len({one.body for one in self.keepers.values()}) > 1
        early: list[PlannedGroup] = []
        late: list[PlannedGroup] = []
        for group in groups:
            taken = [self.keepers[one] for one in group.keeper_ids]
            for part, side in (
                ([one for one in taken if one.id not in late_ids], early),
                ([one for one in taken if one.id in late_ids], late),
            ):
                if part:
                    side.append(part_of(group, part, with_body=several))
        return tuple(early), tuple(late)

    def _in_order(self, groups: Sequence[PlannedGroup]) -> list[str]:
        """The ids of the keepers in order of time; those of a set stand where its first one does."""
        order = [one.id for one in in_order(self.keepers[each] for each in _ids(groups))]
        at = {one: number for number, one in enumerate(order)}
        for one in (each for group in groups for each in group.sets):
            own = [each for each in one.keeper_ids if each in at]
            at |= {each: min(at[each] for each in own) for each in own}
        return sorted(order, key=at.__getitem__)

    def _moments(self, groups: Iterable[PlannedGroup]) -> list[datetime]:
        taken = (self.keepers[one].place_time for group in groups for one in group.keeper_ids)
        return [at for at in taken if at is not None]


def cuts_in(frames: Iterable[Sequence[Keeper]], *, is_by_minute: bool) -> frozenset[str]:
    """Return the ids of the keepers with which a new stay can begin; `frames` are single or sets, in order.

    `is_by_minute`: the book has the stay already, and tells visits to one viewpoint apart by the minute.
    """
    found: set[str] = set()
    last: datetime | None = None
    for frame in frames:
        begin = frame[0].place_time
        if last and begin and not (is_by_minute and begin.replace(second=0, microsecond=0) <= last):
            found.add(frame[0].id)
        last = max((at for at in (last, *(one.place_time for one in frame)) if at), default=None)
    return frozenset(found)


def _ids(groups: Iterable[PlannedGroup]) -> list[str]:
    return [one for group in groups for one in group.keeper_ids]


def part_of(group: PlannedGroup, part: Sequence[Keeper], *, with_body: bool) -> PlannedGroup:
    """Return some keepers of a group as a group of their own, with what was worked out about them."""
    if len(part) == len(group.keeper_ids):
        return group
    ids = {one.id for one in part}
    return replace(
        group,
        keeper_ids=tuple(one.id for one in part),
        label=label_of([one.file for one in part]),
        files=tuple(one.file for one in part),
        settings=settings_of(part, with_body=with_body),
        filters_said=_stated_together(part) or group.filters_said,
        soft=tuple(one for one in group.soft if one in ids),
        sharp=tuple(one for one in group.sharp if one in ids),
    )


def _stated_together(part: Sequence[Keeper]) -> tuple[str, ...] | None:
    """The filters that somebody stated for all of some frames since the day was planned; None where not."""
    stated = {one.filters for one in part if one.provenance_of("filters") is Provenance.STATED}
    return stated.pop() if len(stated) == 1 and all(one.filters is not None for one in part) else None


def _times(visit: PlannedVisit) -> tuple[str | None, str | None]:
    return visit.arrived, visit.departed
