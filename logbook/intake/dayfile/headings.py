"""Level-2 headings of a day file: which viewpoint, from when to when (after a ?: proposed), what for.

One surprising decision: a heading without a name still opens a section (of the day), so that the entries
below it are never counted for the viewpoint above.
"""

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import time

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import VisitPurpose
from logbook.domain.written.moments import CLOCK, DOTTED, clock, clock_text, span_written
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
_HOURS = r"(?:Uhr|hrs|hours|h|o['’]clock)"
_NAMED = {"noon": "12:00", "midday": "12:00", "midnight": "00:00"}  # only as an end of a span
_ONE = (
    rf"(?:\b(?:{'|'.join(_NAMED)})\b|{DOTTED}|(?<![\w:.,])(?:[01]?[0-9]|2[0-4])\s?h(?!\w))(?:\s?{_HOURS}\b)?"
)
_ABOUT = (
    r"(?:(?:[~≈]|\b(?:ca|approx)\.|\b(?:ca|about|around|approximately|approx|roughly|circa|gegen|um|vers|hacia)"
    r"(?=\s))\s*)"
)
_FROM = r"(?:\b(?:from|between|von|zwischen|de|desde|entre)\s+)?"
_TO = r"\s*(?:-|–|—|−|→|->|~|\b(?:to|until|till|bis|and|und|a|y|et|hasta)\b|à)\s*"
_HOUR = r"(?<![\w:.,])(?:[01]?[0-9]|2[0-4])"
_SPANS = tuple(
    re.compile(rf"{_FROM}{_ABOUT}?(?P<begin>{begin}){_TO}{_ABOUT}?(?P<end>{end})", re.IGNORECASE)
    for begin, end in (
        (_ONE, _ONE),
        (_HOUR, rf"{_HOUR}(?:[:.][0-5][0-9])?\s?[ap]\.?m\b\.?"),  # 5-6pm
        (_HOUR, rf"{_HOUR}\s?{_HOURS}\b"),  # 17-18 Uhr
    )
)
_PACKED = re.compile(  # 1720-1845, where no other time stands
    rf"{_FROM}{_ABOUT}?(?<![\w:.,-])(?P<begin>(?:[01][0-9]|2[0-4])[0-5][0-9]){_TO}"
    rf"(?P<end>(?:[01][0-9]|2[0-4])[0-5][0-9])(?:\s?{_HOURS}\b)?(?![\w:.-])",
    re.IGNORECASE,
)
_LONE = re.compile(rf"{_ABOUT}?(?P<at>{_ONE})(?:-?ish\b)?", re.IGNORECASE)
_BETWEEN = re.compile(r"(?:from|between|von|zwischen|de|desde|entre)\s", re.IGNORECASE)
_AND = re.compile(r"\b(?:and|und|y|et)\b", re.IGNORECASE)
_UNIT = re.compile(rf"\s?{_HOURS}$", re.IGNORECASE)
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
    name = _trimmed(rest)
    purpose = None
    if found := _PURPOSE.search(name):
        purpose = VisitPurpose(found[1].lower())
        name = _trimmed(name[: found.start()])
    is_proposed = False
    while (arrived or departed) and (mark := _PROPOSED.search(name)):
        is_proposed, name = True, _trimmed(name[: mark.start()] + name[mark.end() :])
    doubt = None
    if not name:
        doubt = "the heading names no viewpoint, so what follows is kept with the day"
    elif is_crowded:
        doubt = "the heading has more times than one arrival and one departure"
    viewpoint = None if not name or name.lower() == "day" else name
    return Heading(Section(viewpoint, line, arrived, departed, purpose, times_proposed=is_proposed), doubt)


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
    return _LONE.sub(lambda found: _UNIT.sub("", found["at"]) if clock(found["at"]) else found[0], plain)


def _span(found: re.Match[str]) -> str:
    """A span of two times as clocks show them; the words themselves where they are no such span."""
    begin, end = (_UNIT.sub("", _NAMED.get(found[name].lower(), found[name])) for name in ("begin", "end"))
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
    return f"{_trimmed(before)} {_trimmed(after)}".strip()


def _trimmed(text: str) -> str:
    return text.strip().strip(_EDGES).strip()
