"""One value of a plan under its column, as people and office programs of any country write it."""

import re
from collections.abc import Mapping
from datetime import time
from typing import Any

from logbook.domain.errors import InvalidValueError
from logbook.domain.kinds import RATIONAL
from logbook.domain.words import Support
from logbook.domain.written.moments import clock_text, is_about, span_written
from logbook.domain.written.plan_columns import PlanColumn
from logbook.domain.written.plan_tokens import ANY_TIME, Around, day_written
from logbook.domain.written.understanding import NotUnderstoodError, folded, understood

# What a spreadsheet makes of 1/30: 30-Jan, 30. Jän, Jan 30.
_A_DATE = re.compile(
    r"(?<![a-z])(?:j[aä]n|feb|m[aä]r|apr|ma[yi]|jun|jul|aug|sep|o[ck]t|nov|de[cz])", re.IGNORECASE
)


def value_written(column: PlanColumn, text: str, around: Around = ANY_TIME) -> Any:
    """Return the value that a text has in a column, None for unknown.

    NotUnderstoodError says what to write.
    """
    plain = text.strip()
    if column.field == "title":
        return plain or None
    if folded(plain) in ("", "unknown", "?") or (plain in ("-", "–", "—") and column.field != "filters"):
        return Support.UNKNOWN if column.field == "support" and folded(plain) == "unknown" else None
    try:
        match column.field:
            case "on_date":
                if (day := day_written(plain, around)) is None:
                    raise NotUnderstoodError(f'"{plain}" is not a date; write it as 2031-10-14')
                return day
            case "exposure_s":
                return _shutter(plain)
            case "viewpoint" | "fallback_for" | "slug":
                return " ".join(plain.split())
            case _:
                return column.kind.typed(plain)
    except NotUnderstoodError:
        raise
    except InvalidValueError as error:
        raise NotUnderstoodError(str(error).rstrip(".")) from None


def values_written(column: PlanColumn, text: str, around: Around = ANY_TIME) -> Mapping[str, Any]:
    """Return what a text says in a column, by field: a beginning may bring its end, as in `17:20 - 18:00`.

    None is unknown. NotUnderstoodError says what to write.
    """
    if column.field == "window_from":
        try:
            first, last = span_written(text)
        except InvalidValueError:
            first, last = None, None
        if first is not None and last is not None:
            return {"window_from": first, "window_to": last}
    return {column.field: value_written(column, text, around)}


def about_told(text: str, values: Mapping[str, Any]) -> str:
    """Return the sentence that says what a time that is only about right is kept as; empty for any other."""
    times = [clock_text(value) for value in values.values() if isinstance(value, time)]
    return (understood(text, "-".join(times)) or "") if times and is_about(text) else ""


def _shutter(text: str) -> Any:
    if _A_DATE.search(text):
        raise NotUnderstoodError(
            f'"{text}" was a fraction such as 1/30 before a spreadsheet turned it into a date; '
            "write it as 1/30 s"
        )
    return RATIONAL.typed(re.sub(r"(?<=[0-9])th$", "", text.replace("”", '"')))
