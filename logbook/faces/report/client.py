"""The client's page: what was asked, what was delivered and why, the pictures, and what to know next time.

Its allow-list is this module: no journal, no note to oneself, no kit, no file, and only lessons meant for
clients.
"""

from datetime import date

from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper
from logbook.domain.lesson import Lesson
from logbook.domain.shot import Shot
from logbook.domain.visit import Visit
from logbook.domain.words import Audience, ConditionKind, LessonVerb, OutcomeWord, Reason
from logbook.faces.report import parts
from logbook.faces.report.drawings.day_strip import day_strip
from logbook.faces.report.drawings.map import maps
from logbook.faces.report.models import (
    ClientPage,
    DayBlock,
    Entry,
    Figure,
    LessonLine,
    Opening,
    PicturePage,
    PlaceBlock,
    Spread,
    VisitBlock,
)
from logbook.faces.report.order import Order
from logbook.faces.report.privacy import PageDiscretion
from logbook.faces.report.settings import settings_line
from logbook.faces.words.phrases import date_text, span_text, window_text

SETTINGS = ("exposure_s", "f_number", "iso", "focal_mm", "filters")
SETTINGS_TITLE = "Settings of every picture"

_VERBS: dict[LessonVerb, str] = {
    LessonVerb.KEEP: "again",
    LessonVerb.CHANGE: "next time",
    LessonVerb.AVOID: "avoid",
}  # advice, to somebody who was not there
# What each reason speaks of; of weather the wind alone where no other weather was noted.
_BORE_ON: dict[Reason, tuple[ConditionKind, ...]] = {
    Reason.CROWD: (ConditionKind.CROWD,),
    Reason.WEATHER: (ConditionKind.WEATHER, ConditionKind.WIND),
    Reason.WATER: (ConditionKind.WATER,),
    Reason.LIGHT: (ConditionKind.LIGHT,),
    Reason.RULE: (ConditionKind.RULE,),
    Reason.CLOSURE: (ConditionKind.CLOSURE,),
}


def client_page(order: Order, say: PageDiscretion, images: parts.Images, lead: Keeper | None) -> ClientPage:
    """Return all that a client is shown of an account."""
    account = order.account
    trip = account.trip
    figures = {keeper.id: _figure(order, say, keeper, images) for keeper in order.keepers}
    regions = (site.region for site in account.sites.values() if say.site(site.id))
    return ClientPage(
        opening=Opening(
            title=say.line(trip.title),
            for_whom=f"For {say.line(trip.client)}" if say.line(trip.client) else "",
            dates=span_text(trip.starts_on, trip.ends_on),
            region=parts.regions_text(say, regions),
            lead=figures[lead.id] if lead else None,
            counts=parts.counts(order, with_rule=False),
        ),
        summary=say.prose(trip.summary),
        brief=say.prose(trip.brief),
        otherwise=tuple(
            parts.outcome_line(order, say, shot)
            for shot in order.shots
            if order.outcome(shot) is not OutcomeWord.MADE
        ),
        spreads=tuple(_spread(order, say, shot, figures) for shot in order.shots),
        days=_days(order, say, figures),
        undated=tuple(figures[keeper.id] for keeper in order.undated_keepers()),
        conditions=_conditions(order, say),
        places=tuple(
            PlaceBlock(
                say.line(site.title),
                parts.facts(
                    parts.fact("Region", say.line(site.region)), parts.fact("Position", say.position(site))
                ),
            )
            for site in account.sites.values()
            if say.site(site.id)
        ),
        places_lead=say.rounding(account.sites.values()),
        next_visit=say.prose(trip.next_visit),
        lessons=tuple(
            LessonLine(_VERBS[lesson.verb], _about(order, say, lesson), html)
            for lesson in account.lessons
            if lesson.shown_to is Audience.CLIENT and (html := parts.advice(say, lesson.text))
        ),
        settings=parts.settings_table(order, SETTINGS, say.line, SETTINGS_TITLE),
        credit=say.line(trip.credit),
        rights=say.line(trip.rights),
        picture_pages=tuple(_picture_page(say, keeper, figures[keeper.id]) for keeper in order.keepers),
        maps=maps(order, say, with_sun=False),
    )


def _figure(order: Order, say: PageDiscretion, keeper: Keeper, images: parts.Images) -> Figure:
    return parts.figure(
        order.keeper_numbers[keeper.id],
        images.get(keeper.id),
        caption=say.line(keeper.caption),
        alternative=say.line(keeper.alternative),
        place=say.place(keeper.viewpoint_id),
        keeper=keeper,
    )


def _picture_page(say: PageDiscretion, keeper: Keeper, figure: Figure) -> PicturePage:
    return PicturePage(
        figure, parts.facts(parts.fact("Settings", *settings_line(keeper, SETTINGS, say.line)))
    )


def _spread(order: Order, say: PageDiscretion, shot: Shot, figures: dict[str, Figure]) -> Spread:
    outcome = order.account.outcomes.get(shot.id)
    return Spread(
        number=order.shot_numbers[shot.id],
        anchor=f"shot-{order.shot_numbers[shot.id]}",
        title=say.line(shot.title),
        plan=parts.facts(
            parts.fact("Where", say.place(shot.viewpoint_id)),
            parts.fact("Day", date_text(shot.on_date) if shot.on_date else ""),
            parts.fact("Time", window_text(shot.window_from, shot.window_to)),
            parts.fact("Priority", str(shot.priority)),
        ),
        plan_text=parts.passages(parts.passage(say, shot.intent)),
        status=parts.status(order, shot),
        became=parts.became(order, shot, say),
        in_its_place=parts.in_its_place(order, shot, say),
        result=(),
        result_text=parts.passages(parts.note(say, outcome.note if outcome else None)),
        observed=(),
        figures=tuple(figures[keeper.id] for keeper in order.keepers_of_shot(shot)),
        instead=parts.instead(order, shot, figures),
    )


def _about(order: Order, say: PageDiscretion, lesson: Lesson) -> str:
    """The place and the shot that advice is about; of a withheld place nothing, not even that it is one."""
    shot = next((shot for shot in order.shots if shot.id == lesson.shot_id), None)
    place = (
        ""
        if say.hides(lesson.viewpoint_id, lesson.site_id)
        else say.place(lesson.viewpoint_id, lesson.site_id)
    )
    what = parts.shot_reference(order, shot, say.line(shot.title)) if shot else ""
    return "; ".join(filter(None, (place, what)))


def _days(order: Order, say: PageDiscretion, figures: dict[str, Figure]) -> tuple[DayBlock, ...]:
    """Only days with pictures, and of each only the places where a picture was kept."""
    blocks = []
    for number, day in enumerate(order.days, start=1):
        kept = [visit for visit in order.visits_on(day) if any(order.keepers_of_visit(visit))]
        visits = tuple(_visit(order, say, visit, figures) for visit in kept)
        others = tuple(figures[keeper.id] for keeper in order.other_keepers_on(day))
        if visits or others:
            blocks.append(
                DayBlock(
                    name=order.day_name(day),
                    anchor=f"day-{number}",
                    date=date_text(day, weekday=True),
                    planned=(),
                    journal=None,
                    visits=visits,
                    other_figures=others,
                    drawings=day_strip(order, say, day, kept, ()),
                )
            )
    return tuple(blocks)


def _visit(order: Order, say: PageDiscretion, visit: Visit, figures: dict[str, Figure]) -> VisitBlock:
    return VisitBlock(
        place=say.place(visit.viewpoint_id),
        when=window_text(visit.arrived_at, visit.departed_at),
        facts=(),
        journal=None,
        observed=(),
        figures=tuple(figures[keeper.id] for keeper in order.keepers_of_visit(visit)),
    )


def _conditions(order: Order, say: PageDiscretion) -> tuple[PlaceBlock, ...]:
    """Closures always; anything else only where it decided about a shot, which is named."""
    places: dict[str, list[Entry]] = {}
    for condition in order.account.conditions:
        decided = _decided(order, condition)
        if condition.kind is not ConditionKind.CLOSURE and not decided:
            continue
        entry = parts.entry(
            condition,
            direction=say.line(condition.direction),
            note=say.line(condition.note),
            source=say.line(condition.source),
            place_withheld=say.hides(condition.viewpoint_id, condition.site_id),
            decided=[
                f"Shot {order.shot_numbers[one.id]}: {parts.status(order, one).lower()}." for one in decided
            ],
        )
        if entry:
            place = say.place(condition.viewpoint_id, condition.site_id) or parts.ON_THE_WAY
            places.setdefault(place, []).append(entry)
    return tuple(PlaceBlock(place, entries=tuple(entries)) for place, entries in places.items())


def _decided(order: Order, condition: Condition) -> list[Shot]:
    """The shots that an observation decided about: a reason for them, seen where and when they were due."""
    return [
        shot
        for shot in order.shots
        if condition.kind in _kinds(order, shot) and _meets(order, shot, condition)
    ]


def _kinds(order: Order, shot: Shot) -> set[ConditionKind]:
    """The kinds of observation that a shot's reasons speak of, of each the first that was made there."""
    outcome = order.account.outcomes.get(shot.id)
    if outcome is None or outcome.word is OutcomeWord.OPEN:
        return set()
    met = {one.kind for one in order.account.conditions if _meets(order, shot, one)}
    found = (next((kind for kind in _BORE_ON.get(why, ()) if kind in met), None) for why in outcome.reasons)
    return {kind for kind in found if kind}


def _meets(order: Order, shot: Shot, condition: Condition) -> bool:
    """Whether something was observed where and when a shot was planned, or its pictures were made."""
    made = {order.visit_by_keeper.get(keeper.id) for keeper in order.keepers_of_shot(shot)}
    stood: set[tuple[str | None, date]] = {
        (v.viewpoint_id, v.on_date) for v in order.account.visits if v.id in made
    }
    if shot.on_date:
        stood.add((shot.viewpoint_id, shot.on_date))
    if condition.viewpoint_id and condition.kind is not ConditionKind.CLOSURE:
        here = (condition.viewpoint_id, condition.on_date)
        visits = {v.id for v in order.account.visits if (v.viewpoint_id, v.on_date) == here}
        seen_on = order.visit_of_condition(condition)
        made_on_another = seen_on is not None and bool(made & visits) and seen_on not in made
        return here in stood and not made_on_another
    there = _site_id(order, condition.viewpoint_id) or condition.site_id  # a closure bars the whole place
    return there is not None and (there, condition.on_date) in {
        (_site_id(order, viewpoint_id), day) for viewpoint_id, day in stood
    }


def _site_id(order: Order, viewpoint_id: str | None) -> str | None:
    site = order.account.site_of(viewpoint_id)
    return site.id if site else None
