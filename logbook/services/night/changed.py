"""The question whether filters changed or the light did, where the frames themselves cannot tell.

One surprising decision: it stands before the question for the filters and may answer it, so that whoever
knows says one word and whoever does not is asked as always.
"""

from collections.abc import Mapping

from logbook.domain.written.filters import stack_words
from logbook.services.night.before_lens import CHANGES
from logbook.services.night.planned import PlannedGroup
from logbook.services.night.questions import Answered, Asks, Question


def filters_answer(key: str, answers: Mapping[str, Answered]) -> Answered | None:
    """Return what was said of a group's filters: with the question whether they changed, or without."""
    changed = answers.get(f"{key}.changed")
    return changed if changed is not None and changed.text else answers.get(f"{key}.filters")


def of_change(key: str, chapter: str, group: PlannedGroup, name: str) -> Question:
    """Ask whether filters changed or the light did; each answer states the filters of the frames."""
    return Question(
        f"{key}.changed",
        Asks.CHANGED,
        chapter,
        f"{name}: {group.question.removesuffix('?')}",
        why=(group.question_reason,),
        choices=CHANGES,
        about=f"{','.join(group.keeper_ids)};{stack_words(group.if_filter)}",
        hint=f"filter: {stack_words(group.if_filter)} here; light: as before; Enter: leave it open",
        shows=group.settings,
    )
