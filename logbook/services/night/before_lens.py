"""What was before the lens: filters of a group or keeper by keeper, `same`, and a `none` hard to believe.

One surprising decision: an answer that needs a yes is remembered with a question mark behind it and changes
no keeper until the yes is there.
"""

from collections.abc import Iterator, Mapping

from logbook.domain.errors import InvalidValueError
from logbook.domain.keeper import Keeper
from logbook.domain.words import Provenance
from logbook.domain.written.choices import says_nothing, yes_written
from logbook.domain.written.filters import (
    KeeperStack,
    filters_understood,
    stack_words,
    stacks_written,
)
from logbook.services.naming import Pool, SeveralKeepersError
from logbook.services.night.evening import Evening, Given, Understood
from logbook.services.night.planned import PlannedGroup
from logbook.services.night.questions import UNSURE, Question
from logbook.services.night.visits import change_keepers

SAME = ("same", "the same", "ditto", "same as before", "as before", "same again")
NONE = ("none", "no filter", "no filters", "without", "-", "–")


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
        return Understood(answer=f"{NONE[0]}{UNSURE}")
    text = _same_as(evening, keeper_ids) if typed.strip().casefold() in SAME else typed
    said = stacks_written(text)
    of_each = dict(_of_each(evening, keeper_ids, said))
    answer = ", ".join(one.text for one in said) if _is_by_keeper(said) else stack_words(said[0].filters)
    if _doubted(evening, of_each):
        return Understood(filters_understood(typed, said), f"{answer}{UNSURE}")
    for keeper_id, filters in of_each.items():
        change_keepers(evening, [keeper_id], given, {"filters": filters})
    return Understood(filters_understood(typed, said), answer)


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
        for keeper_id, filters in _of_each(evening, keeper_ids, stacks_written(answer)):
            change_keepers(evening, [keeper_id], stated, {"filters": filters})
    return Understood()


def _may_be_none(text: str) -> bool:
    """Whether a text says no, or nothing, without saying that there was no filter."""
    try:
        return not yes_written(text)
    except InvalidValueError:
        return says_nothing(text) and text.strip().casefold() not in NONE


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
        whose = f"of {before.label}" if before else "of frames before these"
        raise InvalidValueError(f"The filters {whose} are not known; write those of these frames.")
    return stack_words(last.filters)


def _of_each(
    evening: Evening, keeper_ids: list[str], said: tuple[KeeperStack, ...]
) -> Iterator[tuple[str, tuple[str, ...] | None]]:
    """Yield each keeper that an answer speaks of with its filters.

    Raises InvalidValueError for a keeper that is not among those asked about, or is named twice.
    """
    found_keepers = (evening.desk.keepers.get(keeper_id) for keeper_id in keeper_ids)
    asked = [keeper for keeper in found_keepers if keeper is not None]
    named: dict[str, tuple[str, ...] | None] = {}
    for one in said:
        if one.first is None or one.last is None:
            continue
        try:
            found = Pool(tuple(asked), {evening.trip.id: evening.trip}).meant(one.first, one.last)
        except SeveralKeepersError as error:
            listed = ", ".join(error.listed())
            raise InvalidValueError(f"{_span(one)} could be {listed}; write the name of the file.") from None
        if not found:
            raise InvalidValueError(f"{_span(one)} is not among these frames: {_files(asked)}.")
        if twice := [keeper.file for keeper in found if keeper.id in named]:
            raise InvalidValueError(f"{twice[0]} is named twice; say its filters once.")
        named |= {keeper.id: one.filters for keeper in found}
    yield from named.items()
    for one in said:
        if one.first is None:
            yield from ((keeper.id, one.filters) for keeper in asked if keeper.id not in named)


def _span(one: KeeperStack) -> str:
    return str(one.first) if one.first == one.last else f"{one.first}-{one.last}"


def _files(keepers: list[Keeper]) -> str:
    return ", ".join(keeper.file for keeper in keepers)


def _doubted(evening: Evening, of_each: Mapping[str, tuple[str, ...] | None]) -> bool:
    """Whether no filter is hard to believe for one of the keepers that are said to have had none."""
    doubts = {keeper_id for group in evening.groups for keeper_id in group.doubts}
    return any(filters == () and keeper_id in doubts for keeper_id, filters in of_each.items())
