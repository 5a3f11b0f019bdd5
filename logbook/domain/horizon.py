"""A viewpoint's own horizon: the skyline over which sun and moon rise there.

One surprising decision: the sea is a horizon of its own and not a number of degrees, because how far it lies
below level follows from the elevation, which may become known later.
"""

import re
from dataclasses import dataclass

from logbook.craft.marks import number_text
from logbook.domain.errors import InvalidValueError
from logbook.sky.observer import HORIZON_MAX_DEG, HORIZON_MIN_DEG, sea_horizon_deg

SEA_WORD = "sea"
_DEGREES = re.compile(r"([+\-−]?\d+(?:[.,]\d+)?)\s*(?:°|deg(?:rees?)?)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Horizon:
    """How high the skyline stands over level, in degrees as it is seen; None is the sea's.

    InvalidValueError for what is no skyline.
    """

    skyline_deg: float | None

    def __post_init__(self) -> None:
        if self.skyline_deg is not None and not HORIZON_MIN_DEG <= self.skyline_deg <= HORIZON_MAX_DEG:
            raise InvalidValueError(
                f"A skyline cannot be at {self.skyline_deg:g}°; give degrees between "
                f"{HORIZON_MIN_DEG:g} and {HORIZON_MAX_DEG:g}, or sea."
            )

    def __str__(self) -> str:
        return SEA_WORD if self.skyline_deg is None else repr(self.skyline_deg)

    @property
    def plain(self) -> float | str:
        """The value as JSON holds it: degrees, or `sea`."""
        return SEA_WORD if self.skyline_deg is None else self.skyline_deg

    @property
    def words(self) -> str:
        """The horizon in words, without what follows from an elevation: `6° skyline`."""
        return "sea horizon" if self.skyline_deg is None else f"{number_text(self.skyline_deg, 2)}° skyline"


SEA = Horizon(None)


def horizon_written(text: str) -> Horizon:
    """Read a horizon as people write it: `6`, `6.5°`, `-0,4 deg` or `sea`; else InvalidValueError."""
    said = text.strip()
    if said.lower() == SEA_WORD:
        return SEA
    found = _DEGREES.fullmatch(said)
    if found is None:
        raise InvalidValueError(f'"{text}" is not a horizon; give the skyline in degrees, such as 6, or sea.')
    return Horizon(float(found[1].replace("−", "-").replace(",", ".")))


def horizon_kept(text: str) -> Horizon:
    """Return the horizon that `str` of one gave."""
    return SEA if text == SEA_WORD else Horizon(float(text))


def seen_deg(horizon: Horizon | None, elevation_m: float | None) -> float | None:
    """Return how high a horizon is seen (degrees); None is level, also while nobody knows how low the sea is.

    The elevation is in metres above the sea, None where it is unknown.
    """
    if horizon is None:
        return None
    if horizon.skyline_deg is not None:
        return horizon.skyline_deg
    return sea_horizon_deg(elevation_m) if elevation_m is not None and elevation_m >= 0 else None


def horizon_text(horizon: Horizon | None, elevation_m: float | None) -> str:
    """Return which horizon counts, in words: `the 6° skyline`, `the sea horizon seen from 120 m`."""
    if horizon is None:
        return "a level horizon"
    if horizon.skyline_deg is not None:
        return f"the {horizon.words}"
    if seen_deg(horizon, elevation_m) is not None and elevation_m is not None:
        return f"the sea horizon seen from {number_text(elevation_m, 0)} m"
    return "a level horizon, because the height above the sea is unknown"
