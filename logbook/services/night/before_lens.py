"""What was before the lens: filters of a group or keeper by keeper, `same`, and a `none` hard to believe.

One surprising decision: an answer that needs a yes is remembered with a question mark behind it and changes
no keeper until the yes is there. Where the frames cannot tell whether filters changed or the light did, that
is asked first and may answer for the filters, so that whoever knows says one word.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Provenance
from logbook.domain.written.choices import says_nothing, yes_written
from logbook.domain.written.filters import (
    KeeperStack,
    filters_understood,
    says_no_filter,
    stack_words,
    stacks_written,
    unknown_filters,
)
from logbook.services.keepers.keeping import filters_by_id
from logbook.services.night.evening import Evening, Given, Understood
from logbook.services.night.planned import PlannedGroup
from logbook.services.night.questions import UNSURE, Answered, Asks, Question
from logbook.services.night.visits import change_keepers

CHANGES = ("filter", "light")  # the two answers where the light itself cannot tell
SAME = ("same", "the same", "ditto", "same as before", "as before", "same again")


def say_filters(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say what was before the lens, for all of a group or keeper by keeper."""
    keeper_ids = question.about.split(",")
    if given is not None and not given.text:
        return Understood()
    if given is None:
        change_keepers(evening, keeper_ids, None, {"filters": None})
        return Understood()
    typed = given.text
    if _may_be_none(typed):
        return Understood(answer=f"{stack_words(())}{UNSURE}")
    text = _same_as(evening, keeper_ids) if typed.strip().casefold() in SAME else typed
    said = stacks_written(text)
    of_each = _of_each(evening, keeper_ids, said)
    answer = ", ".join(one.text for one in said) if _is_by_keeper(said) else stack_words(said[0].filters)
    if _doubted(evening, of_each) or _is_odd(evening, said):
        return Understood(answer=f"{answer}{UNSURE}")
    for keeper_id, filters in of_each.items():
        change_keepers(evening, [keeper_id], given, {"filters": filters})
    return Understood(filters_understood(typed, said), answer)


def say_changed(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say whether a filter changed or only the light did; nothing leaves it open, and asks for the filters.

    `question.about` names the keepers and, behind a semicolon, what was on if a filter changed.
    """
    ids, _, if_filter = question.about.partition(";")
    if given is None or not given.text:
        return Understood(answer="")
    word = given.text.strip().casefold().removeprefix("the ").removesuffix("s")
    if word not in CHANGES:
        raise InvalidValueError("Write filter or light; Enter leaves it open and asks for the filters.")
    text = if_filter if word == CHANGES[0] else _same_as(evening, ids.split(","))
    understood_as = say_filters(evening, replace(question, about=ids), Given(text, given.word))
    is_open = understood_as.answer is not None and understood_as.answer.endswith(UNSURE)
    return Understood(understood_as.told, "" if is_open else text)


def say_sure(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say yes to an answer that was questioned; anything but a yes leaves the filters unknown.

    `question.about` names the keepers and, behind a semicolon, what was answered.
    """
    ids, _, answer = question.about.partition(";")
    keeper_ids = ids.split(",")
    if given is None or not given.text:
        change_keepers(evening, keeper_ids, None, {"filters": None})
        return Understood()
    if yes_written(given.text):
        stated = Given(answer, Provenance.STATED)
        for keeper_id, filters in _of_each(evening, keeper_ids, stacks_written(answer)).items():
            change_keepers(evening, [keeper_id], stated, {"filters": filters})
    return Understood()


def _may_be_none(text: str) -> bool:
    """Whether a text says no, or nothing, without saying that there was no filter."""
    try:
        return not yes_written(text)
    except InvalidValueError:
        return says_nothing(text) and not says_no_filter(text)


def _is_odd(evening: Evening, said: Sequence[KeeperStack]) -> bool:
    """Whether an answer has a name that neither a filter, nor the kit, nor a keeper is known by."""
    odd = {name for one in said for name in unknown_filters(one.filters)}
    if not odd:
        return False
    worn = {name for keeper in evening.desk.keepers.all() for name in keeper.filters or ()}
    return not odd <= worn | {one.filter_name for one in evening.desk.kit.all() if one.filter_name}


def _is_by_keeper(said: tuple[KeeperStack, ...]) -> bool:
    return len(said) > 1 or said[0].first is not None


def _same_as(evening: Evening, keeper_ids: list[str]) -> str:
    """Return what was before the lens of the group before, as text; InvalidValueError where nobody knows."""
    before: PlannedGroup | None = None
    for group in evening.groups:
        if keeper_ids[0] in group.keeper_ids:
            break
        before = group
    last = evening.desk.keepers.get(before.keeper_ids[-1]) if before else None
    if before is None or last is None or last.filters is None:
        whose = f"on {before.label}" if before else "on the frames before these"
        raise InvalidValueError(f"The filters {whose} are not known; write which were on these.")
    return stack_words(last.filters)


def _of_each(
    evening: Evening, keeper_ids: list[str], said: Sequence[KeeperStack]
) -> dict[str, tuple[str, ...] | None]:
    """Return each keeper that an answer speaks of with its filters."""
    asked = (evening.desk.keepers.get(keeper_id) for keeper_id in keeper_ids)
    return filters_by_id([keeper for keeper in asked if keeper is not None], said)


def _doubted(evening: Evening, of_each: Mapping[str, tuple[str, ...] | None]) -> bool:
    """Whether no filter is hard to believe for one of the keepers that are said to have had none."""
    doubts = {keeper_id for group in evening.groups for keeper_id in group.doubts}
    return any(filters == () and keeper_id in doubts for keeper_id, filters in of_each.items())


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
        hint=f"filter: {stack_words(group.if_filter)} here; light: as before",
        enter="leave it open",
        shows=group.settings,
    )
