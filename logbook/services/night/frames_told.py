"""What a question tells of its frames: their numbers, how many they are, when they were made and how.

One surprising decision: a range of numbers stands only for frames that follow each other without a gap, so
that a name never covers a frame that is not meant.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from typing import TypeVar

from logbook.craft.marks import aperture_text, exposure_text, iso_text
from logbook.craft.settings_text import LENS_FIRST, settings_told
from logbook.domain.keeper import Keeper
from logbook.domain.said import figured
from logbook.domain.shot import Shot
from logbook.domain.written.filters import stack_words

LISTED_RANGES = 5  # ranges that a name lists; of more it gives the first ones and the last
_Value = TypeVar("_Value", datetime, float, int, Fraction)
_NUMBERED = re.compile(r"(.*?)(\d+)")


def label_of(files: Sequence[str]) -> str:
    """Return the name of some frames, from their files: `TRN_0472-0474, 0478`; one frame is its file."""
    if len(files) == 1:
        return files[0]
    ranges: list[list[str]] = []  # stem, first and last number as the files write them
    for file in files:
        found = _NUMBERED.fullmatch(Path(file).stem)
        stem, number = found.groups() if found else (Path(file).stem, "")
        last = ranges[-1] if ranges else None
        if last and number and last[0] == stem and last[2] and int(number) == int(last[2]) + 1:
            last[2] = number
        else:
            ranges.append([stem, number, number])
    parts = []
    for at, (stem, first, last_number) in enumerate(ranges):
        shown = "" if at and ranges[at - 1][0] == stem and first else stem
        parts.append(f"{shown}{first}" + (f"-{last_number}" if last_number != first else ""))
    if len(parts) > LISTED_RANGES:
        parts = [*parts[: LISTED_RANGES - 2], "…", parts[-1]]
    return ", ".join(parts).replace(", …,", " …")


def counted_frames(count: int, kind: str | None = None) -> str:
    """Return how many frames, and which kind of set they are: `5 frames, bracket`."""
    return ", ".join(filter(None, (figured(count, "frame"), kind)))


def settings_of(keepers: Sequence[Keeper], *, with_body: bool = False) -> str:
    """Return when and how frames were made, in one line: `10:12-10:18, 24-35 mm, f/8, 1/60 s, ISO 100`."""
    moments = [at for keeper in keepers if (at := keeper.place_time)]
    exposures = sorted(one.exposure_s for one in keepers if one.exposure_s is not None)
    apertures = sorted(one.f_number for one in keepers if one.f_number is not None)
    speeds = sorted(one.iso for one in keepers if one.iso is not None)
    bodies = {one.body for one in keepers if one.body} if with_body else set()
    return ", ".join(
        part
        for part in (
            *sorted(bodies),
            _between([f"{at:%H:%M}" for at in _ends(moments)], "-"),
            _lengths(one.focal_mm for one in keepers),
            _between([aperture_text(one) for one in _ends(apertures)], "-"),
            _between([exposure_text(one) for one in _ends(exposures)], " to "),
            _between([iso_text(one) for one in _ends(speeds)], " to ").replace(" to ISO ", "-"),
        )
        if part
    )


def plan_of(shot: Shot, place: str | None) -> str:
    """Return when, where and how a shot was planned, in one line: settings, filters and support."""
    window = [f"{at:%H:%M}" for at in (shot.window_from, shot.window_to) if at is not None]
    return ", ".join(
        part
        for part in (
            "-".join(window),
            f"at {place}" if place else "",
            *settings_told(shot, LENS_FIRST, dialled=True),
            "" if shot.filters is None else stack_words(shot.filters) if shot.filters else "no filter",
            str(shot.support or ""),
        )
        if part
    )


def _ends(values: Sequence[_Value]) -> Sequence[_Value]:
    return (min(values), max(values)) if values else ()


def _between(ends: Sequence[str], sign: str) -> str:
    return sign.join(dict.fromkeys(ends))


def _lengths(lengths: Iterable[float | None]) -> str:
    known = sorted(length for length in lengths if length is not None)
    return f"{_between([f'{one:g}' for one in (known[0], known[-1])], '-')} mm" if known else ""
