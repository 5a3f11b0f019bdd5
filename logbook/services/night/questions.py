"""The questions of a night, in their order, from its plan: what is asked, what Enter would take, and why.

One surprising decision: a default is never an answer. Enter takes it as what it is, `inferred` or `assumed`;
only what is typed, or `y`, is stated.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from itertools import takewhile

from logbook.craft.clocks import SettledClock
from logbook.craft.marks import number_text
from logbook.craft.matching import MatchKind
from logbook.domain.words import Crowd, Disclosure, OutcomeWord, Provenance, Reason, Sharpness, Support
from logbook.domain.written.outcomes import outcome_written
from logbook.services.night.plan import NightPlan, PlannedGroup, PlannedVisit

AT = " at "  # stands between a new viewpoint and its site
SUPPORTS = tuple(word for word in Support if word is not Support.UNKNOWN)
OUTCOMES = tuple(word for word in OutcomeWord if word is not OutcomeWord.OPEN)
UNEXPLAINED = (OutcomeWord.PARTLY, OutcomeWord.REPLACED, OutcomeWord.MISSED)  # what one is asked a reason for
NOTHING_NEW = "nothing new noted"
SHOWN_EXPLANATIONS = 4  # how many explanations of a jump are named; the rest is in `keeper propose`


class Asks(StrEnum):
    """What a question is about; each has its own way of reading an answer."""

    ZONE = "zone"
    CLOCK = "clock"
    CHANGES = "changes"
    VIEWPOINT = "viewpoint"
    NEW_VIEWPOINT = "new viewpoint"
    TIMES = "times"
    CROWD = "crowd"
    SUPPORT = "support"
    TRIES = "tries"
    IN_THE_WAY = "in the way"
    FILTERS = "filters"
    SHOT = "shot"
    SHARPNESS = "sharpness"
    OUTCOME = "outcome"
    WHY = "why"
    KEEP = "keep"
    CHANGE = "change"
    JOURNAL = "journal"
    SHOWN = "shown"


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer as it was given: its text, and where its value came from (None: unknown)."""

    text: str
    word: Provenance | None


@dataclass(frozen=True, slots=True)
class Question:
    """One question; `default` is what Enter takes ("" is nothing), with where that came from.

    `hint` names the words that an answer may have, for whoever does not know them yet.
    """

    key: str
    asks: Asks
    chapter: str
    text: str
    default: str = ""
    came_from: Provenance | None = None
    why: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    about: str = ""  # record id, body, shot slug: what the answer belongs to
    hint: str = ""


def clock_name(clock: SettledClock) -> str:
    """Return what tells one clock of a day from another: the camera, and since when it holds."""
    return clock.body if clock.since is None else f"{clock.body} since {clock.since.isoformat()}"


def after_clocks(plan: NightPlan, shown: Disclosure, answers: Mapping[str, Answered]) -> Iterator[Question]:
    """Yield what is asked once the clocks are settled; `answers` are those given so far, by key."""
    for number, visit in enumerate(plan.visits, 1):
        yield from _of_visit(number, visit, answers)
    for number, group in enumerate(plan.others, 1):
        yield from _of_group(f"other{number}", "Keepers at no known place", group, "", (group,))
    for slug in plan.shots:
        yield _of_outcome(plan, slug)
        yield from _of_reasons(slug, answers.get(f"shot.{slug}"))
    lessons = "Lessons"
    yield Question("keep", Asks.KEEP, lessons, "One thing to keep doing")
    yield Question("change", Asks.CHANGE, lessons, "One thing to change next time")
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


def changes_question() -> Question:
    """Return the question after closures; its default claims nothing."""
    return Question(
        "changes",
        Asks.CHANGES,
        "Closed, flooded, changed",
        "What closed, flooded or changed today",
        "",
        None,
        (f"Enter: {NOTHING_NEW} (which does not mean open); several with ;",),
    )


def _of_visit(number: int, visit: PlannedVisit, answers: Mapping[str, Answered]) -> Iterator[Question]:
    """Ask about one visit; where nobody knows the viewpoint, only about its keepers."""
    key = f"visit{number}"
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
        )
        yield Question(
            f"{key}.crowd",
            Asks.CROWD,
            chapter,
            "Crowd on arrival, at its peak, on leaving",
            choices=tuple(Crowd),
            about=visit.id,
            hint=f"{' '.join(Crowd)}; one word if it never changed",
        )
    yield Question(
        f"{key}.support",
        Asks.SUPPORT,
        chapter,
        "Support",
        visit.support or "",
        Provenance.ASSUMED if visit.support else None,
        (f"{visit.support}: {visit.support_from}",) if visit.support else (),
        SUPPORTS,
        about=visit.id,
        hint=" ".join(SUPPORTS),
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
        )
        yield Question(f"{key}.way", Asks.IN_THE_WAY, chapter, "What was in the way", about=visit.id)
    carried = ""
    for index, group in enumerate(visit.groups, 1):
        asked_already = index > 1 and _same_shot(visit.groups[index - 2], group)
        serving = (
            () if asked_already else tuple(takewhile(partial(_same_shot, group), visit.groups[index - 1 :]))
        )
        yield from _of_group(f"{key}.group{index}", chapter, group, carried, serving)
        carried = _carried(group, answers.get(f"{key}.group{index}.filters"), carried)


def _source(visit: PlannedVisit, *names: str) -> Provenance:
    stated = all(name in visit.stated for name in names)
    return Provenance.STATED if stated else Provenance.INFERRED


def _carried(group: PlannedGroup, answered: Answered | None, carried: str) -> str:
    """Return the filters to carry on to the next keepers: those stated, or carried on already."""
    if group.filters_said is not None:
        return " + ".join(group.filters_said) or "none"
    if answered is None or (group.explanations and answered.word is not Provenance.STATED):
        return ""
    return answered.text or (carried if answered.word is not None else "")


def _same_shot(one: PlannedGroup, other: PlannedGroup) -> bool:
    same = (one.shot, one.shot_kind, one.shot_said) == (other.shot, other.shot_kind, other.shot_said)
    return same and one.shot is not None


def _of_group(
    key: str, chapter: str, group: PlannedGroup, carried: str, serving: tuple[PlannedGroup, ...]
) -> Iterator[Question]:
    """Ask about a group; `serving` are the groups, this one first, whose shot is asked for here."""
    about = ",".join(group.keeper_ids)
    kind = f" ({group.set_kind})" if group.set_kind else ""
    if group.filters_said is None:
        best = group.explanations[0] if group.explanations else None
        yield Question(
            f"{key}.filters",
            Asks.FILTERS,
            chapter,
            f"{group.label}{kind}: filters",
            (" + ".join(best.filters) or "none") if best else carried,
            Provenance.INFERRED if best else Provenance.ASSUMED if carried else None,
            _explained(group) if best else (f"{carried}: carried forward",) if carried else (),
            about=about,
            hint="such as nd8 + pol, any name of your own, or none",
        )
    if serving and group.shot_said is None and group.shot and group.shot_kind == MatchKind.SHOT:
        alone = len(serving) == 1
        yield Question(
            f"{key}.shot",
            Asks.SHOT,
            chapter,
            f"{group.label}{kind}: serves" if alone else f"{group.label} to {serving[-1].label}: serve",
            group.shot,
            Provenance.INFERRED,
            (group.shot_reason,) if alone else _reasons(serving),
            about=",".join(one for each in serving for one in each.keeper_ids),
        )
    yield Question(
        f"{key}.sharp",
        Asks.SHARPNESS,
        chapter,
        f"{group.label}{kind}: sharp or soft",
        choices=tuple(Sharpness),
        about=about,
        hint="Enter: not judged",
    )


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
    serving = [
        group.label
        for group in groups
        if group.shot_said == slug
        or (group.shot_said is None and group.shot == slug and group.shot_kind == MatchKind.SHOT)
    ]
    instead = [
        f"{group.label} may stand in for it: {group.shot_reason}"
        for group in groups
        if group.shot_said is None and group.shot == slug and group.shot_kind == MatchKind.REPLACEMENT
    ]
    return Question(
        f"shot.{slug}",
        Asks.OUTCOME,
        "Planned for today",
        slug,
        OutcomeWord.MADE.value if serving else "",
        Provenance.INFERRED if serving else None,
        (f"{', '.join(serving)} may be it" if serving else "Enter: still open", *instead),
        OUTCOMES,
        about=slug,
        hint=f"{' '.join(OUTCOMES)}, then a reason: partly, light",
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
