"""Facing pages of a shot: the plan on the left, what became of it on the right."""

from collections.abc import Mapping, Sequence

from logbook.craft.feasible import Verdict
from logbook.domain.keeper import Keeper
from logbook.domain.shot import Shot
from logbook.domain.words import OutcomeWord
from logbook.faces.report.models import Figure, OutcomeLine, PlannedLine, Reference, Spread, Value
from logbook.faces.report.observed import seen_lines
from logbook.faces.report.order import Order
from logbook.faces.report.parts import (
    PageDraft,
    fact,
    facts,
    note,
    passage,
    passages,
    shot_reference,
    status,
)
from logbook.faces.report.settings import origin_told, settings_line
from logbook.faces.report.where import place_name
from logbook.faces.words.glass import readable
from logbook.faces.words.phrases import date_text, listed, sentence, short_date, why_not, window_text
from logbook.faces.words.prose import line
from logbook.faces.words.shots import attempts_text, off_text

_VERDICTS: dict[Verdict, str] = {
    Verdict.FEASIBLE: "Yes",
    Verdict.DOUBTFUL: "Perhaps",
    Verdict.TOO_BRIGHT: "No",
    Verdict.TOO_DARK: "No",
    Verdict.SUN_IN_FRAME: "With care",
}


def spread(draft: PageDraft, shot: Shot) -> Spread:
    """Return the facing pages of a shot."""
    order, with_craft, with_book = draft.order, draft.edition.with_craft, draft.edition.with_book
    outcome = order.account.outcomes.get(shot.id)
    fallbacks = [other.id for other in order.shots if other.fallback_for_id == shot.id]
    keepers = list(order.keepers_of_shot(shot))
    return Spread(
        number=order.shot_numbers[shot.id],
        anchor=f"shot-{order.shot_numbers[shot.id]}",
        title=line(shot.title),
        plan=facts(
            fact("Where", place_name(order.account, shot.viewpoint_id)),
            fact("Day", date_text(shot.on_date) if shot.on_date else ""),
            fact("Time", window_text(shot.window_from, shot.window_to)),
            fact("Priority", str(shot.priority)),
            fact("Technique", line(shot.technique)),
            fact("Settings", *settings_line(shot)) if with_craft else None,
            fact("Would it work?", _feasible(order, shot)),
            fact("If it fails", listed([shot_reference(order, one) for one in fallbacks]))
            if not with_book
            else None,
            fact("Fallback for", shot_reference(order, shot.fallback_for_id)),
            fact("Tried on several trips", attempts_text(order.account.attempts.get(shot.id, ()))),
            fact("Slug", line(shot.slug)) if with_book else None,
        ),
        plan_text=passages(passage(shot.intent), passage(shot.notes, "Notes")),
        status=status(order, shot),
        became=_became(order, shot),
        in_its_place=_in_its_place(order, shot),
        result=facts(
            fact("Reasons", listed([str(reason) for reason in outcome.reasons]))
            if outcome and with_book
            else None,
            *(
                fact(f"Picture {order.keeper_numbers[one.id]}", *_matched(one), *settings_line(one))
                for one in (keepers if with_craft else ())
            ),
        ),
        result_text=passages(note(outcome.note if outcome else None)),
        observed=_observed(draft, shot, keepers) if with_craft and not with_book else (),
        figures=tuple(draft.figures[keeper.id] for keeper in keepers),
        instead=() if with_book else _instead(order, shot, draft.figures),
    )


def _matched(keeper: Keeper) -> tuple[Value, ...]:
    """Say of a picture that only the program takes for one of its shot that it does."""
    origin = origin_told(keeper, "shot_id")
    return (Value("of this shot", origin),) if origin else ()


def planned_line(order: Order, shot: Shot) -> PlannedLine:
    """Return one line of a day's plan."""
    number = order.shot_numbers[shot.id]
    when = window_text(shot.window_from, shot.window_to)
    return PlannedLine(number, f"shot-{number}", line(shot.title), when, status(order, shot))


def outcome_line(order: Order, shot: Shot) -> OutcomeLine:
    """Return what became of a shot in one line, with a link to what stands in its place."""
    number = order.shot_numbers[shot.id]
    outcome = order.account.outcomes.get(shot.id)
    return OutcomeLine(
        number=number,
        anchor=f"shot-{number}",
        title=line(shot.title),
        status=status(order, shot),
        why=why_not(outcome.reasons) if outcome and outcome.word is not OutcomeWord.OPEN else "",
        instead=_in_its_place(order, shot),
    )


def _feasible(order: Order, shot: Shot) -> str:
    """Whether a plan would work, as a sentence; without a reason only that it would."""
    judged = order.account.feasibility.get(shot.id)
    if judged is None or judged.verdict is Verdict.UNKNOWN:
        return ""
    word = _VERDICTS[judged.verdict]
    if judged.off_stops:
        word = f"{word}, {off_text(judged.off_stops)}"
    return sentence(f"{word}: {line(readable(judged.reason))}") if judged.reason else f"{word}."


def _became(order: Order, shot: Shot) -> str:
    """What the status alone does not say: the reasons, unless a person's own words follow."""
    outcome = order.account.outcomes.get(shot.id)
    if outcome is None or outcome.word is OutcomeWord.OPEN:
        return "" if order.not_tried(shot) else "Nothing is decided about this shot yet."
    why = sentence(why_not(outcome.reasons)) if outcome.reasons and not note(outcome.note) else ""
    if outcome.word is not OutcomeWord.REPLACED:
        return why
    named = any(order.replacement(outcome))
    return " ".join(filter(None, (why, "" if named else "Another picture was made in its place.")))


def _in_its_place(order: Order, shot: Shot) -> tuple[Reference, ...]:
    """Links to what stands in a shot's place: another shot, a picture, or neither."""
    outcome = order.account.outcomes.get(shot.id)
    if outcome is None or outcome.word is not OutcomeWord.REPLACED:
        return ()
    links: list[Reference] = []
    other, keeper = order.replacement(outcome)
    if other:
        links.append(Reference(shot_reference(order, other.id), f"shot-{order.shot_numbers[other.id]}"))
    if keeper:
        picture = order.keeper_numbers[keeper.id]
        links.append(Reference(f"picture {picture}", f"picture-{picture}"))
    return tuple(links)


def _instead(order: Order, shot: Shot, figures: Mapping[str, Figure]) -> tuple[Figure, ...]:
    """The picture that was made in a shot's place; where there are several, the first is enough."""
    outcome = order.account.outcomes.get(shot.id)
    if outcome is None or outcome.word is not OutcomeWord.REPLACED:
        return ()
    other, keeper = order.replacement(outcome)
    made = [keeper] if keeper else list(order.keepers_of_shot(other)) if other else []
    return tuple(figures[one.id] for one in made[:1])


def _observed(draft: PageDraft, shot: Shot, keepers: Sequence[Keeper]) -> tuple[Reference, ...]:
    """Links to what was seen on the visits that a shot was planned for or its pictures were made on."""
    order = draft.order
    visits = order.account.visits
    made_on = {order.visit_by_keeper.get(keeper.id) for keeper in keepers}
    due = {v.id for v in visits if (v.viewpoint_id, v.on_date) == (shot.viewpoint_id, shot.on_date)}
    met = made_on if made_on & due else made_on | due  # of several visits there, those on which it was made
    lines: dict[str, Reference] = {}  # what was seen on two visits is said once
    for visit in visits:
        if visit.id in met:
            day = f"{short_date(visit.on_date)}: " if visit.on_date != shot.on_date else ""
            for number, one in enumerate(seen_lines(draft, order.conditions_of_visit(visit))):
                text = f"{'' if number else day}{one.brief}"
                lines.setdefault(text, Reference(text, one.anchor))
    return tuple(lines.values())
