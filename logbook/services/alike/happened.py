"""What happened at sites: what became of the shots planned there, and the lessons.

One surprising decision: a shot whose outcome nobody wrote down is listed as open and counted apart, because
silence is neither success nor failure.
"""

import json
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import lru_cache

from logbook.domain.words import LessonVerb, OutcomeWord, Reason
from logbook.store import comparisons
from logbook.store.comparisons import ShotLine
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class PastShot:
    """A planned shot and what became of it; `outcome_id` None where nobody said."""

    id: str
    slug: str
    title: str
    trip: str
    viewpoint_id: str | None
    on_date: str | None
    technique: str | None
    support: str | None
    filters: tuple[str, ...] | None
    outcome: OutcomeWord
    reasons: tuple[Reason, ...]
    note: str | None
    outcome_id: str | None


@dataclass(frozen=True, slots=True)
class PastLesson:
    """A lesson of an earlier trip."""

    id: str
    slug: str
    verb: LessonVerb
    text: str
    trip: str | None
    on_date: str | None


@dataclass(frozen=True, slots=True)
class Happened:
    """What happened at one site: its shots, latest first, and its lessons."""

    shots: tuple[PastShot, ...] = ()
    lessons: tuple[PastLesson, ...] = ()

    def counts(self) -> dict[OutcomeWord, int]:
        """How many shots came to each outcome; those that did not occur are absent."""
        found = Counter(shot.outcome for shot in self.shots)
        return {word: found[word] for word in OutcomeWord if found[word]}


def past_shot(line: ShotLine) -> PastShot:
    """Return a narrow row as a shot with its outcome."""
    return PastShot(
        line.id,
        line.slug,
        line.title,
        line.trip,
        line.viewpoint_id,
        line.on_date,
        line.technique,
        line.support,
        None if line.filters is None else tuple(json.loads(line.filters)),
        OutcomeWord(line.word) if line.word else OutcomeWord.OPEN,
        reasons_in(line.reasons),
        line.note,
        line.outcome_id,
    )


@lru_cache(maxsize=4096)
def reasons_in(listed: str | None) -> tuple[Reason, ...]:
    """Return the reasons of a JSON list."""
    return tuple(Reason(word) for word in json.loads(listed or "[]"))


def happened_at(desk: Desk, site_ids: Collection[str]) -> dict[str, Happened]:
    """Return what happened at some sites, by site id."""
    site_of = {stand.id: stand.site_id for stand in comparisons.stands(desk, site_ids)}
    shots: dict[str, list[PastShot]] = defaultdict(list)
    site_of_shot: dict[str, str] = {}
    for line in comparisons.shots(desk, list(site_of)):
        site_id = site_of.get(line.viewpoint_id or "")
        if site_id:
            shots[site_id].append(past_shot(line))
            site_of_shot[line.id] = site_id
    lessons: dict[str, list[PastLesson]] = defaultdict(list)
    for lesson in comparisons.lessons(desk, site_ids):
        site_id = (
            lesson.site_id or site_of.get(lesson.viewpoint_id or "") or site_of_shot.get(lesson.shot_id or "")
        )
        if site_id:
            lessons[site_id].append(
                PastLesson(
                    lesson.id, lesson.slug, LessonVerb(lesson.verb), lesson.text, lesson.trip, lesson.on_date
                )
            )
    return {
        site_id: Happened(tuple(_latest_first(shots[site_id])), tuple(_by_verb(lessons[site_id])))
        for site_id in site_ids
    }


def _latest_first(shots: Iterable[PastShot]) -> list[PastShot]:
    return sorted(shots, key=lambda shot: (shot.on_date or "", shot.slug), reverse=True)


def _by_verb(lessons: Iterable[PastLesson]) -> list[PastLesson]:
    """Warnings first: what to avoid, what to change, what to keep; the latest of each first."""
    order = (LessonVerb.AVOID, LessonVerb.CHANGE, LessonVerb.KEEP)
    newest = sorted(lessons, key=lambda lesson: lesson.on_date or "", reverse=True)
    return sorted(newest, key=lambda lesson: order.index(lesson.verb))
