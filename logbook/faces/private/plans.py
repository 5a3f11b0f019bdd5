"""The plan of a trip as a table to type into: its shots, their light, and what an earlier trip leaves to it.

One surprising decision: a row's light is asked for day by day once the table is there. It takes the sun's way
over every place, and nobody should wait for that before they can type.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from flask import Blueprint, Response, abort, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from logbook.domain.errors import LogbookError, WrongUseError
from logbook.domain.keeper import of_each
from logbook.domain.kinds import DATE
from logbook.domain.said import counted
from logbook.domain.words import WhichShots
from logbook.faces.private.workplace import PageTold, back_to, book, page, say_next
from logbook.faces.report.drawings.plan_strip import plan_strip
from logbook.faces.words.continued import continued_text, seen_text, seen_when
from logbook.faces.words.phrases import sentence
from logbook.faces.words.shots import attempts_text, feasibility_words
from logbook.faces.words.sky import sun_text
from logbook.services.find.pictured import PICTURES_OF_RECORD, of_record
from logbook.services.plans.cells import COLUMNS, TITLE, seal
from logbook.services.plans.continuing import Continued, continue_plan, continue_trip
from logbook.services.plans.planned_days import PlannedDay, planned_day
from logbook.services.plans.table import PlanRow, TableSaved, TypedRow, plan_table, save_table
from logbook.store.book import Book

part = Blueprint("plans", __name__, url_prefix="/trip/<slug>/plan")

CELL, SEEN, OUT = "cell:", "seen:", "out:"  # what the names of the form's fields begin with
NEW = "new-"  # begins the key of a row that is not a shot yet
UNDATED = "undated"  # the day of the shots without a date, in an address
TOLD = 6  # sentences about what was understood; a pasted sheet would say hundreds
LONG = frozenset(("technique", "notes"))  # cells of several lines


@dataclass(frozen=True, slots=True)
class PlanRowShown:
    """A row as the page has it: its key, its texts, what seals them, and what was refused, by field."""

    key: str
    cells: Mapping[str, str]
    seen: str
    refused: Mapping[str, str]
    row: PlanRow | None = None

    @property
    def name(self) -> str:
        """What the row is called by whoever cannot see it."""
        return self.cells.get(TITLE) or "new shot"


@dataclass(frozen=True, slots=True)
class ShownDay:
    """The rows of one date."""

    on_date: date | None
    rows: tuple[PlanRowShown, ...]

    @property
    def word(self) -> str:
        """The day as an address has it."""
        return str(self.on_date or UNDATED)


@part.get("")
def plan(slug: str) -> Response:
    """The table as it stands."""
    return _shown(book(), slug)


@part.post("")
def save(slug: str) -> AnyResponse:
    """Keep what was typed; what cannot be kept stands in its cell again, with the reason beside it."""
    opened = book(f"plan for {slug}")
    typed = list(_typed())
    saved = save_table(opened, slug, typed)
    told = _sentences(saved)
    if saved.refused:
        return _shown(opened, slug, PageTold(told), 422, saved, typed)
    say_next(*told)
    return back_to(url_for("plans.plan", slug=slug) + _anchor(saved))


@part.get("/light/<day>")
def light(slug: str, day: str) -> Response:
    """The light of one day, for the script that lays it beside the rows."""
    return page("plan_light.html", PageTold(), slug=slug, lit=_lit(book(), slug, day), **_WORDS)


@part.post("/copy")
def copy(slug: str) -> AnyResponse:
    """Take the shots of an earlier trip into this one."""
    earlier = request.form.get("earlier", "")
    opened = book(f"plan for {slug} from {earlier}")
    try:
        if not earlier:
            raise WrongUseError("Choose the earlier trip first; nothing was copied.")
        return _continued(continue_plan(opened, slug, earlier, only_to_get=_only_to_get()))
    except LogbookError as error:
        return _shown(opened, slug, PageTold((str(error),), is_refusal=True), 422)


@part.post("/next")
def begin_next(slug: str) -> AnyResponse:
    """Make a new trip from this one's plan."""
    title, starts_on = request.form.get("title", "").strip(), request.form.get("from", "").strip()
    opened = book(f"trip from {slug}")
    try:
        fields = {"title": title, "starts_on": DATE.typed(starts_on)}
        return _continued(continue_trip(opened, fields, None, slug, only_to_get=_only_to_get()))
    except LogbookError as error:
        return _shown(opened, slug, PageTold((str(error),), is_refusal=True), 422)


def _only_to_get() -> bool:
    return request.form.get("only", WhichShots.TO_GET) == WhichShots.TO_GET


def _continued(done: Continued) -> AnyResponse:
    """Go to the plan that goes on; what to check again at its places stands there."""
    say_next(continued_text(done))
    return back_to(url_for("plans.plan", slug=done.trip.slug))


def _typed() -> Iterator[TypedRow]:
    """Yield the rows of the form, in its order."""
    fields = {one.field for one in COLUMNS}
    cells: dict[str, dict[str, str]] = {}
    for name, text in request.form.items():
        if name.startswith(CELL):
            key, _, field = name.removeprefix(CELL).partition(":")
            if field in fields:
                cells.setdefault(key, {})[field] = text.replace("\r\n", "\n")
        elif name.startswith(OUT):
            cells.setdefault(name.removeprefix(OUT), {})
    for key, texts in cells.items():
        seals = request.form.get(f"{SEEN}{key}", "").split()
        seen = dict(zip((one.field for one in COLUMNS), seals, strict=False))
        shot_id = None if key.startswith(NEW) else key
        yield TypedRow(key, shot_id, texts, seen, is_taken_out=f"{OUT}{key}" in request.form)


def _sentences(saved: TableSaved) -> tuple[str, ...]:
    """What became of a form, in sentences."""
    done = {"planned": saved.made, "changed": saved.changed, "removed": saved.taken_out}
    said = [f"{counted('shot', len(keys))} {word}" for word, keys in done.items() if keys]
    sentences = [f"{', '.join(said)}." if said else "Nothing was changed."]
    if saved.refused:
        sentences.append(
            f"{counted('cell', len(saved.refused))} could not be kept; the reason is below each."
        )
    sentences += saved.told[:TOLD]
    if (more := len(saved.told) - TOLD) > 0:
        sentences.append(f"{more} more were read the same way.")
    return tuple(sentences)


def _anchor(saved: TableSaved) -> str:
    """Where the page goes on: at the cell where one was, which a browser then has ready to type into."""
    key, _, field = request.form.get("at", "").rpartition("-")
    key = saved.made.get(key, key)
    is_ours = key.isascii() and key.isalnum() and field in {one.field for one in COLUMNS}
    return f"#{key}-{field}" if is_ours else ""


def _shown(
    opened: Book,
    slug: str,
    told: PageTold | None = None,
    status: int = 200,
    saved: TableSaved | None = None,
    typed: list[TypedRow] | None = None,
) -> Response:
    table = plan_table(opened, slug)
    kept = {one.key: one for one in typed or ()}
    kept |= {shot_id: kept[key] for key, shot_id in (saved.made if saved else {}).items()}
    refused = _refused(saved)
    rows = [_row_shown(one, refused.get(one.shot.id, {}), kept.get(one.shot.id)) for one in table.rows]
    fresh = [
        PlanRowShown(f"{NEW}{number}", one.cells, "", refused.get(one.key, {}))
        for number, one in enumerate(one for one in typed or () if _stays_new(one, saved))
    ]
    fresh.append(PlanRowShown(f"{NEW}{len(fresh)}", {}, "", {}))
    wanted = request.args.get("day")
    with opened.reading() as shelves:
        made = of_each(shelves.keepers.all(trip_id=table.trip.id), "shot_id")
        seen = {one.id: of_record(shelves, one)[:PICTURES_OF_RECORD] for _, one in table.ask_again}
        trips = dict(shelves.trips.columns("id", "slug"))
    return page(
        "plan.html",
        told,
        status,
        opened=opened,
        table=table,
        asked=request.form,
        first_refused=_first_refused([*rows, *fresh]),
        trip=table.trip,
        columns=COLUMNS,
        days=_by_day(rows),
        fresh=fresh,
        made=made,
        seen=seen,
        trips=trips,
        lit=_lit(opened, slug, wanted) if wanted else None,
        long=LONG,
        title=f"Plan of {table.trip.title}",
        **_WORDS,
    )


def _refused(saved: TableSaved | None) -> dict[str, dict[str, str]]:
    """Why cells were refused, by the id of the shot that their row is or became, else by its key."""
    found: dict[str, dict[str, str]] = {}
    for (key, field), why in (saved.refused if saved else {}).items():
        found.setdefault(saved.made.get(key, key) if saved else key, {})[field] = why
    return found


def _first_refused(rows: Iterable[PlanRowShown]) -> str:
    """The cell that is ready to be mended: the first one that was refused."""
    refused = (
        f"{one.key}-{column.field}" for one in rows for column in COLUMNS if column.field in one.refused
    )
    return next(refused, "")


def _stays_new(typed: TypedRow, saved: TableSaved | None) -> bool:
    """Whether a typed row is no shot of the book: it was refused whole, or its shot is no more."""
    return (
        saved is not None
        and (typed.key, TITLE) in saved.refused
        and (typed.shot_id is None or typed.key in saved.gone)
    )


def _row_shown(row: PlanRow, refused: Mapping[str, str], typed: TypedRow | None) -> PlanRowShown:
    texts = typed.cells if typed else {}
    cells = {name: texts.get(name, text) if name in refused else text for name, text in row.cells.items()}
    seen = " ".join(seal(row.cells[one.field]) for one in COLUMNS)
    return PlanRowShown(row.shot.id, cells, seen, refused, row)


def _by_day(rows: list[PlanRowShown]) -> list[ShownDay]:
    found: dict[date | None, list[PlanRowShown]] = {}
    for one in rows:
        assert one.row is not None
        found.setdefault(one.row.shot.on_date, []).append(one)
    return [ShownDay(on_date, tuple(of_day)) for on_date, of_day in found.items()]


def _lit(opened: Book, slug: str, day: str) -> PlannedDay:
    try:
        on_date = None if day == UNDATED else date.fromisoformat(day)
    except ValueError:
        abort(404)
    return planned_day(opened, slug, on_date)


_WORDS: Mapping[str, Any] = {
    "strip": plan_strip,
    "history": attempts_text,
    "seen_text": seen_text,
    "seen_when": seen_when,
    "sun": sun_text,
    "verdict": feasibility_words,
    "sentence": sentence,
}
