"""Which pages a report has beside the large views, and what of the trip each tells: one page, or one a day.

One surprising decision: a page is named by the place of its day in the trip ("day-2.html"), not by its date:
a file's name is seen by whoever is sent a link.
"""

from dataclasses import dataclass
from datetime import date
from itertools import chain

from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper
from logbook.domain.shot import Shot
from logbook.faces.report.editions import Edition, LeafKind, PageHeading
from logbook.faces.report.order import Order, day_of
from logbook.faces.words.phrases import date_text

FIRST_FILE = "index.html"
_NAMES = {
    LeafKind.FIRST: "Overview",
    LeafKind.UNDATED: "Without a day",
    LeafKind.WORK: "Exercises",
    LeafKind.PLACES: "Places",
    LeafKind.PICTURES: "Every picture",
}


@dataclass(frozen=True, slots=True)
class Portion:
    """What of a trip one page tells: days, shots planned for them, what was kept and observed on them."""

    days: tuple[date, ...]
    shots: tuple[Shot, ...]
    keepers: tuple[Keeper, ...]
    conditions: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class LeafPlan:
    """One page: its kind, its file, what it is called, its sections, and what of the trip they tell."""

    kind: LeafKind
    file: str
    name: str
    detail: str
    headings: tuple[PageHeading, ...]
    portion: Portion


def whole_of(order: Order) -> Portion:
    """Return everything."""
    return Portion(order.days, order.shots, order.keepers, order.account.conditions)


def leaf_plans(order: Order, edition: Edition) -> tuple[LeafPlan, ...]:
    """Return the pages as they are read: one, or the first, the days, and what goes through all days."""
    days = _days_of_pages(order, edition)
    if len(order.keepers) <= edition.whole_up_to or len(days) < 2:
        name = _NAMES[LeafKind.FIRST]
        return (LeafPlan(LeafKind.FIRST, FIRST_FILE, name, "", edition.sections, whole_of(order)),)
    return (
        _through(order, edition, LeafKind.FIRST),
        *_day_plans(order, edition, days),
        *(_through(order, edition, kind) for kind in edition.leaves if kind not in _OF_DAYS),
    )


_OF_DAYS = (LeafKind.FIRST, LeafKind.DAY)


def _through(order: Order, edition: Edition, kind: LeafKind) -> LeafPlan:
    headings = edition.leaves[kind]
    return LeafPlan(kind, f"{kind}.html", _NAMES[kind], "", headings, whole_of(order))


def _day_plans(order: Order, edition: Edition, days: tuple[date, ...]) -> tuple[LeafPlan, ...]:
    """The pages of the days and, where something is of none of them, one more."""
    shots = {one.id: _shot_day(order, one, days) for one in order.shots}
    keepers = {one.id: keeper_day(order, one) for one in order.keepers}

    def portion(day: date | None) -> Portion:
        return Portion(
            (day,) if day else (),
            tuple(one for one in order.shots if shots[one.id] == day),
            tuple(one for one in order.keepers if keepers[one.id] == day),
            tuple(
                one
                for one in order.account.conditions
                if (one.on_date if one.on_date in days else None) == day
            ),
        )

    headings = edition.leaves[LeafKind.DAY]
    told = tuple(
        LeafPlan(
            LeafKind.DAY,
            f"day-{order.days.index(day) + 1}.html",
            order.day_name(day),
            date_text(day, weekday=True),
            headings,
            portion(day),
        )
        for day in days
    )
    rest = portion(None)
    if not (rest.keepers or (edition.with_craft and (rest.shots or rest.conditions))):
        return told
    name = _NAMES[LeafKind.UNDATED]
    return (*told, LeafPlan(LeafKind.UNDATED, "undated.html", name, "", headings, rest))


def _days_of_pages(order: Order, edition: Edition) -> tuple[date, ...]:
    """The days that have something to show: without craft only those on which a picture was kept."""
    if edition.with_craft:
        return order.days
    kept = {keeper_day(order, one) for one in order.keepers}
    return tuple(day for day in order.days if day in kept)


def keeper_day(order: Order, keeper: Keeper) -> date | None:
    """Return the day whose page shows a picture, by the place's clock; None where nobody knows its time."""
    return day_of(keeper.place_time, order.account.trip.day_ends_at) if keeper.place_time else None


def _shot_day(order: Order, shot: Shot, days: tuple[date, ...]) -> date | None:
    """The day that a shot was planned for, else the first on which a picture was made for it."""
    made = (keeper_day(order, one) for one in order.keepers_of_shot(shot))
    return next((day for day in chain((shot.on_date,), made) if day in days), None)
