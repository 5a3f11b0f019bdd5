"""Reading the answers of a night: short forms a tired person types, each miss one sentence."""

import re
from datetime import date, datetime, time
from itertools import chain
from typing import TypeVar

from logbook.craft.errors import CraftValueError
from logbook.craft.filters import parse_stack
from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.trip import Trip
from logbook.domain.words import ClockEvidence, Crowd, OutcomeWord, Support
from logbook.intake.dayfile import ConditionEntry, DayFile, Entry, ShotEntry, parse_day_file
from logbook.services.body_clocks import offset_s_of

_Word = TypeVar("_Word", Crowd, Support)
_ANY_DATE = date(2000, 1, 1)
_SECONDS = re.compile(
    r"(?P<sign>[+-]?)\s*(?P<number>\d+)\s*(?P<unit>s|sec|m|min|h)?\s*(?P<word>slow|fast|behind|ahead)?",
    re.IGNORECASE,
)
_UNIT_S = {"s": 1, "sec": 1, "m": 60, "min": 60, "h": 3600}


def _entries(line: str) -> tuple[Entry, ...]:
    """Read one line as the day file would."""
    day: DayFile = parse_day_file(f"---\ndate: {_ANY_DATE}\n---\n- {line}\n")
    if day.loose:
        raise InvalidValueError(f'"{line}" is not understood: {day.loose[0].why}.')
    return tuple(chain.from_iterable(section.entries for section in day.sections))


def a_clock_correction(text: str, trip: Trip) -> tuple[int, ClockEvidence]:
    """Read a correction (`+420`, `7 min slow`); return how far the clock is ahead of UTC."""
    found = _SECONDS.match(text.strip())
    if not found:
        raise InvalidValueError(f'"{text}" is no correction; write seconds to add, +420, or 7 min slow.')
    seconds = int(found["number"]) * _UNIT_S[(found["unit"] or "s").lower()]
    word = (found["word"] or "").lower()
    if found["sign"] == "-" or word in ("fast", "ahead"):
        seconds = -seconds
    if trip.zone is None:
        raise WrongUseError("The trip has no zone yet; trip edit --zone, then this again.")
    noon = datetime.combine(trip.starts_on or _ANY_DATE, time(12))
    return offset_s_of(trip.zone, noon) - seconds, ClockEvidence.STATED


def some_times(text: str) -> tuple[time | None, time | None]:
    """Read `16:40-17:50`; a single time is the arrival."""
    parts = [part for part in re.split(r"\s*(?:–|—|-|\bto\b)\s*", text.strip()) if part]
    if not 1 <= len(parts) <= 2:
        raise InvalidValueError(f'"{text}" is no span; write it as 16:40-17:50.')
    times = []
    for part in parts:
        found = re.fullmatch(r"(\d{1,2})[:.h]?(\d{2})", part)
        if not found or int(found[1]) > 23 or int(found[2]) > 59:
            raise InvalidValueError(f'"{part}" is no time of day; write it as 17:20.')
        times.append(time(int(found[1]), int(found[2])))
    return times[0], times[1] if len(times) > 1 else None


def a_crowd(text: str) -> list[Crowd | None]:
    """Read one to three crowd words or their beginnings; `?` among them is unknown."""
    typed = re.split(r"[\s,;/]+", text.strip())
    if len(typed) > 3:
        raise InvalidValueError("At most three crowd words: on arrival, at the peak, on leaving.")
    return [None if one == "?" else _beginning(one, Crowd, "crowd word") for one in typed]


def a_support(text: str) -> Support:
    """Read a support or the beginning of one."""
    return _beginning(text, Support, "support")


def _beginning(text: str, words: type[_Word], what: str) -> _Word:
    typed = text.strip().lower()
    fitting = [word for word in words if typed and word.startswith(typed)]
    if typed in list(words):
        return words(typed)
    if len(fitting) != 1:
        raise InvalidValueError(f'"{text.strip()}" is no {what}; it takes {", ".join(words)}.')
    return fitting[0]


def a_tries_count(text: str) -> int:
    """Read a number of tries."""
    found = re.fullmatch(r"~?\s*(\d{1,6})", text.strip())
    if not found:
        raise InvalidValueError(f'"{text}" is no number of tries; write a plain number.')
    return int(found[1])


def a_filter_stack(text: str) -> tuple[str, ...] | None:
    """Read filters as they are written everywhere: `nd8 + nd8`, `none`."""
    try:
        stack = parse_stack(text)
    except CraftValueError as error:
        raise InvalidValueError(str(error)) from None
    return None if stack is None else tuple(one.name for one in stack)


def an_outcome(shot: str, text: str) -> ShotEntry:
    """Read an outcome as a day file says it: `partly, light`, `replaced by X, closure - why`."""
    first = re.split(r"[\s,]", text.strip(), maxsplit=1)[0].lower()
    if first not in list(OutcomeWord):
        raise InvalidValueError(f'"{first}" is no outcome; it takes {", ".join(OutcomeWord)}.')
    for entry in _entries(f"shot {shot}: {text}"):
        if isinstance(entry, ShotEntry):
            return entry
    raise InvalidValueError(f'"{text}" is no outcome; write it as: partly, light.')


def some_changes(text: str) -> list[ConditionEntry]:
    """Read changes parted by `;`, each as a day file says it; a plain one is a closure."""
    result: list[ConditionEntry] = []
    for part in (one.strip() for one in text.split(";")):
        if not part:
            continue
        known = re.match(r"(closure|water|weather|ground|rule|light|wind|crowd)\b", part, re.IGNORECASE)
        entries = _entries(part if known else f"closure: {part}")
        result += [entry for entry in entries if isinstance(entry, ConditionEntry)]
    return result
