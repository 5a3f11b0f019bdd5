"""When the picture was taken, by the camera's clock and by the satellites'.

One surprising decision: a fraction of a second or an offset is only believed for the very time it was written
for, and the date of the file's last change is never the time of taking. Source: CIPA DC-008 (Exif 2.32), tag
tables: date and time, offset time, GPSDateStamp, GPSTimeStamp.
"""

import re
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from logbook.intake.exif.rationals import believed
from logbook.intake.exif.tags import Tags

_EARLIEST_YEAR = 1990  # before the first cameras that wrote a date: an unset clock
_MOST_OFFSET_MIN = 14 * 60  # +14:00 is the largest offset in use, tz database
_SOURCES = (  # time, its fraction, its offset; best first, the last one only lends its offset
    ("DateTimeOriginal", "SubSecTimeOriginal", "OffsetTimeOriginal"),
    ("DateTimeDigitized", "SubSecTimeDigitized", "OffsetTimeDigitized"),
    ("DateTime", "SubSecTime", "OffsetTime"),
)
_TIME = re.compile(r"(\d{4})[:/.-](\d{1,2})[:/.-](\d{1,2})[ T](\d{1,2}):(\d{1,2}):(\d{1,2})", re.ASCII)
_DATE = re.compile(r"(\d{4})[:/.-](\d{1,2})[:/.-](\d{1,2})", re.ASCII)
_OFFSET = re.compile(r"([+-])(\d\d):?(\d\d)", re.ASCII)


@dataclass(frozen=True, slots=True)
class Taken:
    """Times of one picture; the wall time is naive, the satellite time is aware in UTC."""

    taken_text: str | None = None
    taken_local: datetime | None = None
    utc_offset_text: str | None = None
    utc_offset_min: int | None = None
    gps_utc: datetime | None = None
    notes: tuple[str, ...] = field(default=())


def read_times(tags: Tags) -> Taken:
    """The best time the tags give, with its offset; times that cannot be are noted and passed over."""
    notes: list[str] = []
    texts = [_written(tags.text(time)) for time, _, _ in _SOURCES]
    *taking, changed = texts
    chosen: datetime | None = None
    place = 0
    for place, text in enumerate(taking):
        chosen = _wall_time(text, _SOURCES[place][0], notes) if text else None
        if chosen:
            break
    text = texts[place] if chosen else next((t for t in taking if t), None)
    offset_text, offset_min = None, None
    if chosen:
        if place:
            notes.append(f"time taken from {_SOURCES[place][0]}, which later editing may have changed")
        chosen += _fraction(tags.text(_SOURCES[place][1]))
        written = [tags.text(offset) for (_, _, offset), t in zip(_SOURCES, texts, strict=True) if t == text]
        offset_text = next((o for o in written if o and o.strip(" :")), None)
        offset_min = _offset(offset_text, notes)
    elif changed:
        notes.append(f"the date {changed!r} is that of the file's last change, and not the time of taking")
    return Taken(text, chosen, offset_text, offset_min, _gps_time(tags, notes), tuple(notes))


def _written(text: str | None) -> str | None:
    """The text, or None when only its separators were written."""
    return text if text and text.strip(" :/-.") else None


def _wall_time(text: str, name: str, notes: list[str]) -> datetime | None:
    match = _TIME.match(text)
    try:
        time = datetime(*map(int, match.groups())) if match else None  # type: ignore[arg-type]  # noqa: DTZ001
    except ValueError:
        time = None
    if time is None or time.year < _EARLIEST_YEAR:
        notes.append(f"time unknown: {name} says {text!r}")
        return None
    return time


def _fraction(digits: str | None) -> timedelta:
    """Digits after the decimal point of a second, as an interval; to the microsecond, rounded down."""
    if digits is None or not (digits.isascii() and digits.isdigit()):
        return timedelta()
    return timedelta(microseconds=int(digits[:6].ljust(6, "0")))


def minutes_east(text: str) -> int | None:
    """Minutes east of UTC, of an offset as files write it; None for what is none."""
    if text == "Z":
        return 0
    match = _OFFSET.fullmatch(text)
    if match:
        hours, minutes = int(match[2]), int(match[3])
        east = hours * 60 + minutes
        if minutes < 60 and east <= _MOST_OFFSET_MIN:
            return -east if match[1] == "-" else east
    return None


def _offset(text: str | None, notes: list[str]) -> int | None:
    east = minutes_east(text) if text is not None else None
    if text is not None and east is None:
        notes.append(f"offset from UTC unknown: the file says {text!r}")
    return east


def _gps_time(tags: Tags, notes: list[str]) -> datetime | None:
    stamp = tags.values("GPS GPSTimeStamp")
    if stamp is None:
        return None
    date = tags.text("GPS GPSDate")
    match = _DATE.match(date) if date else None
    if match is None:
        notes.append(
            "satellite time unknown: it has no date"
            if not date
            else f"satellite time unknown: its date is {date!r}"
        )
        return None
    parts = [
        believed(tags.rational("GPS GPSTimeStamp", place), f"satellite {unit}", notes, least=0, most=most)
        for place, (unit, most) in enumerate((("hour", 23), ("minute", 59), ("second", 60)))
    ]
    hours, minutes, seconds = parts
    if hours is None or minutes is None or seconds is None:
        if not isinstance(stamp, list) or len(stamp) < 3:
            notes.append("satellite time unknown: it is not written as three numbers")
        return None
    try:
        day = datetime(*map(int, match.groups()), tzinfo=UTC)  # type: ignore[misc,arg-type]
        time = day + timedelta(microseconds=int((hours * 3600 + minutes * 60 + seconds) * 1_000_000))
    except (ValueError, OverflowError):
        time = None
    if time is None or time.year < _EARLIEST_YEAR:
        notes.append(f"satellite time unknown: its date is {date!r}")
        return None
    return time
