"""What was answered in an evening, as it lies in the book: by key, with the plan that it was given to.

One surprising decision: the plan lies among the answers, so that it goes with them when a day is asked again.
"""

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime

from logbook.domain.night import NightAnswer
from logbook.domain.record import new_record
from logbook.domain.words import Provenance
from logbook.services.night.opening import PLAN
from logbook.services.night.planned import NightPlan, dumped, loaded
from logbook.services.night.questions import Answered
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class KeptAnswers:
    """The answers of one day of a trip, read and written at a desk."""

    desk: Desk
    trip_id: str
    on_date: date
    now: datetime

    def given(self) -> dict[str, Answered]:
        """Return the answers by key."""
        return {one.key: _answered(one.answer) for one in self._records() if one.key != PLAN}

    def plan(self) -> NightPlan | None:
        """Return the plan of the day, if it is settled."""
        kept = self._first(PLAN)
        return loaded(kept.answer) if kept else None

    def keep(self, key: str, text: str, word: Provenance | None) -> None:
        """Keep an answer."""
        self._put(key, json.dumps({"text": text, "word": word}, ensure_ascii=False))

    def keep_plan(self, plan: NightPlan) -> None:
        """Settle the plan of the day."""
        self._put(PLAN, dumped(plan))

    def drop(self, is_dropped: Callable[[str], bool]) -> None:
        """Forget answers, by their keys; what they wrote into the book stays."""
        self.desk.night_answers.remove(one.id for one in self._records() if is_dropped(one.key))

    def _records(self) -> list[NightAnswer]:
        return self.desk.night_answers.all(trip_id=self.trip_id, on_date=self.on_date)

    def _first(self, key: str) -> NightAnswer | None:
        return self.desk.night_answers.first(trip_id=self.trip_id, on_date=self.on_date, key=key)

    def _put(self, key: str, answer: str) -> None:
        before = self._first(key)
        if before is not None:
            self.desk.night_answers.put(replace(before, answer=answer, updated=self.now))
        else:
            made = NightAnswer(
                **new_record(self.now), trip_id=self.trip_id, on_date=self.on_date, key=key, answer=answer
            )
            self.desk.night_answers.add(made)


def _answered(kept: str) -> Answered:
    data = json.loads(kept)
    return Answered(data["text"], Provenance(data["word"]) if data["word"] else None)
