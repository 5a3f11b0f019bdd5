"""The cells of a plan: the text that stands for each field of a shot, and reading what a person typed.

One surprising decision: a text stands in a cell only if it reads back as the value, so that saving a table
that nobody touched changes nothing.
"""

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, replace
from functools import lru_cache
from hashlib import blake2b
from typing import Any

from logbook.domain.errors import LogbookError, NotFoundError
from logbook.domain.names import meant
from logbook.domain.shot import Shot
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.written.plan_cells import value_written
from logbook.domain.written.plan_columns import PLAN_COLUMNS, PlanColumn
from logbook.domain.written.plan_writing import written_value
from logbook.domain.written.understanding import understood
from logbook.store.desk import Desk

TITLE, VIEWPOINT = "title", "viewpoint"
NOT_IN_THE_TABLE = ("intent", "fallback_for", "slug")
COLUMNS = tuple(one for one in PLAN_COLUMNS if one.field not in NOT_IN_THE_TABLE)
CELLS_KEPT = 4096  # values whose text is remembered; a plan has the same ones again and again
_UNTOLD: Mapping[str, Any] = {one.name: one.default for one in fields(Shot) if one.default is not MISSING}


class Viewpoints:
    """How viewpoints are called in a table: by title where that means only one, else by their short name."""

    def __init__(self, desk: Desk, enter: Callable[[str], Viewpoint] | None = None) -> None:
        """Read the names in the book; `enter` is asked for a name that is not among them."""
        self._enter: Callable[[str], Viewpoint] | None = None
        shelf = desk.viewpoints
        self._names = (shelf.slugs(), shelf.titles(), shelf.other_names())
        self._ids: dict[str, str] = {}
        titles = {one: title for title, ids in self._names[1].items() for one in ids}
        self._shown = {
            one: titles[one] if one in titles and self._means(titles[one], one) else slug
            for slug, one in self._names[0].items()
        }
        self._enter = enter

    def id_of(self, name: str) -> str:
        """Return the id of the viewpoint that a name means; NotFoundError offers the nearest."""
        if name not in self._ids:
            self._ids[name] = self._meant(name)
        return self._ids[name]

    def _meant(self, name: str) -> str:
        try:
            return meant(name, *self._names, VIEWPOINT)
        except NotFoundError:
            if self._enter is None:
                raise
        found = self._enter(name)
        taken = found.title in self._shown.values()
        self._shown.setdefault(found.id, found.slug if taken else found.title)
        return found.id

    def name_of(self, viewpoint_id: str | None) -> str:
        """Return what a viewpoint is called; nothing where none is meant."""
        return self._shown.get(viewpoint_id or "", "")

    @property
    def names(self) -> tuple[str, ...]:
        """All names, by the alphabet."""
        return tuple(sorted(self._shown.values(), key=str.casefold))

    def _means(self, name: str, viewpoint_id: str) -> bool:
        try:
            return self.id_of(name) == viewpoint_id
        except LogbookError:
            return False


def cells_of(shot: Shot, viewpoints: Viewpoints) -> dict[str, str]:
    """Return the text of each cell of a shot, by the field of its column; nothing for what is unknown."""
    return {
        column.field: viewpoints.name_of(shot.viewpoint_id)
        if column.field == VIEWPOINT
        else _text(column, getattr(shot, column.field))
        for column in COLUMNS
    }


def with_cell(shot: Shot, column: PlanColumn, text: str, viewpoints: Viewpoints) -> tuple[Shot, str | None]:
    """Return a shot with what was typed into a cell, and what was understood where that differs.

    LogbookError says what to type instead.
    """
    name = column.field
    if name == TITLE:
        return replace(shot, title=text.strip()), None
    value = value_written(column, text)
    if name == VIEWPOINT:
        after = replace(shot, viewpoint_id=None if value is None else viewpoints.id_of(value))
        kept = viewpoints.name_of(after.viewpoint_id)
    else:
        after = replace(shot, **{name: _UNTOLD[name] if value is None else value})
        kept = _text(column, getattr(after, name))
    return after, understood(text, kept) if text.strip() and kept else None


def same_text(one: str, other: str) -> bool:
    """Tell whether two texts of a cell differ in nothing but white space, which forms change."""
    return one.split() == other.split()


def seal(text: str) -> str:
    """Return what tells the text of a cell from another, short enough to travel with a form."""
    return blake2b(" ".join(text.split()).encode(), digest_size=6).hexdigest()


@lru_cache(maxsize=CELLS_KEPT)
def _text(column: PlanColumn, value: Any) -> str:
    return "" if value is None else written_value(column, value) or str(value)
