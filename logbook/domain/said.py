"""Records counted and fields named as people say them, where tables and columns have names of their own.

One surprising decision: a count goes before names, and a sentence holds few of them: whoever wants them all
has `--json`.
"""

from collections.abc import Iterable, Sequence

LISTED_NAMES = 3  # names that a sentence lists; more are only counted
_RECORDS = {
    "packed": ("packing decision", "packing decisions"),
    "kit": ("piece of kit", "pieces of kit"),
    "keeper_set": ("set", "sets"),
    "day_line": ("day file line", "day file lines"),
    "loose_line": ("line to sort out", "lines to sort out"),
    "night_answer": ("answer of the nightly session", "answers of the nightly session"),
    "night_session": ("nightly session", "nightly sessions"),
    "body_clock": ("camera clock", "camera clocks"),
}
_FIELDS = {
    "size_bytes": "file size",
    "hash": "content of the file",
    "also": "files of the same frame",
    "on_date": "date",
    "taken_utc": "time taken (UTC)",
    "taken_local": "time taken",
    "location_shown": "how exactly others see the place",
    "shown_to": "who else may see it",
}
_UNITS = ("_id", "_ids", "_deg", "_mm", "_m", "_s", "_utc", "_stops", "_bytes")


def counted(table: str, count: int) -> str:
    """Return records counted as people call them: `1 keeper`, `3 packing decisions`."""
    one, many = _RECORDS.get(table, (table.replace("_", " "), table.replace("_", " ") + "s"))
    return f"{count} {one if count == 1 else many}"


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
    unit = next((unit for unit in _UNITS if field.endswith(unit)), "")
    return field.removesuffix(unit).replace("_", " ")
