"""Which questions follow from a plan and from the answers given so far, in their order.

One surprising decision: what a match alone suggests is that a picture serves a shot; that the shot was made
is only ever typed, never what Enter takes.
"""

from collections.abc import Iterator, Mapping
from functools import partial
from itertools import takewhile

from logbook.craft.matching import MatchKind
from logbook.domain.words import Crowd, Disclosure, OutcomeWord, Provenance, Reason, Support
from logbook.domain.written.outcomes import outcome_written
from logbook.services.night.before_lens import filters_answer
from logbook.services.night.cutting import CORRECTING, stay_lines
from logbook.services.night.frame_questions import carried_on, key_of_group, name_of, of_group, same_shot
from logbook.services.night.planned import NightPlan, PlannedVisit
from logbook.services.night.questions import Answered, Asks, Question
from logbook.services.night.without_pictures import HOW_TO
from logbook.services.places.viewpoints import AT

SUPPORTS = tuple(word for word in Support if word is not Support.UNKNOWN)
OUTCOMES = tuple(word for word in OutcomeWord if word is not OutcomeWord.OPEN)
UNEXPLAINED = (OutcomeWord.PARTLY, OutcomeWord.REPLACED, OutcomeWord.MISSED)  # what one is asked a reason for
NOTHING_NEW = "nothing new noted"


def after_clocks(plan: NightPlan, shown: Disclosure, answers: Mapping[str, Answered]) -> Iterator[Question]:
    """Yield what is asked once the clocks are settled; `answers` are those given so far, by key."""
    yield _of_changes(plan)
    for visit in plan.visits:
        yield from _of_visit(visit, answers)
    for group in plan.others:
        where = "Keepers without a known place"
        yield from of_group(where, group, "", (group,), answers)
    yield Question(
        "stay",
        Asks.STAY,
        "Without a picture",
        "Where you went but kept no picture",
        hint=f"such as {HOW_TO}; on further lines, what you saw and what happened",
    )
    answered = (key.removeprefix("shot.") for key in answers if key.startswith("shot."))
    for slug in dict.fromkeys((*plan.shots, *(slug for slug in answered if "." not in slug))):
        yield _of_outcome(plan, slug)
        yield from _of_reasons(slug, answers.get(f"shot.{slug}"))
    lessons = "Lessons"
    where = _lesson_hint(plan)
    yield Question("keep", Asks.KEEP, lessons, "One thing to keep doing", hint=where)
    yield Question("change", Asks.CHANGE, lessons, "One thing to change next time", hint=where)
    yield Question("journal", Asks.JOURNAL, "Journal", "A line for the journal (e opens your editor)")
    yield Question(
        "shown",
        Asks.SHOWN,
        "What others see",
        "Places are shown to others",
        str(shown),
        Provenance.STATED,
        choices=tuple(Disclosure),
        hint=f"{' '.join(Disclosure)}; for one place: withheld VIEWPOINT",
    )


def _of_changes(plan: NightPlan) -> Question:
    """Ask what closed, after the stays of the day; its default claims nothing."""
    stays = stay_lines(plan)
    return Question(
        "changes",
        Asks.CHANGES,
        "The day",
        "What closed, flooded or changed today",
        why=(
            *stays,
            *((CORRECTING,) if stays else ()),
        ),
        hint=f"begin with a place if you like: {_a_place(plan)}, gate locked; separate several with ;",
        enter=f"{NOTHING_NEW} (places may still be closed)",
    )


def _lesson_hint(plan: NightPlan) -> str:
    """Say how a lesson gets a place; on a day with one viewpoint it is meant anyway."""
    places = {visit.viewpoint or visit.guess for visit in plan.visits}
    return "" if len(places) < 2 else f"begin with a place if you like: {_a_place(plan)}: come earlier"


def _a_place(plan: NightPlan) -> str:
    """Return a place of the day to show how one is named."""
    places = (visit.viewpoint or visit.guess for visit in plan.visits)
    return next((place for place in places if place), "north gate")


def _of_visit(visit: PlannedVisit, answers: Mapping[str, Answered]) -> Iterator[Question]:
    """Ask about one visit; where nobody knows the viewpoint, only about its keepers."""
    key = visit.key
    times = "-".join(part for part in (visit.arrived, visit.departed) if part)
    named = answers.get(f"{key}.viewpoint")
    place = named.text if named else visit.viewpoint or ""
    new = place if AT in place else ""
    if new:
        entered = answers.get(f"{key}.new")
        place = new.rpartition(AT)[0] if entered and entered.word is not None else ""
    span = visit.arrived if visit.arrived == visit.departed else times
    chapter = f"{place or 'A place without a viewpoint'} {span or ''}".strip()
    proposed = visit.viewpoint or visit.guess
    yield Question(
        f"{key}.viewpoint",
        Asks.VIEWPOINT,
        chapter,
        "Which viewpoint",
        proposed or "",
        Provenance.INFERRED if proposed else None,
        (visit.reason, "chosen because its plans fit") if visit.guess else (visit.reason,),
        about=visit.id,
        shows=visit.settings,
        hint="an unplanned one can be added here: Barrier, or Barrier at SITE",
    )
    if new:
        name, _, site = new.rpartition(AT)
        yield Question(
            f"{key}.new",
            Asks.NEW_VIEWPOINT,
            chapter,
            f'Add "{name}" as a new viewpoint at {site}',
            "y",
            choices=("y", "n"),
            about=f"{visit.id},{new}",
            hint="n: name the viewpoint again",
        )
    is_there = bool(place or (visit.guess and named is None))
    if is_there:
        yield Question(
            f"{key}.times",
            Asks.TIMES,
            chapter,
            "Times there",
            times,
            _source(visit, "arrived_at", "departed_at"),
            (visit.reason,) if visit.viewpoint else (),
            about=visit.id,
            shows=visit.settings,
        )
        yield Question(
            f"{key}.crowd",
            Asks.CROWD,
            chapter,
            "Crowd on arrival, at its peak, on leaving",
            choices=tuple(Crowd),
            about=visit.id,
            hint=f"{' '.join(Crowd)}; one word if it never changed",
            shows=visit.settings,
        )
        yield Question(
            f"{key}.conditions",
            Asks.CONDITIONS,
            chapter,
            "Water, wind, weather, light, ground",
            about=visit.id,
            hint="such as crowd: dozens at 17:20; wind: 4 from west; water: high",
            shows=visit.settings,
        )
    yield Question(
        f"{key}.support",
        Asks.SUPPORT,
        chapter,
        "Support",
        visit.support or "",
        _source_of_support(visit),
        (f"{visit.support}: {visit.support_from}",) if visit.support else (),
        SUPPORTS,
        about=visit.id,
        hint=" ".join(SUPPORTS),
        shows=visit.settings,
    )
    if is_there:
        yield Question(
            f"{key}.tries",
            Asks.TRIES,
            chapter,
            "Tries",
            "" if visit.tries is None else str(visit.tries),
            _source(visit, "tries"),
            (visit.tries_reason,) if visit.tries_reason else (),
            about=visit.id,
            shows=visit.settings,
        )
        yield Question(
            f"{key}.way",
            Asks.IN_THE_WAY,
            chapter,
            "What was in the way",
            about=visit.id,
            shows=visit.settings,
        )
    if is_there:
        yield Question(
            f"{key}.learned",
            Asks.LEARNED,
            chapter,
            "What was learned there",
            about=visit.id,
            hint="what to change next time; or keep: what went right",
        )
    carried = ""
    for index, group in enumerate(visit.groups, 1):
        if index > 1 and visit.groups[index - 2].body != group.body:
            carried = ""
        asked_already = index > 1 and same_shot(visit.groups[index - 2], group)
        serving = (
            () if asked_already else tuple(takewhile(partial(same_shot, group), visit.groups[index - 1 :]))
        )
        yield from of_group(chapter, group, carried, serving, answers)
        carried = carried_on(group, filters_answer(key_of_group(group), answers), carried)


def _source(visit: PlannedVisit, *names: str) -> Provenance:
    stated = all(name in visit.stated for name in names)
    return Provenance.STATED if stated else Provenance.INFERRED


def _source_of_support(visit: PlannedVisit) -> Provenance | None:
    if visit.support is None:
        return None
    return Provenance.STATED if "support" in visit.stated else Provenance.ASSUMED


def _of_outcome(plan: NightPlan, slug: str) -> Question:
    """Ask what became of a shot; a keeper from elsewhere may stand in for it, but never makes it."""
    groups = [group for visit in plan.visits for group in visit.groups] + list(plan.others)
    serving = tuple(
        group
        for group in groups
        if group.shot_said == slug
        or (group.shot_said is None and group.shot == slug and group.shot_kind == MatchKind.SHOT)
    )
    instead = [
        f"{group.label} may stand in for it: {group.shot_reason}"
        for group in groups
        if group.shot_said is None and group.shot == slug and group.shot_kind == MatchKind.REPLACEMENT
    ]
    maybe = (f"{name_of(serving)} may be it",) if serving else ()
    return Question(
        f"shot.{slug}",
        Asks.OUTCOME,
        "Planned for today",
        slug,
        why=(*instead, *maybe),
        enter="still open",
        choices=OUTCOMES,
        about=slug,
        hint=f"{' '.join(OUTCOMES)}, then a reason: partly, light",
        shows=f"planned: {planned}" if (planned := plan.planned.get(slug)) else "",
    )


def _of_reasons(slug: str, answered: Answered | None) -> Iterator[Question]:
    """Ask why a plan did not come off as meant, where no reason was given with that."""
    if answered is None or answered.word is None or not answered.text:
        return
    said = outcome_written(slug, answered.text)
    if said.outcome in UNEXPLAINED and not said.reasons and not said.note:
        yield Question(
            f"shot.{slug}.why",
            Asks.WHY,
            "Planned for today",
            f"{slug}: why",
            choices=tuple(Reason),
            about=slug,
            hint=f"{' '.join(Reason)}, or your own words",
        )
