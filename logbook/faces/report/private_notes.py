"""What only the photographer looks for: the trip's own facts, the kit, and lines to sort out."""

from logbook.domain.attempts import still_to_get
from logbook.domain.kit import KitItem
from logbook.faces.report.models import Cell, Table, TripNotes, Value
from logbook.faces.report.parts import PageDraft, fact, facts, passage, passages
from logbook.faces.report.settings import UNKNOWN
from logbook.faces.words.continued import return_command
from logbook.faces.words.phrases import clock, short_date
from logbook.faces.words.prose import line


def trip_notes(draft: PageDraft) -> TripNotes:
    """Return what the book says of the trip as a whole."""
    trip = draft.order.account.trip
    return TripNotes(
        passages(
            passage(trip.summary, "Summary"),
            passage(trip.purpose, "Purpose"),
            passage(trip.brief, "Brief"),
            passage(trip.next_visit, "Next visit"),
        ),
        facts(
            fact("Client", line(trip.client)),
            fact("Audience", str(trip.audience or "")),
            fact("Zone", line(trip.zone)),
            fact("A day ends at", clock(trip.day_ends_at)),
            fact("How others see places", str(trip.location_shown)),
            fact("Slug", line(trip.slug)),
            fact("Credit", line(trip.credit)),
            fact("Rights", line(trip.rights)),
            fact("Contact", line(trip.contact)),
            fact("Names kept private", *map(line, trip.private_names)),
            fact("Words allowed anyway", *map(line, trip.may_say)),
            fact("To plan the shots that are still to get", return_command(trip.slug))
            if _is_to_get(draft)
            else None,
        ),
    )


def _is_to_get(draft: PageDraft) -> bool:
    account = draft.order.account
    return bool(still_to_get(account.shots, account.outcomes))


def kit(draft: PageDraft) -> Table | None:
    """Return what was packed and what was left, or None where nothing was decided."""
    account = draft.order.account
    rows = []
    for packed in account.packed:
        item = account.kit.get(packed.item_id)
        used = UNKNOWN if packed.used is None else Value("used" if packed.used else "not used")
        rows.append(
            (
                Cell((Value(line(item.title) if item else "a piece no longer in the book"),)),
                Cell((Value(str(item.kind) if item else ""),)),
                Cell((Value(str(packed.packing)),)),
                Cell((Value(line(packed.why)) if packed.why else Value("no reason noted", "unknown"),)),
                Cell((used,)),
                Cell((Value("; ".join(_about(item)) if item else ""),)),
            )
        )
    heads = ("Piece", "Kind", "Decision", "Why", "On the trip", "About it")
    return Table("What was packed, what was left behind, and why", heads, tuple(rows)) if rows else None


def loose(draft: PageDraft) -> Table | None:
    """Return the lines of day and plan files that nobody sorted out yet, or None where there is none."""
    rows = tuple(
        (
            Cell((Value(f"{line(one.file)}, line {one.line}"),)),
            Cell((Value(short_date(one.on_date) if one.on_date else "from the plan"),)),
            Cell((Value(line(one.text)),)),
            Cell((Value(line(one.why)),)),
        )
        for one in draft.order.account.loose_lines
    )
    caption = "Lines of day and plan files that were not understood, word for word"
    return Table(caption, ("Where", "Day", "Line", "Why"), rows) if rows else None


def _about(item: KitItem) -> list[str]:
    owned = "" if item.owned is None else "owned" if item.owned else "not owned"
    sensor = (
        f"sensor {item.sensor_width_mm:g} × {item.sensor_height_mm or 0:g} mm" if item.sensor_width_mm else ""
    )
    ends = [f"{end:g}" for end in (item.focal_min_mm, item.focal_max_mm) if end is not None]
    focal = f"{'–'.join(dict.fromkeys(ends))} mm" if ends else ""
    steady = f"stabilised, {item.stabilisation_stops:g} stops" if item.stabilisation_stops is not None else ""
    texts = (item.filter_name, item.body, item.notes, item.slug)
    return [part for part in (owned, sensor, focal, steady, *map(line, texts)) if part]
