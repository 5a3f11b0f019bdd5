"""Counting: k of n for each approach, with its interval, its misses, its settings and its lessons.

One surprising decision: rows counted against tries, against shots and against file numbers are never ranked
against each other; each kind of count has its own ranking, tries first.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from operator import attrgetter
from typing import Any

from logbook.craft.inference.frames import in_order
from logbook.craft.inference.tries import tries_from_numbers
from logbook.craft.rates import Rate, tries_needed, wilson
from logbook.craft.spread import (
    SpreadInStops,
    aperture_spread,
    exposure_spread,
    focal_spread,
    iso_spread,
)
from logbook.domain.words import LessonVerb, OutcomeWord, Reason
from logbook.services.alike.happened import PastLesson, reasons_in
from logbook.services.worked.approaches import Value
from logbook.services.worked.question import By, Denominator, Miss, Row, ShotCount, Undivided
from logbook.services.worked.scope import Scope
from logbook.services.worked.units import SEVERAL, Sitting, Units, visit_value
from logbook.store import comparisons
from logbook.store.comparisons import ComparedLesson, KeeperLine, ShotLine
from logbook.store.desk import Desk

ORDER = (Denominator.TRIES, Denominator.SHOTS, Denominator.FILES, Denominator.NONE)
_SETTINGS = attrgetter("f_number", "exposure_s", "iso", "focal_mm")
_LESSON_ORDER = (LessonVerb.AVOID, LessonVerb.CHANGE, LessonVerb.KEEP)


@dataclass(slots=True)
class _Pile:
    """What belongs to one approach."""

    keepers: list[KeeperLine] = field(default_factory=list)
    sittings: list[Sitting] = field(default_factory=list)
    shots: list[ShotLine] = field(default_factory=list)


def rows_of(desk: Desk, scope: Scope, units: Units) -> tuple[tuple[Row, ...], tuple[Undivided, ...]]:
    """Return a row for each approach, best first within each kind of count, and visits nobody may claim."""
    piles: dict[Value, _Pile] = defaultdict(_Pile)
    for value, keepers in units.keepers.items():
        piles[value].keepers = keepers
    planned_on: dict[tuple[str, str | None, str | None], list[Value]] = defaultdict(list)
    for shot, value in units.shots:
        piles[value].shots.append(shot)
        planned_on[shot.trip_id, shot.viewpoint_id, shot.on_date].append(value)
    undivided = []
    for sitting in units.sittings:
        visit = sitting.visit
        value = visit_value(
            scope, sitting, planned_on.get((visit.trip_id, visit.viewpoint_id, visit.on_date), ())
        )
        if value == SEVERAL:
            if visit.tries:
                undivided.append(_undivided(sitting))
        elif value is not None or visit.tries:
            piles[value].sittings.append(sitting)
    lessons = _lessons(desk, scope)
    rows = [_row(desk, scope, value, pile, lessons) for value, pile in piles.items()]
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
    return Undivided(sitting.visit.slug, sitting.visit.tries or 0, len(sitting.keepers), tuple(names))


def _good(keepers: Iterable[KeeperLine]) -> list[KeeperLine]:
    return [keeper for keeper in keepers if keeper.sharpness != "soft"]


def _row(
    desk: Desk,
    scope: Scope,
    value: Value,
    pile: _Pile,
    lessons: Mapping[str, list[ComparedLesson]],
) -> Row:
    shots = shot_count(pile.shots)
    against, rate, counted, notes = _rate(desk, scope, pile, value, shots)
    judged = sum(keeper.sharpness == "sharp" for keeper in counted)
    measured = Counter(keeper.measured for keeper in counted if keeper.sharpness is None)
    told = sorted(pile.sittings, key=lambda one: one.visit.on_date)
    return Row(
        value,
        against,
        rate,
        tries_needed(rate) if rate.tries and against in (Denominator.TRIES, Denominator.FILES) else None,
        judged,
        shots,
        misses_of(pile.shots),
        settings_of(Counter(map(_SETTINGS, _good(pile.keepers)))),
        _lessons_of(pile, value, scope, lessons),
        notes,
        {
            "visits": tuple(one.visit.id for one in told if one.visit.tries is not None),
            "shots": tuple(shot.id for shot in pile.shots),
            "keepers": tuple(keeper.id for keeper in pile.keepers),
            "counted": tuple(keeper.id for keeper in counted),
        },
        measured["sharp"],
        measured["soft"],
    )


def _rate(
    desk: Desk, scope: Scope, pile: _Pile, value: Value, shots: ShotCount
) -> tuple[Denominator, Rate, list[KeeperLine], tuple[str, ...]]:
    """The best count there is, or the one asked for; with the pictures in k and what to know of it."""
    wanted = scope.question.against
    declared = [one for one in pile.sittings if one.visit.tries is not None]
    if declared and wanted in (None, Denominator.TRIES):
        return _against_tries(declared, value)
    if shots.known and wanted in (None, Denominator.SHOTS):
        return Denominator.SHOTS, wilson(shots.made, shots.known), [], ()
    if value is not None and wanted in (None, Denominator.FILES):
        found = _against_files(desk, scope, pile)
        if found is not None:
            return found
    return Denominator.NONE, wilson(0, 0), [], ()


def _against_tries(
    declared: Sequence[Sitting], value: Value
) -> tuple[Denominator, Rate, list[KeeperLine], tuple[str, ...]]:
    counted: list[KeeperLine] = []
    tries = other = 0
    notes = []
    for one in declared:
        own = [k for k, v in zip(one.keepers, one.values, strict=True) if v in (value, None)]
        other += len(one.keepers) - len(own)
        counted += _good(own)
        said = one.visit.tries or 0
        if said < len(one.keepers):
            notes.append(
                f"{one.visit.slug} says {said} tries but holds {len(one.keepers)} keepers; those were counted"
            )
        tries += max(said, len(one.keepers))
    if other:
        notes.append(
            f"{other} {'picture' if other == 1 else 'pictures'} of these visits made another way "
            f"{'counts' if other == 1 else 'count'} among the tries, not among the successes"
        )
    return Denominator.TRIES, wilson(len(counted), tries), counted, tuple(notes)


def _against_files(
    desk: Desk, scope: Scope, pile: _Pile
) -> tuple[Denominator, Rate, list[KeeperLine], tuple[str, ...]] | None:
    """Frames after the first keeper of a day up to its last, from file numbers, for each viewpoint and body.

    The first keeper opens the count and is no success of it: otherwise a day with one keeper would be one of
    one, however many frames were thrown away.
    """
    from logbook.services.worked.numbered import frames_by_day

    own = {keeper.id: keeper for keeper in pile.keepers}
    tries = 0
    counted: list[KeeperLine] = []
    for frames in frames_by_day(desk, scope, own):
        found = tries_from_numbers(frames)
        if found.count is not None and found.count > 1:
            tries += found.count - 1
            counted += _good(own[frame.key] for frame in in_order(frames)[1:])
    if not tries:
        return None
    counted = counted[:tries]
    note = (
        "approximate: counts frames from the first keeper of a day to its last; frames before and after "
        "are not seen, so the true rate is lower"
    )
    return Denominator.FILES, wilson(len(counted), tries), counted, (note,)


def shot_count(shots: Iterable[ShotLine]) -> ShotCount:
    """Count shots by what became of them."""
    words = Counter(shot.word or OutcomeWord.OPEN for shot in shots)
    return ShotCount(**{str(word): words[word] for word in OutcomeWord})


def misses_of(shots: Iterable[ShotLine]) -> tuple[Miss, ...]:
    """Return the reasons for shots that were not made, the most frequent first."""
    told: dict[Reason, list[str]] = defaultdict(list)
    for shot in shots:
        if shot.word not in (None, OutcomeWord.MADE, OutcomeWord.OPEN):
            for reason in reasons_in(shot.reasons):
                told[reason].append(shot.slug)
    return tuple(
        Miss(reason, len(slugs), tuple(sorted(slugs)))
        for reason, slugs in sorted(told.items(), key=lambda pair: (-len(pair[1]), pair[0]))
    )


def settings_of(counts: Mapping[tuple[Any, ...], int]) -> dict[str, SpreadInStops]:
    """Return the spread of aperture, time, ISO and focal length of pictures given with their counts."""
    apertures: Counter[float] = Counter()
    times: Counter[Fraction] = Counter()
    speeds: Counter[int] = Counter()
    focals: Counter[float] = Counter()
    ratios: dict[str, Fraction] = {}
    for (f_number, exposure, iso, focal), count in counts.items():
        if f_number is not None:
            apertures[f_number] += count
        if exposure is not None:
            times[ratios.setdefault(exposure, Fraction(exposure))] += count
        if iso is not None:
            speeds[iso] += count
        if focal is not None:
            focals[focal] += count
    spreads = {
        "f_number": aperture_spread(apertures),
        "exposure_s": exposure_spread(times),
        "iso": iso_spread(speeds),
        "focal_mm": focal_spread(focals),
    }
    return {name: spread for name, spread in spreads.items() if spread is not None}


def _lessons(desk: Desk, scope: Scope) -> dict[str, list[ComparedLesson]]:
    """Lessons by what they hang on: a shot, a technique, or a viewpoint on a day of a trip."""
    found: dict[str, list[ComparedLesson]] = defaultdict(list)
    for lesson in comparisons.lessons(desk, None if scope.viewpoint_ids is None else scope.site_ids):
        if lesson.shot_id:
            found[lesson.shot_id].append(lesson)
        if lesson.technique:
            found[lesson.technique.casefold()].append(lesson)
        if lesson.viewpoint_id and lesson.on_date:
            found[f"{lesson.trip_id} {lesson.viewpoint_id} {lesson.on_date}"].append(lesson)
    return found


def _lessons_of(
    pile: _Pile, value: Value, scope: Scope, lessons: Mapping[str, list[ComparedLesson]]
) -> tuple[PastLesson, ...]:
    keys = [shot.id for shot in pile.shots]
    if scope.question.by is By.TECHNIQUE and value:
        keys.append(value.casefold())
    keys += [f"{s.visit.trip_id} {s.visit.viewpoint_id} {s.visit.on_date}" for s in pile.sittings]
    own = {lesson.id: lesson for key in keys for lesson in lessons.get(key, ())}
    told = sorted(own.values(), key=lambda one: one.on_date or "", reverse=True)
    told.sort(key=lambda one: _LESSON_ORDER.index(LessonVerb(one.verb)))
    return tuple(
        PastLesson(one.id, one.slug, LessonVerb(one.verb), one.text, one.trip, one.on_date) for one in told
    )


def reason_rows(units: Units) -> tuple[Row, ...]:
    """Return for each reason how many shots it cost, of all whose outcome is known."""
    shots = [shot for shot, _ in units.shots]
    known = shot_count(shots).known
    by_slug = {shot.slug: shot for shot in shots}
    rows = []
    for miss in misses_of(shots):
        own = [by_slug[slug] for slug in miss.shots]
        rows.append(
            Row(
                str(miss.reason),
                Denominator.SHOTS,
                wilson(miss.count, known),
                None,
                0,
                shot_count(own),
                (miss,),
                {},
                (),
                (),
                {"visits": (), "shots": tuple(shot.id for shot in own), "keepers": (), "counted": ()},
            )
        )
    return tuple(sorted(rows, key=_rank))
