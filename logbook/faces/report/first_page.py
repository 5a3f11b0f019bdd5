"""What the first of several pages leads to: days, each by its best picture, and what a class works with."""

from logbook.faces.report.editions import LeafKind
from logbook.faces.report.exercises import exercises
from logbook.faces.report.leaves import LeafPlan
from logbook.faces.report.models import ClassWork, DayCard, Reference
from logbook.faces.report.pair_words import pairs
from logbook.faces.report.parts import PageDraft
from logbook.faces.words.phrases import capitalised, counted, listed

_SHOWN = (LeafKind.DAY, LeafKind.UNDATED)


def day_cards(draft: PageDraft) -> tuple[DayCard, ...]:
    """Return a card for the page of each day, and for what is of none."""
    return tuple(
        DayCard(plan.file, plan.name, plan.detail, holds(draft, plan), draft.best_of(plan.portion))
        for plan in draft.plans
        if plan.kind in _SHOWN
    )


def holds(draft: PageDraft, plan: LeafPlan) -> str:
    """Return how much a day's page holds: "Twelve pictures and four shots planned"; "" for other pages."""
    if plan.kind not in _SHOWN:
        return ""
    shots, kept = len(plan.portion.shots), len(draft.pictures(plan.portion.keepers))
    said = (
        counted(kept, "picture") if kept else "no pictures",
        f"{counted(shots, 'shot')} planned" if shots and draft.edition.with_craft else "",
    )
    return capitalised(listed([one for one in said if one]))


def class_work(draft: PageDraft) -> ClassWork | None:
    """Return a line for every pair and exercise, or None where there is neither."""
    compared = tuple(
        Reference(": ".join(filter(None, (one.title, one.place))), one.anchor) for one in pairs(draft)
    )
    asked = tuple(Reference(one.title, one.anchor) for one in exercises(draft.order))
    return ClassWork(compared, asked) if compared or asked else None
