"""The columns of a plan: what a sheet, a text and a page call the fields of a shot, in one order.

One surprising decision: a heading is known by its words alone, whatever stands around them, so that
`Focal (mm)`, `FOCAL_MM` and `focal length` are one column.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from logbook.domain.fields import facts_of
from logbook.domain.kinds import Kind
from logbook.domain.shot import Shot


@dataclass(frozen=True, slots=True)
class PlanColumn:
    """One column: the field of a shot that it tells, its heading, and what else people head it."""

    field: str  # a reference without its `_id`, as it is told by name
    heading: str
    also: tuple[str, ...] = ()

    @property
    def kind(self) -> Kind[Any]:
        """What kind of value stands in it; the id's where it names another record."""
        facts = facts_of(Shot)
        return (facts.get(self.field) or facts[f"{self.field}_id"]).kind


PLAN_COLUMNS: tuple[PlanColumn, ...] = (
    PlanColumn("title", "title", ("shot", "picture", "subject", "name", "what")),
    PlanColumn("viewpoint", "viewpoint", ("place", "where", "spot", "location", "stand")),
    PlanColumn("on_date", "date", ("day", "on", "on date")),
    PlanColumn(
        "window_from",
        "from",
        (
            *("start", "begin", "time", "start time", "begin time", "from time", "time from"),
            *("time start", "time begin", "window from", "window start"),
        ),
    ),
    PlanColumn(
        "window_to",
        "to",
        ("end", "until", "till", "end time", "to time", "time to", "time end", "window to", "window end"),
    ),
    PlanColumn("focal_mm", "focal mm", ("focal", "focal length", "mm", "lens mm")),
    PlanColumn("f_number", "f-number", ("aperture", "f", "f stop", "fstop", "aperture f number")),
    PlanColumn(
        "exposure_s",
        "shutter speed",
        ("shutter", "exposure", "exposure time", "shutter time", "speed"),
    ),
    PlanColumn("iso", "ISO", ("asa", "iso number", "iso speed", "iso asa", "film speed")),
    PlanColumn("filters", "filters", ("filter",)),
    PlanColumn("support", "support", ("camera support",)),
    PlanColumn("priority", "priority", ("importance",)),
    PlanColumn("technique", "technique", ("method",)),
    PlanColumn("intent", "intent", ("idea", "purpose")),
    PlanColumn("fallback_for", "fallback for", ("instead of", "plan b for")),
    PlanColumn("notes", "note", ("notes", "remark", "remarks", "comment", "comments")),
    PlanColumn("slug", "short name", ("slug",)),
)


_UNIT_BEHIND = re.compile(r"(?<=\w) (?:s|secs?|seconds?|mm|hh mm|h|24h)$")


def _words(heading: str) -> str:
    words = re.findall(r"[^\W_]+", re.sub(r"(?<=[a-z])\(s\)", "", heading.casefold()))
    return " ".join(words)


_BY_WORDS: Mapping[str, PlanColumn] = {
    _words(name): column for column in PLAN_COLUMNS for name in (column.heading, *column.also)
}


def column_headed(heading: str) -> PlanColumn | None:
    """Return the column that a heading means, in any case, with signs around its words or a unit behind."""
    words = _words(heading)
    return _BY_WORDS.get(words) or _BY_WORDS.get(_UNIT_BEHIND.sub("", words))
