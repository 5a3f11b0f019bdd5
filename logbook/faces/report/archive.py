"""The archive page: everything the book holds about a trip, for the photographer alone.

Its allow-list is this module and is meant to be whole: a field that a noun gains must be added here too.
"""

from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper
from logbook.domain.shot import Shot
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.faces.report import archive_places as places
from logbook.faces.report import parts
from logbook.faces.report.drawings.day_strip import day_strip
from logbook.faces.report.drawings.exposure_strip import exposure_strip
from logbook.faces.report.drawings.map import maps
from logbook.faces.report.models import (
    ArchivePage,
    Cell,
    DayBlock,
    Fact,
    Figure,
    LessonLine,
    Opening,
    Passage,
    PicturePage,
    Spread,
    Table,
    Value,
    VisitBlock,
)
from logbook.faces.report.order import Order
from logbook.faces.report.privacy import PageDiscretion
from logbook.faces.report.settings import (
    HEADS,
    UNKNOWN,
    distance_words,
    light_words,
    setting,
    settings_line,
)
from logbook.faces.words.cautions import cautions
from logbook.faces.words.phrases import (
    clock,
    date_text,
    listed,
    position_text,
    short_date,
    span_text,
    window_text,
)

SETTINGS = ("exposure_s", "f_number", "iso", "focal_mm", "filters", "support")
ALL_SETTINGS = (
    *SETTINGS[:-2],
    "focal_35mm",
    "exposure_mode",
    "metering",
    "lens",
    "body",
    "filters",
    "support",
)
PLANNED = ("exposure_s", "f_number", "iso", "focal_mm", "filters", "support")


def archive_page(order: Order, say: PageDiscretion, images: parts.Images, lead: Keeper | None) -> ArchivePage:
    """Return all that the book holds of an account."""
    account = order.account
    trip = account.trip
    figures = {keeper.id: _figure(order, say, keeper, images) for keeper in order.keepers}
    sets = parts.set_facts(order)
    sites, viewpoints = account.sites.values(), account.viewpoints.values()
    return ArchivePage(
        opening=Opening(
            title=say.line(trip.title),
            for_whom="For the photographer alone",
            dates=span_text(trip.starts_on, trip.ends_on),
            region=parts.regions_text(say, (site.region for site in sites)),
            lead=figures[lead.id] if lead else None,
            counts=parts.counts(order),
        ),
        trip_facts=_trip_facts(say, trip),
        trip_text=_trip_text(say, trip),
        days=tuple(_day(order, say, number, figures) for number in range(1, len(order.days) + 1)),
        undated=tuple(figures[keeper.id] for keeper in order.undated_keepers()),
        spreads=tuple(_spread(order, say, shot, figures) for shot in order.shots),
        settings=parts.settings_table(
            order, SETTINGS, say.line, "Settings of every picture, and where each value comes from"
        ),
        conditions=places.conditions(order, say),
        places=tuple(places.place(order, say, site) for site in sites),
        lessons=tuple(
            LessonLine(str(lesson.verb), places.about(order, say, lesson), html)
            for lesson in account.lessons
            if (html := parts.advice(say, lesson.text))
        ),
        kit=_kit(order, say),
        loose=_loose(order, say),
        cautions=cautions(
            (kind for site in sites for kind in site.kinds),
            [*(site.footing for site in sites), *(viewpoint.footing for viewpoint in viewpoints)],
            (condition.kind for condition in account.conditions),
        ),
        picture_pages=tuple(
            _picture_page(order, say, keeper, figures[keeper.id], sets.get(keeper.id, ""))
            for keeper in order.keepers
        ),
        maps=maps(order, say, with_sun=True),
    )


def _trip_facts(say: PageDiscretion, trip: Trip) -> tuple[Fact, ...]:
    return parts.facts(
        parts.fact("Client", say.line(trip.client)),
        parts.fact("Audience", str(trip.audience or "")),
        parts.fact("Zone", say.line(trip.zone)),
        parts.fact("A day ends at", clock(trip.day_ends_at)),
        parts.fact("Places shown to others", str(trip.location_shown)),
        parts.fact("Slug", say.line(trip.slug)),
        parts.fact("Credit", say.line(trip.credit)),
        parts.fact("Rights", say.line(trip.rights)),
        parts.fact("Names kept from others", *(say.line(name) for name in trip.private_names)),
        parts.fact("Words that may stand all the same", *(say.line(word) for word in trip.may_say)),
    )


def _trip_text(say: PageDiscretion, trip: Trip) -> tuple[Passage, ...]:
    return parts.passages(
        parts.passage(say, trip.summary, "Summary"),
        parts.passage(say, trip.purpose, "Purpose"),
        parts.passage(say, trip.brief, "Brief"),
        parts.passage(say, trip.next_visit, "Next visit"),
    )


def _figure(order: Order, say: PageDiscretion, keeper: Keeper, images: parts.Images) -> Figure:
    return parts.figure(
        order.keeper_numbers[keeper.id],
        images.get(keeper.id),
        caption=say.line(keeper.caption),
        alternative=say.line(keeper.alternative),
        place=say.place(keeper.viewpoint_id),
        keeper=keeper,
        settings=settings_line(keeper, SETTINGS, say.line),
    )


def _picture_page(
    order: Order, say: PageDiscretion, keeper: Keeper, figure: Figure, in_set: str
) -> PicturePage:
    shot = next((shot for shot in order.shots if shot.id == keeper.shot_id), None)
    position = ""
    if keeper.latitude_deg is not None and keeper.longitude_deg is not None:
        position = position_text(keeper.latitude_deg, keeper.longitude_deg, 6)
    north = (
        "magnetic"
        if keeper.direction_is_magnetic
        else "true"
        if keeper.direction_is_magnetic is False
        else ""
    )
    size = f"{keeper.width_px} × {keeper.height_px} px" if keeper.width_px and keeper.height_px else ""
    flash = "" if keeper.flash_fired is None else "fired" if keeper.flash_fired else "did not fire"
    bracket = "" if keeper.auto_bracket is None else "yes" if keeper.auto_bracket else "no"
    return PicturePage(
        figure,
        parts.facts(
            *(parts.fact(HEADS[name], setting(keeper, name, say.line)) for name in ALL_SETTINGS),
            parts.fact("Flash", flash or UNKNOWN),
            parts.fact("Auto bracket", bracket),
            parts.fact("Part of a", in_set),
            parts.fact("Made for", parts.shot_reference(order, shot, say.line(shot.title)) if shot else ""),
            parts.fact("Camera's position", position),
            parts.fact(
                "Camera's altitude", f"{keeper.altitude_m:.0f} m" if keeper.altitude_m is not None else ""
            ),
            parts.fact(
                "Camera's direction",
                f"{keeper.direction_deg:.0f}° {north}" if keeper.direction_deg is not None else "",
            ),
            parts.fact("Camera's reading of the light", *light_words(keeper)),
            parts.fact("Subject's distance", *distance_words(keeper)),
            parts.fact("Rating", str(keeper.rating) if keeper.rating is not None else ""),
            parts.fact("Label", say.line(keeper.label)),
            parts.fact("Keywords", *(say.line(word) for word in keeper.keywords)),
            parts.fact("Place, as the file says", say.line(keeper.place)),
            parts.fact("Credit, as the file says", say.line(keeper.credit)),
            parts.fact("Copyright, as the file says", say.line(keeper.copyright)),
            parts.fact("Camera's own time", say.line(keeper.taken_text), say.line(keeper.utc_offset_text)),
            parts.fact("Its time put right", parts.moment_text(keeper)),
            parts.fact("Zone", say.line(keeper.zone)),
            parts.fact(
                "Clock correction",
                f"{keeper.clock_offset_s:+d} s",
                str(keeper.clock_evidence or "no evidence"),
            ),
            parts.fact("Instant", f"{keeper.taken_utc:%Y-%m-%d %H:%M:%S} UTC" if keeper.taken_utc else ""),
            parts.fact(
                "File", say.line(keeper.file), say.line(keeper.format), size, f"{keeper.size_bytes} bytes"
            ),
            parts.fact("Orientation", str(keeper.orientation or "")),
            parts.fact("Path", say.line(keeper.path)),
            parts.fact("SHA-256", say.line(keeper.hash)),
            parts.fact("Other files of the frame", *(say.line(one) for one in keeper.also)),
            parts.fact("Slug", say.line(keeper.slug)),
            parts.fact("Doubts", *(say.line(doubt) for doubt in keeper.doubts)),
        ),
        parts.passages(
            parts.passage(say, keeper.note, "Note"),
            parts.passage(say, keeper.alternative, "Alternative text"),
        ),
    )


def _spread(order: Order, say: PageDiscretion, shot: Shot, figures: dict[str, Figure]) -> Spread:
    outcome = order.account.outcomes.get(shot.id)
    fallback_for = next((other for other in order.shots if other.id == shot.fallback_for_id), None)
    keepers = list(order.keepers_of_shot(shot))
    return Spread(
        number=order.shot_numbers[shot.id],
        anchor=f"shot-{order.shot_numbers[shot.id]}",
        title=say.line(shot.title),
        plan=parts.facts(
            parts.fact("Where", say.place(shot.viewpoint_id)),
            parts.fact("Day", date_text(shot.on_date) if shot.on_date else ""),
            parts.fact("Time", window_text(shot.window_from, shot.window_to)),
            parts.fact("Priority", str(shot.priority)),
            parts.fact("Technique", say.line(shot.technique)),
            parts.fact("Settings", *settings_line(shot, PLANNED, say.line)),
            parts.fact("Would it work?", parts.feasible(order, say, shot)),
            parts.fact(
                "Fallback for",
                parts.shot_reference(order, fallback_for, say.line(fallback_for.title))
                if fallback_for
                else "",
            ),
            parts.fact("Slug", say.line(shot.slug)),
        ),
        plan_text=parts.passages(parts.passage(say, shot.intent), parts.passage(say, shot.notes, "Notes")),
        status=parts.status(order, shot),
        became=parts.became(order, shot, say),
        in_its_place=parts.in_its_place(order, shot, say),
        result=parts.facts(
            parts.fact("Reasons", listed([str(reason) for reason in outcome.reasons])) if outcome else None,
            *(
                parts.fact(f"Picture {order.keeper_numbers[k.id]}", *settings_line(k, SETTINGS, say.line))
                for k in keepers
            ),
        ),
        result_text=parts.passages(parts.note(say, outcome.note if outcome else None)),
        observed=(),
        figures=tuple(figures[keeper.id] for keeper in keepers),
    )


def _day(order: Order, say: PageDiscretion, number: int, figures: dict[str, Figure]) -> DayBlock:
    day = order.days[number - 1]
    records = [record for record in order.account.days if record.on_date == day]
    zones = [f"Clock of the day: {say.line(record.zone)}." for record in records if record.zone]
    journals = [*(record.journal for record in records if record.journal), *zones]
    return DayBlock(
        name=order.day_name(day),
        anchor=f"day-{number}",
        date=date_text(day, weekday=True),
        planned=tuple(
            parts.planned_line(
                order, shot, say.line(shot.title), window_text(shot.window_from, shot.window_to)
            )
            for shot in order.shots_on(day)
        ),
        journal=say.prose("\n\n".join(journals)),
        visits=tuple(_visit(order, say, visit, figures) for visit in order.visits_on(day)),
        other_figures=tuple(figures[keeper.id] for keeper in order.other_keepers_on(day)),
        drawings=(
            *day_strip(order, say, day, tuple(order.visits_on(day)), parts.crowd_on(order, day)),
            *exposure_strip(order, say, day),
        ),
    )


def _visit(order: Order, say: PageDiscretion, visit: Visit, figures: dict[str, Figure]) -> VisitBlock:
    return VisitBlock(
        place=say.place(visit.viewpoint_id),
        when=window_text(visit.arrived_at, visit.departed_at),
        facts=parts.facts(
            parts.fact("Purpose", str(visit.purpose or "")),
            parts.fact("Tries", str(visit.tries) if visit.tries is not None else UNKNOWN),
            parts.fact("Support", setting(visit, "support", say.line)),
            parts.fact("Slug", say.line(visit.slug)),
        ),
        journal=say.prose(visit.journal),
        observed=_observed(say, list(order.conditions_of_visit(visit))),
        figures=tuple(figures[keeper.id] for keeper in order.keepers_of_visit(visit)),
    )


def _observed(say: PageDiscretion, conditions: list[Condition]) -> tuple[str, ...]:
    entries = ((places.entry(say, condition), condition.at) for condition in conditions)
    return tuple(parts.observed_line(entry, clock(at) if at else "") for entry, at in entries if entry)


def _kit(order: Order, say: PageDiscretion) -> Table:
    rows = []
    for packed in order.account.packed:
        item = order.account.kit.get(packed.item_id)
        used = UNKNOWN if packed.used is None else Value("used" if packed.used else "not used")
        rows.append(
            (
                Cell((Value(say.line(item.title) if item else "a piece no longer in the book"),)),
                Cell((Value(str(item.kind) if item else ""),)),
                Cell((Value(str(packed.packing)),)),
                Cell((Value(say.line(packed.why)) if packed.why else Value("no reason noted", "unknown"),)),
                Cell((used,)),
                Cell((Value("; ".join(_kit_words(order, say, packed.item_id))),)),
            )
        )
    return Table(
        "What was packed, what was left, and why",
        ("Piece", "Kind", "Decision", "Why", "On the trip", "About it"),
        tuple(rows),
    )


def _kit_words(order: Order, say: PageDiscretion, item_id: str) -> list[str]:
    item = order.account.kit.get(item_id)
    if not item:
        return []
    owned = "" if item.owned is None else "owned" if item.owned else "not owned"
    sensor = (
        f"sensor {item.sensor_width_mm:g} × {item.sensor_height_mm or 0:g} mm" if item.sensor_width_mm else ""
    )
    ends = [f"{end:g}" for end in (item.focal_min_mm, item.focal_max_mm) if end is not None]
    focal = f"{'–'.join(dict.fromkeys(ends))} mm" if ends else ""
    steady = f"stabilised, {item.stabilisation_stops:g} stops" if item.stabilisation_stops is not None else ""
    texts = (item.filter_name, item.body, item.notes, item.slug)
    return [part for part in (owned, sensor, focal, steady, *(say.line(text) for text in texts)) if part]


def _loose(order: Order, say: PageDiscretion) -> Table:
    rows = tuple(
        (
            Cell((Value(f"{say.line(loose.file)}, line {loose.line}"),)),
            Cell((Value(short_date(loose.on_date)),)),
            Cell((Value(say.line(loose.text)),)),
            Cell((Value(say.line(loose.why)),)),
        )
        for loose in order.account.loose_lines
    )
    return Table(
        "Lines of day files that were not understood, word for word", ("Where", "Day", "Line", "Why"), rows
    )
