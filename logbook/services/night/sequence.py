"""Which questions follow from a plan and from the answers given so far, in their order.

One surprising decision: what a match alone suggests is that a picture serves a shot; that the shot was made
is only ever typed, never what Enter takes.
"""

from collections.abc import Iterator, Mapping
from functools import partial
from itertools import takewhile

from logbook.craft.marks import number_text
from logbook.craft.matching import MatchKind
from logbook.domain.words import Crowd, Disclosure, OutcomeWord, Provenance, Reason, Sharpness, Support
from logbook.domain.written.filters import stack_words, stacks_written, unknown_filters
from logbook.domain.written.outcomes import outcome_written
from logbook.services.night.before_lens import filters_answer, of_change
from logbook.services.night.cutting import CORRECTING, stay_lines
from logbook.services.night.frames_told import counted_frames, label_of
from logbook.services.night.planned import NightPlan, PlannedGroup, PlannedVisit
from logbook.services.night.questions import AT, UNSURE, Answered, Asks, Question

SUPPORTS = tuple(word for word in Support if word is not Support.UNKNOWN)
OUTCOMES = tuple(word for word in OutcomeWord if word is not OutcomeWord.OPEN)
UNEXPLAINED = (OutcomeWord.PARTLY, OutcomeWord.REPLACED, OutcomeWord.MISSED)  # what one is asked a reason for
OF_FRAMES = "group."  # what the keys of questions about frames begin with
NOTHING_NEW = "nothing new noted"
SHOWN_EXPLANATIONS = 4  # how many explanations of a jump are named; the rest is in `keeper propose`


def after_clocks(
    plan: NightPlan, shown: Disclosure, answers: Mapping[str, Answered], *, also_stated: bool = False
) -> Iterator[Question]:
    """Yield what is asked once the clocks are settled; `answers` are those given so far, by key.

    With `also_stated` filters and shots of all frames are asked about, whoever stated them already.
    """
    yield _of_changes(plan)
    for visit in plan.visits:
        yield from _of_visit(visit, answers, also_stated=also_stated)
    for group in plan.others:
        where = "Keepers at no known place"
        yield from _of_group(where, group, "", (group,), answers, also_stated=also_stated)
    for slug in plan.shots:
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
        hint=f"a place may lead: {_a_place(plan)}, gate locked; several with ;",
        enter=f"{NOTHING_NEW} (which does not mean open)",
    )


def _lesson_hint(plan: NightPlan) -> str:
    """Say how a lesson gets a place; on a day with one viewpoint it is meant anyway."""
    places = {visit.viewpoint or visit.guess for visit in plan.visits}
    return "" if len(places) < 2 else f"a place may lead: {_a_place(plan)}: come earlier"


def _a_place(plan: NightPlan) -> str:
    """Return a place of the day to show how one is named."""
    places = (visit.viewpoint or visit.guess for visit in plan.visits)
    return next((place for place in places if place), "north gate")


def _of_visit(
    visit: PlannedVisit, answers: Mapping[str, Answered], *, also_stated: bool
) -> Iterator[Question]:
    """Ask about one visit; where nobody knows the viewpoint, only about its keepers."""
    key = key_of_visit(visit)
    times = "-".join(part for part in (visit.arrived, visit.departed) if part)
    named = answers.get(f"{key}.viewpoint")
    place = visit.viewpoint or (named.text if named else "")
    new = place if AT in place and visit.viewpoint is None else ""
    if new:
        entered = answers.get(f"{key}.new")
        place = new.rpartition(AT)[0] if entered and entered.word is not None else ""
    span = visit.arrived if visit.arrived == visit.departed else times
    chapter = f"{place or 'A place without a viewpoint'} {span or ''}".strip()
    if visit.viewpoint is None:
        yield Question(
            f"{key}.viewpoint",
            Asks.VIEWPOINT,
            chapter,
            "Which viewpoint",
            visit.guess or "",
            Provenance.INFERRED if visit.guess else None,
            (visit.reason, "the plans that fit name it") if visit.guess else (visit.reason,),
            about=visit.id,
            shows=visit.settings,
            hint="one that nobody planned can be entered here: Barrier, or Barrier at SITE",
        )
    if new:
        name, _, site = new.rpartition(AT)
        yield Question(
            f"{key}.new",
            Asks.NEW_VIEWPOINT,
            chapter,
            f'Enter "{name}" as a new viewpoint of {site}',
            "y",
            choices=("y", "n"),
            about=f"{visit.id},{new}",
            hint="n: name the viewpoint again",
        )
    if place:
        yield Question(
            f"{key}.times",
            Asks.TIMES,
            chapter,
            "There from-to",
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
    if place:
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
    carried = ""
    for index, group in enumerate(visit.groups, 1):
        if index > 1 and visit.groups[index - 2].body != group.body:
            carried = ""
        asked_already = index > 1 and _same_shot(visit.groups[index - 2], group)
        serving = (
            () if asked_already else tuple(takewhile(partial(_same_shot, group), visit.groups[index - 1 :]))
        )
        yield from _of_group(chapter, group, carried, serving, answers, also_stated=also_stated)
        carried = _carried(group, filters_answer(key_of_group(group), answers), carried)


def key_of_visit(visit: PlannedVisit) -> str:
    """Return what the keys of questions about a stay begin with; it stays when stays are cut and joined."""
    return f"visit.{visit.id}"


def key_of_group(group: PlannedGroup) -> str:
    """Return what the keys of questions about a group begin with, whichever stay it is of."""
    return f"{OF_FRAMES}{group.keeper_ids[0]}"


def _source(visit: PlannedVisit, *names: str) -> Provenance:
    stated = all(name in visit.stated for name in names)
    return Provenance.STATED if stated else Provenance.INFERRED


def _source_of_support(visit: PlannedVisit) -> Provenance | None:
    if visit.support is None:
        return None
    return Provenance.STATED if "support" in visit.stated else Provenance.ASSUMED


def _carried(group: PlannedGroup, answered: Answered | None, carried: str) -> str:
    """Return the filters to carry on to the next keepers: those stated, or carried on already."""
    if group.filters_said is not None:
        return " + ".join(group.filters_said) or "none"
    if answered is None or (group.explanations and answered.word is not Provenance.STATED):
        return ""
    if answered.text.endswith(UNSURE) or len(by_keeper := stacks_written(answered.text)) > 1:
        return ""
    return stack_words(by_keeper[0].filters) if answered.text else carried if answered.word else ""


def _same_shot(one: PlannedGroup, other: PlannedGroup) -> bool:
    same = (one.shot, one.shot_kind, one.shot_said) == (other.shot, other.shot_kind, other.shot_said)
    return same and one.shot is not None


def _of_group(
    chapter: str,
    group: PlannedGroup,
    carried: str,
    serving: tuple[PlannedGroup, ...],
    answers: Mapping[str, Answered],
    *,
    also_stated: bool,
) -> Iterator[Question]:
    """Ask about a group; `serving` are the groups, this one first, whose shot is asked for here."""
    key = key_of_group(group)
    about = ",".join(group.keeper_ids)
    name = _name_of((group,))
    if group.filters_said is None and group.question:
        yield of_change(key, chapter, group, name)
    settled = answers.get(f"{key}.changed")
    if group.filters_said is None and not (settled and settled.text):
        best = group.explanations[0] if group.explanations else None
        carried = "" if group.question else carried  # the very question is whether it was still on
        yield Question(
            f"{key}.filters",
            Asks.FILTERS,
            chapter,
            f"{name}: filters",
            stack_words(best.filters) if best else carried,
            Provenance.INFERRED if best else Provenance.ASSUMED if carried else None,
            _explained(group) if best else (f"{carried}: carried forward",) if carried else (),
            about=about,
            hint="such as nd8 + pol, any name of your own, none, same; or 0412 none, rest nd8",
            shows=group.settings,
        )
        answered = answers.get(f"{key}.filters")
        if answered is not None and answered.word is not None and answered.text.endswith(UNSURE):
            yield Question(
                f"{key}.sure",
                Asks.SURE,
                chapter,
                f"{name}: {_questioned(answered.text.removesuffix(UNSURE))}",
                why=tuple(dict.fromkeys(group.doubts.values())),
                choices=("y", "n"),
                about=f"{about};{answered.text.removesuffix(UNSURE)}",
                hint="y: so it was; n: ask again",
                enter="leave it unknown",
                shows=group.settings,
            )
    if group.filters_said is not None and also_stated:
        yield _stated(f"{key}.filters", Asks.FILTERS, chapter, group, stack_words(group.filters_said))
    if also_stated and not (group.shot_said is None and group.shot and group.shot_kind == MatchKind.SHOT):
        yield _stated(f"{key}.shot", Asks.SHOT, chapter, group, group.shot_said or "")
    elif serving and group.shot_said is None and group.shot and group.shot_kind == MatchKind.SHOT:
        alone = len(serving) == 1
        yield Question(
            f"{key}.shot",
            Asks.SHOT,
            chapter,
            f"{name}: serves" if alone else f"{_name_of(serving)}: serve",
            group.shot,
            Provenance.INFERRED,
            (group.shot_reason,) if alone else _reasons(serving),
            about=",".join(one for each in serving for one in each.keeper_ids),
            hint="none: they serve no plan",
            shows=group.settings if alone else "",
        )
    yield from _of_sharpness(key, chapter, group, name)


def _stated(key: str, asks: Asks, chapter: str, group: PlannedGroup, said: str) -> Question:
    """Ask about something that was stated of frames already, or that nothing tells of them."""
    text = f"{_name_of((group,))}: {'filters' if asks is Asks.FILTERS else 'serves'}"
    origin = Provenance.STATED if said else None
    return Question(
        key, asks, chapter, text, said, origin, about=",".join(group.keeper_ids), shows=group.settings
    )


def _of_sharpness(key: str, chapter: str, group: PlannedGroup, name: str) -> Iterator[Question]:
    """Ask which frames are sharp: apart of those that were measured to be soft, where others were not."""
    others = tuple(one for one in group.keeper_ids if one not in group.soft)
    asked = [(f"{key}.soft", group.soft, Sharpness.SOFT)] if group.soft and others else []
    asked.append((f"{key}.sharp", others or group.soft, Sharpness.SHARP if others else Sharpness.SOFT))
    for question, ids, word in asked:
        measured = group.soft if word is Sharpness.SOFT else group.sharp
        proposed = bool(ids) and set(ids) <= set(measured)
        why = group.soft_reason if word is Sharpness.SOFT else "edges as sharp as those of its view"
        files = [file for one, file in zip(group.keeper_ids, group.files, strict=False) if one in ids]
        yield Question(
            question,
            Asks.SHARPNESS,
            chapter,
            f"{label_of(files) if len(asked) > 1 and files else name}: sharp or soft",
            str(word) if proposed else "",
            Provenance.INFERRED if proposed else None,
            (f"measured: {why}",) if proposed else (),
            choices=tuple(Sharpness),
            about=",".join(ids),
            enter="as measured" if proposed else "not judged",
            shows=group.settings,
        )


def _questioned(answer: str) -> str:
    """Return what is asked about filters that are hard to believe, or that no filter is known by."""
    said = stacks_written(answer)
    odd = sorted({name for one in said for name in unknown_filters(one.filters)})
    return f'keep "{odd[0]}" as the name of a filter' if odd else "was there no filter"


def _name_of(groups: tuple[PlannedGroup, ...]) -> str:
    """Return what frames are called, and of several how many they are: `0412-0414 (3 frames, bracket)`."""
    count = sum(len(group.keeper_ids) for group in groups)
    kinds = {group.set_kind for group in groups}
    files = [file for group in groups for file in group.files]
    label = label_of(files) if len(files) == count else ", ".join(group.label for group in groups)
    kind = kinds.pop() if len(kinds) == 1 else None
    return label if count == 1 and not kind else f"{label} ({counted_frames(count, kind)})"


def _reasons(serving: tuple[PlannedGroup, ...]) -> tuple[str, ...]:
    """Say each reason once, after the keepers that it is for."""
    labels: dict[str, list[str]] = {}
    for group in serving:
        labels.setdefault(group.shot_reason, []).append(group.label)
    if len(labels) == 1:
        return tuple(labels)
    return tuple(f"{', '.join(whose)}: {reason}" for reason, whose in labels.items())


def _explained(group: PlannedGroup) -> tuple[str, ...]:
    if not group.explanations:
        return ()
    ways = [
        f"{' + '.join(one.filters) or 'none'} ({number_text(one.stops, 1)} stops)"
        for one in group.explanations[:SHOWN_EXPLANATIONS]
    ]
    return (
        (group.filters_reason, "fits nearly as well: " + ", ".join(ways[1:]))
        if len(ways) > 1
        else (group.filters_reason,)
    )


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
    maybe = (f"{_name_of(serving)} may be it",) if serving else ()
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
