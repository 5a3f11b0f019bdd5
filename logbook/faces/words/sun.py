"""The sun at the hour of a shot, in words: for sheet and table alike."""

from typing import TYPE_CHECKING

from logbook.domain.position import compass_word
from logbook.faces.words.phrases import clock, whole_bearing
from logbook.sky.phases import RISE_SET_DEG

if TYPE_CHECKING:
    from logbook.services.plans.sheets import ShotLight


def towards(bearing_deg: float) -> str:
    """Return a bearing as `225° SW`."""
    return f"{whole_bearing(bearing_deg)} {compass_word(bearing_deg)}"


def height_text(altitude_deg: float) -> str:
    """Return an altitude as `4° up`, `on the horizon` or `3° below the horizon`."""
    degrees = whole_degrees(altitude_deg)
    if not degrees:
        return "on the horizon"
    return f"{abs(degrees)}° {'up' if degrees > 0 else 'below the horizon'}"


def whole_degrees(altitude_deg: float) -> int:
    """Return an altitude in whole degrees: 0 as long as a level horizon still shows a part of the sun."""
    return 0 if RISE_SET_DEG <= altitude_deg < 0 else round(altitude_deg)


def sun_text(lit: "ShotLight") -> str:
    """Return `side light, golden hour at 17:45: sun 4° up, 262° W`."""
    altitude_deg = max(0.0, lit.altitude_deg) if lit.is_in_sight else lit.altitude_deg
    sun = f"sun {height_text(altitude_deg)}, {towards(lit.azimuth_deg)}"
    if lit.hidden_by is not None:
        sun += f", behind {lit.hidden_by}"
    if lit.direction is not None:
        return f"{lit.direction} light, {lit.phase} at {clock(lit.at)}: {sun}"
    return f"{lit.phase} at {clock(lit.at)}: {sun}"
