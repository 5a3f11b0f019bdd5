"""Frames of keepers by day and viewpoint, for counting tries from file numbers."""

import re
from collections import defaultdict
from collections.abc import Collection
from datetime import datetime, time

from logbook.craft.inference.frames import Frame
from logbook.domain.day import day_of
from logbook.store import comparisons
from logbook.store.desk import Desk

_NUMBER = re.compile(r"(\d{1,4})\D*$")  # DCF (CIPA DC-009) ends a file name with four digits


def frames_by_day(desk: Desk, viewpoint_ids: Collection[str], wanted: Collection[str]) -> list[list[Frame]]:
    """Return the frames of each body on days at one of some viewpoints of which all keepers are wanted ones.

    A day of several approaches is left out, because its numbers cannot be divided among them.
    """
    days: dict[tuple[str | None, ...], list[Frame]] = defaultdict(list)
    mixed: set[tuple[str | None, ...]] = set()
    ends = comparisons.day_ends(desk)
    for one in comparisons.files(desk, viewpoint_ids):
        if one.taken_utc is None:
            continue
        local = datetime.fromisoformat(one.place_time or one.taken_utc)
        day = day_of(local, time.fromisoformat(ends[one.trip_id]))
        key = (one.trip_id, one.viewpoint_id, str(day), one.body)
        if one.id not in wanted:
            mixed.add(key)
            continue
        stem = one.file.rpartition(".")[0] or one.file
        number = _NUMBER.search(stem)
        if number:
            at_s = datetime.fromisoformat(one.taken_utc).timestamp()
            days[key].append(Frame(one.id, at_s, body=one.body, file_number=int(number[1])))
    return [frames for key, frames in days.items() if key not in mixed]
