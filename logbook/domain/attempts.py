"""One picture over several trips: what was tried of it, and whether it is still to get.

One surprising decision: a shot counts as got as well when a later one of the same title was made at the same
viewpoint, for people plan a picture again without saying that it continues another.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from logbook.domain.shot import Outcome, Shot
from logbook.domain.words import OutcomeWord

STILL_TO_GET = (OutcomeWord.MISSED, OutcomeWord.REPLACED, OutcomeWord.PARTLY, OutcomeWord.OPEN)


@dataclass(frozen=True, slots=True)
class Attempt:
    """One plan of a picture, the trip it belongs to, and its outcome where a person stated one."""

    shot: Shot
    outcome: Outcome | None
    trip: str  # slug

    @property
    def word(self) -> OutcomeWord:
        """What became of it; open where nobody said."""
        return self.outcome.word if self.outcome else OutcomeWord.OPEN


def earlier_and_later(shot: Shot, linked: Iterable[Shot]) -> tuple[Shot, ...]:
    """Return the shots that one continues, itself, and those that continue it; dateless ones last."""
    by_id = {one.id: one for one in linked} | {shot.id: shot}
    found = {shot.id: shot}
    before = by_id.get(shot.continues_id or "")
    while before is not None and before.id not in found:
        found[before.id] = before
        before = by_id.get(before.continues_id or "")
    grown = [shot.id]
    while grown:
        grown = [one.id for one in by_id.values() if one.continues_id in grown and one.id not in found]
        found |= {one: by_id[one] for one in grown}
    return tuple(sorted(found.values(), key=lambda one: (one.on_date or date.max, one.created)))


def still_to_get(shots: Sequence[Shot], outcomes: Mapping[str, Outcome]) -> frozenset[str]:
    """Return the ids of the shots that are not made, nor made later; outcomes are by shot id."""
    is_made = {shot_id for shot_id, one in outcomes.items() if one.is_stated and one.word is OutcomeWord.MADE}
    made = [shot for shot in shots if shot.id in is_made]
    by_id = {shot.id: shot for shot in shots}
    got = set(is_made)
    for shot in made:  # whatever it continues is got with it
        before = by_id.get(shot.continues_id or "")
        while before is not None and before.id not in got:
            got.add(before.id)
            before = by_id.get(before.continues_id or "")
    latest: dict[tuple[str | None, str], date] = {}
    for shot in made:
        on_date = shot.on_date or date.min
        latest[_same(shot)] = max(latest.get(_same(shot), date.min), on_date)
    return frozenset(
        shot.id
        for shot in shots
        if shot.id not in got
        and not (_same(shot) in latest and latest[_same(shot)] >= (shot.on_date or date.min))
    )


def _same(shot: Shot) -> tuple[str | None, str]:
    """What two plans of one picture share."""
    return shot.viewpoint_id, shot.title.casefold()
