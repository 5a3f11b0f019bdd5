"""Day files: one day of a trip as Markdown that a phone can write, read forgivingly and written back.

One surprising decision: nothing a person wrote is ever dropped or refused. What looks like an entry but is
not understood becomes a loose line, word for word, with its line number; only a day without a usable date is
an error. The program's own words, `<!-- logbook: ... -->` on a line, are no part of the day.
"""

from logbook.intake.dayfile.days import parse_day_file, read_day_file
from logbook.intake.dayfile.headings import written_heading
from logbook.intake.dayfile.model import DayFile, Section, UnreadLine
from logbook.intake.dayfile.writing import write_day_file

__all__ = [
    "DayFile",
    "Section",
    "UnreadLine",
    "parse_day_file",
    "read_day_file",
    "write_day_file",
    "written_heading",
]
