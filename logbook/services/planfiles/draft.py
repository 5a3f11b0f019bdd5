"""A plan written out for a person to go on with: the shots of a trip that are open, as a text or as a sheet.

One surprising decision: every shot carries its short name in brackets, so that a line may be moved, retitled
and reordered and is still about that shot.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from logbook.domain.account import TripAccount
from logbook.domain.day import begin_on
from logbook.domain.errors import InvalidValueError, LogbookError
from logbook.domain.formats import PlanForm
from logbook.domain.shot import Shot
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import OutcomeWord
from logbook.domain.written.plan_columns import PLAN_COLUMNS
from logbook.domain.written.plan_tokens import ANY_TIME
from logbook.domain.written.plan_writing import INDENT, written_lines
from logbook.domain.written.plans import heading_written
from logbook.intake.planfile.sheets import COMMENT, written_row
from logbook.intake.written_files import own_comment
from logbook.services.accounts import account_in
from logbook.services.exports.csv_text import csv_text
from logbook.services.kinds import VIEWPOINT
from logbook.services.records import find, the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

ANY_DAY, ANYWHERE = "Any day", "Anywhere"
EXAMPLE = (
    "Mill at low water 18:10-18:50, 24 mm f/11 2 s ISO 100, nd8 + nd8, tripod, must have; "
    "else mill-from-bridge"
)
EXAMPLE_CELLS: Mapping[str, str] = {
    "title": f"{COMMENT} for example: Mill at low water",
    "window_from": "18:10",
    "window_to": "18:50",
    "focal_mm": "24",
    "f_number": "f/11",
    "exposure_s": "2 s",
    "iso": "100",
    "filters": "nd8 + nd8",
    "support": "tripod",
    "priority": "must have",
}


@dataclass(frozen=True, slots=True)
class PlanDraft:
    """The text of a plan file, of which trip it is, and how many shots are in it."""

    trip: str
    shots: int
    text: str
    form: PlanForm

    @property
    def content(self) -> bytes:
        """The bytes of the file; a sheet has the mark by which office programs know its encoding."""
        return self.text.encode("utf-8-sig" if self.form is PlanForm.CSV else "utf-8")


def draft_plan(book: Book, trip: str | None, form: PlanForm) -> PlanDraft:
    """Return the open shots of a trip as a plan file; without any, an example and the viewpoints at hand."""
    with book.reading() as desk:
        of_trip = the_trip(desk, trip)
        account = account_in(desk, of_trip)
        planned = _Planned(desk, account)
        if form is PlanForm.CSV:
            text = csv_text([[column.heading for column in PLAN_COLUMNS], *planned.rows()])
        else:
            text = "\n".join(["---", f"trip: {of_trip.slug}", "---", *planned.lines()]) + "\n"
        return PlanDraft(of_trip.slug, len(planned.shots), text, form)


@dataclass(frozen=True, slots=True)
class _Planned:
    desk: Desk
    account: TripAccount

    @property
    def shots(self) -> list[Shot]:
        """The open shots in the order of their times."""
        ends_at = self.account.trip.day_ends_at
        shots = (shot for shot in self.account.shots if self._is_open(shot))
        return sorted(shots, key=lambda shot: begin_on(shot.on_date, shot.window_from, ends_at))

    def _is_open(self, shot: Shot) -> bool:
        outcome = self.account.outcomes.get(shot.id)
        return outcome is None or not outcome.is_stated or outcome.word is OutcomeWord.OPEN

    def lines(self) -> Iterator[str]:
        """The body of the text."""
        shots = self.shots
        day: date | str | None = ""
        place: str | None = ""
        for shot in shots:
            if shot.on_date != day:
                day, place = shot.on_date, None
                yield from ("", f"## {day:%A} {day}" if day else f"## {ANY_DAY}")
            if shot.viewpoint_id != place:
                place = shot.viewpoint_id
                yield from ("", f"### {self._heading(place)}")
            yield from self._lines_of(shot)
        if not shots:
            yield own_comment(f"each heading is a day or a viewpoint, each line a shot: {EXAMPLE}")
            for viewpoint in self._viewpoints():
                yield from ("", f"## {self._heading(viewpoint.id)}")

    def _lines_of(self, shot: Shot) -> Iterator[str]:
        fields = {
            name: one for name, one in self._fields(shot).items() if name not in ("on_date", "viewpoint")
        }
        (first, *rest), left_out = written_lines(fields)
        yield f"- {first}"
        yield from (f"{INDENT}{line.removeprefix(INDENT)}" for line in rest)
        if left_out:
            yield own_comment(_not_here(shot, left_out))

    def rows(self) -> Iterator[list[str]]:
        """The rows of the sheet below its headings."""
        shots = self.shots
        remarks = []
        for shot in shots:
            cells, left_out = written_row(self._fields(shot))
            yield cells
            if left_out:
                remarks.append([f"{COMMENT} {_not_here(shot, left_out)}"])
        yield from remarks
        if not shots:
            yield [EXAMPLE_CELLS.get(column.field, "") for column in PLAN_COLUMNS]
            for viewpoint in self._viewpoints():
                yield [viewpoint.slug if column.field == "viewpoint" else "" for column in PLAN_COLUMNS]

    def _fields(self, shot: Shot) -> dict[str, Any]:
        """What is known of a shot by the names of columns, references by slug."""
        slugs = {one.id: one.slug for one in self.account.viewpoints.values()}
        slugs |= {one.id: one.slug for one in self.account.shots}
        told = {}
        for column in PLAN_COLUMNS:
            if hasattr(shot, column.field):
                told[column.field] = getattr(shot, column.field)
            else:
                told[column.field] = slugs.get(getattr(shot, f"{column.field}_id"))
        return {name: value for name, value in told.items() if value is not None}

    def _heading(self, viewpoint_id: str | None) -> str:
        """How a heading names a viewpoint so that reading finds it again."""
        viewpoint = self.desk.viewpoints.get(viewpoint_id)
        if viewpoint is None:
            return ANYWHERE
        for name in (viewpoint.title, viewpoint.slug):
            if _says_only(name) and self._is_called(name, viewpoint):
                return name
        return f"viewpoint: {viewpoint.slug}"

    def _is_called(self, name: str, viewpoint: Viewpoint) -> bool:
        try:
            return find(self.desk, VIEWPOINT, name).id == viewpoint.id
        except LogbookError:
            return False

    def _viewpoints(self) -> list[Viewpoint]:
        """The viewpoints of the sites that the trip has to do with, or all where it has none yet."""
        account = self.account
        everywhere = self.desk.viewpoints.all()
        used = {one.viewpoint_id for one in account.shots} | {one.viewpoint_id for one in account.visits}
        used |= {one.viewpoint_id for one in account.keepers}
        sites = {one.site_id for one in everywhere if one.id in used}
        sites |= {one.site_id for one in account.conditions if one.site_id}
        return [one for one in everywhere if not sites or one.site_id in sites]


def _says_only(name: str) -> bool:
    """Whether a heading of a name is read as that viewpoint and nothing else."""
    try:
        return heading_written(name, ANY_TIME) == {"viewpoint": name}
    except InvalidValueError:
        return False


def _not_here(shot: Shot, left_out: tuple[str, ...]) -> str:
    headings = {column.field: column.heading for column in PLAN_COLUMNS}
    return f"not in this file: {', '.join(headings[name] for name in left_out)} of {shot.slug}"
