"""A planned shot written as the lines that read back as it.

One surprising decision: what would be read as something else in the short form (a title with a comma, an odd
shutter speed) stands under its own word instead, and what no line can say is named and left out.
"""

from collections.abc import Callable, Container, Mapping, Sequence
from fractions import Fraction
from typing import Any

from logbook.craft.settings_text import setting_text
from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Priority
from logbook.domain.written.filters import stack_words
from logbook.domain.written.moments import clock_text
from logbook.domain.written.plan_cells import value_written
from logbook.domain.written.plan_columns import PLAN_COLUMNS, PlanColumn
from logbook.domain.written.plans import shot_written

SETTINGS = ("focal_mm", "f_number", "exposure_s", "iso")
SHORT = ("title", "slug", "window_from", "window_to", *SETTINGS, "filters", "support", "priority")
PRIORITY_SAID: Mapping[Priority, str] = {Priority.ESSENTIAL: "must have", Priority.OPTIONAL: "nice to have"}
INDENT = "  "


def written_lines(fields: Mapping[str, Any]) -> tuple[list[str], tuple[str, ...]]:
    """Return the lines of a shot, the first without its bullet, and the fields that no line can say.

    `fields` are those of a shot that are known, by the names of columns, references by slug.
    """
    wanted = {name: value for name, value in fields.items() if not _is_default(name, value)}
    left_out = [name for name, value in wanted.items() if not _reads_back({"title": "a", name: value}, ())]
    told = {name: value for name, value in wanted.items() if name not in left_out}
    short = {name for name in SHORT if name in told and _reads_back({"title": "a", name: told[name]}, SHORT)}
    fitting = (one for one in (short, short - {"title"}) if _reads_back(told, one))
    return _lines(told, next(fitting, set())), tuple(left_out)


def written_value(column: PlanColumn, value: Any) -> str:
    """Return a value as its column reads it, in signs that no spreadsheet takes for a date or a sum."""
    return next((text for text in _spellings(column.field, value) if _reads_as(column, text, value)), "")


def _is_default(name: str, value: Any) -> bool:
    return value is None or (name == "priority" and value is Priority.WANTED)


def _reads_as(column: PlanColumn, text: str, value: Any) -> bool:
    try:
        return bool(value_written(column, text) == value)
    except InvalidValueError:
        return False


def _spellings(name: str, value: Any) -> Sequence[str]:
    """How a value may be written, the plainest way first, the exact one last."""
    match value:
        case Fraction():
            return (setting_text(name, value), f"{value.numerator}/{value.denominator} s")
        case tuple():
            return (stack_words(value),)
        case _ if name in ("focal_mm", "iso") and value == int(value):
            return (str(int(value)),)
        case _ if name in ("f_number", "focal_mm"):
            return (setting_text(name, value), repr(value), f"{value:.4f}")  # 1.2340 mm are no thousand
        case _ if name in ("window_from", "window_to"):
            return (clock_text(value), value.isoformat())
    return (str(value),)


def _lines(told: Mapping[str, Any], short: Container[str]) -> list[str]:
    """The lines of a shot, some of its fields in the short form and the others under words of their own."""
    brief = {name: value for name, value in told.items() if name in short}
    words = ", ".join(filter(None, (_opening(brief), *_settings(brief))))
    lines = [words] if words else []
    if "title" in told and "title" not in brief:
        lines = [f"title: {told['title']}", *(f"{INDENT}{line}" for line in lines)]
    for column in PLAN_COLUMNS:
        name = column.field
        if name not in told or name in brief or name == "title":
            continue
        text = written_value(column, told[name]) or str(told[name])
        lines += [f"{INDENT}{column.heading}: {row}" for row in text.split("\n")]
    return lines


def _opening(brief: Mapping[str, Any]) -> str:
    begins, ends = (clock_text(brief[one]) if one in brief else "" for one in ("window_from", "window_to"))
    window = f"{begins}-{ends}" if begins and ends else f"from {begins}" if begins else f"until {ends}"
    slug = f"[{brief['slug']}]" if "slug" in brief else ""
    return " ".join(filter(None, (brief.get("title"), slug, window if begins or ends else "")))


def _settings(brief: Mapping[str, Any]) -> list[str]:
    said: dict[str, Callable[[Any], str]] = {
        "filters": lambda filters: stack_words(filters) if filters else "no filter",
        "support": str,
        "priority": PRIORITY_SAID.__getitem__,
    }
    settings = " ".join(setting_text(name, brief[name]) for name in SETTINGS if name in brief)
    return [settings, *(text(brief[name]) for name, text in said.items() if name in brief)]


def _reads_back(told: Mapping[str, Any], short: Container[str]) -> bool:
    try:
        read = shot_written(_lines(told, short))
    except InvalidValueError:
        return False
    return dict(read.said) == dict(told) and not read.otherwise
