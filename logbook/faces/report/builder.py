"""The one builder of pages: an account in order, an edition and pictures in, a page model out.

One surprising decision: it knows no audience. What may not be seen is not in the account, and which sections
there are is said by the edition.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from textwrap import shorten

from logbook.domain.choosing import Chosen, Plate
from logbook.domain.lesson import Lesson
from logbook.domain.shot import Shot
from logbook.domain.words import OutcomeWord
from logbook.faces.report.drawings.locator import locator
from logbook.faces.report.drawings.map import maps
from logbook.faces.report.editions import Edition, LeafKind, PageHeading, PageSection
from logbook.faces.report.exercises import exercises
from logbook.faces.report.first_page import class_work, day_cards, holds
from logbook.faces.report.homes import homes_of
from logbook.faces.report.large import picture_pages
from logbook.faces.report.leaves import LeafPlan, leaf_plans, whole_of
from logbook.faces.report.models import (
    AskedAndDelivered,
    Content,
    Figure,
    LessonLine,
    MadeShot,
    NextVisit,
    Opening,
    OutcomeLine,
    Spread,
    TriesAndFailures,
)
from logbook.faces.report.observed import conditions
from logbook.faces.report.order import Order
from logbook.faces.report.page_models import Block, Leaf, Page
from logbook.faces.report.pair_words import pairs
from logbook.faces.report.parts import (
    Images,
    PageDraft,
    counts,
    figure,
    note,
    regions_text,
    shot_reference,
)
from logbook.faces.report.places import places, places_lead
from logbook.faces.report.private_notes import kit, loose, trip_notes
from logbook.faces.report.settings import TABLE_FILE, settings_table
from logbook.faces.report.spreads import outcome_line, spread
from logbook.faces.report.story import days, tries
from logbook.faces.report.where import place_name
from logbook.faces.words.cautions import cautions
from logbook.faces.words.contact import contact
from logbook.faces.words.phrases import date_text, span_text
from logbook.faces.words.prose import line, prose

DELIVERED = (OutcomeWord.MADE, OutcomeWord.PARTLY)
LONGEST_DESCRIPTION = 160  # characters


def page_for(
    order: Order, edition: Edition, images: Images, chosen: Chosen, geography: Path, url: str = ""
) -> Page:
    """Return the pages of an edition, made from the account that its audience may see.

    `chosen` says which pictures are large, `geography` is the folder of the world's outlines, and `url` is
    where the pages will stand.
    """
    trip = order.account.trip
    figures = {one.id: figure(order, edition, one, images.get(one.id)) for one in order.keepers}
    if edition.pictures_first:
        figures |= dict(_folded(figures, chosen))
    plans = leaf_plans(order, edition)
    draft = PageDraft(order, edition, figures, chosen, geography, whole_of(order), plans)
    (lead,) = draft.shown_as([chosen.opening]) if chosen.opening else (None,)
    made = (_leaf(draft, plan) for plan in plans)
    leaves = tuple(one for one in made if one.is_first or any(block.content for block in one.sections))
    return Page(
        name=edition.name,
        alone=edition.with_book,
        pictures_first=edition.pictures_first,
        opening=Opening(
            title=line(trip.title),
            for_whom=_for_whom(edition, line(trip.client)),
            dates=span_text(trip.starts_on, trip.ends_on),
            region=regions_text(site.region for site in order.account.sites.values()),
            lead=lead,
            counts=counts(order, with_rule=edition.with_craft),
        ),
        summary=None if edition.with_book else prose(trip.summary),
        leaves=leaves,
        homes=homes_of(leaves, lead),
        picture_pages=picture_pages(draft),
        credit=line(trip.credit),
        rights=line(trip.rights),
        contact=contact(trip.contact),
        description=_description(order),
        url=url,
    )


def _folded(figures: Mapping[str, Figure], chosen: Chosen) -> Iterator[tuple[str, Figure]]:
    """Yield the frames that another stands for; a way back from one leads to that other."""
    for plate in chosen.plates:
        for frame in plate.frames:
            yield frame, replace(figures[frame], anchor=figures[plate.keeper.id].anchor)


def _description(order: Order) -> str:
    """One line for those who are sent a link: the summary's beginning, else the dates and the regions."""
    trip = order.account.trip
    if told := prose(trip.summary):
        return shorten(told.striptags(), LONGEST_DESCRIPTION, placeholder=" …")
    dates = span_text(trip.starts_on, trip.ends_on)
    region = regions_text(site.region for site in order.account.sites.values())
    return ". ".join(filter(None, (dates, region)))


def _for_whom(edition: Edition, client: str) -> str:
    """For whom the pages are; nothing where they are for a client whom nobody named."""
    is_for_client = "{client}" in edition.for_whom
    return edition.for_whom.format(client=client) if client or not is_for_client else ""


def _leaf(draft: PageDraft, plan: LeafPlan) -> Leaf:
    portion = replace(draft, portion=plan.portion)
    return Leaf(
        file=plan.file,
        name=plan.name,
        detail=plan.detail,
        holds=holds(draft, plan),
        sections=tuple(_block(portion, heading) for heading in plan.headings),
        is_first=plan.kind is LeafKind.FIRST,
        is_day=plan.kind is LeafKind.DAY,
        cover=draft.best_of(plan.portion),
    )


def _block(draft: PageDraft, heading: PageHeading) -> Block:
    lead = places_lead(draft) if heading.section is PageSection.PLACES else heading.lead
    content = _CONTENT[heading.section](draft)
    return Block(str(heading.section), heading.at, heading.title, lead, content or None)


def _brief(draft: PageDraft) -> AskedAndDelivered | None:
    asked = prose(draft.order.account.trip.brief)
    if not asked and not draft.order.shots:
        return None
    figures = (
        replace(shown, serves=line(shot.title))
        for shot in draft.order.shots
        if draft.order.outcome(shot) in DELIVERED
        for shown in draft.shown_as(_serving(draft, shot.id))
    )
    return AskedAndDelivered(asked, tuple(figures), tuple(_quiet_lines(draft)))


def _serving(draft: PageDraft, shot_id: str) -> Iterator[Plate]:
    """The pictures made for a shot; of a set the one that stands for it."""
    made_for = {one.id: one.shot_id for one in draft.order.keepers}
    return (one for one in draft.chosen.plates if shot_id in {made_for[frame] for frame in one.frames})


def _quiet_lines(draft: PageDraft) -> Iterator[OutcomeLine]:
    """What came otherwise, each in a line that leads to the picture; there is no spread to lead to."""
    order = draft.order
    for shot in order.shots:
        if order.outcome(shot) is OutcomeWord.MADE:
            continue
        outcome = order.account.outcomes.get(shot.id)
        replaced, picture = order.replacement(outcome) if outcome else (None, None)
        served = replaced.id if replaced else shot.id
        keeper = picture or next((one.keeper for one in _serving(draft, served)), None)
        said = note(outcome.note if outcome else None)
        yield replace(
            outcome_line(order, shot),
            anchor=draft.figures[keeper.id].anchor if keeper else "",
            instead=(),
            said=said.html if said else None,
        )


def _tells_something(draft: PageDraft, shot: Shot) -> bool:
    """Whether plan and result of a shot differ; with craft also whether it taught something."""
    order = draft.order
    if order.outcome(shot) is not OutcomeWord.MADE:
        return True
    outcome = order.account.outcomes.get(shot.id)
    learned = any(one.shot_id == shot.id for one in order.account.lessons)
    return draft.edition.with_craft and bool(learned or (outcome and outcome.note))


def _otherwise(draft: PageDraft) -> tuple[Spread, ...]:
    return tuple(spread(draft, shot) for shot in draft.portion.shots if _tells_something(draft, shot))


def _made(draft: PageDraft) -> tuple[MadeShot, ...]:
    order = draft.order
    return tuple(
        MadeShot(
            number=order.shot_numbers[shot.id],
            anchor=f"shot-{order.shot_numbers[shot.id]}",
            title=line(shot.title),
            intent=prose(shot.intent),
            figures=tuple(draft.figures[one.id] for one in order.keepers_of_shot(shot)),
        )
        for shot in draft.portion.shots
        if not _tells_something(draft, shot)
    )


def _tries(draft: PageDraft) -> TriesAndFailures | None:
    failures, table = _outcomes(draft, OutcomeWord.MADE, OutcomeWord.OPEN), tries(draft)
    return TriesAndFailures(failures, table) if failures or table.rows else None


def _next(draft: PageDraft) -> NextVisit | None:
    text, lessons = prose(draft.order.account.trip.next_visit), _lessons(draft)
    return NextVisit(text, lessons) if text or lessons else None


def _outcomes(draft: PageDraft, *but: OutcomeWord) -> tuple[OutcomeLine, ...]:
    order = draft.order
    return tuple(outcome_line(order, shot) for shot in order.shots if order.outcome(shot) not in but)


def _lessons(draft: PageDraft) -> tuple[LessonLine, ...]:
    return tuple(
        LessonLine(draft.edition.verbs[lesson.verb], _about(draft, lesson), said.html)
        for lesson in draft.order.account.lessons
        if (said := note(lesson.text))
    )


def _about(draft: PageDraft, lesson: Lesson) -> str:
    """What a lesson is tied to; in the book also when, and for whom it is."""
    order = draft.order
    technique, shot = line(lesson.technique), shot_reference(order, lesson.shot_id)
    place = place_name(order.account, lesson.viewpoint_id, lesson.site_id)
    if not draft.edition.with_craft:
        return "; ".join(filter(None, (place, shot)))
    if not draft.edition.with_book:
        return "; ".join(filter(None, (technique, shot, place)))
    when = date_text(lesson.on_date) if lesson.on_date else ""
    for_whom = f"shown to {lesson.shown_to}" if lesson.shown_to else "for the photographer alone"
    return "; ".join(filter(None, (technique, shot, place, when, for_whom, line(lesson.slug))))


def _cautions(draft: PageDraft) -> tuple[str, ...]:
    account = draft.order.account
    return cautions(
        (kind for site in account.sites.values() for kind in site.kinds),
        [place.footing for place in account.places],
        (condition.kind for condition in account.conditions),
    )


def _settings(draft: PageDraft) -> Content | None:
    origins = ", and where each value comes from" if draft.edition.with_craft else ""
    anchors = {key: one.anchor for key, one in draft.figures.items()}
    is_all = len(draft.portion.keepers) == len(draft.order.keepers)
    which = "every picture" if is_all else "the day's pictures" if draft.portion.days else "these pictures"
    return settings_table(
        draft.order,
        draft.portion.keepers,
        anchors,
        f"Settings of {which}{origins}",
        TABLE_FILE if is_all else "",
    )


def _maps(draft: PageDraft) -> Content:
    edition, account = draft.edition, draft.order.account
    near = maps(draft.order, with_sun=edition.with_craft, pictures=_of_viewpoints(draft))
    known = [position for place in account.places if (position := place.position)]
    where = locator(known, draft.geography)
    return (*((where,) if where else ()), *near)


def _of_viewpoints(draft: PageDraft) -> dict[str, Figure]:
    """The best picture of each viewpoint, of those that are here."""
    stands = {one.id: one.viewpoint_id for one in draft.order.keepers}
    best: dict[str, Figure] = {}
    for plate in draft.chosen.plates:
        viewpoint_id, shown = stands[plate.keeper.id], draft.figures[plate.keeper.id]
        if viewpoint_id and shown.image:
            best.setdefault(viewpoint_id, shown)
    return best


_CONTENT: Mapping[PageSection, Callable[[PageDraft], Content | None]] = {
    PageSection.TRIP: trip_notes,
    PageSection.BRIEF: _brief,
    PageSection.INTENT: lambda draft: prose(draft.order.account.trip.purpose),
    PageSection.LOOSE: loose,
    PageSection.SHOTS: lambda draft: tuple(spread(draft, shot) for shot in draft.portion.shots),
    PageSection.PLATES: lambda draft: draft.shown_as(draft.chosen.large),
    PageSection.OTHERWISE: _otherwise,
    PageSection.MADE: _made,
    PageSection.MORE: lambda draft: draft.shown_as(draft.chosen.rest),
    PageSection.STORY: days,
    PageSection.LESSONS: _lessons,
    PageSection.PAIRS: pairs,
    PageSection.EXERCISES: lambda draft: exercises(draft.order),
    PageSection.SETTINGS: _settings,
    PageSection.TRIES: _tries,
    PageSection.CONDITIONS: conditions,
    PageSection.NEXT: _next,
    PageSection.MAPS: _maps,
    PageSection.PLACES: places,
    PageSection.KIT: kit,
    PageSection.CAUTIONS: _cautions,
    PageSection.PICTURES: lambda draft: draft.pictures(draft.order.keepers),
    PageSection.DAYS: day_cards,
    PageSection.WORK: class_work,
}
