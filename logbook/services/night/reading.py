"""Reading the answers of a night: short forms a tired person types, each miss one sentence."""

import re
from datetime import date, datetime, time
from itertools import chain
from typing import TypeVar

from logbook.craft.errors import CraftValueError
from logbook.craft.filters import parse_stack
from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.filter_names import unknown_filters
from logbook.domain.trip import Trip
from logbook.domain.words import Crowd, OutcomeWord, Sharpness, Support
from logbook.domain.written import count_written
from logbook.intake.dayfile import ConditionEntry, DayFile, Entry, ShotEntry, parse_day_file
from logbook.services.settled_clocks import offset_s_of

_Word = TypeVar("_Word", Crowd, Support, Sharpness)
_ANY_DATE = date(2000, 1, 1)
_CORRECTION = re.compile(
    r"(?P<sign>[+-]?)\s*(?:(?P<h>\d{1,4})\s*h)?\s*(?:(?P<min>\d{1,5})\s*m(?:in)?)?"
    r"\s*(?:(?P<s>\d{1,7})\s*(?:s|sec)?)?\s*(?P<word>slow|fast|behind|ahead)?",
    re.IGNORECASE | re.ASCII,
)
_UNIT_S = {"h": 3600, "min": 60, "s": 1}


def _entries(line: str) -> tuple[Entry, ...]:
    """Read one line as the day file would."""
    day: DayFile = parse_day_file(f"---\ndate: {_ANY_DATE}\n---\n- {line}\n")
    if day.loose:
        raise InvalidValueError(f'"{line}" is not understood: {day.loose[0].why}.')
    return tuple(chain.from_iterable(section.entries for section in day.sections))


def a_clock_correction(text: str, trip: Trip, on_date: date) -> int:
    """Read a correction of one day (`+420`, `7 min 30 s slow`); return how far the clock is ahead of UTC."""
    found = _CORRECTION.fullmatch(text.strip())
    if not found or not any(found[unit] for unit in _UNIT_S):
        raise InvalidValueError(f'"{text}" is no correction; write seconds to add, +420, or 7 min slow.')
    seconds = sum(int(found[unit] or 0) * unit_s for unit, unit_s in _UNIT_S.items())
    word = (found["word"] or "").lower()
    if found["sign"] == "-" or word in ("fast", "ahead"):
        seconds = -seconds
    if trip.zone is None:
        raise WrongUseError("The trip has no zone yet; trip edit --zone, then this again.")
    return offset_s_of(trip.zone, datetime.combine(on_date, time(12))) - seconds


def some_times(text: str) -> tuple[time | None, time | None]:
    """Read `16:40-17:50`; `16:40` is the arrival alone, `-17:50` the departure alone."""
    parts = re.split(r"\s*(?:–|—|-|\bto\b)\s*", text.strip())
    if len(parts) > 2 or not any(parts):
        raise InvalidValueError(f'"{text}" is no span; write it as 16:40-17:50.')
    times: list[time | None] = []
    for part in parts:
        found = re.fullmatch(r"([0-9]{1,2})[:.h]?([0-9]{2})", part)
        if part and (not found or int(found[1]) > 23 or int(found[2]) > 59):
            raise InvalidValueError(f'"{part}" is no time of day; write it as 17:20.')
        times.append(time(int(found[1]), int(found[2])) if found else None)
    return times[0], times[1] if len(times) > 1 else None


def a_crowd(text: str) -> list[Crowd | None]:
    """Read one to three crowd words or their beginnings; `?` among them is unknown."""
    typed = re.split(r"[\s,;/]+", text.strip(" \t,;/"))
    if len(typed) > 3:
        raise InvalidValueError("At most three crowd words: on arrival, at the peak, on leaving.")
    return [None if one == "?" else _beginning(one, Crowd, "crowd word") for one in typed]


def a_support(text: str) -> Support:
    """Read a support or the beginning of one."""
    return _beginning(text, Support, "support")


def a_sharpness(text: str) -> Sharpness:
    """Read sharp or soft, or the beginning of one."""
    return _beginning(text, Sharpness, "judgement")


def _beginning(text: str, words: type[_Word], what: str) -> _Word:
    typed = text.strip().lower()
    fitting = [word for word in words if typed and word.startswith(typed)]
    if typed in list(words):
        return words(typed)
    if len(fitting) != 1:
        raise InvalidValueError(f'"{text.strip()}" is no {what}; write one of {", ".join(words)}.')
    return fitting[0]


def a_yes(text: str) -> bool:
    """Read yes or no."""
    typed = text.strip().lower()
    if typed not in ("y", "yes", "n", "no"):
        raise InvalidValueError(f'"{text.strip()}" is neither; write y, or n to name the viewpoint again.')
    return typed.startswith("y")


def a_tries_count(text: str) -> int:
    """Read a number of tries."""
    count = count_written(text)
    if count is None:
        raise InvalidValueError(f'"{text}" is no number of tries; write a plain number.')
    return count


def a_filter_stack(text: str) -> tuple[str, ...] | None:
    """Read filters as written everywhere: `nd8 + nd8`, `none`; words of other questions are a slip."""
    try:
        stack = parse_stack(text)
    except CraftValueError as error:
        raise InvalidValueError(str(error)) from None
    unknown_filters(stack)
    return None if stack is None else tuple(one.name for one in stack)


def an_outcome(shot: str, text: str) -> ShotEntry:
    """Read an outcome as a day file says it: `partly, light`, `replaced by X, closure - why`."""
    first = re.split(r"[\s,]", text.strip(), maxsplit=1)[0].lower()
    if first not in list(OutcomeWord):
        raise InvalidValueError(f'"{first}" is no outcome; write one of {", ".join(OutcomeWord)}.')
    for entry in _entries(f"shot {shot}: {text}"):
        if isinstance(entry, ShotEntry):
            return entry
    raise InvalidValueError(f'"{text}" is no outcome; write it as: partly, light.')


def some_reasons(shot: str, outcome: OutcomeWord, text: str) -> ShotEntry:
    """Read why an outcome was what it was: `light`, `light, too late`, `by ledge-dusk, crowd`, any words."""
    is_by = outcome is OutcomeWord.REPLACED and re.match(r"by\s", text.strip(), re.IGNORECASE)
    return an_outcome(shot, f"{outcome}{'' if is_by else ','} {text.strip()}")


def some_changes(text: str) -> list[ConditionEntry]:
    """Read changes parted by `;`, each as a day file says it; a plain one is a closure."""
    result: list[ConditionEntry] = []
    for part in (one.strip() for one in text.split(";")):
        if not part:
            continue
        known = re.match(r"(closure|water|weather|ground|rule|light|wind|crowd)\b", part, re.IGNORECASE)
        entries = _entries(part if known else f"closure: {part}")
        result += [entry for entry in entries if isinstance(entry, ConditionEntry)]
    if not result:
        raise InvalidValueError(f'"{text}" says nothing; write what changed, such as: north rim road.')
    return result
