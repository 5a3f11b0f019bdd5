"""Records counted and fields named as people say them, where tables and columns have names of their own.

One surprising decision: a count goes before names, and a sentence holds few of them: whoever wants them all
has `--json`.
"""

from collections.abc import Iterable, Mapping, Sequence

LISTED_NAMES = 3  # names that a sentence lists; more are only counted
_RECORDS = {
    "packed": ("packing decision", "packing decisions"),
    "kit": ("piece of kit", "pieces of kit"),
    "keeper_set": ("set", "sets"),
    "day_line": ("day file line", "day file lines"),
    "loose_line": ("line to sort out", "lines to sort out"),
    "night_answer": ("answer from the evening session", "answers from the evening session"),
    "night_session": ("evening session", "evening sessions"),
    "body_clock": ("camera clock", "camera clocks"),
}
_FIELDS = {
    "slug": "short name",
    "size_bytes": "file size",
    "hash": "file content",
    "also": "files of the same frame",
    "on_date": "date",
    "at": "time",
    "taken_utc": "time taken (UTC)",
    "taken_local": "time taken",
    "taken_text": "time in the file",
    "place_time": "time at the place",
    "camera_time": "camera time",
    "utc_offset_text": "offset in the file",
    "gps_utc": "GPS time (UTC)",
    "clock_offset_s": "clock correction",
    "clock_evidence": "evidence for the clock",
    "exposure": "shutter speed",
    "exposure_s": "shutter speed",
    "f_number": "f-number",
    "iso": "ISO",
    "bias_stops": "exposure bias",
    "focal_mm": "focal length",
    "focal_35mm": "35 mm equivalent",
    "focal_min_mm": "shortest focal length",
    "focal_max_mm": "longest focal length",
    "metered_ev100": "light reading (EV at ISO 100)",
    "brightness_ev": "brightness (EV)",
    "body": "camera",
    "filter_name": "filter",
    "altitude_m": "camera altitude",
    "direction_deg": "camera direction",
    "direction_is_magnetic": "direction from magnetic north",
    "facing_deg": "facing",
    "walk_min": "walk",
    "tripod_rule": "tripod rule",
    "also_called": "other names",
    "starts_on": "first day",
    "ends_on": "last day",
    "arrived_at": "arrival",
    "departed_at": "departure",
    "may_say": "words allowed",
    "client_order": "order in the client report",
    "students_order": "order in the students' report",
    "alternative": "alternative text",
    "opening": "opens the reports",
    "left_trip_ids": "trips it was moved from",
    "location_shown": "shown to others",
    "shown_to": "who else may see it",
}
_UNITS = {
    "_id": "", "_ids": "", "_deg": "°", "_mm": " mm", "_m": " m", "_s": " s", "_utc": "", "_stops": " stops",
    "_bytes": " bytes", "_px": " px", "_min": " min", "_35mm": " mm",
}  # fmt: skip


def figured(number: int, one: str, many: str | None = None) -> str:
    """Return a count in figures with its noun: "1 picture", "12 pictures"."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def each_counted(counts: Mapping[str, int]) -> str:
    """Return how many of each, without those of which there is none: `2 added, 1 removed`."""
    return ", ".join(f"{number} {word}" for word, number in counts.items() if number) or "nothing new"


def counted(table: str, count: int) -> str:
    """Return records counted as people call them: `1 keeper`, `3 packing decisions`."""
    noun = table.replace("_", " ")
    return figured(count, *_RECORDS.get(table, (noun, f"{noun}s")))


def counted_names(records: Iterable[tuple[str, str]]) -> str:
    """Return records, each its table and its name or "", counted by noun; few names in all are told."""
    by_table: dict[str, list[str]] = {}
    for table, name in records:
        by_table.setdefault(table, []).append(name)
    groups = sorted(by_table.items(), key=lambda group: -len(group[1]))
    few = sum(len(names) for names in by_table.values() if all(names)) <= LISTED_NAMES
    return ", ".join(_group(table, names, few=few) for table, names in groups)


def _group(table: str, names: Sequence[str], *, few: bool) -> str:
    if not few or not all(names):
        return counted(table, len(names))
    if len(names) == 1:
        return f"{counted(table, 1).removeprefix('1 ')} {names[0]}"
    return f"{counted(table, len(names))} ({', '.join(names)})"


def field_words(field: str) -> str:
    """Return the name of a field as people say it: `file size`, `next visit`."""
    if field in _FIELDS:
        return _FIELDS[field]
    return field.removesuffix(_ending(field)).replace("_", " ")


def unit_of(field: str) -> str:
    """Return what follows a field's number: ` mm`, `°`, or nothing."""
    return _UNITS.get(_ending(field), "")


def _ending(field: str) -> str:
    return next((ending for ending in _UNITS if field.endswith(ending)), "")
