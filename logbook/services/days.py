"""One day of a trip as it is shown: its account, what became of its shots, what its pictures leave open."""

from dataclasses import dataclass, replace
from datetime import date

from logbook.domain.account import TripAccount
from logbook.domain.place_clock import PlaceClock
from logbook.services.accounts import account_in, day_of
from logbook.services.keepers.keeping import keepers_listed
from logbook.services.light.stands import observer_at
from logbook.services.plans.outcomes import ShotWithOutcome, with_outcomes
from logbook.services.records import Listing, the_trip
from logbook.sky.observer import Observer
from logbook.store.book import Book


@dataclass(frozen=True, slots=True)
class DayShown:
    """What one day of a trip holds; `observer` stood at its first place that has a position.

    `zone` is that of the clock that counts there.
    """

    on_date: date
    account: TripAccount
    shots: tuple[ShotWithOutcome, ...]
    listing: Listing
    observer: Observer | None = None
    zone: str | None = None


def show_day(book: Book, trip: str | None, on_date: date) -> DayShown:
    """Return what one day holds; the shots are those planned for it."""
    with book.reading() as desk:
        whole = account_in(desk, the_trip(desk, trip))
        account = replace(
            whole,
            shots=tuple(shot for shot in whole.shots if shot.on_date == on_date),
            visits=tuple(visit for visit in whole.visits if visit.on_date == on_date),
            conditions=tuple(one for one in whole.conditions if one.on_date == on_date),
            lessons=tuple(one for one in whole.lessons if one.on_date == on_date),
            days=tuple(day for day in whole.days if day.on_date == on_date),
            keepers=tuple(one for one in whole.keepers if day_of(one, whole.trip) == on_date),
            loose_lines=tuple(line for line in whole.loose_lines if line.on_date == on_date),
        )
        return DayShown(
            on_date,
            account,
            with_outcomes(desk, account.shots),
            keepers_listed(desk, account.keepers),
            *_stood(account, on_date),
        )


def _stood(account: TripAccount, on_date: date) -> tuple[Observer | None, str | None]:
    """Return who stood at the day's first place that has a position, of its visits, else of its plans; and
    the zone of the clock there.
    """
    spots = [*(one.viewpoint_id for one in account.visits), *(one.viewpoint_id for one in account.shots)]
    viewpoints = [account.viewpoints[one] for one in spots if one is not None and one in account.viewpoints]
    for viewpoint in viewpoints:
        site = account.sites.get(viewpoint.site_id)
        if (observer := observer_at(viewpoint, site)) is not None:
            return observer, _name(account.clock_on(on_date, viewpoint.id))
    return None, _name(account.clock_on(on_date))


def _name(clock: PlaceClock | None) -> str | None:
    return clock.zone if clock else None
