"""Condition lines of a day file: `crowd: dozens at 17:20, none at 18:30`, `wind: 4 from west`.

One surprising decision: a second level opens a second observation only when its part of the line says nothing
else, so that "dozens, none of them moved" never claims that nobody was there.
"""

import re
from dataclasses import replace
from datetime import time

from logbook.domain.position import COMPASS, compass_word, parse_bearing
from logbook.domain.words import ConditionKind, Crowd, TripodRule, Water
from logbook.domain.written import CLOCK, DOTTED, clock, clock_text
from logbook.intake.dayfile.model import ConditionEntry
from logbook.intake.dayfile.understanding import NotUnderstoodError, alternatives, tidied

UNKNOWN = "unknown"

BEAUFORT_NAMES = {  # WMO-No. 306, Manual on Codes, Vol. I.1, Section E
    "calm": 0,
    "light air": 1,
    "light breeze": 2,
    "gentle breeze": 3,
    "moderate breeze": 4,
    "fresh breeze": 5,
    "strong breeze": 6,
    "near gale": 7,
    "gale": 8,
    "strong gale": 9,
    "storm": 10,
    "violent storm": 11,
    "hurricane": 12,
}
_CROWD_WORDS = {word.value: word.value for word in Crowd} | {
    "nobody": "none",
    "no one": "none",
    "empty": "none",
}
_CROWD_WORDS |= {"a few": "few", "a dozen": "dozens"}
_WATER_WORDS = {word.value: word.value for word in Water}
_BFT = r"(?:bft|beaufort|bf|force)\.?"
_FORCE = re.compile(rf"(?:{_BFT}\s?)?([0-9]{{1,2}})(?:\s?{_BFT})?", re.IGNORECASE)

_LEVEL = {
    ConditionKind.CROWD: alternatives(_CROWD_WORDS) + r"(?:\s+people)?",
    ConditionKind.WATER: alternatives(_WATER_WORDS),
    ConditionKind.WIND: rf"(?:{alternatives(BEAUFORT_NAMES)}|{_FORCE.pattern.replace('([0-9]', '(?:[0-9]')})",
}
_SAYS = {
    ConditionKind.CROWD: "no crowd word: none, few, dozens, hundreds, thousands or unknown",
    ConditionKind.WATER: "no water word: dry, low, normal, high, flood or unknown",
    ConditionKind.WIND: "no wind force: Beaufort 0 to 12, a Beaufort name such as fresh breeze, or unknown",
}
_WINDS = r"(?:north|south|east|west)(?:[\s-]?(?:north|south|east|west)){0,2}"
_POINTS = alternatives(COMPASS)
_FROM = rf"from\s+(?:the\s+)?({_WINDS}|{_POINTS}|[0-9]{{1,3}}\s?°)(?![\w-])"
_BEARS = re.compile(rf"({_WINDS})(?:erly)?(?![\w-])|(?-i:({_POINTS}))(?![\w-])|{_FROM}", re.IGNORECASE)
_BEARS_LATER = re.compile(rf"\b{_FROM}", re.IGNORECASE)
_AT = rf"(?:\bat|@)\s?({DOTTED})"
_FREE_AT = re.compile(rf"\s?(?:\bat|@)\s?({CLOCK})", re.IGNORECASE)
_FREE_LEADING = re.compile(rf"(?:at\s|@\s?)?({CLOCK})(?:\s?[,:]\s?|\s)(.+)", re.IGNORECASE | re.DOTALL)
_SOURCE = re.compile(
    r"(.+?)(?:[,;(]\s?(?:said|says|told by|source:?)|[,;(]?\s?\baccording to)\s+([^,;()]+)\)?",
    re.IGNORECASE | re.DOTALL,
)
_SPEED = re.compile(r"\s?(?:m/s|m s|km|kn|kt|knots?|mph|-|–|to\s?[0-9]|\.[0-9])", re.IGNORECASE)
_RULE = alternatives(tuple(TripodRule))
_TRIPODS = re.compile(
    rf"\b(?P<no>no\s+tripods?)\b|\btripods?\s+(?:(?:are|is|was|were|rule)\s+)?(?P<word>not\s+allowed|{_RULE})(?!\w)",
    re.IGNORECASE,
)
_BARE_RULE = re.compile(rf"(?P<word>{_RULE})(?=\s*(?:[,;]|$))", re.IGNORECASE)


def read_conditions(kind: ConditionKind, said: str) -> list[ConditionEntry]:
    """The observations of one line; raises NotUnderstoodError where the kind's scale has no such level."""
    source = None
    if found := _SOURCE.fullmatch(said):
        said, source = tidied(found[1]), tidied(found[2])
    if kind in _LEVEL:
        entries = [_level(kind, part) for part in _parts(kind, said)]
    elif kind is ConditionKind.RULE:
        entries = [_rule(said)]
    else:
        entries = [_free(kind, UNKNOWN if said == "?" else said)]
    return [replace(entry, source=source) for entry in entries]


def written_condition(entry: ConditionEntry) -> str:
    """The line (without its bullet) that reads back as this entry."""
    note = entry.note
    if entry.level is None:
        said = note
        if entry.at and entry.kind in (ConditionKind.CROWD, ConditionKind.WATER, ConditionKind.WIND):
            said = f"{note} at {clock_text(entry.at)}"
        elif entry.at:
            said = f"{clock_text(entry.at)} {note}"
    else:
        said = f"tripods {entry.level}" if entry.kind is ConditionKind.RULE else entry.level
        if entry.at:
            said += f" at {clock_text(entry.at)}"
        if entry.direction:
            said += f" from {entry.direction}"
        if note:
            said += f", {note}"
    if entry.source:
        said += f", said {entry.source}"
    return f"{entry.kind}: {said}"


def _parts(kind: ConditionKind, said: str) -> list[str]:
    """Cut where a part says a level (and a time, a direction) and nothing else."""
    alone = re.compile(
        rf"\s*(?:(?:and|then|later)\s+)?(?:{DOTTED}\s+)?(?:{_LEVEL[kind]}|unknown|\?)"
        rf"(?:\s+(?:{_AT}|{_BEARS.pattern}|later)){{0,3}}\s*",
        re.IGNORECASE,
    )
    parts: list[str] = []
    for piece in re.split(r"([,;])", said):
        if not parts or (parts[-1] and alone.fullmatch(piece)):
            parts.append(piece)
        else:
            parts[-1] += piece
    return [tidied(part) for part in parts]


def _level(kind: ConditionKind, part: str) -> ConditionEntry:
    opening = re.compile(
        rf"(?:(?:and|then|later)\s+)?(?:(?:at\s+|@\s?)?({DOTTED})\s?[:,]?\s+)?(?P<level>{_LEVEL[kind]}|unknown|\?)"
        r"(?![\w'’/-])(?!\s+of\b)",
        re.IGNORECASE,
    )
    found = opening.match(part)
    if found is None:
        return _wind_without_force(kind, part)
    rest = part[found.end() :]
    if re.match(rf"\s*(?:to|or|–)\s+(?:{_LEVEL[kind]})", rest, re.IGNORECASE):
        raise NotUnderstoodError("two levels at once; write one, or one with a time each")
    at = clock(found[1]) if found[1] else None
    direction = None
    if kind is ConditionKind.WIND:
        if _SPEED.match(rest) and found["level"][-1].isdigit():
            raise NotUnderstoodError("a speed or a range; write one Beaufort force, 0 to 12")
        direction, rest = _direction(rest)
    if at is None:
        at, rest = _time(rest)
    if kind is ConditionKind.WIND and direction is None:
        direction, rest = _direction(rest, anywhere=True)
    level = _level_word(kind, found["level"].lower())
    note = tidied(rest)
    if level is None:
        note = f"{UNKNOWN}, {note}" if note else UNKNOWN
    return ConditionEntry(kind, level, at, direction, note)


def _level_word(kind: ConditionKind, typed: str) -> str | None:
    if typed in (UNKNOWN, "?"):
        return None
    typed = " ".join(typed.removesuffix("people").split())
    if kind is ConditionKind.CROWD:
        return _CROWD_WORDS[typed]
    if kind is ConditionKind.WATER:
        return _WATER_WORDS[typed]
    if typed in BEAUFORT_NAMES:
        return str(BEAUFORT_NAMES[typed])
    force = _FORCE.fullmatch(typed)
    if force is None or int(force[1]) > 12:
        raise NotUnderstoodError("no wind force: the Beaufort scale goes from 0 to 12")
    return str(int(force[1]))


def _wind_without_force(kind: ConditionKind, part: str) -> ConditionEntry:
    if kind is ConditionKind.WIND and re.match(rf"(?:{_BFT})?\s?[0-9]", part, re.IGNORECASE):
        raise NotUnderstoodError("a speed or a range; write one Beaufort force, 0 to 12")
    direction = _direction(part, anywhere=True)[0] if kind is ConditionKind.WIND else None
    if direction is None:
        raise NotUnderstoodError(_SAYS[kind])
    return replace(_free(kind, part), direction=direction)


def _direction(rest: str, anywhere: bool = False) -> tuple[str | None, str]:
    """The direction a wind comes from and the text without it."""
    lead = len(rest) - len(rest.lstrip(" ,"))
    found = _BEARS.match(rest, lead)
    if found is None and anywhere:
        found = _BEARS_LATER.search(rest)
    if found is None:
        return None, rest
    typed = next(group for group in found.groups() if group)
    bearing = parse_bearing(typed) if typed[-1] != "°" or int(typed[:-1]) <= 360 else None
    if bearing is None:
        return None, rest
    direction = f"{bearing:g}°" if typed[-1] == "°" else compass_word(bearing)
    return direction, _joined(rest, found)


def _time(rest: str) -> tuple[time | None, str]:
    """The time a level was seen: right behind it, or the only "at" of its part."""
    found = re.compile(rf"\s*{_AT}", re.IGNORECASE).match(rest)
    if found is None:
        every = list(re.finditer(_AT, rest, re.IGNORECASE))
        found = every[0] if len(every) == 1 else None
    at = clock(found[1]) if found else None
    return (at, _joined(rest, found)) if found and at is not None else (None, rest)


def _rule(said: str) -> ConditionEntry:
    said = UNKNOWN if said == "?" else said
    opening = _TRIPODS.match(said) or _BARE_RULE.match(said)
    found = opening or _TRIPODS.search(said)
    if found is None:
        return _free(ConditionKind.RULE, said)
    words = found.groupdict()
    word = " ".join((words["word"] or "forbidden").lower().split())
    level = TripodRule.FORBIDDEN if word == "not allowed" else TripodRule(word)
    if not opening:
        return replace(_free(ConditionKind.RULE, said), level=level.value)
    at, rest = _time(said[found.end() :])
    return ConditionEntry(ConditionKind.RULE, level.value, at, note=tidied(rest))


def _free(kind: ConditionKind, said: str) -> ConditionEntry:
    """Free text with at most one time: in front of it, or its only "at"."""
    if (found := _FREE_LEADING.fullmatch(said)) and (at := clock(found[1])) is not None:
        return ConditionEntry(kind, None, at, note=found[2].strip())
    every = list(_FREE_AT.finditer(said))
    if (
        len(re.findall(CLOCK, said, re.IGNORECASE)) == len(every) == 1
        and (at := clock(every[0][1])) is not None
        and (note := tidied(_joined(said, every[0])))
    ):
        return ConditionEntry(kind, None, at, note=note)
    return ConditionEntry(kind, None, note=said)


def _joined(text: str, without: re.Match[str]) -> str:
    before, after = text[: without.start()].rstrip(), text[without.end() :]
    return f"{before} {after.lstrip()}" if before and after[:1] not in (",", ";", ".") else before + after
