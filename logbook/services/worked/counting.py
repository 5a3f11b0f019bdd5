"""Counting: k of n for each approach, with its interval, its misses, its settings and its lessons.

One surprising decision: rows counted against tries, against shots and against file numbers are never ranked
against each other; each kind of count has its own ranking, tries first.
"""

import json
from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import chain
from operator import attrgetter
from typing import Any

from logbook.craft.inference.frames import in_order, tries_from_numbers
from logbook.craft.statistics import (
    Rate,
    SpreadInStops,
    aperture_spread,
    exposure_spread,
    focal_spread,
    iso_spread,
    tries_needed,
    wilson,
)
from logbook.domain.said import figured
from logbook.domain.words import LessonVerb, OutcomeWord, Reason
from logbook.services.alike.happened import PastLesson, reasons_in
from logbook.services.worked.approaches import Value
from logbook.services.worked.kept import KeptColumns, ShotColumns, Sitting
from logbook.services.worked.question import By, Denominator, Miss, Row, ShotCount, Undivided
from logbook.services.worked.scope import Scope
from logbook.services.worked.units import SEVERAL, Units, visit_value
from logbook.store import comparisons
from logbook.store.comparisons import ComparedLesson
from logbook.store.desk import Desk

ORDER = (Denominator.TRIES, Denominator.SHOTS, Denominator.FILES, Denominator.NONE)
SHARP, SOFT = "sharp", "soft"  # as a person judged; what was measured begins with a question mark
_WHERE = attrgetter("trip_id", "viewpoint_id", "on_date")
_LESSON_ORDER = (LessonVerb.AVOID, LessonVerb.CHANGE, LessonVerb.KEEP)


@dataclass(slots=True)
class _Pile:
    """What belongs to one approach; keepers and shots are their numbers in the columns."""

    keepers: list[int] = field(default_factory=list)
    sittings: list[Sitting] = field(default_factory=list)
    shots: list[int] = field(default_factory=list)


def rows_of(desk: Desk, scope: Scope, units: Units) -> tuple[tuple[Row, ...], tuple[Undivided, ...]]:
    """Return a row for each approach, best first within each kind of count, and visits nobody may claim."""
    piles: dict[Value, _Pile] = defaultdict(_Pile)
    for value, keepers in units.keepers.items():
        piles[value].keepers = keepers
    for value, shots in units.shots.items():
        piles[value].shots = shots
    planned = _PlannedThere(units)
    undivided = []
    for sitting in units.sittings:
        value = visit_value(scope, sitting, lambda: planned.at(sitting))  # noqa: B023  # asked at once
        if value == SEVERAL:
            if sitting.tries:
                undivided.append(_undivided(sitting))
        elif value is not None or sitting.tries:
            piles[value].sittings.append(sitting)
    lessons = _lessons(desk, scope)
    rows = [_row(desk, scope, units, value, pile, lessons) for value, pile in piles.items()]
    rows = [row for row in rows if row.rate.tries or row.shots.open or row.sources["keepers"]]
    return tuple(sorted(rows, key=_rank)), tuple(undivided)


def _rank(row: Row) -> tuple[int, bool, float, int, str]:
    return (
        ORDER.index(row.denominator),
        row.approach is None,
        -row.rate.low,
        -row.rate.tries,
        row.approach or "",
    )


def _undivided(sitting: Sitting) -> Undivided:
    names = sorted({value for value in sitting.values if value is not None})
    return Undivided(sitting.slug, sitting.tries or 0, len(sitting.keepers), tuple(names))


@dataclass
class _PlannedThere:
    """The approaches of the shots that were planned for a viewpoint on a day; most visits need none of it."""

    units: Units

    @cached_property
    def approaches(self) -> dict[tuple[str, str, str], list[Value]]:
        """The approaches by trip, viewpoint and day."""
        found: dict[tuple[str, str, str], list[Value]] = defaultdict(list)
        plans = self.units.plans
        for value, shots in self.units.shots.items():
            columns = (map(one.__getitem__, shots) for one in (plans.trips, plans.viewpoints, plans.days))
            for where in zip(*columns, strict=True):
                found[where].append(value)
        return found

    def at(self, sitting: Sitting) -> Sequence[Value]:
        """Those of the day of a visit."""
        return self.approaches.get(_WHERE(sitting), ())


def _good(kept: KeptColumns, keepers: Iterable[int]) -> list[int]:
    sharpness = kept.sharpness
    return [number for number in keepers if sharpness[number] != SOFT]


def _row(
    desk: Desk,
    scope: Scope,
    units: Units,
    value: Value,
    pile: _Pile,
    lessons: Mapping[Hashable, list[ComparedLesson]],
) -> Row:
    kept, plans = units.kept, units.plans
    shots = shot_count(plans, pile.shots)
    against, rate, counted, notes = _rate(desk, scope, kept, pile, value, shots)
    sharpness = Counter(map(kept.sharpness.__getitem__, counted))
    told = sorted(pile.sittings, key=attrgetter("on_date"))
    return Row(
        value,
        against,
        rate,
        tries_needed(rate) if rate.tries and against in (Denominator.TRIES, Denominator.FILES) else None,
        sharpness[SHARP],
        shots,
        misses_of(plans, pile.shots),
        settings_of(Counter(map(kept.settings.__getitem__, _good(kept, pile.keepers)))),
        _lessons_of(plans, pile, value, scope, lessons),
        notes,
        {
            "visits": tuple(one.id for one in told if one.tries is not None),
            "shots": tuple(map(plans.ids.__getitem__, pile.shots)),
            "keepers": tuple(map(kept.ids.__getitem__, pile.keepers)),
            "counted": tuple(map(kept.ids.__getitem__, counted)),
        },
        sharpness[f"?{SHARP}"],
        sharpness[f"?{SOFT}"],
    )


def _rate(
    desk: Desk, scope: Scope, kept: KeptColumns, pile: _Pile, value: Value, shots: ShotCount
) -> tuple[Denominator, Rate, list[int], tuple[str, ...]]:
    """The best count there is, or the one asked for; with the pictures in k and what to know of it."""
    wanted = scope.question.against
    declared = [one for one in pile.sittings if one.tries is not None]
    if declared and wanted in (None, Denominator.TRIES):
        return _against_tries(kept, declared, value)
    if shots.known and wanted in (None, Denominator.SHOTS):
        return Denominator.SHOTS, wilson(shots.made, shots.known), [], ()
    if value is not None and wanted in (None, Denominator.FILES):
        found = _against_files(desk, kept, pile)
        if found is not None:
            return found
    return Denominator.NONE, wilson(0, 0), [], ()


def _against_tries(
    kept: KeptColumns, declared: Sequence[Sitting], value: Value
) -> tuple[Denominator, Rate, list[int], tuple[str, ...]]:
    own: list[int] = []
    tries = held = 0
    notes = []
    for one in declared:
        if one.values.count(value) == len(one.values):
            own += one.keepers
        else:
            own += [k for k, v in zip(one.keepers, one.values, strict=True) if v in (value, None)]
        held += len(one.keepers)
        said = one.tries or 0
        if said < len(one.keepers):
            notes.append(
                f"{one.slug} says {said} tries but holds {len(one.keepers)} keepers; the keepers were counted"
            )
        tries += max(said, len(one.keepers))
    other = held - len(own)
    if other:
        notes.append(
            f"{figured(other, 'picture')} of these visits made another way "
            f"{'counts' if other == 1 else 'count'} among the tries, not among the successes"
        )
    counted = _good(kept, own)
    return Denominator.TRIES, wilson(len(counted), tries), counted, tuple(notes)


def _against_files(
    desk: Desk, kept: KeptColumns, pile: _Pile
) -> tuple[Denominator, Rate, list[int], tuple[str, ...]] | None:
    """Frames after the first keeper of a day up to its last, from file numbers, for each viewpoint and body.

    The first keeper opens the count and is no success of it: otherwise a day with one keeper would be one of
    one, however many frames were thrown away.
    """
    from logbook.services.worked.numbered import frames_by_day

    own = {kept.ids[number]: number for number in pile.keepers}
    tries = 0
    counted: list[int] = []
    for frames in frames_by_day(desk, {kept.viewpoint_of(number) for number in pile.keepers}, own):
        found = tries_from_numbers(frames)
        if found.count is not None and found.count > 1:
            tries += found.count - 1
            counted += _good(kept, (own[frame.key] for frame in in_order(frames)[1:]))
    if not tries:
        return None
    counted = counted[:tries]
    note = (
        "approximate: counts frames from the first keeper of a day to its last; frames before and after "
        "are missed, so the true rate is lower"
    )
    return Denominator.FILES, wilson(len(counted), tries), counted, (note,)


def shot_count(plans: ShotColumns, shots: Iterable[int]) -> ShotCount:
    """Count shots by what became of them."""
    words = Counter(map(plans.words.__getitem__, shots))
    words[OutcomeWord.OPEN] += words.pop("", 0)
    return ShotCount(**{str(word): words[word] for word in OutcomeWord})


def misses_of(plans: ShotColumns, shots: Iterable[int]) -> tuple[Miss, ...]:
    """Return the reasons for shots that were not made, the most frequent first."""
    told: dict[Reason, list[str]] = defaultdict(list)
    for number in shots:
        if plans.words[number] not in ("", OutcomeWord.MADE, OutcomeWord.OPEN):
            for reason in reasons_in(plans.reasons[number]):
                told[reason].append(plans.slugs[number])
    return tuple(
        Miss(reason, len(slugs), tuple(sorted(slugs)))
        for reason, slugs in sorted(told.items(), key=lambda pair: (-len(pair[1]), pair[0]))
    )


def settings_of(counts: Mapping[str, int]) -> dict[str, SpreadInStops]:
    """Return the spread of aperture, time, ISO and focal length of pictures.

    They are given as JSON lists of these four, each with how many pictures have it.
    """
    apertures, exposures, speeds, focals = tallied = tuple(defaultdict[Any, int](int) for _ in range(4))
    fours = json.loads(f"[{','.join(counts)}]")
    for own, values in zip(tallied, zip(*fours, strict=True), strict=False):  # none of none
        for value, count in zip(values, counts.values(), strict=True):
            own[value] += count
        own.pop(None, None)
    times: Counter[Fraction] = Counter()
    for text, count in exposures.items():
        times[Fraction(text)] += count
    spreads = {
        "f_number": aperture_spread(apertures),
        "exposure_s": exposure_spread(times),
        "iso": iso_spread(speeds),
        "focal_mm": focal_spread(focals),
    }
    return {name: spread for name, spread in spreads.items() if spread is not None}


def _lessons(desk: Desk, scope: Scope) -> dict[Hashable, list[ComparedLesson]]:
    """Lessons by what they hang on: a shot, a technique, or a viewpoint on a day of a trip."""
    found: dict[Hashable, list[ComparedLesson]] = defaultdict(list)
    for lesson in comparisons.lessons(desk, None if scope.viewpoint_ids is None else scope.site_ids):
        if lesson.shot_id:
            found[lesson.shot_id].append(lesson)
        if lesson.technique:
            found[lesson.technique.casefold()].append(lesson)
        if lesson.viewpoint_id and lesson.on_date:
            found[lesson.trip_id, lesson.viewpoint_id, lesson.on_date].append(lesson)
    return dict(found)


def _lessons_of(
    plans: ShotColumns,
    pile: _Pile,
    value: Value,
    scope: Scope,
    lessons: Mapping[Hashable, list[ComparedLesson]],
) -> tuple[PastLesson, ...]:
    keys = chain(
        map(plans.ids.__getitem__, pile.shots),
        [value.casefold()] if scope.question.by is By.TECHNIQUE and value else [],
        map(_WHERE, pile.sittings),
    )
    own = {lesson.id: lesson for key in filter(lessons.__contains__, keys) for lesson in lessons[key]}
    told = sorted(own.values(), key=lambda one: one.on_date or "", reverse=True)
    told.sort(key=lambda one: _LESSON_ORDER.index(LessonVerb(one.verb)))
    return tuple(
        PastLesson(one.id, one.slug, LessonVerb(one.verb), one.text, one.trip, one.on_date) for one in told
    )


def reason_rows(units: Units) -> tuple[Row, ...]:
    """Return for each reason how many shots it cost, of all whose outcome is known."""
    plans = units.plans
    shots = [number for some in units.shots.values() for number in some]
    known = shot_count(plans, shots).known
    by_slug = {plans.slugs[number]: number for number in shots}
    rows = []
    for miss in misses_of(plans, shots):
        own = [by_slug[slug] for slug in miss.shots]
        rows.append(
            Row(
                str(miss.reason),
                Denominator.SHOTS,
                wilson(miss.count, known),
                None,
                0,
                shot_count(plans, own),
                (miss,),
                {},
                (),
                (),
                {
                    "visits": (),
                    "shots": tuple(plans.ids[number] for number in own),
                    "keepers": (),
                    "counted": (),
                },
            )
        )
    return tuple(sorted(rows, key=_rank))
