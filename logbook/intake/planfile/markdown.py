"""Plans as Markdown: a heading is a day or a viewpoint, a bullet a shot with what is indented below.

One surprising decision: prose is no plan and waits to be sorted out, but a line without a bullet that has a
title and two settings behind it is a shot: thumbs leave bullets out.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from logbook.domain.written.plan_columns import column_headed
from logbook.domain.written.plan_kit import EMOJI
from logbook.domain.written.plan_tokens import Around, day_written
from logbook.domain.written.plans import heading_written, shot_written, speaks_of_settings
from logbook.domain.written.understanding import NotUnderstoodError
from logbook.intake.dayfile.frontmatter import front_pairs
from logbook.intake.dayfile.model import UnreadLine
from logbook.intake.planfile.model import PlanFile, PlanHeading
from logbook.intake.written_files import is_own_comment

LONGEST_HEADING = 300  # characters
NO_SHOT = 'not a shot; start one with a dash, such as "- Mill at low water 18:10-18:50, 24 mm f/11, tripod"'
_KNOWN = ("trip",)

_HEADING = re.compile(r" {0,3}(?P<marks>#{1,6})(?!#)(?P<said>.*)", re.DOTALL)
_BULLET = re.compile(
    rf"(?P<indent>\s*)(?:[-*+•·–—](?![-*–—])|[0-9]{{1,3}}[.)](?=\s)|{EMOJI}(?=\s?\S))\s*(?P<said>\S.*)",
    re.DOTALL,
)
_RULE = re.compile(r"\s*(?:[-*_–—=]\s*){3,}")
_KEY = re.compile(r"\s*([A-Za-z][A-Za-z -]{0,30}?)\s?:(?!//)")


@dataclass(slots=True)
class _Above:
    """What the headings above a line say: days and viewpoints, each with the level of its heading."""

    told: dict[str, tuple[int, Any]] = field(default_factory=dict)
    line: int = 0  # of the heading that names the viewpoint

    def take(self, level: int, told: Mapping[str, Any], line: int) -> None:
        """Take a heading: it ends what stood deeper, and a day also the viewpoint beside it."""
        is_day = "on_date" in told
        for name, (depth, _) in list(self.told.items()):
            if depth > level or (depth == level and (is_day or name != "on_date")):
                del self.told[name]
        self.told |= {name: (level, value) for name, value in told.items()}
        if "viewpoint" in told:
            self.line = line

    @property
    def said(self) -> dict[str, Any]:
        """What is said of each shot below."""
        return {name: value for name, (_, value) in self.told.items() if value is not None}


@dataclass(slots=True)
class _Open:
    """A shot whose lines are being collected."""

    line: int
    indent: int
    raw: list[str]
    said: list[str]


def trip_in(text: str) -> str | None:
    """Return the trip that a plan names in its first lines."""
    _, trip = front_pairs(_lines(text), _KNOWN).found.get("trip", (0, ""))
    return trip or None


def plan_in(text: str, around: Around) -> PlanFile:
    """Return what a plan says; whatever is not understood is among its loose lines."""
    lines = _lines(text)
    front = front_pairs(lines, _KNOWN)
    return _Body(around, list(front.loose)).read(lines, front.body_at)


@dataclass(slots=True)
class _Body:
    around: Around
    loose: list[UnreadLine]
    above: _Above = field(default_factory=_Above)
    shots: list[Any] = field(default_factory=list)
    headings: list[PlanHeading] = field(default_factory=list)
    doubt: str = ""  # why what stands below a heading cannot be placed
    doubt_level: int = 0  # of that heading; one below it that is no day does not settle it
    open: _Open | None = None

    def read(self, lines: Sequence[str], begin: int) -> PlanFile:
        """Read all lines behind the first ones."""
        for at in range(begin, len(lines)):
            line, number = lines[at], at + 1
            if is_own_comment(line):
                continue
            if (heading := _heading(line)) is not None:
                self._close()
                self._head(*heading, line, number)
            elif self.open is not None and (rest := self._rest(line)) is not None:
                self.open.raw.append(line)
                self.open.said.append(rest)
            elif _RULE.fullmatch(line):
                self._close()
            elif bullet := _BULLET.fullmatch(line):
                self._close()
                self.open = _Open(number, len(bullet["indent"].expandtabs()), [line], [bullet["said"]])
            elif line.strip():
                self._close()
                self._without_bullet(line, number)
        self._close()
        self.loose.sort(key=lambda one: one.line)
        return PlanFile(tuple(self.shots), tuple(self.headings), tuple(self.loose))

    def _head(self, level: int, said: str, line: str, number: int) -> None:
        if not said:
            return
        try:
            told = heading_written(said, self.around) if level > 1 else _day_in(said, self.around)
        except NotUnderstoodError as error:
            self.doubt_level = min(level, self.doubt_level) if self.doubt else level
            self.doubt = f'it is under "{line.strip()}", which is not a known day'
            self.loose.append(UnreadLine(number, line, str(error)))
            return
        if not told:
            return  # the title of the whole
        if level <= self.doubt_level or "on_date" in told:
            self.doubt = ""
        self.above.take(level, told, number)
        if told.get("viewpoint"):
            self.headings.append(PlanHeading(number, line, told["viewpoint"]))

    def _rest(self, line: str) -> str | None:
        """What a line adds to the open shot, without bullet and indent; None where it adds nothing."""
        assert self.open is not None
        if not line.strip():
            return None
        bullet = _BULLET.fullmatch(line)
        indent = len(line.expandtabs()) - len(line.expandtabs().lstrip())
        if bullet is not None:
            return bullet["said"].strip() if indent >= self.open.indent + 2 else None
        key = _KEY.match(line)
        is_key = key is not None and column_headed(key[1]) is not None
        if is_key or indent >= self.open.indent + 2:
            return line.strip("\r") if is_key else line.strip()
        return None

    def _without_bullet(self, line: str, number: int) -> None:
        if speaks_of_settings(line):
            self.open = _Open(number, 0, [line], [line.strip()])
        else:
            self.loose.append(UnreadLine(number, line, NO_SHOT))

    def _close(self) -> None:
        if self.open is None:
            return
        taken, self.open = self.open, None
        text = "\n".join(taken.raw)
        if self.doubt:
            self.loose.append(UnreadLine(taken.line, text, self.doubt))
            return
        try:
            read = shot_written(taken.said, self.around)
        except NotUnderstoodError as error:
            self.loose.append(UnreadLine(taken.line, text, str(error)))
            return
        above = self.above.said
        if "window_from" in read.said or "window_to" in read.said:
            above = {name: one for name, one in above.items() if not name.startswith("window")}
        heading = self.above.line if "viewpoint" not in read.said and "viewpoint" in above else 0
        self.shots.append(
            replace(read, said={**above, **read.said}, line=taken.line, text=text, heading=heading)
        )


def _day_in(title: str, around: Around) -> dict[str, Any]:
    """The day that a heading of the first level is; nothing where it is a title, even one with dates."""
    day = day_written(title, around)
    return {} if day is None else {"on_date": day}


def _heading(line: str) -> tuple[int, str] | None:
    found = _HEADING.fullmatch(line) if len(line) <= LONGEST_HEADING else None
    if found is None:
        return None
    return len(found["marks"]), re.sub(r"(?<!\S)#+$", "", found["said"].strip()).strip()


def _lines(text: str) -> list[str]:
    return re.split(r"\r\n|\r|\n", text.removeprefix("\ufeff"))
