"""The plan of a trip as a table: its rows, and taking in what a person typed into them.

One surprising decision: cells are compared one by one with what the person was shown. What they left alone
follows the book, so that two people can work on one row; only a cell that both changed is asked about again.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from logbook.domain.attempts import Attempt
from logbook.domain.condition import Condition
from logbook.domain.day import begin_on, check_window
from logbook.domain.errors import LogbookError
from logbook.domain.record import new_record
from logbook.domain.shot import WINDOW, Outcome, Shot
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import OutcomeWord
from logbook.services.accounts import attempts_in
from logbook.services.kinds import SHOT, TRIP
from logbook.services.places.viewpoints import viewpoint_named
from logbook.services.plans.cells import COLUMNS, TITLE, Viewpoints, cells_of, same_text, seal, with_cell
from logbook.services.plans.continuing import to_ask_again
from logbook.services.records import find, take_out, told_briefly
from logbook.store.book import Book
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A planned shot, the text of its cells by the field of their column, and what became of it.

    `attempts` are those of a picture that was planned for several trips.
    """

    shot: Shot
    cells: Mapping[str, str]
    word: OutcomeWord
    attempts: tuple[Attempt, ...] = ()

    @property
    def is_closed(self) -> bool:
        """Whether its outcome is known, so that the plan stands."""
        return self.word is not OutcomeWord.OPEN


@dataclass(frozen=True, slots=True)
class PlanTable:
    """The shots of a trip in order of time, the names that a viewpoint may be called by, and the other trips.

    `ask_again` are closures and rules observed at its places, with the names of these by id.
    """

    trip: Trip
    rows: tuple[PlanRow, ...]
    viewpoints: tuple[str, ...]
    others: tuple[Trip, ...]
    ask_again: tuple[tuple[str, Condition], ...]


@dataclass(frozen=True, slots=True)
class TypedRow:
    """A row as a form brings it: `shot_id` None for a new one, `seen` the seals of the cells it showed."""

    key: str
    shot_id: str | None
    cells: Mapping[str, str]
    seen: Mapping[str, str] = field(default_factory=dict)
    is_taken_out: bool = False


@dataclass(frozen=True, slots=True)
class TableSaved:
    """What became of a form, rows by their keys.

    `made` are the ids of new shots, `told` what was understood, `refused` by key and field why a cell was not
    kept, `gone` the rows whose shot is no more.
    """

    made: Mapping[str, str]
    changed: frozenset[str]
    taken_out: frozenset[str]
    gone: frozenset[str]
    told: tuple[str, ...]
    refused: Mapping[tuple[str, str], str]


def plan_table(book: Book, trip: str) -> PlanTable:
    """Return the plan of a trip as it stands."""
    with book.reading() as desk:
        found = find(desk, TRIP, trip)
        shots = desk.shots.all(trip_id=found.id)
        shots.sort(key=lambda one: begin_on(one.on_date, one.window_from, found.day_ends_at))
        words, viewpoints, tries = _words(desk, shots), Viewpoints(desk), attempts_in(desk, shots)
        rows = tuple(
            PlanRow(one, cells_of(one, viewpoints), words[one.id], tries.get(one.id, ())) for one in shots
        )
        others = tuple(one for one in desk.trips.all() if one.id != found.id)
        again = to_ask_again(desk, shots, found)
        sites = {
            one.id: one.title for one in desk.sites.all(id={one.site_id for one in again if one.site_id})
        }
        named = [
            (viewpoints.name_of(one.viewpoint_id) or sites.get(one.site_id or "", ""), one) for one in again
        ]
        return PlanTable(found, rows, viewpoints.names, others, tuple(named))


def save_table(book: Book, trip: str, typed: Sequence[TypedRow]) -> TableSaved:
    """Take typed rows into the plan of a trip, cell by cell, in one transaction.

    What cannot be kept is refused with a sentence; all else is kept. A row without a title is no shot.
    """
    with book.writing() as desk:
        saving = _Saving(book, desk, find(desk, TRIP, trip), typed)
        for row in typed:
            saving.take(row)
        return saving.done()


def _words(desk: Desk, shots: Sequence[Shot]) -> dict[str, OutcomeWord]:
    """What became of each shot by what a person stated; open where nobody did."""
    ids = {one.id for one in shots}
    found: list[Outcome] = desk.outcomes.all(shot_id=ids) if ids else []
    return dict.fromkeys(ids, OutcomeWord.OPEN) | {one.shot_id: one.word for one in found if one.is_stated}


class _Saving:
    """One form on its way into the book."""

    def __init__(self, book: Book, desk: Desk, trip: Trip, typed: Sequence[TypedRow]) -> None:
        self.book, self.desk, self.trip = book, desk, trip
        self.viewpoints = Viewpoints(desk, self._entered)
        ids = {one.shot_id for one in typed if one.shot_id}
        shots = [one for one in desk.shots.all(id=ids) if one.trip_id == trip.id] if ids else []
        self.shots, self.words = {one.id: one for one in shots}, _words(desk, shots)
        self.made: dict[str, str] = {}
        self.changed: set[str] = set()
        self.taken_out: set[str] = set()
        self.gone: set[str] = set()
        self.told: list[str] = []
        self.refused: dict[tuple[str, str], str] = {}

    def done(self) -> TableSaved:
        """Return what became of the rows."""
        return TableSaved(
            self.made,
            frozenset(self.changed),
            frozenset(self.taken_out),
            frozenset(self.gone),
            tuple(self.told),
            self.refused,
        )

    def take(self, row: TypedRow) -> None:
        """Take one row in."""
        shot = self.shots.get(row.shot_id or "")
        if row.shot_id is None:
            self._add(row)
        elif shot is None:
            self._is_gone(row)
        elif row.is_taken_out:
            self._take_out(row.key, shot)
        else:
            self._change(row, shot)

    def _add(self, row: TypedRow) -> None:
        touched = {name: text for name, text in row.cells.items() if text.strip()}
        if not touched:
            return
        if TITLE not in touched:
            self.refused[row.key, TITLE] = "A shot needs a title; type one, or empty the row."
            return
        title = touched[TITLE].strip()
        try:
            own = new_record(self.book.now())
            bare = Shot(**own, slug=self.desk.shots.new_slug(title), title=title, trip_id=self.trip.id)
        except LogbookError as error:
            self.refused[row.key, TITLE] = str(error)
            return
        self.desk.shots.add(self._with_cells(row.key, bare, touched))
        self.made[row.key] = bare.id

    def _change(self, row: TypedRow, shot: Shot) -> None:
        cells = cells_of(shot, self.viewpoints)
        touched = {}
        for name, text in row.cells.items():
            if same_text(text, cells[name]) or row.seen.get(name) == seal(text):
                continue
            if (why := self._why_not(row, name, cells[name], shot)) is not None:
                self.refused[row.key, name] = why
            else:
                touched[name] = text
        after = self._with_cells(row.key, shot, touched)
        if after != shot:
            self.desk.shots.put(replace(after, updated=self.book.now()))
            self.changed.add(row.key)

    def _why_not(self, row: TypedRow, name: str, now: str, shot: Shot) -> str | None:
        """Why a cell that a person changed is not written."""
        if (word := self.words[shot.id]) is not OutcomeWord.OPEN:
            return f'The outcome is "{word}", so the plan was not changed. Set the outcome to open first.'
        if name in row.seen and row.seen[name] != seal(now):
            stands = f'"{now}"' if now else "nothing"
            return f"Another window has since written {stands} here. Save again to replace it with yours."
        return None

    def _is_gone(self, row: TypedRow) -> None:
        """What was typed about a shot that is no more is asked about, not lost."""
        self.gone.add(row.key)
        if any(row.seen.get(name) != seal(text) for name, text in row.cells.items() if text.strip()):
            self.refused[row.key, TITLE] = "This shot has since been removed. Save again to plan it as typed."

    def _take_out(self, key: str, shot: Shot) -> None:
        if needing := self.desk.references_to(SHOT.table, shot.id):
            why = f"The shot is still referred to by {told_briefly(needing)}, so it stays."
            self.refused[key, TITLE] = why
            return
        take_out(self.desk, SHOT, shot.id)
        self.taken_out.add(key)

    def _with_cells(self, key: str, shot: Shot, touched: Mapping[str, str]) -> Shot:
        """Return a shot with each cell that could be read; why another could not is noted."""
        from_before, to_before = shot.window_from, shot.window_to
        for column in COLUMNS:
            if column.field not in touched:
                continue
            try:
                shot, told = with_cell(shot, column, touched[column.field], self.viewpoints)
            except LogbookError as error:
                self.refused[key, column.field] = str(error)
                continue
            self.told += [told] if told else []
            if column.field == "on_date" and shot.on_date and self._is_outside(shot.on_date):
                self.told.append(f"{shot.on_date} is outside the dates of the trip.")
        if typed := [name for name in WINDOW if name in touched]:
            try:
                check_window(shot.window_from, shot.window_to)
            except LogbookError as error:
                self.refused[key, typed[-1]] = str(error)
                return replace(shot, window_from=from_before, window_to=to_before)
        return shot

    def _entered(self, name: str) -> Viewpoint:
        named = viewpoint_named(self.desk, name, self.book.now())
        if named.is_new:
            self.told.append(f"{named.viewpoint.title} is a new viewpoint in the book.")
        return named.viewpoint

    def _is_outside(self, day: date) -> bool:
        first, last = self.trip.starts_on, self.trip.ends_on
        return (first is not None and day < first) or (last is not None and day > last)
