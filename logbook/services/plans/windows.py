"""The light of planned windows: where sun and moon stand at each moment, and the light to expect.

One surprising decision: the sky over all windows, wherever and whenever they are, is asked for in one go, as
a question takes as long as hundreds of instants of its answer. Moments lie minutes apart, but closer where an
eclipse of the sun is at its height, since totality may come and go between two of them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import lru_cache, partial
from types import MappingProxyType

from logbook.craft.met_light import MetLight, light_here
from logbook.craft.plan import BRIEF_ENOUGH_S, Moment
from logbook.domain.account import TripAccount
from logbook.domain.day import instants_on
from logbook.domain.shot import Shot
from logbook.services.light.day_light import PATH_STEP
from logbook.services.light.standpoints import Standpoint
from logbook.sky.eclipses import ECLIPSE_LIT, discs_covered, eclipses
from logbook.sky.ephemeris import Body, to_seconds
from logbook.sky.events import local_day
from logbook.sky.moon import moon_phases
from logbook.sky.position import SkyPosition, positions_from

# Within so long of totality, or of the greatest eclipse, light may change by a stop in half a minute (tried)
NEAR_TOTALITY, TOTALITY_STEP = timedelta(minutes=3), timedelta(seconds=30)
KEPT = 64  # answers that are remembered within one run


@dataclass(frozen=True, slots=True)
class LightWindow:
    """A span of time at a place, and what pictures of it met; the moon counts as lit as at noon.

    Its moments are evenly spaced from `day` on, the instant at which its day begins.
    """

    standpoint: Standpoint
    day: datetime
    begins: datetime
    ends: datetime
    noon: datetime
    met: tuple[MetLight, ...]

    def instants(self) -> list[datetime]:
        """Return its moments; the nearest one where it lies between two."""
        first, last = -((self.day - self.begins) // PATH_STEP), (self.ends - self.day) // PATH_STEP
        if first > last:
            first = last = round((self.begins - self.day) / PATH_STEP)
        return [self.day + number * PATH_STEP for number in range(first, last + 1)]


def shot_window(account: TripAccount, shot: Shot, standpoint: Standpoint | None) -> LightWindow | None:
    """Return a shot's window; without times its whole day, without date or place none.

    Raises SkyValueError for a time at which sun and moon are not known.
    """
    if standpoint is None or shot.on_date is None:
        return None
    start, end = local_day(shot.on_date, standpoint.zone, account.trip.day_ends_at)
    noon = start + (end - start) / 2
    begins, ends = instants_on(
        shot.on_date, shot.window_from, shot.window_to, account.trip.day_ends_at, standpoint.zone
    )
    asked = (start, end) if begins is None else (begins, ends or begins)
    window = LightWindow(standpoint, start, *asked, noon, met_there(account, shot))
    instants = window.instants()
    for at in (instants[0], instants[-1], noon):
        to_seconds(at)  # raises where it is not known
    return window


def day_window(standpoint: Standpoint, on_date: date, met: tuple[MetLight, ...]) -> LightWindow:
    """Return a date from midnight to midnight."""
    start, end = local_day(on_date, standpoint.zone)
    return LightWindow(standpoint, start, start, end, start + (end - start) / 2, met)


def met_there(account: TripAccount, shot: Shot) -> tuple[MetLight, ...]:
    """Return what pictures of a shot's viewpoint met."""
    return account.met_light.get(shot.viewpoint_id or "", ())


def after(window: LightWindow | None, shot: Shot) -> LightWindow | None:
    """Return what follows a window while the shutter of a long plan may still be open; None of a brief one.

    It may be open four times as long as planned, with filters that take two stops more.
    """
    if window is None or shot.exposure_s is None or shot.exposure_s <= BRIEF_ENOUGH_S:
        return None
    begins = window.instants()[-1] + PATH_STEP
    ends = begins + timedelta(seconds=4 * float(shot.exposure_s))
    to_seconds(ends)  # raises where it is not known
    return replace(window, begins=begins, ends=ends)


def moments_of(window: LightWindow | None) -> tuple[Moment, ...]:
    """Return the moments of a window; without a window there are none."""
    return () if window is None else moments_in((window,))[window]


@lru_cache(maxsize=KEPT)
def moments_in(windows: tuple[LightWindow, ...]) -> Mapping[LightWindow, tuple[Moment, ...]]:
    """Return the moments of each of some windows; remembered, because shots share windows."""
    noons = list(dict.fromkeys(one.noon for one in windows))
    lit = {noon: phase.illuminated_fraction for noon, phase in zip(noons, moon_phases(noons), strict=True)}
    instants = {one: _instants(one, lit[one.noon]) for one in windows}
    places = [(one.standpoint.observer, at) for one in windows for at in instants[one]]
    sun = iter(positions_from(Body.SUN, places))
    moon = iter(positions_from(Body.MOON, places))
    found = {}
    for one in windows:
        number = len(instants[one])
        found[one] = _moments(
            one, [next(sun) for _ in range(number)], [next(moon) for _ in range(number)], lit[one.noon]
        )
    return MappingProxyType(found)


def _instants(window: LightWindow, lit: float) -> list[datetime]:
    """The moments of a window, and where the sun is eclipsed those at which its light changes fast."""
    if lit > ECLIPSE_LIT:
        return window.instants()
    dense: set[datetime] = set()
    for one in eclipses(window.standpoint.observer, window.begins, window.ends + PATH_STEP):
        first, last = one.central_from or one.greatest, one.central_to or one.greatest
        steps = (last - first + 2 * NEAR_TOTALITY) // TOTALITY_STEP
        dense |= {first - NEAR_TOTALITY + number * TOTALITY_STEP for number in range(steps + 1)}
        dense |= {first, one.greatest, last}
    if not dense:
        return window.instants()
    inside = {*window.instants(), *dense, window.begins, window.ends}
    return sorted(at for at in inside if window.begins <= at <= window.ends)


def _moments(
    window: LightWindow, sun: Sequence[SkyPosition], moon: Sequence[SkyPosition], lit: float
) -> tuple[Moment, ...]:
    moments = []
    eclipsed = discs_covered(window.standpoint.observer, [one.at for one in sun], lit)
    for s, m, covered in zip(sun, moon, eclipsed, strict=True):
        hidden = window.standpoint.observer.hides(s.altitude_deg)
        of = partial(
            light_here,
            facing_deg=window.standpoint.facing_deg,
            sun_azimuth_deg=s.azimuth_deg,
            sun_altitude_deg=s.altitude_deg,
            moon_altitude_deg=m.altitude_deg,
            moon_lit=lit,
            is_hidden=hidden,
            is_moon_hidden=window.standpoint.observer.hides(m.altitude_deg),
            sun_covered=covered.sun,
            moonlight_lost=covered.moonlight,
        )
        light, witnesses = of(window.met)
        moments.append(
            Moment(
                s.at,
                s.azimuth_deg,
                s.altitude_deg,
                light.scene_ev100,
                light.low_ev100,
                light.high_ev100,
                witnesses,
                hidden,
                light.dimming,
                None if witnesses is None else of(())[0].scene_ev100,
            )
        )
    return tuple(moments)
