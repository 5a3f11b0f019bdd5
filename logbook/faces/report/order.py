"""The order of an account: numbers for shots and pictures, the days, and which picture fits which visit.

One surprising decision: pages refer to shots and pictures only by these numbers, so that neither a slug nor a
record's id ever reaches a link.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from typing import Protocol, TypeVar

from logbook.domain.belonging import seen_on, visit_seen_on, visits_by_keeper
from logbook.domain.condition import Condition
from logbook.domain.day import begin_on, day_of
from logbook.domain.keeper import Keeper, by_place_time
from logbook.domain.shot import Outcome, Shot
from logbook.domain.shown import Shown
from logbook.domain.trip_days import day_name
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import OutcomeWord
from logbook.sky.phases import CUSTOMARY, LightLimits

__all__ = ["Order", "day_of", "put_in_order"]


class _HasId(Protocol):
    @property
    def id(self) -> str: ...


_T = TypeVar("_T", bound=_HasId)


@dataclass(frozen=True, slots=True)
class Order:
    """An account put in order; numbers start at 1."""

    account: Shown
    shots: tuple[Shot, ...]
    keepers: tuple[Keeper, ...]
    shot_numbers: dict[str, int]
    keeper_numbers: dict[str, int]
    days: tuple[date, ...]
    visit_by_keeper: dict[str, str]
    limits: LightLimits = CUSTOMARY

    def outcome(self, shot: Shot) -> OutcomeWord:
        """Return the word for a shot's outcome; where nobody said one, it is open."""
        outcome = self.account.outcomes.get(shot.id)
        return outcome.word if outcome and outcome.is_stated else OutcomeWord.OPEN

    def over(self) -> bool:
        """Return whether the trip is over, as far as the book tells: something is written on its last day."""
        last = self.account.trip.ends_on
        written = {day.on_date for day in self.account.days} | {one.on_date for one in self.account.visits}
        return last is not None and any(day >= last for day in written)

    def not_tried(self, shot: Shot) -> bool:
        """Return whether a trip is over without a word, or a picture, for a shot."""
        return self.outcome(shot) is OutcomeWord.OPEN and self.over() and not any(self.keepers_of_shot(shot))

    def day_name(self, day: date) -> str:
        """Return which day of the trip it is, in words."""
        return day_name(self.account.trip, day, self.days)

    def shots_on(self, day: date) -> Iterator[Shot]:
        """Yield the shots planned for a day, by their window."""
        return (shot for shot in self.shots if shot.on_date == day)

    def visits_on(self, day: date) -> Iterator[Visit]:
        """Yield the visits of a day, by arrival."""
        ends_at = self.account.trip.day_ends_at
        visits = (visit for visit in self.account.visits if visit.on_date == day)
        return iter(sorted(visits, key=lambda visit: _after(day, visit.arrived_at, ends_at)))

    def viewpoints_used(self) -> tuple[Viewpoint, ...]:
        """Return the viewpoints that the trip visited, planned for, or brought pictures from."""
        used = [one.viewpoint_id for one in self.account.visits]
        used += [one.viewpoint_id for one in self.shots if one.viewpoint_id]
        used += [one.viewpoint_id for one in self.keepers if one.viewpoint_id]
        known = self.account.viewpoints
        return tuple(known[key] for key in dict.fromkeys(used) if key in known)

    def without(self, gone: Collection[str]) -> "Order":
        """Return the same without some pictures, by their ids; the others are numbered through."""
        left = [one for one in self.keepers if one.id not in gone]
        return replace(self, keepers=tuple(left), keeper_numbers=_numbered(left))

    def keepers_of_visit(self, visit: Visit) -> Iterator[Keeper]:
        """Yield the pictures made on a visit."""
        return (keeper for keeper in self.keepers if self.visit_by_keeper.get(keeper.id) == visit.id)

    def keepers_of_shot(self, shot: Shot) -> Iterator[Keeper]:
        """Yield the pictures made for a shot."""
        return (keeper for keeper in self.keepers if keeper.shot_id == shot.id)

    def other_keepers_on(self, day: date) -> Iterator[Keeper]:
        """Yield a day's pictures that belong to no visit."""
        ends_at = self.account.trip.day_ends_at
        return (
            keeper
            for keeper in self.keepers
            if keeper.id not in self.visit_by_keeper
            and keeper.place_time
            and day_of(keeper.place_time, ends_at) == day
        )

    def undated_keepers(self) -> Iterator[Keeper]:
        """Yield the pictures whose time is unknown."""
        return (keeper for keeper in self.keepers if not keeper.place_time)

    def conditions_of_visit(self, visit: Visit) -> Iterator[Condition]:
        """Yield what was observed on a visit."""
        account = self.account
        return iter(seen_on(visit, account.conditions, account.visits, account.trip.day_ends_at))

    def visit_of_condition(self, condition: Condition) -> str | None:
        """Return the id of the visit that something was observed on, or None where that is no one visit."""
        account = self.account
        return visit_seen_on(condition, account.visits, account.trip.day_ends_at)

    def replacement(self, outcome: Outcome) -> tuple[Shot | None, Keeper | None]:
        """Return what replaced a shot: a shot, a picture, or neither."""
        shot = next((s for s in self.shots if s.id == outcome.replaced_by_shot_id), None)
        keeper = next((k for k in self.keepers if k.id == outcome.replaced_by_keeper_id), None)
        return shot, keeper


def put_in_order(account: Shown, limits: LightLimits = CUSTOMARY) -> Order:
    """Return an account's shots by day and window, pictures by time, days by date."""
    ends_at = account.trip.day_ends_at
    shots = sorted(account.shots, key=lambda shot: _after(shot.on_date, shot.window_from, ends_at))
    keepers = sorted(account.keepers, key=by_place_time)
    days = {day.on_date for day in account.days} | {visit.on_date for visit in account.visits}
    days |= {shot.on_date for shot in shots if shot.on_date}
    days |= {day_of(keeper.place_time, ends_at) for keeper in keepers if keeper.place_time}
    visits = visits_by_keeper(keepers, account.visits, ends_at)
    return Order(
        account,
        tuple(shots),
        tuple(keepers),
        _numbered(shots),
        _numbered(keepers),
        tuple(sorted(days)),
        visits,
        limits,
    )


def _numbered(records: list[_T]) -> dict[str, int]:
    return {record.id: number for number, record in enumerate(records, start=1)}


def _after(on_date: date | None, at: time | None, day_ends_at: time) -> tuple[date, bool, datetime]:
    """Sort key: by day and time, the small hours last of their day and an unknown time after them."""
    return on_date or date.max, at is None, begin_on(on_date, at, day_ends_at)
