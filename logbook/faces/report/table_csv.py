"""A table of the report as a file for spreadsheets: RFC 4180, UTF-8, one header line.

One surprising decision: the file is made from the very table that the page shows, so no column can be in it
that its audience may not see. How text that looks like a formula is written is said in `csv_text`.
"""

from logbook.faces.report.models import Cell, Column, Table
from logbook.services.exports.csv_text import csv_text


def table_csv(table: Table) -> bytes:
    """Return a table as the bytes of a CSV file: marked values, bare numbers, where each value comes from."""
    columns = table.explained or tuple(Column(heading, "") for heading in table.columns)
    lines = [_header(columns), *(_row(columns, row) for row in table.rows)]
    return csv_text(lines).encode("utf-8")


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
    text = " · ".join(value.code or value.text for value in cell.values)
    values = [cell.exact] if column.exact == column.heading else [text]  # a picture is its number
    values += [cell.exact] if column.exact not in ("", column.heading) else []
    values += [_source(column, cell)] if column.usual else []
    return values


def _source(column: Column, cell: Cell) -> str:
    origins = dict.fromkeys(value.origin or column.usual for value in cell.values)
    return "" if "unknown" in origins else " and ".join(origins)
