"""What a receiver recorded: instants and positions, in unbroken segments."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Fix:
    """One recorded point: instant (UTC), WGS84 degrees, metres above the sea."""

    at: datetime
    latitude_deg: float
    longitude_deg: float
    elevation_m: float | None = None


Track = tuple[Fix, ...]  # one segment, in order of time
