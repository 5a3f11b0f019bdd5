"""The light of one planned day: whether its shots can be made, the sun at their hour, and the day as a whole.

One surprising decision: a day is worked out only when somebody looks at it. The sun at many places over many
days takes seconds, and a table is typed into before that.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from logbook.craft.feasible import Feasibility
from logbook.domain.account import TripAccount
from logbook.domain.position import Position
from logbook.domain.shot import Shot
from logbook.services.accounts import account_of
from logbook.services.light.day_light import DayPhases, day_light
from logbook.services.light.standpoints import standpoint_of
from logbook.services.plans.feasibility import judge
from logbook.services.plans.sheets import ShotLight, shot_light
from logbook.sky.errors import SkyValueError
from logbook.sky.phases import CUSTOMARY, LightLimits
from logbook.store.book import Book


@dataclass(frozen=True, slots=True)
class PlannedDay:
    """The shots of one date, or those without one; mappings are by shot id.

    `light` holds the shots whose hour and place are known; `phases` are those of the first place that has a
    position.
    """

    account: TripAccount
    on_date: date | None
    shots: tuple[Shot, ...]
    feasibility: Mapping[str, Feasibility]
    light: Mapping[str, ShotLight]
    phases: DayPhases | None


def planned_day(book: Book, trip: str, on_date: date | None, limits: LightLimits = CUSTOMARY) -> PlannedDay:
    """Return a day of a plan with its light; None is the day of shots without a date."""
    account = account_of(book, trip)
    shots = tuple(shot for shot in account.shots if shot.on_date == on_date)
    light = {shot.id: lit for shot in shots if (lit := _light(account, shot, limits)) is not None}
    judged = {shot.id: judge(account, shot) for shot in shots}
    return PlannedDay(account, on_date, shots, judged, light, _phases(account, shots, on_date, limits))


def _light(account: TripAccount, shot: Shot, limits: LightLimits) -> ShotLight | None:
    if shot.on_date is None or not account.counts(shot.on_date):
        return None
    try:
        return shot_light(account, shot, limits)
    except SkyValueError:
        return None


def _phases(
    account: TripAccount, shots: tuple[Shot, ...], on_date: date | None, limits: LightLimits
) -> DayPhases | None:
    """The kinds of light where the first shot of the day is made."""
    places = (standpoint_of(account, shot.viewpoint_id, on_date) for shot in shots)
    place = next(filter(None, places), None)
    if place is None or on_date is None or not account.counts(on_date):
        return None
    at = Position(place.observer.latitude_deg, place.observer.longitude_deg)
    return day_light(on_date, at, str(place.zone), account.trip.day_ends_at, limits)
