"""Observations whose kind is known: `crowd: dozens at 17:20, none at 18:30`, `wind: 5-6 SW`, `tide: 4,2 m`.

One surprising decision: a second level opens a second observation only when its part of the line says nothing
else, so that "dozens, none of them moved" never claims that nobody was there. A speed, a range of forces or
a depth is kept in its words: no level of the scale was said.
"""

import re
from dataclasses import replace
from datetime import time

from logbook.domain.condition import LEVELS
from logbook.domain.errors import InvalidValueError
from logbook.domain.position import COMPASS, compass_word, parse_bearing
from logbook.domain.words import ConditionKind, TripodRule
from logbook.domain.written.choices import CROWD_WORDS, WATER_WORDS
from logbook.domain.written.counts import PEOPLE, people_level
from logbook.domain.written.entry import ConditionEntry
from logbook.domain.written.moments import CLOCK, DOTTED, clock, clock_text
from logbook.domain.written.understanding import NotUnderstoodError, alternatives, tidied

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
_FORCES = BEAUFORT_NAMES | {"none": 0, "no wind": 0}
_BFT = r"(?:bft\b|beaufort|bf\b|force|f(?=[0-9]))\.?"
_FORCE = re.compile(rf"(?:{_BFT}\s?)?([0-9]{{1,2}})(?:\s?{_BFT})?", re.IGNORECASE)

_WORDS = {
    ConditionKind.CROWD: rf"{alternatives(CROWD_WORDS)}(?:\s+people)?",
    ConditionKind.WATER: alternatives(WATER_WORDS),
    ConditionKind.WIND: rf"(?:{alternatives(_FORCES)}|{_FORCE.pattern.replace('([0-9]', '(?:[0-9]')})",
}
_LEVEL = _WORDS | {ConditionKind.CROWD: rf"(?:{_WORDS[ConditionKind.CROWD]}|{PEOPLE})"}
_NUMBER = re.compile(PEOPLE, re.IGNORECASE)
_SAYS = {
    ConditionKind.CROWD: "no crowd word: none, few, dozens, hundreds, thousands or unknown",
    ConditionKind.WATER: "no water word: dry, low, normal, high, flood or unknown",
    ConditionKind.WIND: "no wind force: Beaufort 0 to 12, a Beaufort name such as fresh breeze, or unknown",
}
WATERS = r"(?:river|stream|creek|brook|lake|sea|falls|waterfall|riverbed|reservoir|pond|weir|canal)"
# Words that are kept as they are: a depth, the state of the tide, a speed, a range of forces.
_MEASURED = {
    ConditionKind.WATER: re.compile(
        rf"\b(?:tides?|ebb|neap|level|swell|waves?|surge|surf|flood(?:ed|ing|s)?|submerged|underwater|water|{WATERS})\b"
        r"|\b(?:ankle|knee|waist|hip|chest)[\s-](?:deep|high)\b"
        r"|[0-9]\s?(?:m|cm|ft|feet|metres?|meters?|inch(?:es)?)\b",
        re.IGNORECASE,
    ),
    ConditionKind.WIND: re.compile(
        rf"(?:{_BFT}\s?|gusts?\s+(?:of|to|up\s+to)?\s*|(?:about|ca\.?|~|up\s+to)\s*)?[0-9]{{1,3}}(?:[.,][0-9])?"
        rf"(?:\s?(?:-|–|—|to|/)\s?[0-9]{{1,3}})?\s?(?:{_BFT}|m/s|m\ss|km/?h|kph|kn|kt|knots?|mph)?(?!\w)",
        re.IGNORECASE,
    ),
}
# A level that the tide or the water is said to have, and what a high something is that says no level.
_STATE = re.compile(
    rf"\b(?:tides?|water|level|{WATERS})(?:\s+level)?(?:\s+(?:is|was|very|rather|still))*\s+"
    r"(?P<after>dry|low|normal|high|flooded)\b|\b(?P<before>low|high|normal)\s+(?:tide|water)\b",
    re.IGNORECASE,
)
_OF_WATER = re.compile(
    r"\s*-?(?:swell|waves?|surf|tides?|spray|water|warnings?|risk|alert|gates?|lights?|plain|barrier)\b",
    re.IGNORECASE,
)
BLOWING = r"\b(?:winds?|windy|windless|gusts?|gusty|gusting|breez[ey]y?|squalls?|gales?|becalmed)\b"
_BLOWING = re.compile(BLOWING, re.IGNORECASE)
_PRONOUN = r"(?:the|them|us|those|these|my|our|it|which|whom)\b"
_BETWEEN = re.compile(r"([,;]|→|->|\s(?=(?:then|and|later)\s))", re.IGNORECASE)
_WINDS = r"(?:north|south|east|west)(?:[\s-]?(?:north|south|east|west)){0,2}"
_POINTS = alternatives(COMPASS)
_FROM = rf"from\s+(?:the\s+)?({_WINDS}|{_POINTS}|[0-9]{{1,3}}\s?°)(?![\w-])"
_BEARS = re.compile(rf"({_WINDS})(?:erly)?(?![\w-])|(?-i:({_POINTS}))(?![\w-])|{_FROM}", re.IGNORECASE)
_BEARS_LATER = re.compile(rf"\b{_FROM}", re.IGNORECASE)
_AT = rf"(?:\bat|@)\s?({DOTTED})"
_OF_TIDE = rf"\b(?:tides?|ebb|flood|(?:low|high|slack)\s+water)\s+({DOTTED})"  # low tide 16:20
_FREE_AT = re.compile(rf"\s?(?:\bat|@)\s?({CLOCK})", re.IGNORECASE)
_FREE_SINCE = re.compile(rf"\b(?:from|since)\s({CLOCK})", re.IGNORECASE)
_FREE_LEADING = re.compile(rf"(?:at\s|@\s?)?({CLOCK})(?:\s?[,:]\s?|\s)(.+)", re.IGNORECASE | re.DOTALL)
_SOURCE = re.compile(
    r"(.+?)(?:[,;(]\s?(?:said|says|told by|source:?)|[,;(]?\s?\baccording to)\s+([^,;()]+)\)?",
    re.IGNORECASE | re.DOTALL,
)
_SPEED = re.compile(
    r"\s?(?:m/s|m s|km|kn|kt|knots?|mph|kph|[-–—/]\s?[0-9]|to\s?[0-9]|[.,][0-9])", re.IGNORECASE
)
_RULE = alternatives(tuple(TripodRule))
_TRIPODS = re.compile(
    rf"\b(?P<no>no\s+tripods?(?:\s+allowed)?)\b|\btripods?\s+(?:(?:are|is|was|were|rule)\s+)?(?P<word>not\s+allowed|{_RULE})(?!\w)",
    re.IGNORECASE,
)
_BLANK = re.compile(r"[\W_]*(?:n/?a|n\.a|none|nothing|nil)?[\W_]*(?<!\?)", re.IGNORECASE)
_BARE_RULE = re.compile(rf"(?P<word>{_RULE})(?=\s*(?:[,;]|$))", re.IGNORECASE)


def read_conditions(kind: ConditionKind, said: str) -> list[ConditionEntry]:
    """The observations of one line; raises NotUnderstoodError where the kind's scale has no such level.

    A dash or "nothing" in place of words is not an observation of a kind without levels either.
    """
    if kind not in _LEVEL and _BLANK.fullmatch(said):
        raise NotUnderstoodError("it says that nothing was noted; say what was, or leave the line out")
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


def level_written(kind: ConditionKind, text: str) -> ConditionEntry:
    """Read the level of one observation: `a few`, `~20 people`, `5-6 SW`; a measure is kept in its note.

    Raises InvalidValueError for a kind without levels, and for what says several or none.
    """
    try:
        entries = read_conditions(kind, text.strip()) if kind in LEVELS else []
    except NotUnderstoodError:
        entries = []
    words = ", ".join(LEVELS.get(kind, ()))
    if not words:
        raise InvalidValueError(f'{kind} has no levels; put "{text}" in the note.')
    if len(entries) != 1:
        raise InvalidValueError(f'"{text}" is not a level of {kind}; write one of {words}.')
    return entries[0]


def direction_written(text: str) -> str:
    """Return where a wind comes from as it is kept, `NW` or `280°`; other words as they are."""
    direction, rest = _direction(f"from {text.strip().removeprefix('from ')}")
    return direction if direction is not None and not tidied(rest) else text


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
            opens_another = entry.kind in _LEVEL and len(_parts(entry.kind, f"{said}, {note}")) > 1
            said += f" - {note}" if opens_another else f", {note}"
    if entry.source:
        said += f", said {entry.source}"
    return f"{entry.kind}: {said}"


def _parts(kind: ConditionKind, said: str) -> list[str]:
    """Cut where a part says a level (and a time, a direction) and nothing else; a number needs a time."""
    numbers = rf"|{PEOPLE}\s+{_AT}|{DOTTED}\s+{PEOPLE}" if kind is ConditionKind.CROWD else ""
    alone = re.compile(
        rf"\s*(?:(?:and|then|later)\s+)?(?:(?:{DOTTED}\s+)?(?:{_WORDS[kind]}|unknown|\?)"
        rf"(?:\s+(?:{_AT}|{_BEARS.pattern}|later)){{0,3}}{numbers})\s*",
        re.IGNORECASE,
    )
    parts: list[str] = []
    for piece in _BETWEEN.split(said):
        if not parts or (parts[-1] and alone.fullmatch(piece)):
            parts.append(piece)
        else:
            parts[-1] += piece
    return [tidied(part.rstrip(" →>")) for part in parts]


def _level(kind: ConditionKind, part: str) -> ConditionEntry:
    opening = re.compile(
        rf"(?:(?:and|then|later|only|just|still|now)\s+)?(?:(?:at\s+|@\s?)?({DOTTED})\s?[:,]?\s+)?(?P<level>{_LEVEL[kind]}|unknown|\?)"
        rf"(?![\w'’/-])(?!\s+of\s+{_PRONOUN})",
        re.IGNORECASE,
    )
    found = opening.match(part)
    if found is None:
        return _in_words(kind, part)
    rest = part[found.end() :]
    if kind is ConditionKind.WIND and found["level"][-1].isdigit() and _SPEED.match(rest):
        return _in_words(kind, part)
    if kind is ConditionKind.WATER and _OF_WATER.match(rest):
        return _in_words(kind, part)
    if re.match(rf"\s*(?:to|or|–|→|->)\s+(?:{_LEVEL[kind]})", rest, re.IGNORECASE):
        raise NotUnderstoodError("two levels at once; write one, or one with a time each")
    at = clock(found[1]) if found[1] else None
    direction = None
    if kind is ConditionKind.WIND:
        direction, rest = _direction(rest)
    if at is None:
        at, rest = _time_of_level(kind, rest)
    if kind is ConditionKind.WIND and direction is None:
        direction, rest = _direction(rest, anywhere=True)
    typed = found["level"].lower()
    note = tidied(rest)
    if typed in (UNKNOWN, "?"):
        return ConditionEntry(kind, None, at, direction, f"{UNKNOWN}, {note}" if note else UNKNOWN)
    if kind is ConditionKind.CROWD and (_NUMBER.fullmatch(typed) or note.startswith("of ")):
        note = tidied(
            f"{found['level']} {rest.strip()}" if rest[:1] not in (",", ";") else found["level"] + rest
        )
    return ConditionEntry(kind, _level_word(kind, typed), at, direction, note)


def _level_word(kind: ConditionKind, typed: str) -> str | None:
    if kind is ConditionKind.CROWD:
        if _NUMBER.fullmatch(typed):
            level = people_level(typed)
            return None if level is None else level.value
        typed = " ".join(typed.split())
        return CROWD_WORDS[typed if typed in CROWD_WORDS else typed.removesuffix(" people")].value
    typed = " ".join(typed.split())
    if kind is ConditionKind.WATER:
        return WATER_WORDS[typed].value
    if typed in _FORCES:
        return str(_FORCES[typed])
    force = _FORCE.fullmatch(typed)
    if force is None or int(force[1]) > 12:
        raise NotUnderstoodError("no wind force: the Beaufort scale goes from 0 to 12")
    return str(int(force[1]))


def _in_words(kind: ConditionKind, part: str) -> ConditionEntry:
    """A measure, a range or a direction without a level, kept as it was written."""
    measured = _MEASURED.get(kind)
    if kind is ConditionKind.WATER and measured and measured.search(part):
        level = _STATE.search(part)
        at, rest = _time(part)
        stated = re.findall(_OF_TIDE, part, re.IGNORECASE) if at is None else []
        if len(stated) == 1 == len(re.findall(DOTTED, part, re.IGNORECASE)):
            at, rest = clock(stated[0]), part.replace(f" {stated[0]}", "", 1)
        said = _free(kind, part) if at is None else ConditionEntry(kind, None, at, note=tidied(rest))
        word = (level["after"] or level["before"]).lower() if level else None
        return replace(said, level=WATER_WORDS[word].value if word else None)
    if kind is not ConditionKind.WIND or measured is None:
        raise NotUnderstoodError(_SAYS[kind])
    part = re.sub(rf"^({_POINTS})(?=[0-9])", r"\1 ", part)  # W4
    direction, rest = _direction(part)
    if direction is not None and re.match(rf"\s*{_LEVEL[kind]}(?![\w'’/-]|[.,][0-9])", rest, re.IGNORECASE):
        return replace(_level(kind, rest.strip()), direction=direction)
    figure = measured.match(part)
    if direction is None and figure is not None:
        direction, _ = _direction(part[figure.end() :])
    if direction is None:
        direction, _ = _direction(part, anywhere=True)
    if direction is None and figure is None and not _BLOWING.search(part):
        raise NotUnderstoodError(_SAYS[kind])
    at, rest = _time(part)
    said = _free(kind, part) if at is None else ConditionEntry(kind, None, at, note=tidied(rest))
    return replace(said, direction=direction)


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


def _time_of_level(kind: ConditionKind, rest: str) -> tuple[time | None, str]:
    """The time of a level that was read; behind another level it is that one's: 4, then 2 at 18:20."""
    at, without = _time(rest)
    before = re.split(_AT, rest, maxsplit=1, flags=re.IGNORECASE)[0]
    another = re.search(rf"(?<![\w-])(?:{_LEVEL[kind]})(?![\w-])", before, re.IGNORECASE)
    return (None, rest) if at is not None and another else (at, without)


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
        return ConditionEntry(kind, None, at, note=tidied(found[2]))
    every = list(_FREE_AT.finditer(said))
    if (
        len(re.findall(CLOCK, said, re.IGNORECASE)) == len(every) == 1
        and (at := clock(every[0][1])) is not None
        and (note := tidied(_joined(said, every[0])))
    ):
        return ConditionEntry(kind, None, at, note=note)
    since = list(_FREE_SINCE.finditer(said))
    if len(re.findall(CLOCK, said, re.IGNORECASE)) == len(since) == 1:
        return ConditionEntry(kind, None, clock(since[0][1]), note=said)  # "rain from 3pm" keeps its words
    return ConditionEntry(kind, None, note=said)


def _joined(text: str, without: re.Match[str]) -> str:
    before, after = text[: without.start()].rstrip(), text[without.end() :]
    return f"{before} {after.lstrip()}" if before and after[:1] not in (",", ";", ".") else before + after
