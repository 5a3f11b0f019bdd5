"""The sun at the hour of a shot, in words: for sheet and table alike."""

from typing import TYPE_CHECKING

from logbook.craft.marks import number_text
from logbook.domain.position import compass_word
from logbook.faces.words.phrases import clock

if TYPE_CHECKING:
    from logbook.services.plans.sheets import ShotLight


def bearing_text(bearing_deg: float) -> str:
    """Return a bearing in whole degrees: `225°`, and north as `0°`."""
    return f"{round(bearing_deg) % 360}°"


def towards(bearing_deg: float) -> str:
    """Return a bearing as `225° SW`."""
    return f"{bearing_text(bearing_deg)} {compass_word(bearing_deg)}"


def height_text(altitude_deg: float) -> str:
    """Return an altitude as `4° up`, `on the horizon` or `3° below the horizon`."""
    height = number_text(abs(altitude_deg), 0)
    if height == "0":
        return "on the horizon"
    return f"{height}° {'up' if altitude_deg > 0 else 'below the horizon'}"


def sun_text(lit: "ShotLight") -> str:
    """Return `side light, golden hour at 17:45: sun 4° up, 262° W`."""
    sun = f"sun {height_text(lit.altitude_deg)}, {towards(lit.azimuth_deg)}"
    if lit.hidden_by is not None:
        sun += f", behind {lit.hidden_by}"
    if lit.direction is not None:
        return f"{lit.direction} light, {lit.phase} at {clock(lit.at)}: {sun}"
    return f"{lit.phase} at {clock(lit.at)}: {sun}"
