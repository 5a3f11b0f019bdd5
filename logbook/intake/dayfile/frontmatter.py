"""The first lines of a day file: trip, date and zone.

One surprising decision: the fences may be missing or turned into dashes by a phone's autocorrection; a file
that simply begins with `date: 2031-10-14` is understood.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from logbook.domain.errors import InvalidValueError
from logbook.domain.written.moments import date_written, zone_written
from logbook.intake.dayfile.model import UnreadLine

_FENCE = re.compile(r"-{3,}|[—–][-—–]{0,2}|-[—–]")
_KEY = re.compile(r"\s*([A-Za-z][\w -]{0,40}?)\s*:\s*(.*)", re.DOTALL)
_KNOWN = ("trip", "date", "zone")
_ZONE = re.compile(r"[A-Za-z][\w+-]*(?:/[\w+-]+){0,2}|[+-][0-9]{2}:?[0-9]{2}", re.ASCII)


@dataclass(frozen=True, slots=True)
class FrontMatter:
    """What the first lines say, and the index of the first line behind them."""

    trip: str | None
    on_date: date
    zone: str | None
    loose: tuple[UnreadLine, ...]
    body_at: int


@dataclass(frozen=True, slots=True)
class FrontPairs:
    """The known keys of the first lines with the number and value of each, and where the body begins."""

    found: Mapping[str, tuple[int, str]]
    loose: tuple[UnreadLine, ...]
    body_at: int


def front_pairs(lines: Sequence[str], known: Sequence[str]) -> FrontPairs:
    """Read `key: value` lines, fenced or not, as far as their keys are known."""
    inside, body_at, loose = _bounds(lines, known)
    words = " and ".join(filter(None, (", ".join(known[:-1]), known[-1])))
    found: dict[str, tuple[int, str]] = {}
    for at in inside:
        text = lines[at]
        if not text.strip():
            continue
        pair = _KEY.fullmatch(text)
        key = pair[1].lower() if pair else ""
        if pair is None or key not in known:
            loose.append(UnreadLine(at + 1, text, f"the front matter takes only {words}"))
        elif key in found:
            loose.append(UnreadLine(at + 1, text, f"the front matter gives {key} twice; the first is used"))
        else:
            found[key] = (at + 1, _value(pair[2]))
    return FrontPairs(found, tuple(loose), body_at)


def read_front_matter(lines: Sequence[str], file_name: str) -> FrontMatter:
    """Read trip, date and zone; raises InvalidValueError (with file and line) without a usable date."""
    pairs = front_pairs(lines, _KNOWN)
    found, loose, body_at = pairs.found, list(pairs.loose), pairs.body_at
    _, trip = found.get("trip", (0, ""))
    zone_line, zone = found.get("zone", (0, ""))
    try:
        zone = zone_written(zone) if zone else zone
    except InvalidValueError:  # what may be a zone the book says more of where the day is taken in
        if not _ZONE.fullmatch(zone):
            why = "not a time zone; write it like Europe/Vienna or +02:00"
            loose.append(UnreadLine(zone_line, lines[zone_line - 1], why))
            zone = ""
    loose.sort(key=lambda entry: entry.line)
    on_date = _date(found.get("date"), file_name)
    return FrontMatter(trip or None, on_date, zone or None, tuple(loose), body_at)


def _bounds(lines: Sequence[str], known: Sequence[str]) -> tuple[range, int, list[UnreadLine]]:
    """The lines of the front matter (without fences), where the body begins, and an opening never closed."""
    start = next((at for at, text in enumerate(lines) if text.strip()), len(lines))
    loose: list[UnreadLine] = []
    if start < len(lines) and _FENCE.fullmatch(lines[start].strip()):
        for at in range(start + 1, len(lines)):
            said = lines[at].strip()
            if _FENCE.fullmatch(said) or said == "...":
                return range(start + 1, at), at + 1, loose
            if said.startswith("##"):
                break
        loose.append(UnreadLine(start + 1, lines[start], "the front matter is not closed with ---"))
        start += 1
    end = start
    while end < len(lines) and (pair := _KEY.fullmatch(lines[end])) and pair[1].lower() in known:
        end += 1
    return range(start, end), end, loose


def _value(text: str) -> str:
    return text.strip().strip("\"'").strip()


def _date(found: tuple[int, str] | None, file_name: str) -> date:
    where = file_name or "the day file"
    if found is None or not found[1]:
        line = f":{found[0]}" if found else ""
        raise InvalidValueError(
            f'{where}{line}: the day has no date; write "date: 2031-10-14" between --- lines at the top.'
        )
    line_number, typed = found
    if (on_date := date_written(typed)) is not None:
        return on_date
    shown = "".join(letter if letter.isprintable() else "�" for letter in typed[:40])
    raise InvalidValueError(
        f'{where}:{line_number}: "{shown}" is not a date in the calendar; write it as 2031-10-14.'
    )
