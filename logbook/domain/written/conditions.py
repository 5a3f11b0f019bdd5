"""Observations whose kind is known: `crowd: dozens at 17:20, none at 18:30`, `wind: 5-6 SW`, `tide: 4,2 m`.

One surprising decision: a second level opens a second observation only when its part of the line says nothing
else, so that "dozens, none of them moved" never claims that nobody was there. A speed, a range of forces or
a depth is kept in its words: no level of the scale was said.
"""

import re
from dataclasses import replace
from datetime import time

from logbook.domain.condition_kinds import KINDS
from logbook.domain.condition_kinds.hours import OPENING_HOURS
from logbook.domain.condition_kinds.kind import KindOfCondition
from logbook.domain.condition_kinds.wind import BLOWING
from logbook.domain.errors import InvalidValueError
from logbook.domain.position import COMPASS, compass_word, parse_bearing
from logbook.domain.words import ConditionKind
from logbook.domain.written.choices import UNKNOWN_WORDS
from logbook.domain.written.elsewhen import follows_elsewhen, is_elsewhen
from logbook.domain.written.entry import ConditionEntry
from logbook.domain.written.moments import ABOUT, CLOCK, DOTTED, ISH, clock, clock_text, is_about
from logbook.domain.written.understanding import NotUnderstoodError, alternatives, in_doubt, noted, tidied

UNKNOWN = "unknown"


def _word(of: KindOfCondition) -> str:
    """The pattern of a level that is said in a word, or in figures that stand for nothing else."""
    unit = rf"(?:\s+{of.unit})?" if of.unit else ""
    figures = f"|{of.figures.replace('([0-9]', '(?:[0-9]')}" if of.figures else ""
    return f"(?:{alternatives(of.words)}{unit}{figures})"


def _level_pattern(of: KindOfCondition) -> str:
    return f"(?:{_word(of)}|{of.amount.pattern})" if of.amount else _word(of)


# The kinds whose lines open with a level, and what may open them.
LEVELLED = tuple(kind for kind, of in KINDS.items() if of.levels and not of.within)
_WORDS = {kind: _word(KINDS[kind]) for kind in LEVELLED}
_LEVEL = {kind: _level_pattern(KINDS[kind]) for kind in LEVELLED}
_BLOWING = re.compile(BLOWING, re.IGNORECASE)
_PRONOUN = r"(?:the|them|us|those|these|my|our|it|which|whom)\b"
_BETWEEN = re.compile(r"([,;]|→|->|\s(?=(?:then|and|later)\s))", re.IGNORECASE)
_WINDS = r"(?:north|south|east|west)(?:[\s-]?(?:north|south|east|west)){0,2}"
_POINTS = alternatives(COMPASS)
_FROM = rf"from\s+(?:the\s+)?({_WINDS}|{_POINTS}|[0-9]{{1,3}}\s?°)(?![\w-])"
_BEARS = re.compile(rf"({_WINDS})(?:erly)?(?![\w-])|(?-i:({_POINTS}))(?![\w-])|{_FROM}", re.IGNORECASE)
_OR_POINT = re.compile(rf"\s?(?:-|–|/|\bto\b|\bor\b)\s?(?:(?-i:{_POINTS})|{_WINDS})(?![\w-])", re.IGNORECASE)
_BEARS_LATER = re.compile(rf"\b{_FROM}", re.IGNORECASE)
_NOT_UNTIL = "".join(
    f"(?<!{word} )" for word in ("until", "till", "til", "by", "before", "after", "from", "since")
)
# 5:30-6 pm is not 05:30
_AT = (
    rf"(?:(?:\bat|@)\s?(?:{ABOUT})?({DOTTED})|{_NOT_UNTIL}{ABOUT}({CLOCK})){ISH}?"
    r"(?!\s?[ap]\.?m|\s*[-–—−]\s*[0-9][0-9:.]*\s?[ap]\.?m)"
)
_FREE_AT = re.compile(rf"\s?(?:(?:\bat|@)\s?(?:{ABOUT})?|{_NOT_UNTIL}{ABOUT})({CLOCK}){ISH}?", re.IGNORECASE)
_FREE_SINCE = re.compile(rf"\b(?:from|since)\s(?:{ABOUT})?({CLOCK})", re.IGNORECASE)
_FREE_LEADING = re.compile(
    rf"(?P<lead>(?:at\s|@\s?)?(?:{ABOUT})?({CLOCK}){ISH}?)(?:\s?[,:]\s?|\s)(?![-–—−])(?P<rest>.+)",
    re.IGNORECASE | re.DOTALL,
)
_HOURS = re.compile(OPENING_HOURS, re.IGNORECASE)
# Behind a level that a sentence says: it holds only here or now.
_OTHERWISE = re.compile(
    r"[,;(]\s*(?:but\s+)?(?:ok|okay|fine|allowed|permitted)\b"
    r"|\b(?:else|elsewhere|otherwise|outside|but)\b.*?\b(?:ok|okay|fine|allowed|permitted|forbidden|banned|not)\b",
    re.IGNORECASE,
)
# Behind a level: it is nearly so, or with exceptions.
_HEDGED = re.compile(r"\s*(?:to\s+speak\s+of|worth\s+(?:mentioning|noting|the\s+name))\b", re.IGNORECASE)
_EXCEPT = re.compile(
    r"\s*,?\s*(?:(?:apart|aside)\s+from|except(?:ing)?|besides|other\s+than|save\s+for)\b"
    r"|\s+but(?!\s+(?:us|me|myself|ourselves|for\s+(?:us|me))\b)",
    re.IGNORECASE,
)
_NOT_SEEN = "it is about another time, a plan, a forecast or a guess; write what was there"
_DOUBTED = "a question mark leaves it open; write it without one, or unknown"
_SOURCE = re.compile(
    r"(.+?)(?:[,;(]\s?(?:said|says|told by|source:?)|[,;(]?\s?\baccording to)\s+([^,;()]+)\)?",
    re.IGNORECASE | re.DOTALL,
)
_BLANK = re.compile(
    r"[\s!-/:-@\[-`{-~–—…]*(?:n/?a|n\.a|none|nothing|nil)?[\s!-/:-@\[-`{-~–—…]*(?<!\?)", re.IGNORECASE
)
_NOBODY_KNOWS = re.compile(rf"{alternatives(UNKNOWN_WORDS - {'?', 'unknown'})}\b", re.IGNORECASE)


def read_conditions(kind: ConditionKind, said: str) -> list[ConditionEntry]:
    """The observations of one line; raises NotUnderstoodError where the kind's scale has no such level.

    A dash or "nothing" in place of words is not an observation of a kind without levels either.
    """
    if kind not in _LEVEL and _BLANK.fullmatch(said):
        raise NotUnderstoodError("it says that nothing was noted; say what was, or leave out the line")
    if kind not in _LEVEL and is_elsewhen(kind, said):
        raise NotUnderstoodError(_NOT_SEEN)
    if kind not in _LEVEL and _NOBODY_KNOWS.match(said):
        raise NotUnderstoodError("it says that nobody knows; write unknown, or leave out the line")
    if KINDS[kind].is_barrier and said.endswith("?"):
        raise NotUnderstoodError(_DOUBTED)
    source = None
    if found := _SOURCE.fullmatch(said):
        said, source = tidied(found[1]), tidied(found[2])
    if (hours := _hours(kind, said)) is not None:
        entries = [ConditionEntry(ConditionKind.RULE, note=tidied(hours))]  # nobody saw it at that time
    elif kind in _LEVEL:
        entries = _levels(kind, said)
    elif KINDS[kind].is_barrier and _HOURS.search(said):
        entries = [ConditionEntry(kind, note=said)]  # a time in it may be that of the hours
    elif KINDS[kind].within:
        entries = [_within(kind, UNKNOWN if said == "?" else said)]
    else:
        entries = [_free(kind, UNKNOWN if said == "?" else said)]
    return [replace(entry, source=source) for entry in entries]


def _hours(kind: ConditionKind, said: str) -> str | None:
    """The opening hours that a line of a closure or a rule gives; None where it tells of a closure seen."""
    of = KINDS[kind]
    if not of.is_barrier:
        return said if kind is ConditionKind.RULE and _HOURS.search(said) else None
    whole = said if _HOURS.search(said) else f"closed {said}"  # closed: Mondays
    found = _HOURS.search(whole)
    is_whole = found is not None and (whole is said or found.start() == 0)
    return whole if is_whole and not re.search(of.said, _HOURS.sub(" ", said), re.IGNORECASE) else None


def level_written(kind: ConditionKind, text: str) -> ConditionEntry:
    """Read the level of one observation: `a few`, `~20 people`, `5-6 SW`; a measure is kept in its note.

    Raises InvalidValueError for a kind without levels, and for what says several or none.
    """
    levels = KINDS[kind].levels
    if not levels:
        raise InvalidValueError(f'{kind} has no levels; put "{text}" in the note.')
    try:
        entries = read_conditions(kind, text.strip())
    except NotUnderstoodError:
        entries = []
    if len(entries) != 1:
        raise InvalidValueError(f'"{text}" is not a level of {kind}; write one of {", ".join(levels)}.')
    return entries[0]


def direction_written(text: str) -> str:
    """Return where a wind comes from as it is kept, `NW` or `280°`; other words as they are."""
    direction, rest = _direction(f"from {text.strip().removeprefix('from ')}")
    return direction if direction is not None and not tidied(rest) else text


def written_condition(entry: ConditionEntry) -> str:
    """The line (without its bullet) that reads back as this entry."""
    note, at = entry.note, clock_text(entry.at) if entry.at else ""
    if at and note.endswith(_about(at)):
        note, at = tidied(note.removesuffix(_about(at))), f"~{at}"
    if entry.level is None:
        said = note
        if at and entry.kind in _LEVEL:
            said = f"{note} at {at}"
        elif at:
            said = f"{at} {note}"
    else:
        said = f"{KINDS[entry.kind].before} {entry.level}".strip()
        if at:
            said += f" at {at}"
        if entry.direction:
            said += f" from {entry.direction}"
        if note:
            opens_another = entry.kind in _LEVEL and len(_parts(entry.kind, f"{said}, {note}")) > 1
            apart = ": " if KINDS[entry.kind].figures and note[:1].isdigit() else " - "  # 4 - 5 is a range
            said += f"{apart}{note}" if opens_another else f", {note}"
    if entry.source:
        said += f", said {entry.source}"
    return f"{entry.kind}: {said}"


def _parts(kind: ConditionKind, said: str) -> list[str]:
    """Cut where a part says a level (and a time, a direction) and nothing else; a number needs a time."""
    amount = KINDS[kind].amount
    numbers = rf"|{amount.pattern}\s+{_AT}|{DOTTED}\s+{amount.pattern}" if amount else ""
    alone = re.compile(
        rf"\s*(?:(?:and|then|later)\s+)?(?:(?:{DOTTED}\s+)?(?:{_WORDS[kind]}|unknown|\?)"
        rf"(?:\s+(?:{_AT}|{CLOCK}|{_BEARS.pattern}|later)){{0,3}}{numbers})\s*",
        re.IGNORECASE,
    )
    parts: list[str] = []
    for piece in _BETWEEN.split(said):
        if not parts or (parts[-1] and alone.fullmatch(piece)):
            parts.append(piece)
        else:
            parts[-1] += piece
    return [tidied(part.rstrip(" →>")) for part in parts]


def _levels(kind: ConditionKind, said: str) -> list[ConditionEntry]:
    """Every part on its own; where one says no level, the whole may still be one measure in words."""
    parts = _parts(kind, said)
    try:
        return [_level(kind, part) for part in parts]
    except NotUnderstoodError:
        if len(parts) == 1:
            raise
        return [_level(kind, tidied(said))]


def _level(kind: ConditionKind, part: str) -> ConditionEntry:
    of = KINDS[kind]
    opening = re.compile(
        rf"(?:(?:and|then|later|only|just|still|now)\s+)?(?:(?P<lead>(?:at\s+|@\s?)?(?:{ABOUT})?({DOTTED}){ISH}?)\s?[:,]?\s+)?(?P<level>{_LEVEL[kind]}|unknown|\?)"
        rf"(?![\w'’/-])(?!\s+of\s+{_PRONOUN})",
        re.IGNORECASE,
    )
    found = opening.match(part)
    if found is None or (of.not_before and re.compile(of.not_before, re.IGNORECASE).match(part, found.end())):
        return _in_words(kind, part)
    rest = part[found.end() :]
    if in_doubt(rest) and found["level"] != "?":
        raise NotUnderstoodError(_DOUBTED)
    if follows_elsewhen(rest):
        raise NotUnderstoodError(_NOT_SEEN)
    if _HEDGED.match(rest):
        return _in_words(kind, part)
    if (
        found["level"].lower() in of.words
        and of.words[found["level"].lower()] == of.levels[0]
        and _EXCEPT.match(rest)
    ):
        raise NotUnderstoodError("it makes an exception; write how much there was")
    if re.match(rf"\s*(?:to|or|–|→|->)\s+(?:{_LEVEL[kind]})", rest, re.IGNORECASE):
        raise NotUnderstoodError("two levels at once; write one, or give each a time")
    at = clock(found[2]) if found[2] else None
    if at and is_about(found["lead"]):
        rest += f", {_about(clock_text(at))}"
    direction = None
    if of.has_bearing:
        direction, rest = _direction(rest)
    if at is None:
        at, rest = _time_of_level(kind, rest)
    if of.has_bearing and direction is None:
        direction, rest = _direction(rest, anywhere=True)
    if follows_elsewhen(rest):  # high at 9:15 tomorrow
        raise NotUnderstoodError(_NOT_SEEN)
    if another := re.search(rf"\bthen\s+(?:{_LEVEL[kind]})(?![\w-])", rest, re.IGNORECASE):
        raise NotUnderstoodError(f'two levels at once; give "{another[0]}" a time')
    typed = found["level"].lower()
    note = noted(rest)
    if typed in (UNKNOWN, "?"):
        return ConditionEntry(kind, None, at, direction, f"{UNKNOWN}, {note}" if note else UNKNOWN)
    if of.amount and (_is_number(of, typed) or note.startswith("of ")):
        counted = found["level"] + (rest if rest[:1] in (",", ";") else f" {rest.strip()}")
        note = tidied(counted if note else found["level"])
    return ConditionEntry(kind, _level_said(of, typed), at, direction, note)


def _is_number(of: KindOfCondition, typed: str) -> bool:
    return of.amount is not None and bool(re.fullmatch(of.amount.pattern, typed, re.IGNORECASE))


def _level_said(of: KindOfCondition, typed: str) -> str | None:
    """The level that a text matching a kind's pattern says; None for a number that spans two."""
    if of.amount is not None and _is_number(of, typed):
        return of.amount.level(typed)
    typed = " ".join(typed.split())
    if (level := of.words.get(typed) or of.words.get(typed.removesuffix(f" {of.unit}"))) is not None:
        return level
    figure = re.fullmatch(of.figures, typed, re.IGNORECASE)
    if figure is None or (level := str(int(figure[1]))) not in of.levels:
        raise NotUnderstoodError(of.beyond)
    return level


def _in_words(kind: ConditionKind, part: str) -> ConditionEntry:
    """A measure, a range or a direction without a level, kept as it was written."""
    of = KINDS[kind]
    if is_elsewhen(kind, part):
        raise NotUnderstoodError(_NOT_SEEN)
    needs = of.needs or f"not a level of {kind}: write {', '.join(of.levels)} or {UNKNOWN}"
    if of.has_bearing:
        return _blowing(kind, part, needs)
    if not of.measured or not re.search(of.measured, part, re.IGNORECASE):
        raise NotUnderstoodError(needs)
    at, rest = _time(part)
    timed = rf"{of.timed}({DOTTED})"
    times = re.findall(timed, part, re.IGNORECASE) if at is None and of.timed else []
    if len(times) == 1 == len(re.findall(DOTTED, part, re.IGNORECASE)):
        at, rest = clock(times[0]), part.replace(f" {times[0]}", "", 1)
    said = _free(kind, part) if at is None else ConditionEntry(kind, None, at, note=tidied(rest))
    stated = re.search(of.stated, part, re.IGNORECASE) if of.stated else None
    word = (stated["after"] or stated["before"]).lower() if stated else None
    return replace(said, level=of.words[word] if word else None)


def _blowing(kind: ConditionKind, part: str, needs: str) -> ConditionEntry:
    """What comes from somewhere: at a speed, in a range of levels, or with its direction alone."""
    part = re.sub(rf"^({_POINTS})(?=[0-9])", r"\1 ", part)  # W4
    direction, rest = _direction(part)
    if direction is not None and re.match(rf"\s*{_LEVEL[kind]}(?![\w'’/-]|[.,][0-9])", rest, re.IGNORECASE):
        return replace(_level(kind, rest.strip()), direction=direction)
    figure = re.match(KINDS[kind].measured, part, re.IGNORECASE)
    if direction is None and figure is not None:
        direction, _ = _direction(part[figure.end() :])
    if direction is None:
        direction, _ = _direction(part, anywhere=True)
    if direction is None and figure is None and not _BLOWING.search(part):
        raise NotUnderstoodError(needs)
    at, rest = _time(part)
    said = _free(kind, part) if at is None else ConditionEntry(kind, None, at, note=tidied(rest))
    return replace(said, direction=direction)


def _direction(rest: str, anywhere: bool = False) -> tuple[str | None, str]:
    """The direction a wind comes from and the text without it."""
    lead = len(rest) - len(rest.lstrip(" ,"))
    found = _BEARS.match(rest, lead)
    if found is None and anywhere:
        found = _BEARS_LATER.search(rest)
    if found is None or _OR_POINT.match(rest, found.end()):
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
    before = re.split(rf"{_AT}|{CLOCK}", rest, maxsplit=1, flags=re.IGNORECASE)[0]
    another = re.search(rf"(?<![\w-])(?:{_LEVEL[kind]})(?![\w-])", before, re.IGNORECASE)
    return (None, rest) if at is not None and another else (at, without)


def _time(rest: str) -> tuple[time | None, str]:
    """The time a level was seen: right behind it, with or without "at", or the only "at" of its part."""
    found = re.compile(rf"\s*{_AT}|\s*({CLOCK}){ISH}?(?!\s*[-–—−])", re.IGNORECASE).match(rest)
    if found is None:
        every = list(re.finditer(_AT, rest, re.IGNORECASE))
        found = every[0] if len(every) == 1 else None
    at = clock(next(filter(None, found.groups()))) if found else None
    return (at, _joined(rest, found, at)) if found and at is not None else (None, rest)


def _within(kind: ConditionKind, said: str) -> ConditionEntry:
    """A level that a sentence says; one that opens it has the rest for its note."""
    of = KINDS[kind]
    within = re.compile(of.within, re.IGNORECASE)
    bare = re.compile(rf"(?P<word>{alternatives(of.levels)})(?=\s*(?:[,;]|$))", re.IGNORECASE)
    opening = within.match(said) or bare.match(said)
    found = opening or within.search(said)
    if found is None:
        return _free(kind, said)
    level = of.words[" ".join((found["word"] or of.denied).lower().split())]
    if in_doubt(said[found.end() :]):
        raise NotUnderstoodError(_DOUBTED)
    if follows_elsewhen(said[found.end() :]):
        raise NotUnderstoodError(_NOT_SEEN)
    if _OTHERWISE.search(said[found.end() :]):
        return _free(kind, said)
    if not opening:
        return replace(_free(kind, said), level=level)
    at, rest = _time(said[found.end() :])
    return ConditionEntry(kind, level, at, note=noted(rest))


def _free(kind: ConditionKind, said: str) -> ConditionEntry:
    """Free text with at most one time: in front of it, or its only "at"."""
    if (found := _FREE_LEADING.fullmatch(said)) and (at := clock(found[2])) is not None:
        about = f", {_about(clock_text(at))}" if is_about(found["lead"]) else ""
        return ConditionEntry(kind, None, at, note=tidied(found["rest"]) + about)
    every = list(_FREE_AT.finditer(said))
    if (
        len(re.findall(CLOCK, said, re.IGNORECASE)) == len(every) == 1
        and (at := clock(every[0][1])) is not None
        and (note := tidied(_joined(said, every[0], at)))
    ):
        return ConditionEntry(kind, None, at, note=note)
    since = list(_FREE_SINCE.finditer(said))
    if len(re.findall(CLOCK, said, re.IGNORECASE)) == len(since) == 1:
        return ConditionEntry(kind, None, clock(since[0][1]), note=said)  # "rain from 3pm" keeps its words
    return ConditionEntry(kind, None, note=said)


def _joined(text: str, without: re.Match[str], at: time | None = None) -> str:
    """A text without what was cut out of it; that a time in there is only about right is said behind it."""
    before, after = text[: without.start()].rstrip(), text[without.end() :]
    joined = f"{before} {after.lstrip()}" if before and after[:1] not in (",", ";", ".") else before + after
    return f"{joined.rstrip()}, {_about(clock_text(at))}" if at and is_about(without[0]) else joined


def _about(at: str) -> str:
    """What a note says of a time that is only about right."""
    return f"about {at}"
