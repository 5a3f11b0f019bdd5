"""Aperture, time, speed and focal length in words: one writer of settings, whatever their order.

One surprising decision: a value that no camera has is written as it stands, since a file may hold one and
whoever reads the line has to see it.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from logbook.craft.errors import CraftValueError
from logbook.craft.marks import aperture_text, exposure_text, written_aperture, written_exposure

# The orders in use: as cameras show them, as light is reckoned with, and with the lens first, as one sets up.
TIME_FIRST = ("exposure_s", "f_number", "iso", "focal_mm")
APERTURE_FIRST = ("f_number", "exposure_s", "iso")
LENS_FIRST = ("focal_mm", *APERTURE_FIRST)


_WRITTEN: Mapping[str, Callable[[Any], str]] = {"exposure_s": written_exposure, "f_number": written_aperture}
_DIALLED: Mapping[str, Callable[[Any], str]] = {"exposure_s": exposure_text, "f_number": aperture_text}
_AS_IT_STANDS: Mapping[str, Callable[[Any], str]] = {
    "exposure_s": lambda exposure_s: f"{exposure_s} s",
    "f_number": lambda f_number: f"f/{f_number:g}",
    "iso": lambda iso: f"ISO {iso}",
    "focal_mm": lambda focal_mm: f"{focal_mm:g} mm",
}


def setting_text(name: str, value: Any, *, dialled: bool = False) -> str:
    """Return one setting by its field: `1/125 s`, `f/8`, `ISO 200`, `24 mm`.

    Times and apertures as they were written down; `dialled` at the nearest mark of a dial.
    """
    as_it_stands = _AS_IT_STANDS[name]
    try:
        return (_DIALLED if dialled else _WRITTEN).get(name, as_it_stands)(value)
    except CraftValueError:
        return as_it_stands(value)


def settings_told(settings: object, order: Sequence[str] = TIME_FIRST, *, dialled: bool = False) -> list[str]:
    """Return the settings that are known of a picture, a plan or a wish, in the order asked for."""
    values = ((name, getattr(settings, name)) for name in order)
    return [setting_text(name, value, dialled=dialled) for name, value in values if value is not None]


def exposed_text(settings: object) -> str:
    """Return what exposes a wish, for a sentence: `4 s at f/8, ISO 100`."""
    time, aperture, speed = settings_told(settings, TIME_FIRST[:3], dialled=True)
    return f"{time} at {aperture}, {speed}"
