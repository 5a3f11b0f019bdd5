"""Values that no noun refuses by itself and that still cannot be: future instants, times in wrong order."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from logbook.domain.day import is_backwards
from logbook.domain.keeper import Keeper
from logbook.domain.record import Record
from logbook.domain.shot import LONGEST_EXPOSURE_S, Shot
from logbook.domain.visit import Visit

SLACK = timedelta(days=1)  # a clock may be wrong by a zone
_RANGES = {  # field of a keeper to its words, the range that a camera can mean, and its unit
    "f_number": ("an aperture of f/", 0.1, 1000.0, ""),
    "iso": ("ISO ", 1, 100_000_000, ""),
    "focal_mm": ("a focal length of ", 0.1, 100_000.0, " mm"),
    "direction_deg": ("a bearing of ", 0.0, 360.0, "°"),
    "altitude_m": ("an elevation of ", -12_000.0, 50_000.0, " m"),
}


def impossible(record: Record, now: datetime) -> Iterator[str]:
    """Yield what cannot be about one record."""
    for name in ("created", "updated"):
        if getattr(record, name) > now + SLACK:
            yield f"{name} is in the future ({getattr(record, name):%Y-%m-%d})"
    if isinstance(record, Keeper):
        yield from _of_keeper(record, now)
    if isinstance(record, Shot) and is_backwards(record.window_from, record.window_to):
        yield f"its window ends ({record.window_to:%H:%M}) before it begins ({record.window_from:%H:%M})"
    if isinstance(record, Visit) and is_backwards(record.arrived_at, record.departed_at):
        yield f"its departure ({record.departed_at:%H:%M}) is before its arrival ({record.arrived_at:%H:%M})"


def _of_keeper(keeper: Keeper, now: datetime) -> Iterator[str]:
    if keeper.taken_utc is not None and keeper.taken_utc > now + SLACK:
        yield f"it was taken in the future ({keeper.taken_utc:%Y-%m-%d}); was the camera's clock right?"
    if keeper.exposure_s is not None and not 0 < keeper.exposure_s <= LONGEST_EXPOSURE_S:
        yield f"a shutter speed of {float(keeper.exposure_s):g} s is not possible"
    if keeper.size_bytes <= 0:
        yield "its file is recorded as empty"
    for name, (what, low, high, unit) in _RANGES.items():
        value: Any = getattr(keeper, name)
        if value is not None and not low <= value <= high:
            yield f"{what}{value:g}{unit} is not possible"
