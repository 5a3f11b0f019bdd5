"""What to change when a plan meets too much light or too little, in the order a photographer would try it.

One surprising decision: only what the camera can do is put into numbers; whether grain or a smaller aperture
is worth it stays with the person.
"""

from collections.abc import Sequence
from fractions import Fraction

from logbook.craft.exposure import SAME_STOPS, Settings, aperture_value, dial_aperture, dial_iso, speed_stops
from logbook.craft.marks import aperture_text, counted_stops, ended_exposure_text, iso_text

BASE_ISO = 100  # the lowest ISO that every camera has (common practice, no source)
HIGHEST_ISO = 6400  # past it grain decides, not the light (common practice, no source)
SMALLEST_F_NUMBER = 16.0  # past it diffraction costs more than depth gains on 36x24 mm (common practice)
BRIEF_S = Fraction(
    1, 30
)  # s; up to it a time is meant to stop things, past it to let them flow (own convention)


def is_brief(wish: Settings) -> bool:
    """Tell whether a wished time is one that stops movement, for which nobody wants a filter first."""
    return wish.exposure_s <= BRIEF_S


def darken(wish: Settings, over_stops: float) -> str:
    """Say how a brief time is kept in too much light: by ISO, by aperture, at last by a filter."""
    steps, left = [], over_stops
    speed, aperture = speed_stops(wish.iso), aperture_value(wish.f_number)
    by_iso = min(left, speed - speed_stops(BASE_ISO))
    if by_iso > SAME_STOPS:
        steps.append(iso_text(dial_iso(speed - by_iso)))
        left -= by_iso
    by_aperture = min(left, aperture_value(SMALLEST_F_NUMBER) - aperture)
    if by_aperture > SAME_STOPS:
        steps.append(aperture_text(dial_aperture(aperture + by_aperture)))
        left -= by_aperture
    if left > SAME_STOPS:
        steps.append(f"a filter of {counted_stops(round(left, 1))}")
    return f"{_listed(steps)} would do"


def lower_iso(wish: Settings, over_stops: float) -> str | None:
    """Say which lower ISO keeps a time in too much light without another filter; None where none does."""
    stops = speed_stops(wish.iso) - over_stops
    return iso_text(dial_iso(stops)) if stops >= speed_stops(BASE_ISO) - SAME_STOPS else None


def brighten(wish: Settings, dark_stops: float, takes_s: Fraction, support: str | None) -> str:
    """Say what too little light asks for: a tripod for the time that it takes, or a higher ISO."""
    held = "" if support == "tripod" else " on a tripod"
    longer = f"it takes {ended_exposure_text(takes_s)}{held}"
    stops = speed_stops(wish.iso) + dark_stops
    if stops > speed_stops(HIGHEST_ISO) + SAME_STOPS:
        return longer
    return f"{longer}, or {iso_text(dial_iso(stops))}"


def _listed(steps: Sequence[str]) -> str:
    return " and ".join((", ".join(steps[:-1]), steps[-1])) if len(steps) > 1 else steps[0]
