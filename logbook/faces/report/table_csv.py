"""A table of the report as a file for spreadsheets: RFC 4180, UTF-8, one header line.

One surprising decision: the file is made from the very table that the page shows, so no column can be in it
that its audience may not see.

Text that a spreadsheet would take for a formula (it begins with = + - @, a tab or a return, or the wide forms
of those signs) gets an apostrophe before it. An apostrophe, because spreadsheets know it as the sign for
"this is text" and because people see it where a program shows it; a tab would vanish, or stay unseen in the
value (OWASP, "CSV Injection"). Bare numbers, such as a bias of -0.67, stay as they are.
"""

import re

from logbook.faces.report.models import Cell, Column, Table

_FORMULA = re.compile("[=+\\-@\t\r\n＝＋－＠]")
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
_QUOTED = re.compile('[",\r\n]')
_LINE_END = "\r\n"  # RFC 4180, section 2, rules 1 and 2


def table_csv(table: Table) -> bytes:
    """Return a table as the bytes of a CSV file: marked values, bare numbers, where each value comes from."""
    columns = table.explained or tuple(Column(heading, "") for heading in table.columns)
    lines = [_header(columns), *(_row(columns, row) for row in table.rows)]
    return "".join(",".join(map(_field, line)) + _LINE_END for line in lines).encode("utf-8")


def _header(columns: tuple[Column, ...]) -> list[str]:
    return [heading for column in columns for heading in _headings(column)]


def _headings(column: Column) -> list[str]:
    heads = [column.heading]
    heads += [column.exact] if column.exact not in ("", column.heading) else []
    heads += [f"{column.heading} from"] if column.usual else []
    return heads


def _row(columns: tuple[Column, ...], row: tuple[Cell, ...]) -> list[str]:
    return [value for column, cell in zip(columns, row, strict=True) for value in _values(column, cell)]


def _values(column: Column, cell: Cell) -> list[str]:
    text = " · ".join(value.text for value in cell.values)
    values = [cell.exact] if column.exact == column.heading else [text]  # a picture is its number
    values += [cell.exact] if column.exact not in ("", column.heading) else []
    values += [_source(column, cell)] if column.usual else []
    return values


def _source(column: Column, cell: Cell) -> str:
    origins = dict.fromkeys(value.origin or column.usual for value in cell.values)
    return "" if "unknown" in origins else " and ".join(origins)


def _field(text: str) -> str:
    if _FORMULA.match(text) and not _NUMBER.fullmatch(text):
        text = f"'{text}"
    return '"' + text.replace('"', '""') + '"' if _QUOTED.search(text) else text
