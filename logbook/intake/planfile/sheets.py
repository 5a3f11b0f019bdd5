"""Plans as sheets: rows of cells parted by semicolons, commas or tabs, under a row of headings.

One surprising decision: the sign that parts cells is the one under which most headings are known, and a
quote that is never closed costs its own line and not the rest of the sheet.
"""

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from logbook.domain.errors import UnreadableFileError
from logbook.domain.written.plan_cells import about_told, values_written
from logbook.domain.written.plan_columns import PLAN_COLUMNS, PlanColumn, column_headed
from logbook.domain.written.plan_tokens import Around
from logbook.domain.written.plan_writing import written_value
from logbook.domain.written.plans import PlannedWords
from logbook.domain.written.understanding import NotUnderstoodError
from logbook.intake.dayfile.model import UnreadLine
from logbook.intake.planfile.model import PlanFile

SEPARATORS = ";,\t"
ROWS_ABOVE = 20  # rows among which the row of headings is looked for
LEAST_HEADINGS = 2  # known ones that make a row one of headings
MOST_LINES = 100  # of one row; a quoted cell longer than that was never closed
COMMENT = "#"  # what a row begins with that is none: an example, a remark
SITE = "site"

_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
_AS_TEXT = re.compile(
    "\\A'(?='*[#=+\\-@\t\r\n＝＋－＠])"
)  # before what would be taken for a remark or a formula


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row: the number of the line it begins on, its cells, and its text as it stands."""

    line: int
    cells: tuple[str, ...]
    text: str
    is_closed: bool = True


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A sheet's rows below its headings; `columns` are those known, by place, `others` all else by place."""

    rows: tuple[SheetRow, ...]
    columns: dict[int, PlanColumn]
    others: dict[int, str]
    site_at: int | None


def is_sheet(text: str) -> bool:
    """Whether the first filled line is a row of headings of a plan."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    lines = text.lstrip().splitlines()
    if first.lower().startswith("sep=") and len(lines) > 1:
        first = lines[1]
    return max(_known(first.split(sign)) for sign in SEPARATORS) >= LEAST_HEADINGS


def written_row(fields: Mapping[str, Any]) -> tuple[list[str], tuple[str, ...]]:
    """Return the cells of a shot under the headings of all columns, and the fields that no cell can say.

    `fields` are those that are known, by the names of columns, references by slug.
    """
    cells: list[str] = []
    left_out = []
    for column in PLAN_COLUMNS:
        value = fields.get(column.field)
        cell = "" if value is None else written_value(column, value)
        if (value is not None and _one_break(cell).strip() != cell) or (value is not None and not cell):
            left_out.append(column.field)
            cell = ""
        cells.append(f"'{cell}" if cell.startswith(COMMENT) or _AS_TEXT.match(cell) else cell)
    return cells, tuple(left_out)


def plan_in_sheet(text: str, around: Around) -> PlanFile:
    """Return what a sheet says; UnreadableFileError where none of its first rows has headings."""
    sheet = _sheet_in(text.removeprefix("\ufeff"))
    shots: list[PlannedWords] = []
    loose: list[UnreadLine] = []
    for row in sheet.rows:
        try:
            shot = _shot(sheet, row, around)
        except NotUnderstoodError as error:
            loose.append(UnreadLine(row.line, row.text, str(error)))
            continue
        if shot is not None:
            shots.append(shot)
    remarks = [
        f'A plan has no column "{name}"; its contents are kept in the note.'
        for name in sheet.others.values()
        if name
    ]
    return PlanFile(tuple(shots), loose=tuple(loose), remarks=tuple(remarks))


def _sheet_in(text: str) -> _Sheet:
    best: tuple[int, list[SheetRow], int] | None = None
    for sign in SEPARATORS:
        rows = list(_rows(text, sign))
        for at, row in enumerate(rows[:ROWS_ABOVE]):
            known = _known(row.cells)
            if best is None or known > best[0]:
                best = known, rows, at
    if best is None or best[0] < LEAST_HEADINGS:
        headings = ", ".join(column.heading for column in PLAN_COLUMNS)
        raise UnreadableFileError(
            f"The sheet has no headings; name the columns in its first row: {headings}."
        )
    _, rows, at = best
    columns: dict[int, PlanColumn] = {}
    others: dict[int, str] = {}
    site_at = None
    for place, cell in enumerate(rows[at].cells):
        column = column_headed(cell)
        if column is not None and column not in columns.values():
            columns[place] = column
        elif cell.strip().casefold() == SITE and site_at is None:
            site_at = place
        else:
            others[place] = " ".join(cell.split())
    return _Sheet(tuple(rows[at + 1 :]), columns, others, site_at)


def _known(cells: Sequence[str]) -> int:
    return len({column.field for cell in cells if (column := column_headed(cell.strip('"'))) is not None})


def _shot(sheet: _Sheet, row: SheetRow, around: Around) -> PlannedWords | None:
    """The shot of a row; None where it holds none: nothing, a remark, or a viewpoint alone."""
    first = next((cell.strip() for cell in row.cells if cell.strip()), COMMENT)
    if first.split()[0] == COMMENT:  # "#3" counts pictures
        return None
    cells = [_AS_TEXT.sub("", cell, count=1) for cell in row.cells]
    filled = {at: cell.strip() for at, cell in enumerate(cells) if cell.strip()}
    told_at = {at for at in filled if at in sheet.columns and sheet.columns[at].field != "viewpoint"}
    others = {at: cell for at, cell in filled.items() if at not in sheet.columns and at != sheet.site_at}
    if not told_at and not others:
        return None
    if not row.is_closed:
        raise NotUnderstoodError("a quotation mark in it is not closed")
    said: dict[str, Any] = {}
    told: list[str] = []
    for at, column in sheet.columns.items():
        text = filled.get(at, "")
        if _CONTROL.search(text):
            raise NotUnderstoodError(f"its {column.heading} contains a control character")
        text = _one_break(text)
        if column.field == "title":
            text = re.sub(r"\s*\n\s*", " ", text)
        values = values_written(column, text, around) if text else {}
        told.append(about_told(text, values))
        for name, value in values.items():
            if value is None:
                continue
            if said.setdefault(name, value) != value:
                raise NotUnderstoodError(
                    f"its {column.heading} and another cell give two different times; keep one"
                )
    if "title" not in said and "slug" not in said:
        raise NotUnderstoodError("the row has no title; say what the picture is")
    notes = [f"{sheet.others.get(at) or 'beside'}: {' '.join(cell.split())}" for at, cell in others.items()]
    if notes:
        said["notes"] = "\n".join(filter(None, (said.get("notes"), *notes)))
    site = filled.get(sheet.site_at, "") if sheet.site_at is not None else ""
    if site and said.get("viewpoint"):
        said["viewpoint"] = f"{said['viewpoint']} at {' '.join(site.split())}"
    return PlannedWords(said, line=row.line, text=row.text, told=" ".join(filter(None, told)))


def _one_break(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _rows(text: str, sign: str) -> Iterator[SheetRow]:
    """Yield the rows of a sheet whose cells a sign parts."""
    lines = re.split(r"(?<=\n)|(?<=\r)(?!\n)", text)
    at = 0
    if lines[0].lower().startswith("sep="):
        at = 1
    while at < len(lines):
        row, until = _row(lines, at, sign)
        yield row
        at = until


def _row(lines: Sequence[str], at: int, sign: str) -> tuple[SheetRow, int]:
    """The row that begins on a line, and the line behind it."""
    first = lines[at]
    cells, is_closed = _cells(first, sign)
    until = at + 1
    if not is_closed:
        text = first
        for end in range(at + 1, min(len(lines), at + MOST_LINES)):
            text += lines[end]
            if text.count('"') % 2:
                continue
            more, is_closed = _cells(text, sign, is_strict=True)
            if is_closed:
                cells, until, first = more, end + 1, text
                break
    return SheetRow(at + 1, cells, first.rstrip("\r\n"), is_closed), until


def _cells(text: str, sign: str, *, is_strict: bool = False) -> tuple[tuple[str, ...], bool]:
    """The cells of a text, and whether its last quote is closed; strictly, at the end of a cell alone."""
    mark = "\x00"  # a text that ends inside a quote would swallow it
    marked = text.rstrip("\r\n").replace(mark, "\ufffd") + f"{sign}{mark}"
    try:
        rows = list(csv.reader([marked], delimiter=sign, strict=is_strict))
    except csv.Error:
        return tuple(text.split(sign)), not is_strict
    cells = rows[0] if rows else []
    if cells and cells[-1] == mark:
        return tuple(cells[:-1]), True
    return tuple(text.rstrip("\r\n").split(sign)), False
