"""Words in columns on a terminal: which column gives way where room is short, and where words break.

One surprising decision: the lines are put together here, and the table library is only asked how many columns
a sign takes: loading all of it took longer than finding most answers.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from rich.cells import cell_len, chop_cells

from logbook.faces.ink import Ink, inked, marks_in

GAP = 2  # columns between two columns of a table
PROSE, READABLE = 40, 24  # columns: text wider than the first is prose, which needs the second
_AT_HYPHEN = r"(?<=[^-]-)(?![0-9]{2}(?:-|$))"  # not within a date
NARROWEST = 2  # columns of a table's column, even where nothing fits; some signs take as many
_WORD = re.compile(r"\s*\S+\s*")
_TAB = 8  # columns

MarkInCell = tuple[int, int, Ink]  # from, up to


def table_lines(
    columns: Sequence[str], rows: Sequence[Sequence[str]], room: int, rule: str = "─"
) -> Iterator[str]:
    """Yield the lines of a table no wider than `room`: heads, a rule, rows; its cells must be clean."""
    rows = [[cell.expandtabs(_TAB) for cell in row] for row in rows]
    widths = column_widths([list(column) for column in zip(columns, *rows, strict=True)], room)
    yield from _row([(head, [(0, len(head), Ink.HEADING)]) for head in columns], widths, at_foot=True)
    yield rule * (sum(widths) + GAP * (len(widths) - 1))
    for row in rows:
        cells = [hyphened(cell, wide) for cell, wide in zip(row, widths, strict=True)]
        yield from _row([(cell, list(marks_in(cell))) for cell in cells], widths)


def record_lines(title: str, pairs: Mapping[str, str], room: int) -> Iterator[str]:
    """Yield a title and names, each beside its value, in lines no wider than `room`; texts must be clean."""
    for line in _lines(title, [(0, len(title), Ink.HEADING)], room):
        yield line.rstrip()
    if not pairs:
        return
    values = [value.expandtabs(_TAB) for value in pairs.values()]
    first = max(map(cell_len, pairs))
    widest = max(cell_len(line) for value in values for line in value.split("\n"))
    widths = (first, max(NARROWEST, min(widest, room - GAP - first)))
    for name, value in zip(pairs, values, strict=True):
        yield from _row([(name, [(0, len(name), Ink.ASIDE)]), (value, [])], widths)


def _row(
    cells: Sequence[tuple[str, Sequence[MarkInCell]]], widths: Sequence[int], *, at_foot: bool = False
) -> Iterator[str]:
    """Yield the lines of cells side by side, short ones at the head of their row or at its foot."""
    columns = [list(_lines(text, marks, wide)) for (text, marks), wide in zip(cells, widths, strict=True)]
    height = max(map(len, columns))
    for column, wide in zip(columns, widths, strict=True):
        column[0 if at_foot else len(column) : 0] = [" " * wide] * (height - len(column))
    yield from map((" " * GAP).join, zip(*columns, strict=True))


def _lines(text: str, marks: Sequence[MarkInCell], width: int) -> Iterator[str]:
    """Yield the lines of a cell, coloured and filled up to the width of its column."""
    begin = 0
    for line in text.split("\n"):
        for first, after in pairwise((0, *_breaks(line, width), len(line))):
            part = line[first:after].rstrip()
            shown = _inked(text, begin + first, begin + first + len(part), marks)
            yield shown + " " * (width - cell_len(part))
        begin += len(line) + 1


def _inked(text: str, begin: int, end: int, marks: Sequence[MarkInCell]) -> str:
    """Return a part of a text with the colours of the marks that reach into it."""
    shown, at = "", begin
    for first, after, ink in marks:
        first, after = max(first, at), min(after, end)
        if first < after:
            shown += text[at:first] + inked(text[first:after], ink)
            at = after
    return shown + text[at:end]


def _breaks(line: str, width: int) -> list[int]:
    """Return where each line after the first begins: before a word, or within one that no line can hold."""
    breaks: list[int] = []
    used = 0
    for found in _WORD.finditer(line):
        word = found[0]
        wide = cell_len(word.rstrip())
        if wide <= width - used:
            used += cell_len(word)
            continue
        pieces = chop_cells(word, width) if wide > width else [word]
        at = found.start()
        for piece in pieces:
            if at:
                breaks.append(at)
            at += len(piece)
        used = cell_len(pieces[-1])
    return breaks


def column_widths(columns: Sequence[Sequence[str]], room: int) -> list[int]:
    """Return how wide each column is: prose gives way first, then names at their hyphens, then all.

    Long prose keeps a width that can be read as long as names can be broken instead. A cell of several lines
    was broken on purpose: its lines stay whole like words.
    """

    def widest(column: Sequence[str], between: str) -> int:
        parts = (re.split(r"\n" if "\n" in cell else between, cell) for cell in column)
        return max(cell_len(part) for found in parts for part in found)

    widths = [widest(column, r"\n") for column in columns]
    comfort = [READABLE if width > PROSE else 0 for width in widths]
    words = [widest(column, r"\s") for column in columns]
    pieces = [widest(column, rf"\s|{_AT_HYPHEN}") for column in columns]
    room -= GAP * (len(columns) - 1)
    for least in (
        [max(pair) for pair in zip(words, comfort, strict=True)],
        [max(pair) for pair in zip(pieces, comfort, strict=True)],
        words,
        pieces,
        [NARROWEST for _ in columns],
    ):
        while sum(widths) > room:
            able = [at for at, width in enumerate(widths) if width > least[at]]
            if not able:
                break
            widths[max(able, key=lambda at: (widths[at], at))] -= 1
    return widths


def hyphened(cell: str, width: int) -> str:
    """Break words that are wider than their column at hyphens, because a table would break them anywhere."""
    return re.sub(
        r"\S+",
        lambda word: word[0] if len(word[0]) <= width else "\n".join(_at_hyphens(word[0], width)),
        cell,
    )


def _at_hyphens(word: str, width: int) -> list[str]:
    lines = [""]
    for part in re.split(_AT_HYPHEN, word):
        if lines[-1] and len(lines[-1]) + len(part) > width:
            lines.append("")
        lines[-1] += part
    return lines
