"""Level-2 headings of a day file: which viewpoint, from when to when (after a ?: proposed), what for.

Two surprising decisions: a heading without a name still opens a section (of the day), so that the entries
below it are never counted for the viewpoint above; and figures without a colon that are rather years, or
that have a unit behind them, stay in the name: Fort 1914-1918, Ridge 1200-1300 m.
"""

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import time

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import VisitPurpose
from logbook.domain.written.moments import (
    ABOUT,
    CLOCK,
    DOTTED,
    HOURS,
    ISH,
    NAMED,
    PACKED,
    UNIT,
    are_years,
    clock,
    clock_text,
    is_about,
    span_written,
)
from logbook.domain.written.understanding import understood
from logbook.intake.dayfile.model import Section

LONGEST_HEADING = 300  # characters; anything longer is journal text

_HEADING = re.compile(r" {0,3}##(?!#)(.*)", re.DOTALL)
_RANGE = re.compile(rf"({DOTTED})\s{{0,5}}(?:-|–|—|−|\bto\b|\buntil\b)\s{{0,5}}({DOTTED})", re.IGNORECASE)
_SINGLE = re.compile(
    r"(?:\b(?P<until>until|till|bis)\s+|(?P<open>(?<![^\s(])(?:\?\s?[-–—−]\s?|[-–—−])))?"  # ?-18:45, -18:45
    rf"(?:\b(?:at|from)\s+|@\s?)?(?P<at>{CLOCK})(?:\s?[-–—−]\s?\?)?"
    rf"|(?:\b(?P<until2>until|till|bis)|\bat|\bfrom|[,@])\s{{0,5}}(?P<at2>{DOTTED})",
    re.IGNORECASE,
)
# What people write around times, which says no more than the times do: "von ca. 17.20 bis 18.45 Uhr".
_ONE = (
    rf"(?:\b(?:{'|'.join(NAMED)})\b|{DOTTED}|(?<![\w:.,])(?:[01]?[0-9]|2[0-4])\s?h(?!\w))"
    rf"{ISH}?(?:\s?{HOURS}\b)?"
)
_FROM = r"(?:\b(?:from|between|btw|von|zwischen|de|desde|entre)\s+)?"
_TO = r"\s*(?:-|–|—|−|→|->|~|\b(?:to|until|till?|bis|and|und|a|y|et|hasta)\b|à|&)\s*"
_OR_TO = rf"(?:{_TO}|\s*/\s*)"  # a slash only between two times for certain
_HOUR = r"(?<![\w:.,])(?:[01]?[0-9]|2[0-4])"
_SPANS = tuple(
    re.compile(rf"{_FROM}(?:{ABOUT})?(?P<begin>{begin}){to}(?:{ABOUT})?(?P<end>{end})", re.IGNORECASE)
    for begin, to, end in (
        (_ONE, _OR_TO, _ONE),
        (_HOUR, _TO, rf"{_HOUR}(?:[:.][0-5][0-9])?{ISH}?\s?[ap]\.?m\b\.?{ISH}?"),  # 5-6pm
        (_HOUR, _TO, rf"{_HOUR}\s?{HOURS}\b"),  # 17-18 Uhr
    )
)
_PACKED = re.compile(  # 1720-1845, where no other time stands
    rf"{_FROM}(?:{ABOUT})?(?<![\w:.,-])(?P<begin>{PACKED}){_TO}(?P<end>{PACKED}){ISH}?(?:\s?{HOURS}\b)?(?![\w:.-]){UNIT}",
    re.IGNORECASE,
)
_LONE = re.compile(rf"(?:{ABOUT})?(?P<at>{_ONE})", re.IGNORECASE)
_BETWEEN = re.compile(r"(?:from|between|btw|von|zwischen|de|desde|entre)\s", re.IGNORECASE)
_AND = re.compile(r"\b(?:and|und|y|et)\b|&", re.IGNORECASE)
_SAID_BESIDE = re.compile(rf"{ISH}|\s?{HOURS}$", re.IGNORECASE)
_PURPOSE = re.compile(rf"(?:^|[\s,;:(])({'|'.join(VisitPurpose)})$", re.IGNORECASE)
_PROPOSED = re.compile(r"(?:^|(?<=\s))\?$|^\?(?=\s)")
_EDGES = " \t\u00a0,;:-–—@/"


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading read: the section it opens (without content), and what is doubtful about it."""

    section: Section
    doubt: str | None


def heading_text(text: str) -> str | None:
    """What stands behind the ## of a level-2 heading, None when the line is none."""
    found = _HEADING.fullmatch(text) if len(text) <= LONGEST_HEADING else None
    return None if found is None else re.sub(r"(?<!\S)#+$", "", found[1].strip()).strip()


def read_heading(said: str, line: int) -> Heading:
    """Read a heading's text: `Quarry ledge 17:20-18:45 shooting`, any order, any case."""
    rest, arrived, departed = _cut_times(_plainly(said))
    is_crowded = False
    while (further := _cut_times(rest))[0] != rest:
        rest, is_crowded = further[0], True
    name, purpose = _purpose_cut(_trimmed(rest))
    is_proposed = False
    while (arrived or departed) and (mark := _PROPOSED.search(name)):
        is_proposed, name = True, _trimmed(name[: mark.start()] + name[mark.end() :])
    doubt = None
    if not name:
        doubt = "the heading names no viewpoint, so what follows is kept with the day"
    elif is_crowded:
        doubt = "the heading has more times than one arrival and one departure"
    viewpoint = None if not name or name.lower() == "day" else name
    times = "-".join(clock_text(at) for at in (arrived, departed) if at)
    section = Section(
        viewpoint,
        line,
        arrived,
        departed,
        purpose,
        times_proposed=is_proposed,
        in_full=_purpose_cut(_trimmed(said))[0] if times else "",
        told=(understood(_purpose_cut(_trimmed(said))[0], f"{name} {times}".strip()) or "")
        if times and is_about(said)
        else "",
    )
    return Heading(section, doubt)


def _purpose_cut(name: str) -> tuple[str, VisitPurpose | None]:
    """A name without the purpose that it ends in, and that purpose."""
    found = _PURPOSE.search(name)
    return (_trimmed(name[: found.start()]), VisitPurpose(found[1].lower())) if found else (name, None)


def written_heading(section: Section) -> str:
    """The heading line of a section."""
    words = [section.viewpoint or "Day"]
    if section.times_proposed:
        words.append("?")
    if section.arrived and section.departed:
        words.append(f"{clock_text(section.arrived)}-{clock_text(section.departed)}")
    elif section.arrived:
        words.append(clock_text(section.arrived))
    elif section.departed:
        words.append(f"until {clock_text(section.departed)}")
    if section.purpose:
        words.append(section.purpose.value)
    return "## " + " ".join(words)


def _plainly(said: str) -> str:
    """The heading with its times as they are mostly written: 17:20-18:45."""
    plain = said
    for pattern in (*_SPANS, *([] if re.search(DOTTED, said, re.IGNORECASE) else [_PACKED])):
        plain = pattern.sub(_span, plain)
    return _LONE.sub(
        lambda found: _SAID_BESIDE.sub("", found["at"]) if clock(found["at"]) else found[0], plain
    )


def _span(found: re.Match[str]) -> str:
    """A span of two times as clocks show them; the words themselves where they are no such span."""
    begin, end = (
        _SAID_BESIDE.sub("", NAMED.get(found[name].lower(), found[name])) for name in ("begin", "end")
    )
    if are_years(begin, end):
        return found[0]
    between = found[0][found.end("begin") - found.start() : found.start("end") - found.start()]
    is_worded = _BETWEEN.match(found[0]) is not None
    if _AND.search(between) and not is_worded:
        return found[0]  # two stays, perhaps
    if begin.isdigit() and len(begin) < 3 and re.search(r"\s[-–—−]", between) and not is_worded:
        return found[0]  # Pier 3 - 4pm
    with suppress(InvalidValueError):
        arrived, departed = span_written(f"{begin}-{end}")
        if arrived and departed:
            return f"{clock_text(arrived)}-{clock_text(departed)}"
    return found[0]


def _cut_times(said: str) -> tuple[str, time | None, time | None]:
    if found := _RANGE.search(said):
        with suppress(InvalidValueError):
            return _without(said, found), *span_written(f"{found[1]}-{found[2]}")
    if found := _SINGLE.search(said):
        at = clock(found["at"] or found["at2"])
        if at is not None:
            is_until = bool(found["until"] or found["open"] or found["until2"])
            return _without(said, found), None if is_until else at, at if is_until else None
    return said, None, None


def _without(said: str, found: re.Match[str]) -> str:
    before, after = said[: found.start()].rstrip(), said[found.end() :].lstrip()
    if before.endswith("(") and after.startswith(")"):
        before, after = before[:-1], after[1:]
    if after.startswith(")"):
        return f"{_trimmed(before)}{after}"
    return f"{_trimmed(before)} {_trimmed(after)}".strip()


def _trimmed(text: str) -> str:
    return text.strip().strip(_EDGES).strip()
