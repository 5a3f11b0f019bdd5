"""Light that cannot be: frames too bright for night or too dark for day, and the clock mistakes behind them.

One surprising decision: night is bounded generously, because lamps, and the last sun seen from a summit, are
real; a mistake of hours shows all the same.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import islice, pairwise

from logbook.craft.light import SUN_UP_DEG

# The brightest scene to expect, EV at ISO 100, by the sun's geometric altitude in degrees. Own convention:
# one to three stops above ANSI PH2.7-1973 (R1986): skyline at sunset 12, just after 9 to 11, bright street 8.
BRIGHTEST_EV100 = ((SUN_UP_DEG, 15.0), (-2.5, 13.0), (-4.0, 12.0), (-6.0, 11.0))
DAY_DEG = 6.0  # degrees; from here on it is day everywhere (common practice, no source)
DARKEST_DAY_EV100 = -3.0  # EV at ISO 100; heavy overcast (12, ANSI PH2.7) behind fifteen stops of filters
DARKEST_BARE_DAY_EV100 = (
    4.0  # EV at ISO 100; heavy overcast (12, ANSI PH2.7) eight stops down, as deep in woods
)
_HOUR_S = 3600.0


class Impossible(StrEnum):
    """What is wrong with the light of a frame."""

    TOO_BRIGHT = "too bright for night"
    TOO_DARK = "too dark for day"


@dataclass(frozen=True, slots=True)
class LightFlag:
    """A frame whose light does not fit the sun: by how many stops, and a sentence that says so."""

    kind: Impossible
    by_stops: float
    reason: str


@dataclass(frozen=True, slots=True)
class LitFrame:
    """A frame's instant (aware, by the clock as believed so far) and its scene light, EV at ISO 100.

    `up_deg` is the geometric altitude from which the sun shows where it was made.
    """

    at: datetime
    ev100: float
    up_deg: float = SUN_UP_DEG


@dataclass(frozen=True, slots=True)
class Shift:
    """A correction to try: seconds to add to every instant, what it would mean, and frames flagged then."""

    add_s: float
    words: str
    flagged_before: int
    flagged_after: int


SunAltitudes = Callable[[Iterable[datetime]], Iterable[float]]  # worked out as far as they are looked at


def impossible_light(ev100: float, sun_altitude_deg: float, up_deg: float = SUN_UP_DEG) -> LightFlag | None:
    """A likely clock or zone mistake, or None where the light can be.

    `ev100` is the scene's light at ISO 100 with known filters and bias taken out, of a frame without flash;
    the sun's altitude is geometric, in degrees, and the sun shows from `up_deg` on: from a height the last
    light comes later, and behind a skyline the day is darker for longer.
    """
    limit = _brightest(sun_altitude_deg + max(0.0, SUN_UP_DEG - up_deg))
    if limit is not None and ev100 > limit:
        reason = (
            f"EV {ev100:.0f} with the sun {-sun_altitude_deg:.0f}° below the horizon: "
            "the clock or the zone is probably wrong"
        )
        return LightFlag(Impossible.TOO_BRIGHT, ev100 - limit, reason)
    if sun_altitude_deg >= _day_deg(up_deg) and ev100 < DARKEST_DAY_EV100:
        reason = (
            f"EV {ev100:.0f} with the sun {sun_altitude_deg:.0f}° above the horizon: the clock or the zone "
            "is probably wrong, unless this was taken indoors or through very dense filters"
        )
        return LightFlag(Impossible.TOO_DARK, DARKEST_DAY_EV100 - ev100, reason)
    return None


def is_always_possible(ev100: float) -> bool:
    """Whether some light can be under any sun; the sun's height need not be worked out for it."""
    return DARKEST_DAY_EV100 <= ev100 <= BRIGHTEST_EV100[-1][1]


def bare_lens_doubt(settings_ev100: float, sun_altitude_deg: float, up_deg: float = SUN_UP_DEG) -> str | None:
    """Why settings can hardly have been those of a lens without a filter by day; None where they can.

    `settings_ev100` is the exposure value of the settings at ISO 100, taken as the light of the scene; the
    sun's altitude is geometric, in degrees, and the sun shows from `up_deg` on. An interior is for the caller
    to leave out.
    """
    if sun_altitude_deg < _day_deg(up_deg) or settings_ev100 >= DARKEST_BARE_DAY_EV100:
        return None
    return (
        f"without a filter the scene would be EV {settings_ev100:.0f} with the sun {sun_altitude_deg:.0f}° "
        "up, darker than any daylight outdoors"
    )


def suggest_shifts(
    frames: Sequence[LitFrame],
    sun_altitudes: SunAltitudes,
    likely_s: Iterable[float] = (),
    *,
    most: int = 5,
) -> tuple[Shift, ...]:
    """Corrections that make the light of one body's frames possible, likeliest first; () if none is needed.

    Tried are `likely_s` (such as the step from home's zone to the place's), half a day (AM for PM), zones by
    the hour and half-hour, and a day. Only those that leave the fewest frames flagged are returned, in that
    order, the smallest first. A mistake by whole days hardly shows in light.
    """
    before = _flagged(frames, sun_altitudes, 0.0, len(frames))
    found: list[Shift] = []
    fewest = before - 1
    for add_s, words in _candidates(likely_s) if before else ():
        try:
            after = _flagged(frames, sun_altitudes, add_s, fewest)
        except OverflowError:
            continue
        if after < fewest:
            found.clear()
        if after <= fewest:
            fewest = after
            found.append(Shift(add_s, words, before, after))
        if fewest == 0 and len(found) == most:
            break
    return tuple(found[:most])


def _candidates(likely_s: Iterable[float]) -> list[tuple[float, str]]:
    """Shifts in seconds with their meaning, likeliest first; none twice."""
    half_day, day = 12 * _HOUR_S, 24 * _HOUR_S
    tried: dict[float, str] = {
        s: f"the clock was set to another zone, {_hours(s)}" for s in likely_s if s != 0
    }
    slips = [(sign * half_day, f"AM and PM were mixed up, {_hours(sign * half_day)}") for sign in (1, -1)]
    zones = sorted(
        (half * _HOUR_S / 2 for half in range(-52, 53) if half), key=lambda s: (abs(s), s % _HOUR_S)
    )
    zones.sort(key=lambda s: s % _HOUR_S != 0)  # whole hours before half hours
    slips += [(s, f"the zone is off, {_hours(s)}") for s in zones]
    slips += [(sign * day, f"the date is off, {_hours(sign * day)}") for sign in (1, -1)]
    for add_s, words in slips:
        tried.setdefault(add_s, words)
    return list(tried.items())


def _flagged(frames: Sequence[LitFrame], sun_altitudes: SunAltitudes, add_s: float, most: int) -> int:
    """How many frames are flagged after a shift, counted until they are more than `most`."""
    altitudes = sun_altitudes(frame.at + timedelta(seconds=add_s) for frame in frames)
    flagged = (
        frame
        for frame, altitude in zip(frames, altitudes, strict=True)
        if impossible_light(frame.ev100, altitude, frame.up_deg) is not None
    )
    return sum(1 for _ in islice(flagged, most + 1))


def _day_deg(up_deg: float) -> float:
    """From which altitude of the sun it is day: so far above the horizon of the place."""
    return DAY_DEG + max(0.0, up_deg - SUN_UP_DEG)


def _brightest(sun_altitude_deg: float) -> float | None:
    """The limit between the rows of the table, on a straight line; None while the sun may still be seen."""
    if sun_altitude_deg > BRIGHTEST_EV100[0][0]:
        return None
    for (high_deg, high_ev), (low_deg, low_ev) in pairwise(BRIGHTEST_EV100):
        if sun_altitude_deg >= low_deg:
            return low_ev + (high_ev - low_ev) * (sun_altitude_deg - low_deg) / (high_deg - low_deg)
    return BRIGHTEST_EV100[-1][1]


def _hours(seconds: float) -> str:
    return f"{seconds / _HOUR_S:+g} h"
