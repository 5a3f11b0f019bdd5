"""Which heights of the sun are called golden and blue light: an option, else a setting, else custom.

One surprising decision: the settings are environment variables, as the book's place is, because the book
holds what happened and not how one person likes to name it.
"""

import os
import re

from logbook.domain.errors import InvalidValueError
from logbook.faces.measured import plainly
from logbook.sky.phases import CUSTOMARY, LightLimits

GOLDEN_VARIABLE, BLUE_VARIABLE = "LOGBOOK_GOLDEN", "LOGBOOK_BLUE"
_HEIGHT = r"([+-]?\d+(?:\.\d+)?)\s*°?"
_SPAN = re.compile(rf"{_HEIGHT}\s*(?:,|;|\.\.|\bto\b)\s*{_HEIGHT}")


def light_limits(golden: str | None = None, blue: str | None = None) -> LightLimits:
    """Return the limits typed as FROM,TO, else those of the environment; raises InvalidValueError."""
    golden_span = _span(golden, "--golden", GOLDEN_VARIABLE, "-4,6")
    blue_span = _span(blue, "--blue", BLUE_VARIABLE, "-6,-4")
    golden_from, golden_to = golden_span or (CUSTOMARY.golden_from_deg, CUSTOMARY.golden_to_deg)
    blue_from, blue_to = blue_span or (CUSTOMARY.blue_from_deg, CUSTOMARY.blue_to_deg)
    with plainly():
        return LightLimits(golden_from, golden_to, blue_from, blue_to)


def degrees_text(height_deg: float) -> str:
    """A height of the sun as pages show it: "−4°"."""
    return f"{height_deg:g}°".replace("-", "−")


def limits_words(limits: LightLimits) -> str:
    """Which limits are used, and that they are custom."""
    golden = f"{degrees_text(limits.golden_from_deg)} to {degrees_text(limits.golden_to_deg)}"
    blue = f"{degrees_text(limits.blue_from_deg)} to {degrees_text(limits.blue_to_deg)}"
    return f"Golden light: sun at {golden}; blue light: {blue} ({whose_words(limits)})."


def whose_words(limits: LightLimits) -> str:
    """Whether limits are those of custom."""
    return "by custom; there is no standard" if limits == CUSTOMARY else "chosen by you"


def _span(typed: str | None, option: str, variable: str, example: str) -> tuple[float, float] | None:
    named, text = (option, typed) if typed is not None else (variable, os.environ.get(variable) or None)
    if text is None:
        return None
    found = _SPAN.fullmatch(text.strip().lower().replace("−", "-"))
    if found is None:
        raise InvalidValueError(
            f'{named} "{text}" cannot be read; write two heights of the sun in degrees, such as {example}.'
        )
    return float(found[1]), float(found[2])
