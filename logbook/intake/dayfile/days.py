"""A whole day file: front matter, sections, journal, entries, loose lines.

One surprising decision: a code fence counts only when it is closed somewhere, so that a stray ``` typed in
the dark does not swallow the rest of the day.
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from logbook.domain.written.entry import Entry
from logbook.domain.written.lines import opening, read_entries
from logbook.domain.written.understanding import NotUnderstoodError
from logbook.intake.dayfile.frontmatter import read_front_matter
from logbook.intake.dayfile.headings import heading_text, read_heading
from logbook.intake.dayfile.model import DayFile, Section, UnreadLine
from logbook.intake.written_files import GUESSED, is_own_comment, text_in

_FENCE = re.compile(r"\s{0,3}(`{3,}|~{3,})(.*)", re.DOTALL)


def parse_day_file(text: str, file_name: str = "") -> DayFile:
    """Read one day; `file_name` only serves messages. Raises InvalidValueError without a usable date."""
    lines = re.split(r"\r\n|\r|\n", text.removeprefix("\ufeff"))
    front = read_front_matter(lines, file_name)
    sections: list[Section] = []
    loose = list(front.loose)
    current = Section(line=front.body_at + 1)
    journal: list[str] = []
    entries: list[Entry] = []

    def close() -> None:
        section = replace(current, journal=_without_blank_edges(journal), entries=tuple(entries))
        if section != Section():
            sections.append(section)
        journal.clear()
        entries.clear()

    code = _code_lines(lines, front.body_at)
    for at in range(front.body_at, len(lines)):
        line, number = lines[at], at + 1
        if at in code:
            journal.append(line)
        elif is_own_comment(line):
            continue
        elif (said := heading_text(line)) is not None:
            close()
            heading = read_heading(said, number)
            current = replace(heading.section, heading=line.strip())
            if heading.doubt:
                loose.append(UnreadLine(number, line, heading.doubt))
        elif opening(line) is not None:
            try:
                entries.extend(read_entries(line, number))
            except NotUnderstoodError as reason:
                loose.append(UnreadLine(number, line, str(reason)))
        else:
            journal.append(line)
    close()
    return DayFile(front.trip, front.on_date, front.zone, tuple(sections), tuple(loose))


def read_day_file(path: Path) -> DayFile:
    """Read a day file: UTF-8, UTF-16 with its mark, else Windows-1252 with a loose note saying so.

    Raises UnreadableFileError if it is not text or exceeds 2 MB, InvalidValueError without a usable date.
    """
    text, is_guessed = text_in(path, "day file")
    day = parse_day_file(text, path.name)
    if not is_guessed:
        return day
    return replace(day, loose=(UnreadLine(1, "", GUESSED), *day.loose))


def _code_lines(lines: Sequence[str], start: int) -> set[int]:
    """The lines inside closed code fences, fences included (CommonMark 0.31, section 4.5)."""
    fences = {at: found for at in range(start, len(lines)) if (found := _FENCE.fullmatch(lines[at]))}
    bare = [(at, found[1]) for at, found in fences.items() if not found[2].strip()]
    longest = {"`": [0] * (len(bare) + 1), "~": [0] * (len(bare) + 1)}  # the longest bare fence from here on
    for index in range(len(bare) - 1, -1, -1):
        for sign, lengths in longest.items():
            own = len(bare[index][1]) if bare[index][1][0] == sign else 0
            lengths[index] = max(own, lengths[index + 1])
    code: set[int] = set()
    behind, index = start, 0
    for at, found in fences.items():
        if at < behind:
            continue
        while index < len(bare) and bare[index][0] <= at:
            index += 1
        mark = found[1]
        if longest[mark[0]][index] < len(mark) or (mark[0] == "`" and "`" in found[2]):
            continue
        while not (bare[index][1][0] == mark[0] and len(bare[index][1]) >= len(mark)):
            index += 1
        behind = bare[index][0] + 1
        code.update(range(at, behind))
    return code


def _without_blank_edges(lines: Sequence[str]) -> str:
    kept = [at for at, line in enumerate(lines) if line.strip()]
    return "\n".join(lines[kept[0] : kept[-1] + 1]) if kept else ""
