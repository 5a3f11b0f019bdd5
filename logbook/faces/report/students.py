"""The students' page: intent, plan and decisions side by side, settings and their provenance, tries, hazards.

Its allow-list is this module: no client, no brief, no notes to oneself, no file, of the kit only the strength
of the packed filters, and only lessons meant for students. Of a withheld place only that something happened
there, and when.
"""

from logbook.craft.marks import number_text
from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper
from logbook.domain.lesson import Lesson
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import Audience, Disclosure, OutcomeWord
from logbook.faces.report import parts
from logbook.faces.report.drawings.day_strip import day_strip
from logbook.faces.report.drawings.exposure_strip import exposure_strip
from logbook.faces.report.drawings.map import maps
from logbook.faces.report.exercises import exercises
from logbook.faces.report.models import (
    Cell,
    DayBlock,
    Entry,
    Figure,
    LessonLine,
    Opening,
    PicturePage,
    PlaceBlock,
    Spread,
    StudentsPage,
    Table,
    Value,
    VisitBlock,
)
from logbook.faces.report.order import Order
from logbook.faces.report.pairs import pairs
from logbook.faces.report.privacy import PageDiscretion
from logbook.faces.report.settings import HEADS, setting, settings_line
from logbook.faces.words.cautions import cautions
from logbook.faces.words.phrases import (
    bearing_text,
    clock,
    counted,
    date_text,
    listed,
    sentence,
    short_date,
    span_text,
    uncapitalised,
    window_text,
)

SETTINGS = ("exposure_s", "f_number", "iso", "focal_mm", "filters", "support")
MORE_SETTINGS = ("focal_35mm", "bias_stops", "exposure_mode", "metering", "lens")
PLANNED = ("exposure_s", "f_number", "iso", "focal_mm", "filters", "support")
NOT_NOTED = Value("not noted", "unknown")


def students_page(
    order: Order, say: PageDiscretion, images: parts.Images, lead: Keeper | None
) -> StudentsPage:
    """Return all that students are shown of an account."""
    account = order.account
    trip = account.trip
    figures = {keeper.id: _figure(order, say, keeper, images) for keeper in order.keepers}
    sets = parts.set_facts(order)
    sites = [site for site in account.sites.values() if say.site(site.id)]
    viewpoints = [viewpoint for viewpoint in account.viewpoints.values() if say.viewpoint(viewpoint.id)]
    return StudentsPage(
        opening=Opening(
            title=say.line(trip.title),
            for_whom="For students",
            dates=span_text(trip.starts_on, trip.ends_on),
            region=parts.regions_text(say, (site.region for site in sites)),
            lead=figures[lead.id] if lead else None,
            counts=parts.counts(order),
        ),
        summary=say.prose(trip.summary),
        purpose=say.prose(trip.purpose),
        days=tuple(_day(order, say, number, figures) for number in range(1, len(order.days) + 1)),
        undated=tuple(figures[keeper.id] for keeper in order.undated_keepers()),
        spreads=tuple(_spread(order, say, shot, figures) for shot in order.shots),
        pairs=pairs(order, say, figures),
        exercises=exercises(order, say),
        settings=parts.settings_table(
            order, SETTINGS, say.line, "Settings of every picture, and where each value comes from"
        ),
        tries=_tries(order, say),
        failures=tuple(
            parts.outcome_line(order, say, shot)
            for shot in order.shots
            if order.outcome(shot) not in (OutcomeWord.MADE, OutcomeWord.OPEN)
        ),
        conditions=_conditions(order, say),
        places=tuple(_place(say, site, [v for v in viewpoints if v.site_id == site.id]) for site in sites),
        places_lead=say.rounding((*sites, *viewpoints)),
        cautions=cautions(
            (kind for site in sites for kind in site.kinds),
            [*(site.footing for site in sites), *(viewpoint.footing for viewpoint in viewpoints)],
            (condition.kind for condition in account.conditions),
        ),
        lessons=tuple(
            LessonLine(str(lesson.verb), _about(order, say, lesson), html)
            for lesson in account.lessons
            if lesson.shown_to is Audience.STUDENTS and (html := parts.advice(say, lesson.text))
        ),
        credit=say.line(trip.credit),
        rights=say.line(trip.rights),
        picture_pages=tuple(
            _picture_page(order, say, keeper, figures[keeper.id], sets.get(keeper.id, ""))
            for keeper in order.keepers
        ),
        maps=maps(order, say, with_sun=True),
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
    direction = ""
    if keeper.direction_deg is not None and say.viewpoint(keeper.viewpoint_id):
        north = " by compass" if keeper.direction_is_magnetic else ""
        direction = f"{bearing_text(keeper.direction_deg)}{north}"
    shot = next((shot for shot in order.shots if shot.id == keeper.shot_id), None)
    return PicturePage(
        figure,
        parts.facts(
            *(parts.fact(HEADS[name], setting(keeper, name, say.line)) for name in SETTINGS),
            *(
                parts.fact(HEADS[name], setting(keeper, name, say.line))
                for name in MORE_SETTINGS
                if getattr(keeper, name) is not None
            ),
            parts.fact("Facing", direction),
            parts.fact("Part of a", in_set),
            parts.fact("Made for", parts.shot_reference(order, shot, say.line(shot.title)) if shot else ""),
        ),
    )


def _spread(order: Order, say: PageDiscretion, shot: Shot, figures: dict[str, Figure]) -> Spread:
    outcome = order.account.outcomes.get(shot.id)
    fallback_for = next((other for other in order.shots if other.id == shot.fallback_for_id), None)
    fallbacks = [other for other in order.shots if other.fallback_for_id == shot.id]
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
                "If it fails",
                listed([parts.shot_reference(order, other, say.line(other.title)) for other in fallbacks]),
            ),
            parts.fact(
                "Fallback for",
                parts.shot_reference(order, fallback_for, say.line(fallback_for.title))
                if fallback_for
                else "",
            ),
        ),
        plan_text=parts.passages(parts.passage(say, shot.intent)),
        status=parts.status(order, shot),
        became=parts.became(order, shot, say),
        in_its_place=parts.in_its_place(order, shot, say),
        result=parts.facts(
            *(
                parts.fact(f"Picture {order.keeper_numbers[k.id]}", *settings_line(k, SETTINGS, say.line))
                for k in keepers
            )
        ),
        result_text=parts.passages(parts.note(say, outcome.note if outcome else None)),
        observed=_observed_for(order, say, shot, keepers),
        figures=tuple(figures[keeper.id] for keeper in keepers),
        instead=parts.instead(order, shot, figures),
    )


def _observed_for(order: Order, say: PageDiscretion, shot: Shot, keepers: list[Keeper]) -> tuple[str, ...]:
    """What was observed on the visits that a shot was planned for or its pictures were made on."""
    made_on = {order.visit_by_keeper.get(keeper.id) for keeper in keepers}
    due = {
        v.id for v in order.account.visits if (v.viewpoint_id, v.on_date) == (shot.viewpoint_id, shot.on_date)
    }
    met = made_on if made_on & due else made_on | due  # of several visits there, those on which it was made
    lines = []
    for visit in order.account.visits:
        if visit.id in met:
            entries = (_entry(say, condition) for condition in order.conditions_of_visit(visit))
            lines += [parts.observed_line(entry, entry.when) for entry in entries if entry]
    return tuple(dict.fromkeys(lines))


def _day(order: Order, say: PageDiscretion, number: int, figures: dict[str, Figure]) -> DayBlock:
    day = order.days[number - 1]
    journals = [record.journal for record in order.account.days if record.on_date == day and record.journal]
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
            parts.fact("Tries", str(visit.tries) if visit.tries is not None else NOT_NOTED),
            parts.fact("Support", setting(visit, "support", say.line)),
        ),
        journal=say.prose(visit.journal),
        observed=_observed(say, list(order.conditions_of_visit(visit))),
        figures=tuple(figures[keeper.id] for keeper in order.keepers_of_visit(visit)),
    )


def _tries(order: Order, say: PageDiscretion) -> Table:
    rows: list[tuple[Cell, ...]] = []
    for day in order.days:
        for visit in order.visits_on(day):
            kept = len(list(order.keepers_of_visit(visit)))
            where = f"{say.place(visit.viewpoint_id)}, {short_date(day)}"
            tries = NOT_NOTED if visit.tries is None else Value(str(visit.tries))
            rows.append(
                (
                    Cell((Value(where),), exact=str(len(rows) + 1)),
                    Cell((Value(str(visit.purpose)) if visit.purpose else NOT_NOTED,)),
                    _count(tries),
                    _count(Value(str(kept))),
                    _count(_tries_for_one(visit.tries, kept)),
                )
            )
    return Table(
        "Tries on every visit, and how many pictures were kept",
        ("Visit", "Purpose", "Tries", "Kept", "Tries per kept picture"),
        tuple(rows),
        "A try is one picture taken on purpose; most fail, and that is how the kept ones came about.",
    )


def _count(value: Value) -> Cell:
    return Cell((value,), figures=True, exact="" if value.origin or value.text == "–" else value.text)


def _tries_for_one(tries: int | None, kept: int) -> Value:
    """How many tries one kept picture took; a visit that kept none has no such number."""
    if tries is None:
        return NOT_NOTED
    return Value(number_text(tries / kept, 1)) if kept else Value("–")


def _entry(say: PageDiscretion, condition: Condition) -> Entry | None:
    return parts.entry(
        condition,
        direction=say.line(condition.direction),
        note=say.line(condition.note),
        source=say.line(condition.source),
        place_withheld=say.hides(condition.viewpoint_id, condition.site_id),
    )


def _observed(say: PageDiscretion, conditions: list[Condition]) -> tuple[str, ...]:
    entries = ((_entry(say, condition), condition.at) for condition in conditions)
    lines = (parts.observed_line(seen, clock(at) if at else "") for seen, at in entries if seen)
    return tuple(dict.fromkeys(lines))


def _conditions(order: Order, say: PageDiscretion) -> tuple[PlaceBlock, ...]:
    places: dict[str, list[Entry]] = {}
    for condition in order.account.conditions:
        if entry := _entry(say, condition):
            place = say.place(condition.viewpoint_id, condition.site_id) or parts.ON_THE_WAY
            places.setdefault(place, []).append(entry)
    return tuple(PlaceBlock(place, entries=tuple(entries)) for place, entries in places.items())


def _place(say: PageDiscretion, site: Site, viewpoints: list[Viewpoint]) -> PlaceBlock:
    exact = site.elevation_m is not None and say.shown(site) is Disclosure.EXACT
    walk = counted(site.walk_min, "minute") if site.walk_min is not None else ""
    dangers = [parts.passage(say, site.hazards, "Hazards")]
    dangers += [parts.passage(say, v.hazards, f"Hazards at {say.line(v.title)}") for v in viewpoints]
    ways = [parts.passage(say, site.access, "Access")]
    ways += [parts.passage(say, v.access, f"Access to {say.line(v.title)}") for v in viewpoints]
    texts = parts.passages(*dangers, *ways)
    return PlaceBlock(
        say.line(site.title),
        parts.facts(
            parts.fact("Kind", listed([str(kind).replace("-", " ") for kind in site.kinds])),
            parts.fact("Region", say.line(site.region)),
            parts.fact("Position", say.position(site)),
            parts.fact("Elevation", f"{site.elevation_m:.0f} m" if exact else ""),
            parts.fact("Footing", str(site.footing or "")),
            parts.fact("Walk", walk),
            *(parts.fact(say.line(viewpoint.title), _stance(say, viewpoint)) for viewpoint in viewpoints),
        ),
        texts,
        entries=(Entry("", parts.first_noted((site, *viewpoints))),) if texts else (),
    )


def _stance(say: PageDiscretion, viewpoint: Viewpoint) -> str:
    facing = f"faces {bearing_text(viewpoint.facing_deg)}" if viewpoint.facing_deg is not None else ""
    looks = f"view: {uncapitalised(say.line(viewpoint.looks_at))}" if viewpoint.looks_at else ""
    footing = f"footing {viewpoint.footing}" if viewpoint.footing else ""
    rule = f"tripods {viewpoint.tripod_rule}" if viewpoint.tripod_rule != "unknown" else "tripod rule unknown"
    is_exact = say.shown(viewpoint) is Disclosure.EXACT
    horizon = f"horizon: {viewpoint.horizon.words}" if viewpoint.horizon and is_exact else ""
    stands = "; ".join(filter(None, (footing, rule, horizon, say.position(viewpoint))))
    return " ".join(sentence(said) for said in (facing, looks, stands) if said)


def _about(order: Order, say: PageDiscretion, lesson: Lesson) -> str:
    shot = next((shot for shot in order.shots if shot.id == lesson.shot_id), None)
    where = say.place(lesson.viewpoint_id, lesson.site_id)
    what = parts.shot_reference(order, shot, say.line(shot.title)) if shot else ""
    return "; ".join(filter(None, (say.line(lesson.technique), what, where)))
