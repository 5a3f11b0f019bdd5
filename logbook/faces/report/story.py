"""Day by day: the plan for it, its journal, its visits with their pictures, and its drawings."""

from collections.abc import Iterator
from datetime import date

from logbook.craft.marks import number_text
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance
from logbook.faces.report.drawings.day_strip import day_strip
from logbook.faces.report.drawings.exposure_strip import exposure_strip
from logbook.faces.report.models import Cell, DayBlock, Fact, Story, Table, Value, VisitBlock
from logbook.faces.report.observed import drawn_on, seen_lines
from logbook.faces.report.parts import PageDraft, fact, facts
from logbook.faces.report.settings import UNKNOWN, origin_told, setting
from logbook.faces.report.spreads import planned_line
from logbook.faces.report.where import place_name
from logbook.faces.words.phrases import date_text, short_date, window_text
from logbook.faces.words.prose import line, prose

NOT_NOTED = Value("not noted", "unknown")
_TIMES = {("arrived_at",): "Arrival", ("departed_at",): "Departure", ("arrived_at", "departed_at"): "Times"}


def days(draft: PageDraft) -> Story | None:
    """Return the days; without craft only those with pictures. None where there is nothing to tell."""
    order = draft.order
    told = (_day(draft, order.days.index(day) + 1, day) for day in draft.portion.days)
    shown = tuple(one for one in told if draft.edition.with_craft or one.visits or one.other_figures)
    undated = draft.pictures(one for one in draft.portion.keepers if not one.place_time)
    return Story(shown, undated) if shown or undated else None


def tries(draft: PageDraft) -> Table:
    """Return how many tries each visit took, and how many pictures were kept of them."""
    order = draft.order
    rows: list[tuple[Cell, ...]] = []
    for day in order.days:
        for visit in order.visits_on(day):
            kept = len(list(order.keepers_of_visit(visit)))
            where = f"{place_name(order.account, visit.viewpoint_id)}, {short_date(day)}"
            rows.append(
                (
                    Cell((Value(where),), exact=str(len(rows) + 1)),
                    Cell((_said(visit, "purpose", NOT_NOTED),)),
                    _count(tried := _said(visit, "tries", NOT_NOTED)),
                    _count(Value(str(kept))),
                    _count(_tries_for_one(visit.tries, kept, tried.origin)),
                )
            )
    return Table(
        "Tries on every visit, and how many pictures were kept",
        ("Visit", "Purpose", "Tries", "Kept", "Tries per kept picture"),
        tuple(rows),
        "A try is one picture taken on purpose; most fail, and that is how the good ones come about.",
    )


def _day(draft: PageDraft, number: int, day: date) -> DayBlock:
    order, with_craft = draft.order, draft.edition.with_craft
    visits = [
        visit for visit in order.visits_on(day) if with_craft or any(order.keepers_of_visit(visit))
    ]  # without craft only the places where a picture was kept
    met = drawn_on(order, day) if with_craft else ()
    return DayBlock(
        name=order.day_name(day),
        anchor=f"day-{number}",
        date=date_text(day, weekday=True),
        planned=tuple(planned_line(order, shot) for shot in order.shots_on(day)) if with_craft else (),
        journal=prose("\n\n".join(_journals(draft, day))),
        visits=tuple(_visit(draft, visit) for visit in visits),
        other_figures=draft.pictures(order.other_keepers_on(day)),
        drawings=(
            *day_strip(order, day, visits, met),
            *(exposure_strip(order, day) if with_craft else ()),
        ),
    )


def _journals(draft: PageDraft, day: date) -> Iterator[str]:
    records = [record for record in draft.order.account.days if record.on_date == day]
    yield from (record.journal for record in records if record.journal)
    if draft.edition.with_book:
        yield from (f"Time zone for the day: {line(record.zone)}." for record in records if record.zone)


def _visit(draft: PageDraft, visit: Visit) -> VisitBlock:
    order, edition = draft.order, draft.edition
    unknown = UNKNOWN if edition.with_book else NOT_NOTED
    return VisitBlock(
        place=place_name(order.account, visit.viewpoint_id),
        when=window_text(visit.arrived_at, visit.departed_at),
        facts=facts(
            _worked_out_times(visit),
            fact("Purpose", _said(visit, "purpose", Value(""))),
            fact("Tries", _said(visit, "tries", unknown)),
            fact("Support", setting(visit, "support")),
            fact("Slug", line(visit.slug)) if edition.with_book else None,
        )
        if edition.with_craft
        else (),
        journal=prose(visit.journal),
        observed=seen_lines(draft, order.conditions_of_visit(visit)) if edition.with_craft else (),
        figures=draft.pictures(order.keepers_of_visit(visit)),
    )


def _said(visit: Visit, name: str, unknown: Value) -> Value:
    """Return what the book holds of a visit, with its origin where no person stated it."""
    value = getattr(visit, name)
    return unknown if value is None else Value(str(value), origin_told(visit, name))


def _worked_out_times(visit: Visit) -> Fact | None:
    """Say of times that nobody stated where they come from; the heading shows them."""
    which = tuple(name for name in ("arrived_at", "departed_at") if origin_told(visit, name))
    if not which:
        return None
    return fact(_TIMES[which], Value("from pictures or a track", str(Provenance.INFERRED)))


def _count(value: Value) -> Cell:
    is_number = value.origin != NOT_NOTED.origin and value.text != "–"
    return Cell((value,), figures=True, exact=value.text if is_number else "")


def _tries_for_one(tries: int | None, kept: int, origin: str) -> Value:
    """How many tries one kept picture took; a visit that kept none has no such number."""
    if tries is None:
        return NOT_NOTED
    return Value(number_text(tries / kept, 1), origin) if kept else Value("–")
