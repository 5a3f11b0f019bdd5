"""Tables as text for spreadsheets: RFC 4180, one header line, every line ended by CRLF.

One surprising decision: text that a spreadsheet would take for a formula (it begins with = + - @, a tab or
a return, or the wide forms of those signs) gets an apostrophe before it. An apostrophe, because spreadsheets
know it as the sign for "this is text" and because people see it where a program shows it; a tab would
vanish, or stay unseen in the value (OWASP, "CSV Injection"). Bare numbers, such as a bias of -0.67, stay as
they are.
"""

import re
from collections.abc import Iterable

_FORMULA = re.compile("[=+\\-@\t\r\n＝＋－＠]")
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
_QUOTED = re.compile('[",\r\n]')
_LINE_END = "\r\n"  # RFC 4180, section 2, rules 1 and 2


def csv_text(lines: Iterable[Iterable[str]]) -> str:
    """Return lines of fields as the text of a CSV file."""
    return "".join(",".join(map(_field, line)) + _LINE_END for line in lines)


def _field(text: str) -> str:
    if _FORMULA.match(text) and not _NUMBER.fullmatch(text):
        text = f"'{text}"
    return '"' + text.replace('"', '""') + '"' if _QUOTED.search(text) else text
